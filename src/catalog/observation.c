#include "catalog/observation.h"
#include "base/json.h"
#include "base/text.h"
#include "base/units.h"
#include "catalog/request.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

const char *const dk_result_name[DK_RESULT_COUNT] = { "no_better", "better", "cured", "worse" };

dk_request dk_default_request(void)
{
	return (dk_request){ .where = -1, .red_rule = -2, .expect_system = -1 };
}

int dk_reading_default_point(int reading)
{
	static const int order[] = { DK_POINT_cruise, DK_POINT_warm_idle, DK_POINT_cold_crank, DK_POINT_key_on };
	for (int i = 0; i < COUNT(order); ++i)
		if (dk_reading_info[reading].points >> order[i] & 1) return order[i];
	return DK_POINT_stopped_hot;
}

// ---- small helps

dk_status dk_request_wrong(
    dk_asking *a, const dk_node *node, const char *field, dk_status status, const char *what)
{
	dk_error_set(a->error, status, "%s", what);
	dk_error_field(a->error, field);
	if (node) dk_node_blame(node, NULL, a->error);
	return status;
}

dk_status dk_request_unknown(dk_asking *a, const dk_node *node, const char *field, const char *kind,
    const char *id, const char *const *names, int count)
{
	char what[160];
	snprintf(what, sizeof what, "there is no %s '%.60s'", kind, id);
	dk_request_wrong(a, node, field, DK_UNKNOWN_NAME, what);
	char line[200] = "";
	size_t n = 0;
	for (int i = 0; i < count && count <= 16 && n < sizeof line; ++i)
		n += (size_t)snprintf(line + n, sizeof line - n, "%s%s", i ? ", " : "", names[i]);
	if (n && n < sizeof line) dk_error_advice(a->error, "one of: %s", line);
	dk_error_nearest(a->error, id, names, count);
	return DK_UNKNOWN_NAME;
}

const char *const *dk_request_names(dk_asking *a, dk_named kind, int *count)
{
	const dk_catalog *c = a->catalog;
	const int counts[] = { c->sign_count, c->check_count, c->repair_count, c->fault_count, c->gate_count,
		c->red_rule_count, DK_READING_COUNT, DK_POINT_COUNT };
	*count = counts[kind];
	const char **names = dk_arena_array(a->arena, (size_t)*count + 1, sizeof *names);
	for (int i = 0; i < *count; ++i)
	{
		switch (kind)
		{
		case DK_NAMED_SIGN: names[i] = c->sign[i].id; break;
		case DK_NAMED_CHECK: names[i] = c->check[i].id; break;
		case DK_NAMED_REPAIR: names[i] = c->repair[i].id; break;
		case DK_NAMED_FAULT: names[i] = c->fault[i].id; break;
		case DK_NAMED_GATE: names[i] = c->gate[i].id; break;
		case DK_NAMED_RED_RULE: names[i] = c->red_rule[i].id; break;
		case DK_NAMED_READING: names[i] = dk_reading_info[i].id; break;
		default: names[i] = dk_point_info[i].id; break;
		}
	}
	return names;
}

void *dk_request_grow(dk_arena *arena, const void *list, int count, size_t size)
{
	// room doubles at each power of two, so that a list grows without a count of its room
	if (count & (count - 1)) return (void *)list;
	char *grown = dk_arena_array(arena, count ? (size_t)count * 2 : 1, size);
	if (count) memcpy(grown, list, (size_t)count * size);
	return grown;
}

void dk_request_append(dk_asking *a, const dk_observation *seen)
{
	dk_request *r = a->request;
	dk_observation *list = dk_request_grow(a->arena, r->observation, r->observation_count, sizeof *list);
	list[r->observation_count++] = *seen;
	r->observation = list;
}

// ---- ID[@POINT]

static dk_status split_point(dk_asking *a, const dk_node *node, const char *key, const char **id, int *point)
{
	const char *at = strchr(key, '@');
	*id = at ? dk_arena_bytes(a->arena, key, (size_t)(at - key)) : key;
	*point = -1;
	if (!at) return DK_OK;
	*point = dk_point_find(at + 1);
	if (*point >= 0) return DK_OK;
	int count = 0;
	const char *const *names = dk_request_names(a, DK_NAMED_POINT, &count);
	return dk_request_unknown(a, node, key, "operating point", at + 1, names, count);
}

