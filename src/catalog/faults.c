// Faults: what each moves, and how likely it is before anything is seen.
#include "base/text.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

static dk_status move_row(dk_loading *l, const dk_node *row, dk_move *move)
{
	static const char *const keys[] = { "parameter", "how", "to", "curve" };
	static const char *const hows[] = { "times", "add", "set" };
	static const char *const curves[] = { "linear", "square", "log" };
	int parameter = 0, word = 0;
	DK_TRY(dk_node_only(row, "a move", keys, COUNT(keys), l->error));
	DK_TRY(dk_load_parameter(l, row, "parameter", &move->parameter, &parameter));
	DK_TRY(dk_node_word(row, "how", hows, COUNT(hows), &word, l->error));
	move->how = (dk_how)word;
	word = 0;
	if (dk_node_get(row, "curve")) DK_TRY(dk_node_word(row, "curve", curves, COUNT(curves), &word, l->error));
	move->curve = (dk_curve)word;
	const dk_param_row *p = &dk_param_info[parameter];
	if (move->how == DK_HOW_SET)
		DK_TRY(dk_node_number(row, "to", p->unit, p->low, p->high, &move->to, l->error));
	if (move->how == DK_HOW_ADD) DK_TRY(dk_load_difference(l, row, "to", p->unit, &move->to));
	if (move->how == DK_HOW_TIMES) DK_TRY(dk_node_number(row, "to", "-", 0, 1e9, &move->to, l->error));
	if (move->how == DK_HOW_TIMES && move->curve == DK_CURVE_LOG && !(move->to > 0))
		return dk_load_wrong(l, row, "to", DK_OUT_OF_RANGE, "a factor on a log curve must be more than 0");
	move->mark = dk_load_mark(row);
	return DK_OK;
}

static dk_status moves(dk_loading *l, const dk_node *row, dk_fault *fault)
{
	const dk_node *list = NULL;
	DK_TRY(dk_node_list(row, "moves", 1, &list, l->error));
	dk_move *move = dk_arena_array(l->arena, (size_t)list->count, sizeof *move);
	for (int i = 0; i < list->count; ++i) DK_TRY(move_row(l, list->item[i], &move[i]));
	fault->move = move;
	fault->move_count = list->count;
	return DK_OK;
}

// factors on the prior by the answers of one sign
static dk_status factors(dk_loading *l, const dk_node *row, const char *field, int sign, dk_factors *factors)
{
	static const char *const keys[] = { "factor", "source" };
	const dk_node *map = dk_node_get(row, field);
	*factors = (dk_factors){ 0 };
	if (!map || dk_node_is_empty(map)) return DK_OK;
	if (map->kind != DK_NODE_MAP)
		return dk_load_wrong(
		    l, map, field, DK_BAD_INPUT, "'answer: {factor, source}' lines are expected here");
	if (sign < 0) return dk_load_wrong(l, map, field, DK_UNKNOWN_NAME, "there is no sign of that name");
	const dk_look *look = &l->catalog->sign[sign].look;
	const char *names[DK_ANSWERS_MOST];
	for (int i = 0; i < look->answer_count; ++i) names[i] = look->answer[i].id;
	dk_factor *list = dk_arena_array(l->arena, (size_t)map->count + 1, sizeof *list);
	for (int i = 0; i < map->count; ++i)
	{
		list[i].id = map->key[i]->text;
		list[i].answer = dk_text_index(list[i].id, names, look->answer_count);
		if (list[i].answer < 0)
		{
			dk_load_wrong(l, map->key[i], field, DK_UNKNOWN_NAME, "there is no answer '%.40s'", list[i].id);
			dk_error_nearest(l->error, list[i].id, names, look->answer_count);
			return DK_UNKNOWN_NAME;
		}
		DK_TRY(dk_node_only(map->item[i], "a factor", keys, COUNT(keys), l->error));
		DK_TRY(dk_node_number(map->item[i], "factor", "-", 0.01, 100, &list[i].factor, l->error));
		DK_TRY(dk_node_text(map->item[i], "source", &list[i].source, l->error));
	}
	*factors = (dk_factors){ list, map->count };
	return DK_OK;
}

