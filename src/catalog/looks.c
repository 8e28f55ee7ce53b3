// Signs, and what a look at an engine can tell.
#include "base/text.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <math.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

// Chances of a wrong answer where a row gives none, and of a sign being told unasked.
static const double default_miss = 0.1;   // [ASSUMED-680]
static const double default_false = 0.03; // [ASSUMED-681]
static const double default_report = 0.3; // [ASSUMED-682]

// the scale a boundary lies on when the file does not say
static dk_scale usual_scale(const dk_from *from, int reading)
{
	if (reading < 0 || from->compare == DK_COMPARE_DIFFERENCE) return DK_SCALE_LIN;
	const dk_transform transform = dk_reading_info[reading].transform;
	if (transform == DK_LOG) return DK_SCALE_LOG;
	return transform == DK_LOGIT && from->compare == DK_COMPARE_VALUE ? DK_SCALE_LOGIT : DK_SCALE_LIN;
}

// compare and scale: words, or what follows from the row's relation and the reading
static dk_status comparing(dk_loading *l, const dk_node *row, const dk_look *look, int reading, dk_from *from)
{
	static const char *const compares[] = { "value", "ratio", "difference" };
	static const char *const scales[] = { "lin", "log", "logit" };
	int word =
	    look->relation == DK_RELATION_AGAINST_HEALTHY && reading >= 0 ? DK_COMPARE_RATIO : DK_COMPARE_VALUE;
	if (dk_node_get(row, "compare"))
		DK_TRY(dk_node_word(row, "compare", compares, COUNT(compares), &word, l->error));
	from->compare = (dk_compare)word;
	if (from->compare != DK_COMPARE_VALUE && look->relation == DK_RELATION_ABSOLUTE)
		return dk_load_wrong(
		    l, row, "compare", DK_BAD_INPUT, "only a row that is 'relation: against_healthy' compares");
	word = usual_scale(from, reading);
	if (dk_node_get(row, "scale")) DK_TRY(dk_node_word(row, "scale", scales, COUNT(scales), &word, l->error));
	from->scale = (dk_scale)word;
	return DK_OK;
}

// threshold and width, each in what the scale asks for
static dk_status boundary(dk_loading *l, const dk_node *row, const char *unit, dk_from *from)
{
	static const double widest = 1e15;
	const bool plain = from->compare == DK_COMPARE_RATIO;
	if (from->compare == DK_COMPARE_DIFFERENCE)
		DK_TRY(dk_load_difference(l, row, "threshold", unit, &from->threshold));
	else
		DK_TRY(dk_node_number(
		    row, "threshold", plain ? "-" : unit, -widest, widest, &from->threshold, l->error));
	if (plain || from->scale != DK_SCALE_LIN)
		DK_TRY(dk_node_number(row, "width", "-", 0, widest, &from->width, l->error));
	else
		DK_TRY(dk_load_difference(l, row, "width", unit, &from->width));
	const dk_node *width = dk_node_get(row, "width"), *threshold = dk_node_get(row, "threshold");
	if (!(from->width > 0))
		return dk_load_wrong(l, width, "width", DK_OUT_OF_RANGE, "a width must be more than 0");
	const bool positive = from->threshold > 0, below_one = from->threshold < 1;
	if ((from->scale == DK_SCALE_LOG && !positive) ||
	    (from->scale == DK_SCALE_LOGIT && !(positive && below_one)))
		return dk_load_wrong(l, threshold, "threshold", DK_OUT_OF_RANGE,
		    "on this scale a threshold must be %s",
		    from->scale == DK_SCALE_LOG ? "more than 0" : "between 0 and 1");
	return DK_OK;
}

static dk_status from_row(dk_loading *l, const dk_node *row, const dk_look *look, dk_from *from)
{
	static const char *const keys[] = { "reading", "parameter", "answer", "threshold", "width", "sense",
		"compare", "scale", "point", "source" };
	static const char *const senses[] = { "above", "below" };
	DK_TRY(dk_node_only(row, "a row of 'from'", keys, COUNT(keys), l->error));
	const bool has_reading = dk_node_get(row, "reading"), has_parameter = dk_node_get(row, "parameter");
	if (has_reading == has_parameter)
		return dk_load_wrong(
		    l, row, "from", DK_BAD_INPUT, "name either a reading or a parameter, and not both");
	int reading = -1, parameter = -1, sense = 0;
	if (has_reading)
		DK_TRY(dk_load_reading(l, row, "reading", &from->reading, &reading));
	else
		DK_TRY(dk_load_parameter(l, row, "parameter", &from->parameter, &parameter));

	const char *names[DK_ANSWERS_MOST];
	for (int i = 0; i < look->answer_count; ++i) names[i] = look->answer[i].id;
	DK_TRY(dk_node_word(row, "answer", names, look->answer_count, &from->answer, l->error));
	if (look->answer[from->answer].normal)
		return dk_load_wrong(l, row, "answer", DK_BAD_INPUT,
		    "'%s' is normal; a boundary names the answer beyond it", names[from->answer]);
	DK_TRY(dk_node_word(row, "sense", senses, COUNT(senses), &sense, l->error));
	from->sense = (dk_sense)sense;
	DK_TRY(comparing(l, row, look, reading, from));
	DK_TRY(
	    boundary(l, row, has_reading ? dk_reading_info[reading].unit : dk_param_info[parameter].unit, from));
	DK_TRY(dk_load_point(l, row, "point", -1, &from->point));
	const unsigned where = has_reading ? dk_reading_info[reading].points : ~0u;
	if (from->point >= 0 && !(where >> from->point & 1))
		return dk_load_wrong(l, row, "point", DK_BAD_INPUT, "there is no %s at %s", from->reading,
		    dk_point_info[from->point].id);
	from->mark = dk_load_mark(row);
	return dk_node_text_or(row, "source", look->source, &from->source, l->error);
}

