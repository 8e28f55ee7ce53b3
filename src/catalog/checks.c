// Checks: what can be done aboard, and what it gives.
#include "base/text.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

const char *const dk_place_name[DK_PLACE_COUNT] = { "cockpit", "engine_face", "engine_back", "aft",
	"outlet" };

const char *const dk_need_name[DK_NEED_COUNT] = {
#define X(id, words) #id,
	DK_NEED_LIST(X)
#undef X
};

const char *const dk_need_words[DK_NEED_COUNT] = {
#define X(id, words) words,
	DK_NEED_LIST(X)
#undef X
};

static dk_status needs(dk_loading *l, const dk_node *row, unsigned *bits)
{
	dk_texts list;
	DK_TRY(dk_load_texts(l, row, "needs", &list));
	for (int i = 0; i < list.count; ++i)
	{
		const int need = dk_text_index(list.item[i], dk_need_name, DK_NEED_COUNT);
		if (need < 0)
		{
			dk_load_wrong(l, dk_node_get(row, "needs"), "needs", DK_UNKNOWN_NAME, "'%.40s' is not known here",
			    list.item[i]);
			dk_error_nearest(l->error, list.item[i], dk_need_name, DK_NEED_COUNT);
			return DK_UNKNOWN_NAME;
		}
		*bits |= 1u << need;
	}
	if ((*bits & DK_NEED(stopped)) && (*bits & (DK_NEED(running) | DK_NEED(cranking))))
		return dk_load_wrong(
		    l, row, "needs", DK_BAD_INPUT, "an engine cannot be stopped and turning at once");
	return DK_OK;
}

// gives: {reading}, {parameter}, {sign} or {answers: true}
static dk_status gives(dk_loading *l, const dk_node *row, dk_check *check)
{
	static const char *const keys[] = { "reading", "parameter", "sign", "answers", "error" };
	const dk_node *map = dk_node_get(row, "gives");
	int index = 0;
	check->sign = -1;
	if (!map) return dk_load_wrong(l, row, "gives", DK_MISSING, "this is missing");
	DK_TRY(dk_node_only(map, "'gives'", keys, COUNT(keys), l->error));
	const bool reading = dk_node_get(map, "reading"), parameter = dk_node_get(map, "parameter");
	const bool sign = dk_node_get(map, "sign"), answers = dk_node_get(map, "answers");
	if (reading + parameter + sign + answers != 1)
		return dk_load_wrong(
		    l, map, "gives", DK_BAD_INPUT, "name one of: reading, parameter, sign, answers: true");
	if (dk_node_get(map, "error") && !reading)
		return dk_load_wrong(
		    l, map, "error", DK_BAD_INPUT, "only a reading has an error; a look has 'miss' and 'false'");
	if (reading)
	{
		check->gives = DK_GIVES_READING;
		DK_TRY(dk_load_reading(l, map, "reading", &check->reading, &index));
		if (dk_node_get(map, "error"))
			DK_TRY(dk_load_difference(l, map, "error", dk_reading_info[index].unit, &check->error_sd));
		if (check->error_sd < 0)
			return dk_load_wrong(l, map, "error", DK_OUT_OF_RANGE, "an error cannot be below 0");
		return DK_OK;
	}
	if (sign)
	{
		check->gives = DK_GIVES_SIGN;
		DK_TRY(dk_load_reference(l, dk_node_get(map, "sign"), "sign", DK_KIND_SIGN, &check->sign));
		check->look = l->catalog->sign[check->sign].look;
		return DK_OK;
	}
	check->gives = DK_GIVES_ANSWER;
	if (parameter) DK_TRY(dk_load_parameter(l, map, "parameter", &check->parameter, &index));
	DK_TRY(dk_load_look(l, row, &check->look));
	if (!check->look.from_count) return dk_load_wrong(l, row, "from", DK_MISSING, "this is missing");
	return DK_OK;
}

