// Pieces that rows of several kinds share.
#include "base/text.h"
#include "base/units.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

static const char *const kind_name[DK_KIND_COUNT] = { "fault", "sign", "check", "repair", "gate", "red rule",
	"limit" };

dk_mark dk_load_mark(const dk_node *node)
{
	return (dk_mark){ node->file, node->line, node->column };
}

dk_status dk_load_wrong(
    dk_loading *l, const dk_node *node, const char *field, dk_status status, const char *what, ...)
{
	char line[240];
	va_list list;
	va_start(list, what);
	vsnprintf(line, sizeof line, what, list);
	va_end(list);
	dk_error_set(l->error, status, "%s", line);
	dk_node_blame(node, field, l->error);
	return status;
}

static dk_status unknown(dk_loading *l, const dk_node *node, const char *field, const char *kind,
    const char *id, const char *const *names, int count)
{
	dk_load_wrong(l, node, field, DK_UNKNOWN_NAME, "there is no %s '%.60s'", kind, id);
	dk_error_nearest(l->error, id, names, count);
	return DK_UNKNOWN_NAME;
}

dk_status dk_load_reference(dk_loading *l, const dk_node *node, const char *field, dk_kind kind, int *index)
{
	if (!node || node->kind != DK_NODE_TEXT || !*node->text)
		return dk_load_wrong(
		    l, node, field, DK_BAD_INPUT, "the id of a %s is expected here", kind_name[kind]);
	const dk_rows *rows = &l->rows[kind];
	const int i = dk_text_index(node->text, rows->id, rows->count);
	if (i < 0) return unknown(l, node, field, kind_name[kind], node->text, rows->id, rows->count);
	*index = i;
	return DK_OK;
}

dk_status dk_load_references(
    dk_loading *l, const dk_node *map, const char *field, dk_kind kind, const int **index, int *count)
{
	const dk_node *list = NULL;
	DK_TRY(dk_node_list(map, field, 0, &list, l->error));
	int *found = dk_arena_array(l->arena, (size_t)list->count + 1, sizeof *found);
	for (int i = 0; i < list->count; ++i)
	{
		DK_TRY(dk_load_reference(l, list->item[i], field, kind, &found[i]));
		for (int j = 0; j < i; ++j)
			if (found[j] == found[i])
				return dk_load_wrong(
				    l, list->item[i], field, DK_BAD_INPUT, "'%s' stands twice", list->item[i]->text);
	}
	*index = found;
	*count = list->count;
	return DK_OK;
}

dk_status dk_load_texts(dk_loading *l, const dk_node *map, const char *field, dk_texts *texts)
{
	return dk_node_texts(map, field, l->arena, &texts->item, &texts->count, l->error);
}

static int point_of(const char *text, const char **names)
{
	for (int i = 0; i < DK_POINT_COUNT; ++i) names[i] = dk_point_info[i].id;
	return dk_text_index(text, names, DK_POINT_COUNT);
}

dk_status dk_load_points(
    dk_loading *l, const dk_node *map, const char *field, unsigned otherwise, unsigned *points)
{
	dk_texts list;
	const char *names[DK_POINT_COUNT];
	DK_TRY(dk_load_texts(l, map, field, &list));
	*points = list.count ? 0 : otherwise;
	for (int i = 0; i < list.count; ++i)
	{
		const int point = point_of(list.item[i], names);
		if (point < 0)
			return unknown(
			    l, dk_node_get(map, field), field, "operating point", list.item[i], names, DK_POINT_COUNT);
		*points |= 1u << point;
	}
	return DK_OK;
}

dk_status dk_load_point(dk_loading *l, const dk_node *map, const char *field, int otherwise, int *point)
{
	const char *text = NULL, *names[DK_POINT_COUNT];
	DK_TRY(dk_node_text_or(map, field, NULL, &text, l->error));
	*point = otherwise;
	if (!text) return DK_OK;
	*point = point_of(text, names);
	if (*point < 0)
		return unknown(l, dk_node_get(map, field), field, "operating point", text, names, DK_POINT_COUNT);
	return DK_OK;
}

