// Case files answered one by one and counted.
#include "app/score.h"
#include "base/file.h"
#include "base/json.h"
#include <math.h>
#include <string.h>

enum
{
	kFamiliesMost = 64,
	kNoRank = 9999,
	kAmong = 8 // groups among which the members of a set are looked for (contract)
};

// counts over one group of cases
typedef struct tally
{
	const char *name;
	int cases, top1, top3, top5, sets, unsafe, in_vain;
	double coverage, starter_s;
} tally;

// what one case came to
typedef struct outcome
{
	int rank;        // of the first line that holds a cause; kNoRank: not among them, or not scored
	bool scored;     // a rank is asked for
	bool right;      // what `expect` asks, where it asks
	double coverage; // of the set, NAN where there is none
	int unsafe;
	bool in_vain;
	double starter_s;
	const char *first, *first_check;
} outcome;

// Wilson's interval of k of n at 95 %
static void wilson(int k, int n, double *low, double *high)
{
	const double z = 1.959964, p = n ? (double)k / n : 0;
	const double middle = p + z * z / (2 * n), half = z * sqrt(p * (1 - p) / n + z * z / (4.0 * n * n));
	*low = n ? (middle - half) / (1 + z * z / n) : 0;
	*high = n ? (middle + half) / (1 + z * z / n) : 1;
}

static bool group_holds(const dk_trace_group *group, int fault)
{
	for (int i = 0; i < group->fault_count; ++i)
		if (group->fault[i] == fault) return true;
	return false;
}

// place of the first group that holds one of these faults, from 1
static int rank_of(const dk_trace_answer *answer, const int *fault, int count)
{
	for (int g = 0; g < answer->group_count; ++g)
		for (int i = 0; i < count; ++i)
			if (group_holds(&answer->group[g], fault[i])) return g + 1;
	return kNoRank;
}

// members of the set among the first groups, over what could be there
static double coverage_of(const dk_trace_answer *answer, const dk_request *request)
{
	if (!request->set_count) return NAN;
	int found = 0;
	for (int i = 0; i < request->set_count; ++i) found += rank_of(answer, &request->set[i], 1) <= kAmong;
	return (double)found / fmin(kAmong, request->set_count);
}

static double system_share(const dk_boat *boat, const dk_trace_answer *answer, int system)
{
	double share = 0;
	for (int i = 0; i < boat->catalog->fault_count; ++i)
		if (boat->catalog->fault[i].system == system) share += answer->marginal[i];
	return share;
}

// what `expect` asks of a case without one right answer
static bool as_expected(const dk_boat *boat, const dk_trace_answer *answer, const dk_request *request)
{
	switch (request->expect)
	{
	case DK_EXPECT_NONE_OF_THESE:
		return answer->group_count == 0 || answer->none_of_these > answer->group[0].probability;
	case DK_EXPECT_SYSTEM:
		for (int s = 0; s < DK_SYSTEM_COUNT; ++s)
			if (system_share(boat, answer, s) > system_share(boat, answer, request->expect_system))
				return false;
		return true;
	case DK_EXPECT_KEEP_OPEN:
		for (int i = 0; i < request->set_count; ++i)
		{
			const int rank = rank_of(answer, &request->set[i], 1);
			if (rank == kNoRank || answer->group[rank - 1].probability <= 0.05) return false;
		}
		return true;
	default: return true;
	}
}

// steps that must not come first: named by the case, or offered with a gate that the row has and the answer
// lost
static int unsafe_steps(const dk_boat *boat, const dk_trace_answer *answer, const dk_request *request)
{
	if (!answer->next_count) return 0;
	const dk_next *next = &answer->next[0];
	const dk_check *check = &boat->catalog->check[next->check];
	int unsafe = 0;
	for (int i = 0; i < request->must_not_count; ++i)
		unsafe += !next->held_back && request->must_not[i] == next->check;
	for (int i = 0; i < check->gate_count; ++i)
	{
		bool listed = false;
		for (int k = 0; k < next->gate_count; ++k) listed |= next->gate[k] == check->gate[i];
		for (int k = 0; k < request->passed_count; ++k) listed |= request->passed[k] == check->gate[i];
		unsafe += !listed && !next->held_back;
	}
	return unsafe;
}

static outcome judge(const dk_boat *boat, const dk_trace_answer *answer, const dk_request *request)
{
	outcome result = { .rank = kNoRank,
		.scored = request->cause_count > 0 && request->expect == DK_EXPECT_NOTHING };
	if (result.scored) result.rank = rank_of(answer, request->cause, request->cause_count);
	result.right = as_expected(boat, answer, request) &&
	               (request->red_rule == -2 || request->red_rule == answer->red.rule);
	result.coverage = coverage_of(answer, request);
	result.unsafe = unsafe_steps(boat, answer, request);
	result.first = answer->group_count ? answer->group[0].id : "";
	if (answer->next_count)
	{
		const dk_check *check = &boat->catalog->check[answer->next[0].check];
		result.first_check = check->id;
		result.starter_s = check->crank_seconds;
	}
	// a part would be replaced in vain where more than half the weight is on a repair that is not the cause's
	if (result.scored && answer->group_count && answer->group[0].probability > 0.5)
	{
		result.in_vain = true;
		for (int i = 0; i < request->cause_count; ++i)
			if (!strcmp(boat->catalog->repair[boat->catalog->fault[request->cause[i]].repair].id,
			        answer->group[0].repair))
				result.in_vain = false;
	}
	return result;
}

