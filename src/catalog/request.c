// Requests from case files, JSON bodies and command lines.
#include "catalog/request.h"
#include "base/json.h"
#include "base/text.h"
#include "base/units.h"
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

// ---- condition, repairs

dk_status dk_request_condition(dk_asking *a, const dk_node *node, const char *field, const char *text)
{
	static const struct
	{
		const char *field, *unit, *si;
		double low, high;
		size_t value, said;
	} rows[] = {
		{ "air", "C", "K", -40, 60, offsetof(dk_said, air_k), offsetof(dk_said, air) },
		{ "sea", "C", "K", -3, 40, offsetof(dk_said, sea_k), offsetof(dk_said, sea) },
		{ "pressure", "bar", "Pa", 0.5, 1.2, offsetof(dk_said, pressure_pa), offsetof(dk_said, pressure) },
		{ "humidity", "%", "-", 0, 100, offsetof(dk_said, humidity_share), offsetof(dk_said, humidity) },
		{ "soak", "h", "h", 0, 10000, offsetof(dk_said, soak_h), offsetof(dk_said, soak) },
		{ "heel", "deg", "deg", -60, 60, offsetof(dk_said, heel_deg), offsetof(dk_said, heel) },
	};
	for (int i = 0; i < COUNT(rows); ++i)
	{
		if (strcmp(field, rows[i].field)) continue;
		double value = 0;
		const dk_status status = dk_unit_read_range(
		    text, rows[i].unit, DK_BARE_REFUSED, rows[i].low, rows[i].high, field, &value, a->error);
		if (status != DK_OK) return node ? (dk_node_blame(node, field, a->error), status) : status;
		*(double *)((char *)&a->request->said + rows[i].value) =
		    dk_unit_convert(value, rows[i].unit, rows[i].si);
		*(bool *)((char *)&a->request->said + rows[i].said) = true;
		return DK_OK;
	}
	return dk_request_wrong(a, node, field, DK_UNKNOWN_NAME, "this is no condition");
}

dk_status dk_request_tried(dk_asking *a, const dk_node *node, const char *repair, const char *result)
{
	dk_tried tried = { .repair = dk_repair_find(a->catalog, repair) };
	int count = 0;
	if (tried.repair < 0)
	{
		const char *const *names = dk_request_names(a, DK_NAMED_REPAIR, &count);
		return dk_request_unknown(a, node, "tried", "repair", repair, names, count);
	}
	const int word = dk_text_index(result, dk_result_name, DK_RESULT_COUNT);
	if (word < 0)
		return dk_request_unknown(a, node, repair, "result", result, dk_result_name, DK_RESULT_COUNT);
	tried.result = (dk_result)word;
	if (node) tried.mark = (dk_mark){ node->file, node->line, node->column };
	dk_request *r = a->request;
	dk_tried *list = dk_request_grow(a->arena, r->tried, r->tried_count, sizeof *list);
	list[r->tried_count++] = tried;
	r->tried = list;
	return DK_OK;
}

static dk_status tried_section(dk_asking *a, const dk_node *root)
{
	static const char *const keys[] = { "tried", "repair", "result" };
	const dk_node *map = dk_node_get(root, "tried");
	if (!map || dk_node_is_empty(map)) return DK_OK;
	if (map->kind == DK_NODE_TEXT)
		return dk_request_wrong(a, map, "tried", DK_BAD_INPUT, "'repair: result' lines are expected");
	for (int i = 0; i < map->count; ++i)
	{
		const char *repair = NULL, *result = NULL;
		if (map->kind == DK_NODE_MAP)
		{
			repair = map->key[i]->text;
			DK_TRY(dk_node_text(map, repair, &result, a->error));
		}
		else
		{
			DK_TRY(dk_node_only(map->item[i], "a repair", keys, COUNT(keys), a->error));
			DK_TRY(dk_node_text(
			    map->item[i], dk_node_get(map->item[i], "tried") ? "tried" : "repair", &repair, a->error));
			DK_TRY(dk_node_text(map->item[i], "result", &result, a->error));
		}
		DK_TRY(dk_request_tried(a, map->item[i], repair, result));
	}
	return DK_OK;
}