// sudden, creeping or neither, by where the largest factor stands; a factor of 1 or less says nothing
static dk_onset onset_kind(const dk_factors *onset)
{
	const dk_factor *largest = NULL;
	for (int i = 0; i < onset->count; ++i)
		if (onset->item[i].factor > (largest ? largest->factor : 1)) largest = &onset->item[i];
	if (!largest) return DK_ONSET_NEITHER;
	if (!strcmp(largest->id, "sudden") || !strcmp(largest->id, "hours")) return DK_ONSET_SUDDEN;
	if (!strcmp(largest->id, "weeks") || !strcmp(largest->id, "seasons")) return DK_ONSET_CREEPING;
	return DK_ONSET_NEITHER;
}

// share stands in fault->share until dk_fault_shares; a rate is kept as a negative number till then
static dk_status prior(dk_loading *l, const dk_node *row, dk_fault *fault)
{
	static const char *const keys[] = { "share", "rate", "source" };
	const dk_node *map = dk_node_get(row, "prior");
	fault->share_assumed = !map || dk_node_is_empty(map);
	fault->prior_source = "ASSUMED-683";
	if (fault->share_assumed) return DK_OK;
	DK_TRY(dk_node_only(map, "a prior", keys, COUNT(keys), l->error));
	const bool share = dk_node_get(map, "share"), rate = dk_node_get(map, "rate");
	if (share == rate) return dk_load_wrong(l, map, "prior", DK_BAD_INPUT, "give either a share or a rate");
	if (share)
		DK_TRY(dk_node_number(map, "share", "-", 1e-6, 1, &fault->share, l->error));
	else
		DK_TRY(dk_node_number(map, "rate", "-", 1e-9, 1e4, &fault->share, l->error));
	if (rate) fault->share = -fault->share;
	return dk_node_text(map, "source", &fault->prior_source, l->error);
}

static dk_status measure_and_mend(dk_loading *l, const dk_node *row, dk_fault *fault)
{
	static const char *const measure_keys[] = { "text", "unit", "at_0", "at_1" };
	static const char *const mend_keys[] = { "minutes", "needs", "danger" };
	const dk_node *measure = dk_node_get(row, "measure"), *mend = dk_node_get(row, "mend");
	fault->mend_minutes = l->catalog->repair[fault->repair].minutes;
	if (measure)
	{
		DK_TRY(dk_node_only(measure, "a measure", measure_keys, COUNT(measure_keys), l->error));
		DK_TRY(dk_node_text(measure, "text", &fault->measure_text, l->error));
		DK_TRY(dk_node_text_or(measure, "unit", "", &fault->measure_unit, l->error));
		DK_TRY(dk_node_number(measure, "at_0", "-", -1e9, 1e9, &fault->measure_at_0, l->error));
		DK_TRY(dk_node_number(measure, "at_1", "-", -1e9, 1e9, &fault->measure_at_1, l->error));
	}
	if (!mend) return DK_OK;
	DK_TRY(dk_node_only(mend, "a mend", mend_keys, COUNT(mend_keys), l->error));
	DK_TRY(
	    dk_node_number_or(mend, "minutes", "-", 0, 1e5, fault->mend_minutes, &fault->mend_minutes, l->error));
	DK_TRY(dk_load_texts(l, mend, "needs", &fault->mend_needs));
	return dk_node_text_or(mend, "danger", NULL, &fault->mend_danger, l->error);
}