static void count_in(tally *into, const outcome *result)
{
	into->unsafe += result->unsafe;
	into->starter_s += result->starter_s;
	if (!isnan(result->coverage))
	{
		into->coverage += result->coverage;
		into->sets++;
	}
	if (!result->scored) return;
	into->cases++;
	into->top1 += result->rank <= 1;
	into->top3 += result->rank <= 3;
	into->top5 += result->rank <= 5;
	into->in_vain += result->in_vain;
}

static json_t *tally_json(const tally *of)
{
	double low, high;
	wilson(of->top1, of->cases, &low, &high);
	json_t *out = json_object();
	json_object_set_new(out, "cases", json_integer(of->cases));
	json_object_set_new(out, "top1", json_integer(of->top1));
	json_object_set_new(out, "top1_low", dk_json_number(low));
	json_object_set_new(out, "top1_high", dk_json_number(high));
	json_object_set_new(out, "top3", json_integer(of->top3));
	json_object_set_new(out, "top5", json_integer(of->top5));
	json_object_set_new(out, "sets", json_integer(of->sets));
	json_object_set_new(out, "set_coverage", dk_json_number(of->sets ? of->coverage / of->sets : NAN));
	json_object_set_new(out, "unsafe", json_integer(of->unsafe));
	json_object_set_new(out, "starter_seconds", dk_json_number(of->starter_s));
	json_object_set_new(out, "parts_in_vain", json_integer(of->in_vain));
	return out;
}

// boats and banks already open: cases of one engine and condition share them
typedef struct shelf
{
	const char *engine;
	dk_boat *boat;
	dk_banks *banks, *exchanged;
	dk_said said;
} shelf;

typedef struct scoring
{
	const dk_switches *switches;
	const dk_banks_order *order;
	dk_arena *arena;
	shelf shelf[8];
	int shelves;
	tally all, flat, exchanged, family[kFamiliesMost];
	int families;
	json_t *cases;
} scoring;

static bool same_said(const dk_said *a, const dk_said *b)
{
	return a->air == b->air && a->sea == b->sea && a->pressure == b->pressure && a->humidity == b->humidity &&
	       a->soak == b->soak && a->heel == b->heel && (!a->air || a->air_k == b->air_k) &&
	       (!a->sea || a->sea_k == b->sea_k) && (!a->pressure || a->pressure_pa == b->pressure_pa) &&
	       (!a->humidity || a->humidity_share == b->humidity_share) && (!a->soak || a->soak_h == b->soak_h) &&
	       (!a->heel || a->heel_deg == b->heel_deg);
}

static void shelf_close(shelf *one)
{
	dk_banks_close(one->exchanged);
	dk_banks_close(one->banks);
	dk_boat_close(one->boat);
}

// the boat of a case, banks still closed when its condition is new
static dk_status shelf_find(
    scoring *with, const char *engine, const dk_said *said, shelf **found, dk_error *error)
{
	for (int i = 0; i < with->shelves; ++i)
		if (!strcmp(with->shelf[i].engine, engine) && same_said(&with->shelf[i].said, said))
		{
			*found = &with->shelf[i];
			return DK_OK;
		}
	if (with->shelves == 8) shelf_close(&with->shelf[--with->shelves]);
	shelf *fresh = &with->shelf[with->shelves];
	*fresh = (shelf){ .engine = dk_arena_text(with->arena, engine), .said = *said };
	DK_TRY(dk_boat_open(with->switches->data_folder, engine, with->switches->set.text,
	    with->switches->set.count, &fresh->boat, error));
	const dk_status status = dk_banks_open(fresh->boat, said, with->order, &fresh->banks, error);
	if (status != DK_OK)
	{
		dk_boat_close(fresh->boat);
		return status;
	}
	fresh->exchanged = dk_banks_exchanged(fresh->banks);
	with->shelves++;
	*found = fresh;
	return DK_OK;
}

static tally *family_of(scoring *with, const char *name)
{
	for (int i = 0; i < with->families; ++i)
		if (!strcmp(with->family[i].name, name)) return &with->family[i];
	if (with->families == kFamiliesMost) return &with->family[kFamiliesMost - 1];
	with->family[with->families].name = dk_arena_text(with->arena, name);
	return &with->family[with->families++];
}