// ---- observations in a tree

// {answer | value, unit, at, when, how, n} beside a key, or with `id` in a list
static dk_status full_form(dk_asking *a, const dk_node *map, const char *key, dk_observation seen)
{
	static const char *const keys[] = { "id", "at", "answer", "value", "unit", "when", "how", "n" };
	static const char *const times[] = { "now", "before" };
	static const char *const hows[] = { "asked", "volunteered" };
	const char *id = key, *at = NULL, *unit = NULL;
	int word = seen.before;
	double n = 1;
	DK_TRY(dk_node_only(map, "an observation", keys, COUNT(keys), a->error));
	if (!key) DK_TRY(dk_node_text(map, "id", &id, a->error));
	DK_TRY(dk_node_text_or(map, "at", NULL, &at, a->error));
	if (at) id = dk_arena_format(a->arena, "%s@%s", id, at);
	if (dk_node_get(map, "when")) DK_TRY(dk_node_word(map, "when", times, COUNT(times), &word, a->error));
	seen.before = word == 1;
	word = 0;
	if (dk_node_get(map, "how")) DK_TRY(dk_node_word(map, "how", hows, COUNT(hows), &word, a->error));
	seen.volunteered = word == 1;
	DK_TRY(dk_node_number_or(map, "n", "-", 1, 100, 1, &n, a->error));
	seen.n = (int)(n + 0.5);
	const bool value = dk_node_get(map, "value"), answer = dk_node_get(map, "answer");
	if (value == answer)
		return dk_request_wrong(a, map, id, DK_BAD_INPUT, "give either an answer or a value");
	const char *const *texts = NULL;
	int count = 0;
	DK_TRY(dk_node_texts(map, value ? "value" : "answer", a->arena, &texts, &count, a->error));
	DK_TRY(dk_node_text_or(map, "unit", NULL, &unit, a->error));
	const char *joined = count && unit ? dk_arena_format(a->arena, "%s %s", texts[0], unit) : NULL;
	return dk_request_observe(a, map, id, joined ? &joined : texts, joined ? 1 : count, &seen);
}

// what a free observation is of: the HTTP form names ids only
static dk_seen kind_of(const dk_asking *a, const dk_node *map, dk_seen otherwise)
{
	const dk_node *node = dk_node_get(map, "id");
	if (!node || node->kind != DK_NODE_TEXT) return otherwise;
	char id[80];
	snprintf(id, sizeof id, "%.*s", (int)strcspn(node->text, "@"), node->text);
	if (dk_node_get(map, "value") && dk_reading_find(id) >= 0) return DK_SEEN_READING;
	if (dk_sign_find(a->catalog, id) >= 0) return DK_SEEN_SIGN;
	if (dk_reading_find(id) >= 0) return DK_SEEN_READING;
	return dk_check_find(a->catalog, id) >= 0 ? DK_SEEN_CHECK : otherwise;
}

static dk_status section(dk_asking *a, const dk_node *root, const char *name, dk_seen kind, bool before)
{
	const dk_node *list = dk_node_get(root, name);
	if (!list || dk_node_is_empty(list)) return DK_OK;
	if (list->kind == DK_NODE_TEXT)
		return dk_request_wrong(a, list, name, DK_BAD_INPUT, "'id: answer' lines are expected");
	for (int i = 0; i < list->count; ++i)
	{
		const dk_node *item = list->item[i];
		dk_observation seen = {
			.kind = kind, .before = before, .n = 1, .mark = { item->file, item->line, item->column }
		};
		if (list->kind == DK_NODE_LIST)
		{
			seen.kind = kind_of(a, item, kind);
			DK_TRY(full_form(a, item, NULL, seen));
			continue;
		}
		const char *key = list->key[i]->text;
		if (item->kind == DK_NODE_MAP)
		{
			DK_TRY(full_form(a, item, key, seen));
			continue;
		}
		const char *const *texts = NULL;
		int count = 0;
		DK_TRY(dk_node_texts(list, key, a->arena, &texts, &count, a->error));
		DK_TRY(dk_request_observe(a, item, key, texts, count, &seen));
	}
	return DK_OK;
}