static dk_status find_row(dk_asking *a, const dk_node *node, const char *id, dk_observation *seen)
{
	static const char *const kinds[] = { "sign", "reading", "check" };
	static const dk_named named[] = { DK_NAMED_SIGN, DK_NAMED_READING, DK_NAMED_CHECK };
	const int found[] = { dk_sign_find(a->catalog, id), dk_reading_find(id), dk_check_find(a->catalog, id) };
	seen->row = found[seen->kind];
	if (seen->row >= 0) return DK_OK;
	int count = 0;
	const char *const *names = dk_request_names(a, named[seen->kind], &count);
	dk_request_unknown(a, node, id, kinds[seen->kind], id, names, count);
	for (int i = 0; i < 3; ++i)
		if (found[i] >= 0) dk_error_advice(a->error, "'%s' is a %s: give it as one", id, kinds[i]);
	return DK_UNKNOWN_NAME;
}

static const dk_look *look_of(const dk_asking *a, const dk_observation *seen)
{
	if (seen->kind == DK_SEEN_SIGN) return &a->catalog->sign[seen->row].look;
	if (seen->kind == DK_SEEN_CHECK) return &a->catalog->check[seen->row].look;
	return NULL;
}

// where a row may be observed, and where it is when nobody says
static unsigned points_of(const dk_asking *a, const dk_observation *seen, int *usual)
{
	if (seen->kind == DK_SEEN_READING)
	{
		*usual = dk_reading_default_point(seen->row);
		return dk_reading_info[seen->row].points;
	}
	if (seen->kind == DK_SEEN_SIGN)
	{
		*usual = a->catalog->sign[seen->row].default_point;
		return a->catalog->sign[seen->row].points;
	}
	const dk_check *check = &a->catalog->check[seen->row];
	*usual = check->point;
	if (check->gives == DK_GIVES_READING) return dk_reading_info[dk_reading_find(check->reading)].points;
	if (check->gives == DK_GIVES_SIGN) return a->catalog->sign[check->sign].points | 1u << check->point;
	return 1u << check->point;
}

static dk_status place_row(dk_asking *a, const dk_node *node, const char *key, dk_observation *seen)
{
	const char *id = NULL;
	DK_TRY(split_point(a, node, key, &id, &seen->point));
	DK_TRY(find_row(a, node, id, seen));
	seen->id = id;
	seen->reading = seen->kind == DK_SEEN_READING ? seen->row : -1;
	if (seen->kind == DK_SEEN_CHECK && a->catalog->check[seen->row].gives == DK_GIVES_READING)
		seen->reading = dk_reading_find(a->catalog->check[seen->row].reading);
	int usual = 0;
	const unsigned points = points_of(a, seen, &usual);
	if (seen->point < 0) seen->point = usual;
	if (points >> seen->point & 1) return DK_OK;
	char line[160] = "";
	size_t n = 0;
	for (int i = 0; i < DK_POINT_COUNT && n < sizeof line; ++i)
		if (points >> i & 1)
			n += (size_t)snprintf(line + n, sizeof line - n, "%s%s", n ? ", " : "", dk_point_info[i].id);
	dk_request_wrong(a, node, key, DK_BAD_INPUT, "this cannot be seen at that operating point");
	return dk_error_advice(a->error, "it can at: %s", line);
}

// ---- the answer or the value

static const char *const specials[] = { "", "not_looked", "not_sure", "odd", "cannot" };

static dk_status one_answer(
    dk_asking *a, const dk_node *node, const char *key, const char *text, dk_observation *seen)
{
	const dk_look *look = look_of(a, seen);
	const int special = dk_text_index(text, specials, COUNT(specials));
	if (special == DK_SPECIAL_CANNOT && seen->kind != DK_SEEN_CHECK)
		return dk_request_wrong(a, node, key, DK_BAD_INPUT, "only a check can be answered with 'cannot'");
	if (special > 0)
	{
		if (seen->answers || seen->special)
			return dk_request_wrong(a, node, key, DK_BAD_INPUT, "this answer must stand alone");
		seen->special = (dk_special)special;
		return DK_OK;
	}
	if (seen->special) return dk_request_wrong(a, node, key, DK_BAD_INPUT, "this answer must stand alone");
	const int answer = dk_answer_find(look, text);
	if (answer >= 0)
	{
		seen->answers |= 1u << answer;
		return DK_OK;
	}
	const char *names[DK_ANSWERS_MOST + COUNT(specials)];
	int count = 0;
	for (; count < look->answer_count; ++count) names[count] = look->answer[count].id;
	names[count++] = "not_looked", names[count++] = "not_sure", names[count++] = "odd";
	return dk_request_unknown(a, node, key, "answer", text, names, count);
}