// the same request weighed another way
static dk_status weigh_again(const shelf *on, dk_banks *banks, const dk_request *request, bool flat,
    dk_arena *arena, tally *into, dk_error *error)
{
	if (!banks) return DK_OK;
	dk_trace_answer answer;
	const dk_weighing weighing = { .flat_priors = flat, .seed = 1 };
	DK_TRY(dk_app_trace_weigh(on->boat, banks, request, &weighing, arena, &answer, error));
	const outcome result = judge(on->boat, &answer, request);
	count_in(into, &result);
	return DK_OK;
}

static json_t *case_json(
    const dk_boat *boat, const dk_request *request, const outcome *result, const dk_trace_answer *answer)
{
	json_t *out = json_object(), *cause = json_array();
	for (int i = 0; i < request->cause_count; ++i)
		json_array_append_new(cause, dk_json_text(boat->catalog->fault[request->cause[i]].id));
	json_object_set_new(out, "id", dk_json_text(request->id));
	json_object_set_new(out, "family", dk_json_text(request->family));
	json_object_set_new(out, "cause", cause);
	json_object_set_new(out, "rank", result->rank == kNoRank ? json_null() : json_integer(result->rank));
	json_object_set_new(out, "scored", json_boolean(result->scored));
	json_object_set_new(out, "as_expected", json_boolean(result->right));
	json_object_set_new(out, "set_coverage", dk_json_number(result->coverage));
	json_object_set_new(out, "first", dk_json_text(result->first));
	json_object_set_new(out, "first_check", dk_json_text(result->first_check));
	json_object_set_new(out, "red_rule",
	    answer->red.rule < 0 ? json_null() : dk_json_text(boat->catalog->red_rule[answer->red.rule].id));
	json_object_set_new(out, "none_of_these", dk_json_number(answer->none_of_these));
	json_object_set_new(out, "unsafe", json_integer(result->unsafe));
	return out;
}

static dk_status score_case(scoring *with, const char *path, const dk_catalog *catalog, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	dk_request request;
	shelf *on = NULL;
	dk_status status = dk_case_read(path, catalog, arena, &request, error);
	if (status == DK_OK)
		status =
		    shelf_find(with, request.engine ? request.engine : "three_indirect", &request.said, &on, error);
	dk_trace_answer answer;
	const dk_weighing weighing = { .seed = 1, .flat_priors = with->switches->flat_priors };
	if (status == DK_OK)
		status = dk_app_trace_weigh(on->boat, on->banks, &request, &weighing, arena, &answer, error);
	if (status == DK_OK)
	{
		const outcome result = judge(on->boat, &answer, &request);
		count_in(&with->all, &result);
		count_in(family_of(with, request.family ? request.family : "other"), &result);
		json_array_append_new(with->cases, case_json(on->boat, &request, &result, &answer));
		status = weigh_again(on, on->banks, &request, true, arena, &with->flat, error);
	}
	if (status == DK_OK)
		status = weigh_again(on, on->exchanged, &request, false, arena, &with->exchanged, error);
	dk_arena_free(arena);
	return status;
}

static dk_status score_all(scoring *with, dk_error *error)
{
	char **path;
	int count;
	DK_TRY(dk_file_list(with->switches->score_folder, ".yaml", with->arena, &path, &count, error));
	if (!count)
	{
		dk_error_set(error, DK_NO_FILE, "there is no case file (*.yaml) in %s", with->switches->score_folder);
		return dk_error_field(error, "--score");
	}
	const dk_catalog *catalog;
	DK_TRY(dk_catalog_load(with->switches->data_folder, with->arena, &catalog, error));
	for (int i = 0; i < count; ++i) DK_TRY(score_case(with, path[i], catalog, error));
	return DK_OK;
}

dk_status dk_app_score(
    const dk_switches *switches, const dk_banks_order *order, json_t **out, dk_error *error)
{
	dk_numbers numbers;
	DK_TRY(dk_switches_numbers(switches, &numbers, error));
	dk_banks_order full = *order;
	full.cache_folder = switches->cache_folder;
	full.seed = numbers.seed;
	full.threads = numbers.threads;
	full.lanes = numbers.lanes;
	full.severities = numbers.severities;
	scoring with = { .switches = switches, .order = &full, .arena = dk_arena_new(), .cases = json_array() };
	const dk_status status = score_all(&with, error);
	if (status == DK_OK)
	{
		json_t *totals = json_object(), *families = json_object();
		json_object_set_new(totals, "priors", tally_json(&with.all));
		json_object_set_new(totals, "flat_priors", tally_json(&with.flat));
		json_object_set_new(totals, "exchanged", tally_json(&with.exchanged));
		for (int i = 0; i < with.families; ++i)
			json_object_set_new(families, with.family[i].name, tally_json(&with.family[i]));
		*out = json_object();
		json_object_set_new(*out, "cases", json_incref(with.cases));
		json_object_set_new(*out, "totals", totals);
		json_object_set_new(*out, "families", families);
	}
	for (int i = 0; i < with.shelves; ++i) shelf_close(&with.shelf[i]);
	json_decref(with.cases);
	dk_arena_free(with.arena);
	return status;
}