// ---- lists of ids

// `strict`: every id must be known; else unknown ones are kept as text, unless they look like a slip of the
// pen
static dk_status ids(dk_asking *a, const dk_node *root, const char *field, dk_named kind, bool strict,
    const int **index, int *count, dk_texts *all)
{
	static const char *const words[] = { "sign", "check", "repair", "fault", "gate", "red rule", "reading",
		"point" };
	dk_texts texts;
	DK_TRY(dk_node_texts(root, field, a->arena, &texts.item, &texts.count, a->error));
	int known = 0;
	const char *const *names = dk_request_names(a, kind, &known);
	int *found = dk_arena_array(a->arena, (size_t)texts.count + 1, sizeof *found);
	*count = 0;
	for (int i = 0; i < texts.count; ++i)
	{
		const int row = dk_text_index(texts.item[i], names, known);
		const int near = row < 0 ? dk_text_nearest(texts.item[i], names, known) : -1;
		const bool slip = near >= 0 && dk_text_distance(texts.item[i], names[near]) == 1;
		if (row < 0 && (strict || slip))
			return dk_request_unknown(
			    a, dk_node_get(root, field), field, words[kind], texts.item[i], names, known);
		if (row >= 0) found[(*count)++] = row;
	}
	*index = found;
	if (all) *all = texts;
	return DK_OK;
}

dk_status dk_tool_known(const dk_catalog *catalog, const char *tool, dk_arena *arena, dk_error *error)
{
	int most = 1, count = 0;
	for (int i = 0; i < catalog->check_count; ++i) most += catalog->check[i].tools.count;
	const char **names = dk_arena_array(arena, (size_t)most, sizeof *names);
	for (int i = 0; i < catalog->check_count; ++i)
		for (int k = 0; k < catalog->check[i].tools.count; ++k)
			names[count++] = catalog->check[i].tools.item[k];
	if (dk_text_index(tool, names, count) >= 0) return DK_OK;
	dk_error_set(error, DK_UNKNOWN_NAME, "no check needs a tool '%.60s'", tool);
	dk_error_field(error, "tools");
	dk_error_nearest(error, tool, names, count);
	if (error && !error->advice[0]) dk_error_advice(error, "'donkeyman list checks --json' names the tools");
	return DK_UNKNOWN_NAME;
}

static dk_status tools_section(dk_asking *a, const dk_node *root)
{
	dk_texts *tools = &a->request->tools;
	const dk_node *list = dk_node_get(root, "tools");
	DK_TRY(dk_node_texts(root, "tools", a->arena, &tools->item, &tools->count, a->error));
	a->request->has_tools = list && !dk_node_is_empty(list);
	for (int i = 0; i < tools->count; ++i)
	{
		const dk_status status = dk_tool_known(a->catalog, tools->item[i], a->arena, a->error);
		if (status != DK_OK) return dk_node_blame(list, "tools", a->error), status;
	}
	return DK_OK;
}

// ---- what a case expects

