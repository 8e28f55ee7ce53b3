// Repairs, gates, red rules, limits.
#include "base/text.h"
#include "base/units.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

// How likely a repair mends what it is for, by its verb.  [ASSUMED-684]
static double usual_efficacy(const char *id)
{
	static const char *const sure[] = { "replace", "change", "fill", "add", "charge", "clear", "open",
		"drain" };
	if (!strcmp(id, "pump.cool")) return 0.5;
	if (!strcmp(id, "rest")) return 0.3;
	const char *verb = strrchr(id, '.');
	return verb && dk_text_index(verb + 1, sure, COUNT(sure)) >= 0 ? 0.95 : 0.8;
}

dk_status dk_repair_load(dk_loading *l, const dk_node *row, dk_repair *repair)
{
	static const char *const keys[] = { "id", "name", "efficacy", "minutes", "needs", "danger", "proves" };
	DK_TRY(dk_node_only(row, "a repair", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &repair->id, l->error));
	DK_TRY(dk_node_text(row, "name", &repair->name, l->error));
	DK_TRY(dk_node_number_or(
	    row, "efficacy", "-", 0.01, 1, usual_efficacy(repair->id), &repair->efficacy, l->error));
	DK_TRY(dk_node_number(row, "minutes", "-", 0, 1e5, &repair->minutes, l->error));
	DK_TRY(dk_load_texts(l, row, "needs", &repair->needs));
	DK_TRY(dk_node_text_or(row, "danger", NULL, &repair->danger, l->error));
	repair->mark = dk_load_mark(row);
	return dk_node_text_or(row, "proves", NULL, &repair->proves, l->error);
}

dk_status dk_gate_load(dk_loading *l, const dk_node *row, dk_gate *gate)
{
	static const char *const keys[] = { "id", "asks", "answers", "opens_with", "blocked", "closed_by",
		"cautions" };
	dk_texts opens;
	DK_TRY(dk_node_only(row, "a gate", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &gate->id, l->error));
	DK_TRY(dk_node_text(row, "asks", &gate->asks, l->error));
	DK_TRY(dk_load_answers(l, row, false, &gate->answer, &gate->answer_count));
	DK_TRY(dk_load_texts(l, row, "opens_with", &opens));
	if (!opens.count) return dk_load_wrong(l, row, "opens_with", DK_MISSING, "this is missing");
	const char *names[DK_ANSWERS_MOST];
	for (int i = 0; i < gate->answer_count; ++i) names[i] = gate->answer[i].id;
	for (int i = 0; i < opens.count; ++i)
	{
		const int answer = dk_text_index(opens.item[i], names, gate->answer_count);
		if (answer < 0)
			return dk_load_wrong(l, dk_node_get(row, "opens_with"), "opens_with", DK_UNKNOWN_NAME,
			    "there is no answer '%.40s'", opens.item[i]);
		gate->opens |= 1u << answer;
	}
	if (gate->opens == (1u << gate->answer_count) - 1)
		return dk_load_wrong(
		    l, row, "opens_with", DK_BAD_INPUT, "a gate that every answer opens guards nothing");
	DK_TRY(dk_node_text(row, "blocked", &gate->blocked, l->error));
	DK_TRY(dk_load_conditions(l, row, "closed_by", &gate->closed_by, &gate->closed_by_count));
	gate->mark = dk_load_mark(row);
	return dk_load_texts(l, row, "cautions", &gate->cautions);
}