// a look of its own is written in the row only where the row gives answers of its own
static dk_status no_stray_look(dk_loading *l, const dk_node *row, const dk_check *check)
{
	static const char *const look_keys[] = { "answers", "kind", "relation", "from", "miss", "false",
		"several" };
	if (check->gives == DK_GIVES_ANSWER) return DK_OK;
	for (int i = 0; i < COUNT(look_keys); ++i)
		if (dk_node_get(row, look_keys[i]))
			return dk_load_wrong(l, dk_node_get(row, look_keys[i]), look_keys[i], DK_BAD_INPUT,
			    "this check has no answers of its own");
	return DK_OK;
}

// what is looked at must exist at the check's point
static dk_status point_agrees(dk_loading *l, const dk_node *row, const dk_check *check)
{
	unsigned there = ~0u;
	const char *reading = check->reading;
	if (reading) there = dk_reading_info[dk_reading_find(reading)].points;
	for (int i = 0; i < check->look.from_count; ++i)
	{
		const dk_from *from = &check->look.from[i];
		if (!from->reading || from->point >= 0) continue;
		reading = from->reading;
		there &= dk_reading_info[dk_reading_find(reading)].points;
	}
	if (there >> check->point & 1) return DK_OK;
	return dk_load_wrong(
	    l, row, "point", DK_BAD_INPUT, "there is no %s at %s", reading, dk_point_info[check->point].id);
}

static dk_status work(dk_loading *l, const dk_node *row, dk_check *check)
{
	static const char *const strip_downs[] = { "pump", "nozzles", "head", "turbo", "gearbox" };
	int place = 0, word = 0;
	DK_TRY(dk_load_texts(l, row, "steps", &check->steps));
	if (!check->steps.count) return dk_load_wrong(l, row, "steps", DK_MISSING, "this is missing");
	DK_TRY(dk_load_texts(l, row, "tools", &check->tools));
	DK_TRY(dk_load_texts(l, row, "cautions", &check->cautions));
	DK_TRY(dk_node_number(row, "minutes", "-", 0.1, 1e4, &check->minutes, l->error));
	DK_TRY(dk_node_word(row, "place", dk_place_name, DK_PLACE_COUNT, &place, l->error));
	check->place = (dk_place)place;
	DK_TRY(dk_node_number_or(row, "crank_seconds", "s", 0, 120, 0, &check->crank_seconds, l->error));
	DK_TRY(needs(l, row, &check->needs));
	DK_TRY(dk_node_text_or(row, "opens", NULL, &check->opens, l->error));
	DK_TRY(dk_node_text_or(row, "undo", NULL, &check->undo, l->error));
	DK_TRY(dk_node_number_or(row, "undo_minutes", "-", 0, 1e4, 0, &check->undo_minutes, l->error));
	if (!dk_node_get(row, "removes")) return DK_OK;
	DK_TRY(dk_node_word(row, "removes", strip_downs, COUNT(strip_downs), &word, l->error));
	check->removes = strip_downs[word];
	return DK_OK;
}

dk_status dk_check_load(dk_loading *l, const dk_node *row, dk_check *check)
{
	static const char *const keys[] = { "id", "name", "gives", "point", "answers", "kind", "relation",
		"several", "from", "miss", "false", "source", "steps", "tools", "minutes", "place", "crank_seconds",
		"needs", "opens", "undo", "undo_minutes", "removes", "gates", "cautions", "ask_when" };
	DK_TRY(dk_node_only(row, "a check", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &check->id, l->error));
	DK_TRY(dk_node_text(row, "name", &check->name, l->error));
	DK_TRY(dk_load_point(l, row, "point", -1, &check->point));
	if (check->point < 0) return dk_load_wrong(l, row, "point", DK_MISSING, "this is missing");
	DK_TRY(gives(l, row, check));
	DK_TRY(no_stray_look(l, row, check));
	DK_TRY(point_agrees(l, row, check));
	DK_TRY(work(l, row, check));
	DK_TRY(dk_load_references(l, row, "gates", DK_KIND_GATE, &check->gate, &check->gate_count));
	check->mark = dk_load_mark(row);
	return dk_load_when(l, row, "ask_when", &check->ask_when);
}