static dk_status expectations(dk_asking *a, const dk_node *root)
{
	static const char *const orders[] = { "unknown", "likelihood", "numeric" };
	dk_request *r = a->request;
	int word = 0;
	DK_TRY(ids(a, root, "cause", DK_NAMED_FAULT, false, &r->cause, &r->cause_count, &r->cause_ids));
	DK_TRY(ids(a, root, "set", DK_NAMED_FAULT, false, &r->set, &r->set_count, &r->set_ids));
	if (dk_node_get(root, "order"))
		DK_TRY(dk_node_word(root, "order", orders, COUNT(orders), &word, a->error));
	r->order = (dk_order)word;
	const char *text = NULL;
	DK_TRY(dk_node_text_or(root, "expect", NULL, &text, a->error));
	if (text && !strcmp(text, "keep_open"))
		r->expect = DK_EXPECT_KEEP_OPEN;
	else if (text && !strcmp(text, "none_of_these"))
		r->expect = DK_EXPECT_NONE_OF_THESE;
	else if (text && !strncmp(text, "system:", 7))
	{
		r->expect = DK_EXPECT_SYSTEM;
		r->expect_system = dk_system_find(text + 7);
		if (r->expect_system < 0)
			return dk_request_unknown(a, dk_node_get(root, "expect"), "expect", "system", text + 7,
			    dk_system_name, DK_SYSTEM_COUNT);
	}
	else if (text)
		return dk_request_wrong(a, dk_node_get(root, "expect"), "expect", DK_UNKNOWN_NAME,
		    "keep_open, none_of_these or system:NAME is expected");
	DK_TRY(dk_node_text_or(root, "red_rule", NULL, &text, a->error));
	if (text && !strcmp(text, "none"))
		r->red_rule = -1;
	else if (text)
	{
		const int *rule = NULL;
		int count = 0;
		DK_TRY(ids(a, root, "red_rule", DK_NAMED_RED_RULE, true, &rule, &count, NULL));
		r->red_rule = rule[0];
	}
	return ids(
	    a, root, "must_not", DK_NAMED_CHECK, false, &r->must_not, &r->must_not_count, &r->must_not_acts);
}

// ---- the whole

static dk_status head(dk_asking *a, const dk_node *root)
{
	static const char *const conditions[] = { "air", "sea", "pressure", "humidity", "soak", "heel" };
	dk_request *r = a->request;
	DK_TRY(dk_node_text_or(root, "id", NULL, &r->id, a->error));
	DK_TRY(dk_node_text_or(root, "family", NULL, &r->family, a->error));
	DK_TRY(dk_node_text_or(root, "source", NULL, &r->source, a->error));
	DK_TRY(dk_node_text_or(root, "story", NULL, &r->story, a->error));
	DK_TRY(dk_node_text_or(root, "engine", NULL, &r->engine, a->error));
	for (int i = 0; i < COUNT(conditions); ++i)
	{
		const char *text = NULL;
		DK_TRY(dk_node_text_or(root, conditions[i], NULL, &text, a->error));
		if (text) DK_TRY(dk_request_condition(a, dk_node_get(root, conditions[i]), conditions[i], text));
	}
	const char *where = NULL;
	DK_TRY(dk_node_text_or(root, "where", NULL, &where, a->error));
	dk_observation seen = { .kind = DK_SEEN_SIGN, .n = 1 };
	if (where && a->catalog->where >= 0)
		DK_TRY(dk_request_observe(a, dk_node_get(root, "where"), "where", &where, 1, &seen));
	return DK_OK;
}