// one condition: answers to one question of the installation
static dk_status when_row(
    dk_loading *l, const dk_node *map, const char *question, const dk_node *key, dk_when *when)
{
	const char *names[DK_INSTALL_COUNT];
	for (int i = 0; i < DK_INSTALL_COUNT; ++i) names[i] = dk_install_info[i].id;
	when->question = dk_install_find(question);
	if (when->question < 0)
		return unknown(l, key, question, "installation question", question, names, DK_INSTALL_COUNT);
	dk_texts answers;
	DK_TRY(dk_load_texts(l, map, question, &answers));
	if (!answers.count) return dk_load_wrong(l, key, question, DK_MISSING, "an answer is expected here");
	for (int i = 0; i < answers.count; ++i)
	{
		const int answer = dk_install_answer_find(when->question, answers.item[i]);
		const dk_install_row *row = &dk_install_info[when->question];
		int n = 0;
		while (n < DK_INSTALL_ANSWERS && row->answer[n]) ++n;
		if (answer < 0) return unknown(l, key, question, "answer", answers.item[i], row->answer, n);
		when->answers |= 1u << answer;
	}
	return DK_OK;
}

dk_status dk_load_when(dk_loading *l, const dk_node *map, const char *field, dk_whens *whens)
{
	const dk_node *node = dk_node_get(map, field);
	*whens = (dk_whens){ 0 };
	if (!node || dk_node_is_empty(node)) return DK_OK;
	if (node->kind != DK_NODE_MAP)
		return dk_load_wrong(l, node, field, DK_BAD_INPUT, "'question: answer' lines are expected here");
	dk_when *list = dk_arena_array(l->arena, (size_t)node->count + 1, sizeof *list);
	for (int i = 0; i < node->count; ++i)
		DK_TRY(when_row(l, node, node->key[i]->text, node->key[i], &list[i]));
	*whens = (dk_whens){ list, node->count };
	return DK_OK;
}

dk_status dk_load_reading(dk_loading *l, const dk_node *map, const char *field, const char **id, int *index)
{
	const char *names[DK_READING_COUNT];
	DK_TRY(dk_node_text(map, field, id, l->error));
	*index = dk_reading_find(*id);
	if (*index >= 0) return DK_OK;
	for (int i = 0; i < DK_READING_COUNT; ++i) names[i] = dk_reading_info[i].id;
	return unknown(l, dk_node_get(map, field), field, "reading", *id, names, DK_READING_COUNT);
}

dk_status dk_load_parameter(dk_loading *l, const dk_node *map, const char *field, const char **id, int *index)
{
	const char *names[DK_PARAM_COUNT];
	DK_TRY(dk_node_text(map, field, id, l->error));
	*index = dk_param_find(*id);
	const bool twin = *index >= 0 && strlen(*id) > 2 && !strcmp(*id + strlen(*id) - 2, ".b");
	if (twin)
		return dk_load_wrong(l, dk_node_get(map, field), field, DK_BAD_INPUT,
		    "'%.60s' is the hit cylinders' twin; name the parameter without '.b'", *id);
	if (*index >= 0) return DK_OK;
	for (int i = 0; i < DK_PARAM_COUNT; ++i) names[i] = dk_param_info[i].id;
	return unknown(l, dk_node_get(map, field), field, "parameter", *id, names, DK_PARAM_COUNT);
}

dk_status dk_load_difference(
    dk_loading *l, const dk_node *map, const char *field, const char *unit, double *value)
{
	const char *text = NULL, *given = "";
	double number = 0;
	DK_TRY(dk_node_text(map, field, &text, l->error));
	dk_status status = dk_unit_read(text, unit, DK_BARE_TABLE, field, value, l->error);
	if (status != DK_OK)
	{
		dk_node_blame(dk_node_get(map, field), field, l->error);
		return status;
	}
	DK_TRY(dk_number_parse(text, &number, &given, l->error));

	// take off what 0 of that unit is, so that 5 K is a difference of 5 degC
	*value = number;
	if (*given) *value = dk_unit_convert(number, given, unit) - dk_unit_convert(0, given, unit);
	return DK_OK;
}

static dk_status answer_row(dk_loading *l, const dk_node *row, dk_answer *answer)
{
	static const char *const keys[] = { "id", "text", "normal" };
	static const char *const reserved[] = { "not_looked", "not_sure", "odd", "cannot" };
	DK_TRY(dk_node_only(row, "an answer", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &answer->id, l->error));
	DK_TRY(dk_node_text(row, "text", &answer->text, l->error));
	if (!dk_text_is_id(answer->id) || strchr(answer->id, '.') || strlen(answer->id) > 40)
		return dk_load_wrong(l, row, "id", DK_BAD_INPUT,
		    "'%.40s' cannot be an answer: use lower-case letters, digits, _", answer->id);
	if (dk_text_index(answer->id, reserved, COUNT(reserved)) >= 0)
		return dk_load_wrong(
		    l, row, "id", DK_BAD_INPUT, "every row has '%s' already: leave it out", answer->id);
	return dk_node_flag_or(row, "normal", false, &answer->normal, l->error);
}