dk_status dk_fault_load(dk_loading *l, const dk_node *row, dk_fault *fault)
{
	static const char *const keys[] = { "id", "name", "system", "part", "repair", "moves", "cylinders",
		"prior", "onset", "after", "leads_to", "measure", "mend", "fitted_when" };
	static const char *const cylinders[] = { "all", "one", "k" };
	int word = 0;
	DK_TRY(dk_node_only(row, "a fault", keys, COUNT(keys), l->error));
	DK_TRY(dk_node_text(row, "id", &fault->id, l->error));
	DK_TRY(dk_node_text(row, "name", &fault->name, l->error));
	DK_TRY(dk_node_word(row, "system", dk_system_name, DK_SYSTEM_COUNT, &fault->system, l->error));
	DK_TRY(dk_node_text(row, "part", &fault->part, l->error));
	const dk_node *repair = dk_node_get(row, "repair");
	DK_TRY(dk_load_reference(l, repair ? repair : row, "repair", DK_KIND_REPAIR, &fault->repair));
	DK_TRY(moves(l, row, fault));
	if (dk_node_get(row, "cylinders"))
		DK_TRY(dk_node_word(row, "cylinders", cylinders, COUNT(cylinders), &word, l->error));
	fault->cylinders = (dk_cylinders)word;
	DK_TRY(prior(l, row, fault));
	DK_TRY(factors(l, row, "onset", l->since, &fault->onset));
	DK_TRY(factors(l, row, "after", l->after, &fault->after));
	fault->onset_kind = onset_kind(&fault->onset);
	DK_TRY(dk_load_references(l, row, "leads_to", DK_KIND_FAULT, &fault->leads_to, &fault->leads_to_count));
	DK_TRY(measure_and_mend(l, row, fault));
	fault->mark = dk_load_mark(row);
	return dk_load_when(l, row, "fitted_when", &fault->fitted);
}

// One system: shares as given; rates in proportion, with the mean of the shares (or 1) as their own mean;
// what nobody said takes the mean of the rest; then all to sum 1.
static void system_shares(dk_fault *fault, int count, int system)
{
	double shares = 0, rates = 0;
	int share_count = 0, rate_count = 0, all = 0;
	for (int i = 0; i < count; ++i)
	{
		if (fault[i].system != system) continue;
		++all;
		if (fault[i].share > 0) shares += fault[i].share, ++share_count;
		if (fault[i].share < 0) rates -= fault[i].share, ++rate_count;
	}
	if (!all) return;
	const double mean = share_count ? shares / share_count : 1;
	double sum = 0;
	for (int i = 0; i < count; ++i)
	{
		if (fault[i].system != system) continue;
		if (fault[i].share < 0)
			fault[i].share = -fault[i].share / rates * rate_count * mean;
		else if (fault[i].share_assumed)
			fault[i].share = mean; // [ASSUMED-683]
		sum += fault[i].share;
	}
	for (int i = 0; i < count; ++i)
		if (fault[i].system == system) fault[i].share /= sum;
}

void dk_fault_shares(dk_fault *fault, int count)
{
	for (int system = 0; system < DK_SYSTEM_COUNT; ++system) system_shares(fault, count, system);
}

char *dk_fault_measure(const dk_fault *fault, double severity, char *text, size_t size)
{
	if (!fault->measure_text)
	{
		snprintf(text, size, "%s", severity < 1.0 / 3 ? "slight" : severity < 2.0 / 3 ? "marked" : "severe");
		return text;
	}
	const double value = fault->measure_at_0 + severity * (fault->measure_at_1 - fault->measure_at_0);
	const char *hole = strstr(fault->measure_text, "{}");
	char number[40];
	dk_text_number(value, 2, number, sizeof number);
	if (!hole)
	{
		snprintf(text, size, "%s", fault->measure_text);
		return text;
	}
	snprintf(text, size, "%.*s%s%s%s%s", (int)(hole - fault->measure_text), fault->measure_text, number,
	    fault->measure_unit[0] ? " " : "", fault->measure_unit, hole + 2);
	return text;
}