// what a rule says at one place: a list of steps, or {order, then}
static dk_status order_at(dk_loading *l, const dk_node *map, int i, dk_order_at *at)
{
	static const char *const keys[] = { "order", "then" };
	const char *place = map->key[i]->text;
	const int where = l->catalog->where;
	at->where = where < 0 ? -1 : dk_answer_find(&l->catalog->sign[where].look, place);
	if (at->where < 0)
		return dk_load_wrong(
		    l, map->key[i], "at", DK_UNKNOWN_NAME, "'%.40s' is no answer of the sign 'where'", place);
	if (map->item[i]->kind != DK_NODE_MAP) return dk_load_texts(l, map, place, &at->then);
	DK_TRY(dk_node_only(map->item[i], "a place", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text_or(map->item[i], "order", NULL, &at->order, l->error));
	return dk_load_texts(l, map->item[i], "then", &at->then);
}

static dk_status orders_at(dk_loading *l, const dk_node *row, dk_red_rule *rule)
{
	const dk_node *map = dk_node_get(row, "at");
	if (!map || dk_node_is_empty(map)) return DK_OK;
	if (map->kind != DK_NODE_MAP)
		return dk_load_wrong(l, map, "at", DK_BAD_INPUT, "'place: steps' lines are expected");
	dk_order_at *at = dk_arena_array(l->arena, (size_t)map->count + 1, sizeof *at);
	for (int i = 0; i < map->count; ++i) DK_TRY(order_at(l, map, i, &at[i]));
	rule->at = at;
	rule->at_count = map->count;
	return DK_OK;
}

dk_status dk_red_rule_load(dk_loading *l, const dk_node *row, dk_red_rule *rule)
{
	static const char *const keys[] = { "id", "name", "any", "all", "limits", "order", "then", "at",
		"concern", "reason", "source" };
	static const char *const concerns[] = { "people", "fire", "flooding", "engine" };
	int word = 0;
	DK_TRY(dk_node_only(row, "a red rule", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &rule->id, l->error));
	DK_TRY(dk_node_text(row, "name", &rule->name, l->error));
	const bool any = dk_node_get(row, "any"), all = dk_node_get(row, "all");
	if (any == all) return dk_load_wrong(l, row, "any", DK_BAD_INPUT, "give either 'any' or 'all'");
	rule->all = all;
	DK_TRY(dk_load_conditions(l, row, all ? "all" : "any", &rule->condition, &rule->condition_count));
	if (!rule->condition_count)
		return dk_load_wrong(l, row, all ? "all" : "any", DK_MISSING, "a condition is missing");
	DK_TRY(dk_load_references(l, row, "limits", DK_KIND_LIMIT, &rule->limit, &rule->limit_count));
	DK_TRY(dk_node_text(row, "order", &rule->order, l->error));
	DK_TRY(dk_load_texts(l, row, "then", &rule->then));
	DK_TRY(orders_at(l, row, rule));
	DK_TRY(dk_node_word(row, "concern", concerns, COUNT(concerns), &word, l->error));
	rule->concern = (dk_concern)word;
	DK_TRY(dk_node_text(row, "reason", &rule->reason, l->error));
	rule->mark = dk_load_mark(row);
	return dk_node_text(row, "source", &rule->source, l->error);
}

// value with its unit in the text, or in a key of its own
static dk_status limit_value(dk_loading *l, const dk_node *row, const dk_reading_row *reading, double *value)
{
	const char *unit = NULL;
	DK_TRY(dk_node_text_or(row, "unit", NULL, &unit, l->error));
	if (!unit)
		return dk_node_number(row, "value", reading->unit, reading->floor, reading->cap, value, l->error);
	double given = 0;
	DK_TRY(dk_node_number(row, "value", unit, -1e12, 1e12, &given, l->error));
	*value = dk_unit_convert(given, unit, reading->unit);
	if (isfinite(*value) && *value >= reading->floor && *value <= reading->cap) return DK_OK;
	const dk_status status = isfinite(*value) ? DK_OUT_OF_RANGE : DK_WRONG_UNIT;
	dk_load_wrong(l, row, "value", status, "the limit does not fit %s", reading->id);
	return dk_error_range(l->error, reading->floor, reading->cap, reading->unit);
}

dk_status dk_limit_load(dk_loading *l, const dk_node *row, dk_limit *limit)
{
	static const char *const keys[] = { "id", "text", "reading", "points", "value", "unit", "from", "sense",
		"can_be_undone", "fitted_when", "source" };
	static const char *const senses[] = { "above", "below" };
	int reading = 0, word = 0;
	DK_TRY(dk_node_only(row, "a limit", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &limit->id, l->error));
	DK_TRY(dk_node_text(row, "text", &limit->text, l->error));
	DK_TRY(dk_load_reading(l, row, "reading", &limit->reading, &reading));
	const unsigned there = dk_reading_info[reading].points;
	DK_TRY(dk_load_points(l, row, "points", there, &limit->points));
	if (limit->points & ~there)
		return dk_load_wrong(
		    l, row, "points", DK_BAD_INPUT, "there is no %s at one of these points", limit->reading);
	DK_TRY(limit_value(l, row, &dk_reading_info[reading], &limit->value));
	DK_TRY(dk_node_number_or(row, "from", "rpm", 0, 6000, 0, &limit->from_rpm, l->error));
	DK_TRY(dk_node_word(row, "sense", senses, COUNT(senses), &word, l->error));
	limit->sense = (dk_sense)word;
	if (!dk_node_get(row, "can_be_undone"))
		return dk_load_wrong(l, row, "can_be_undone", DK_MISSING, "this is missing");
	DK_TRY(dk_node_flag_or(row, "can_be_undone", false, &limit->can_be_undone, l->error));
	DK_TRY(dk_load_when(l, row, "fitted_when", &limit->fitted));
	limit->mark = dk_load_mark(row);
	return dk_node_text(row, "source", &limit->source, l->error);
}