static dk_status number(
    dk_asking *a, const dk_node *node, const char *key, const char *text, dk_observation *seen)
{
	const dk_reading_row *row = &dk_reading_info[seen->reading];
	const int special = dk_text_index(text, specials, COUNT(specials));
	if (special > 0)
	{
		seen->special = (dk_special)special;
		return DK_OK;
	}
	const double low = row->floor > 0 ? 0 : row->floor, high = row->transform == DK_LOGIT ? 1 : row->cap;
	double value = 0;
	if (dk_unit_read_range(text, row->unit, DK_BARE_REFUSED, low, high, key, &value, a->error) != DK_OK)
		return node ? dk_node_blame(node, key, a->error) : a->error ? a->error->status : DK_BAD_INPUT;
	seen->value = fmin(fmax(value, row->floor), row->cap);
	return DK_OK;
}

dk_status dk_request_observe(dk_asking *a, const dk_node *node, const char *key, const char *const *texts,
    int count, dk_observation *seen)
{
	DK_TRY(place_row(a, node, key, seen));
	if (seen->kind == DK_SEEN_SIGN && seen->row == a->catalog->where && count > 1)
		return dk_request_wrong(a, node, key, DK_BAD_INPUT, "one place is expected");
	if (!count) return dk_request_wrong(a, node, key, DK_MISSING, "an answer is missing");
	if (seen->reading >= 0 && count > 1)
		return dk_request_wrong(a, node, key, DK_BAD_INPUT, "one value is expected");
	for (int i = 0; i < count; ++i)
	{
		if (seen->reading >= 0)
			DK_TRY(number(a, node, key, texts[i], seen));
		else
			DK_TRY(one_answer(a, node, key, texts[i], seen));
		seen->given = i ? dk_arena_format(a->arena, "%s,%s", seen->given, texts[i]) : texts[i];
	}
	if (seen->kind != DK_SEEN_SIGN || seen->row != a->catalog->where)
	{
		dk_request_append(a, seen);
		return DK_OK;
	}

	// where he is is no symptom: it changes what may be asked of him
	if (seen->special) return DK_OK;
	int where = 0;
	while (!(seen->answers >> where & 1)) ++where;
	if (a->request->where >= 0 && a->request->where != where)
		return dk_request_wrong(a, node, key, DK_CONTRADICTION, "two different places are given");
	a->request->where = where;
	return DK_OK;
}

// ---- contradictions

// two observations that cannot both be so
static bool against(const dk_catalog *c, const dk_observation *x, const dk_observation *y)
{
	if (x->point != y->point || x->before != y->before || x->special || y->special) return false;
	if (x->reading >= 0 || y->reading >= 0 || strcmp(x->id, y->id)) return false;
	const dk_look *look = x->kind == DK_SEEN_SIGN ? &c->sign[x->row].look : &c->check[x->row].look;
	if (look->several)
	{
		// nothing to see, and something to see
		const unsigned both = x->answers | y->answers;
		unsigned normal = 0;
		for (int i = 0; i < look->answer_count; ++i) normal |= (unsigned)look->answer[i].normal << i;
		return (both & normal) && (both & ~normal);
	}
	return !(x->answers & y->answers);
}

dk_status dk_request_check(const dk_request *request, const dk_catalog *catalog, dk_error *error)
{
	for (int i = 0; i < request->observation_count; ++i)
	{
		for (int j = i; j < request->observation_count; ++j)
		{
			const dk_observation *x = &request->observation[i], *y = &request->observation[j];
			const bool alone = catalog && i == j && against(catalog, x, x);
			if (!alone && (i == j || !against(catalog, x, y))) continue;
			dk_error_set(error, DK_CONTRADICTION, "'%.60s' and '%.60s' at %s contradict each other", x->given,
			    y->given, dk_point_info[x->point].id);
			dk_error_field(error, x->id);
			if (y->mark.line > 0) dk_error_at(error, y->mark.file, y->mark.line, y->mark.column);
			dk_error_advice(error, "keep the one you trust, or answer 'odd'");
			return DK_CONTRADICTION;
		}
	}
	for (int i = 0; i < request->tried_count; ++i)
		for (int j = 0; j < i; ++j)
		{
			const dk_tried *x = &request->tried[i], *y = &request->tried[j];
			if (x->repair != y->repair || x->result == y->result) continue;
			dk_error_set(error, DK_CONTRADICTION, "'%s' and '%s' contradict each other",
			    dk_result_name[y->result], dk_result_name[x->result]);
			if (x->mark.line > 0) dk_error_at(error, x->mark.file, x->mark.line, x->mark.column);
			return dk_error_field(error, catalog->repair[x->repair].id);
		}
	for (int i = 0; i < request->observation_count; ++i)
		for (int j = 0; j < request->cannot_count; ++j)
		{
			const dk_observation *x = &request->observation[i];
			if (x->kind != DK_SEEN_CHECK || x->special || x->row != request->cannot[j]) continue;
			dk_error_set(error, DK_CONTRADICTION, "this check is given as done and as not possible");
			return dk_error_field(error, x->id);
		}
	return DK_OK;
}