dk_status dk_load_answers(
    dk_loading *l, const dk_node *map, bool need_normal, const dk_answer **answer, int *count)
{
	const dk_node *list = NULL;
	DK_TRY(dk_node_list(map, "answers", 2, &list, l->error));
	if (list->count > DK_ANSWERS_MOST)
		return dk_load_wrong(
		    l, list, "answers", DK_TOO_LARGE, "a row has at most %d answers", DK_ANSWERS_MOST);
	dk_answer *found = dk_arena_array(l->arena, (size_t)list->count, sizeof *found);
	bool normal = false;
	for (int i = 0; i < list->count; ++i)
	{
		DK_TRY(answer_row(l, list->item[i], &found[i]));
		normal |= found[i].normal;
		for (int j = 0; j < i; ++j)
			if (!strcmp(found[j].id, found[i].id))
				return dk_load_wrong(
				    l, list->item[i], "id", DK_BAD_INPUT, "the answer '%s' stands twice", found[i].id);
	}
	if (need_normal && !normal)
		return dk_load_wrong(l, list, "answers", DK_MISSING, "no answer is marked 'normal: true'");
	*answer = found;
	*count = list->count;
	return DK_OK;
}

int dk_answer_find(const dk_look *look, const char *id)
{
	for (int i = 0; i < look->answer_count; ++i)
		if (!strcmp(id, look->answer[i].id)) return i;
	return -1;
}

// answers of a sign by id, as bits
static dk_status answer_bits(dk_loading *l, const dk_node *row, const dk_sign *sign, unsigned *bits)
{
	dk_texts list;
	const char *names[DK_ANSWERS_MOST];
	DK_TRY(dk_load_texts(l, row, "answer", &list));
	if (!list.count) return dk_load_wrong(l, row, "answer", DK_MISSING, "this is missing");
	for (int i = 0; i < sign->look.answer_count; ++i) names[i] = sign->look.answer[i].id;
	for (int i = 0; i < list.count; ++i)
	{
		const int answer = dk_answer_find(&sign->look, list.item[i]);
		if (answer < 0)
			return unknown(l, dk_node_get(row, "answer"), "answer", "answer", list.item[i], names,
			    sign->look.answer_count);
		*bits |= 1u << answer;
	}
	return DK_OK;
}

dk_status dk_load_conditions(
    dk_loading *l, const dk_node *map, const char *field, const dk_condition_row **condition, int *count)
{
	static const char *const keys[] = { "sign", "answer", "points", "when" };
	static const char *const times[] = { "now", "before" };
	const dk_node *list = NULL;
	DK_TRY(dk_node_list(map, field, 0, &list, l->error));
	dk_condition_row *found = dk_arena_array(l->arena, (size_t)list->count + 1, sizeof *found);
	for (int i = 0; i < list->count; ++i)
	{
		const dk_node *row = list->item[i];
		int when = 0;
		DK_TRY(dk_node_only(row, "a condition", keys, COUNT(keys), l->error));
		const dk_node *sign = dk_node_get(row, "sign");
		DK_TRY(dk_load_reference(l, sign ? sign : row, "sign", DK_KIND_SIGN, &found[i].sign));
		DK_TRY(answer_bits(l, row, &l->catalog->sign[found[i].sign], &found[i].answers));
		DK_TRY(dk_load_points(l, row, "points", (1u << DK_POINT_COUNT) - 1, &found[i].points));
		if (dk_node_get(row, "when")) DK_TRY(dk_node_word(row, "when", times, COUNT(times), &when, l->error));
		found[i].before = when == 1;
		found[i].mark = dk_load_mark(row);
	}
	*condition = found;
	*count = list->count;
	return DK_OK;
}

bool dk_when_holds(const dk_whens *whens, const dk_installation *installation)
{
	for (int i = 0; i < whens->count; ++i)
		if (!(whens->item[i].answers >> installation->answer[whens->item[i].question] & 1)) return false;
	return true;
}