dk_status dk_request_from_node(
    const dk_node *root, const dk_catalog *catalog, dk_arena *arena, dk_request *request, dk_error *error)
{
	static const char *const keys[] = { "id", "family", "source", "story", "engine", "air", "sea", "pressure",
		"humidity", "soak", "heel", "where", "observed", "before", "readings", "done", "tried", "tools",
		"cannot", "passed", "cause", "set", "order", "expect", "red_rule", "must_not" };
	dk_request made = dk_default_request();
	dk_asking a = { &made, catalog, arena, error };
	DK_TRY(dk_node_only(root, "a request", keys, COUNT(keys), error));
	DK_TRY(head(&a, root));
	DK_TRY(section(&a, root, "observed", DK_SEEN_SIGN, false));
	DK_TRY(section(&a, root, "before", DK_SEEN_SIGN, true));
	DK_TRY(section(&a, root, "readings", DK_SEEN_READING, false));
	DK_TRY(section(&a, root, "done", DK_SEEN_CHECK, false));
	DK_TRY(tried_section(&a, root));
	DK_TRY(tools_section(&a, root));
	DK_TRY(ids(&a, root, "cannot", DK_NAMED_CHECK, true, &made.cannot, &made.cannot_count, NULL));
	DK_TRY(ids(&a, root, "passed", DK_NAMED_GATE, true, &made.passed, &made.passed_count, NULL));
	DK_TRY(expectations(&a, root));
	DK_TRY(dk_request_check(&made, catalog, error));
	*request = made;
	return DK_OK;
}

dk_status dk_case_read(
    const char *path, const dk_catalog *catalog, dk_arena *arena, dk_request *request, dk_error *error)
{
	const dk_node *root = NULL;
	DK_TRY(dk_yaml_read(path, arena, &root, error));
	return dk_request_from_node(root, catalog, arena, request, error);
}

dk_status dk_request_from_json(const char *text, size_t size, const dk_catalog *catalog, dk_arena *arena,
    dk_request *request, dk_error *error)
{
	const dk_node *root = NULL;
	DK_TRY(dk_json_parse(text, size, "request", arena, &root, error));
	return dk_request_from_node(root, catalog, arena, request, error);
}

// ---- command line

// "a,b,c" into a list
static int split_commas(dk_asking *a, const char *text, const char **list, int most)
{
	int count = 0;
	while (count < most)
	{
		const size_t length = strcspn(text, ",");
		list[count++] = dk_arena_bytes(a->arena, text, length);
		if (!text[length]) break;
		text += length + 1;
	}
	return count;
}

dk_status dk_request_add(dk_request *request, char kind, const char *text, const dk_catalog *catalog,
    dk_arena *arena, dk_error *error)
{
	static const char form[] = "this must be ID=ANSWER or ID@POINT=ANSWER";
	dk_request made = *request;
	dk_asking a = { &made, catalog, arena, error };
	int line = 0;
	const char *copy = dk_arena_text(arena, text), *list[DK_ANSWERS_MOST];
	if (!dk_text_is_clean(copy, strlen(copy), &line, NULL))
		return dk_request_wrong(&a, NULL, "argument", DK_BAD_INPUT, "this is not plain UTF-8 text");
	if (kind == 'a' || kind == 'w' || kind == 'p')
	{
		DK_TRY(dk_request_condition(&a, NULL, kind == 'a' ? "air" : kind == 'w' ? "sea" : "pressure", copy));
		*request = made;
		return DK_OK;
	}
	dk_observation seen = { .kind = DK_SEEN_SIGN, .n = 1 };
	if (kind == 's' && !strncmp(copy, "before:", 7)) seen.before = true, copy += 7;
	const char *equals = strchr(copy, '=');
	if (!equals || equals == copy || !equals[1])
		return dk_request_wrong(
		    &a, NULL, copy, DK_BAD_INPUT, kind == 't' ? "this must be REPAIR=RESULT" : form);
	const char *key = dk_arena_bytes(arena, copy, (size_t)(equals - copy));
	if (kind == 't')
		DK_TRY(dk_request_tried(&a, NULL, key, equals + 1));
	else
	{
		if (kind == 'r') seen.kind = DK_SEEN_READING;
		if (kind == 'd') seen.kind = DK_SEEN_CHECK;
		const char *single = equals + 1;
		const int count = kind == 's' ? split_commas(&a, single, list, DK_ANSWERS_MOST) : 1;
		DK_TRY(dk_request_observe(&a, NULL, key, kind == 's' ? list : &single, count, &seen));
	}
	*request = made;
	return DK_OK;
}