dk_status dk_load_look(dk_loading *l, const dk_node *row, dk_look *look)
{
	static const char *const kinds[] = { "ordinal", "nominal", "flag" };
	static const char *const relations[] = { "absolute", "against_healthy" };
	const dk_node *from = NULL;
	int word = 0;
	DK_TRY(dk_node_list(row, "from", 0, &from, l->error));
	DK_TRY(dk_node_word(row, "kind", kinds, COUNT(kinds), &word, l->error));
	look->kind = (dk_sign_kind)word;
	word = 0;
	if (dk_node_get(row, "relation"))
		DK_TRY(dk_node_word(row, "relation", relations, COUNT(relations), &word, l->error));
	look->relation = (dk_relation)word;
	DK_TRY(dk_load_answers(l, row, from->count > 0, &look->answer, &look->answer_count));
	if (look->kind == DK_SIGN_FLAG && look->answer_count != 2)
		return dk_load_wrong(l, row, "answers", DK_BAD_INPUT, "a flag has exactly two answers");
	DK_TRY(dk_node_flag_or(row, "several", false, &look->several, l->error));
	DK_TRY(dk_node_number_or(row, "miss", "-", 0, 0.9, default_miss, &look->miss, l->error));
	DK_TRY(dk_node_number_or(row, "false", "-", 0, 0.9, default_false, &look->false_report, l->error));
	DK_TRY(dk_node_text(row, "source", &look->source, l->error));

	dk_from *list = dk_arena_array(l->arena, (size_t)from->count + 1, sizeof *list);
	for (int i = 0; i < from->count; ++i) DK_TRY(from_row(l, from->item[i], look, &list[i]));
	look->from = list;
	look->from_count = from->count;
	return DK_OK;
}

// a reading must exist where the sign may be asked, unless the row names its own point
static dk_status points_agree(dk_loading *l, const dk_sign *sign)
{
	for (int i = 0; i < sign->look.from_count; ++i)
	{
		const dk_from *from = &sign->look.from[i];
		if (!from->reading || from->point >= 0) continue;
		const unsigned there = dk_reading_info[dk_reading_find(from->reading)].points;
		if (!(sign->points & ~there)) continue;
		int point = 0;
		while (!((sign->points & ~there) >> point & 1)) ++point;
		dk_error_set(l->error, DK_BAD_INPUT, "there is no %s at %s, where this sign may be asked",
		    from->reading, dk_point_info[point].id);
		dk_error_at(l->error, from->mark.file, from->mark.line, from->mark.column);
		dk_error_field(l->error, sign->id);
		dk_error_advice(l->error, "narrow 'points', or say at which 'point' the reading is taken");
		return DK_BAD_INPUT;
	}
	return DK_OK;
}

dk_status dk_sign_load(dk_loading *l, const dk_node *row, dk_sign *sign)
{
	static const char *const keys[] = { "id", "question", "default_point", "points", "ask_when", "kind",
		"relation", "group", "several", "answers", "from", "miss", "false", "report", "source" };
	DK_TRY(dk_node_only(row, "a sign", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &sign->id, l->error));
	DK_TRY(dk_node_text(row, "question", &sign->question, l->error));
	DK_TRY(dk_load_point(l, row, "default_point", -1, &sign->default_point));
	if (sign->default_point < 0) return dk_load_wrong(l, row, "default_point", DK_MISSING, "this is missing");
	DK_TRY(dk_load_points(l, row, "points", 1u << sign->default_point, &sign->points));
	if (!(sign->points >> sign->default_point & 1))
		return dk_load_wrong(l, row, "points", DK_BAD_INPUT, "the default point is not among the points");
	DK_TRY(dk_load_when(l, row, "ask_when", &sign->ask_when));
	DK_TRY(dk_node_text_or(row, "group", NULL, &sign->group, l->error));
	DK_TRY(dk_load_look(l, row, &sign->look));
	DK_TRY(dk_node_number_or(row, "report", "-", 0.001, 1, default_report, &sign->report, l->error));
	sign->mark = dk_load_mark(row);
	return points_agree(l, sign);
}
