// One trace, from switches to the answer.
#include "app/trace.h"
#include "app/crank.h"
#include "base/json.h"
#include "base/text.h"
#include "base/units.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

// starter seconds that the checks done so far have spent
static double cranked_by_checks(const dk_boat *boat, const dk_request *request)
{
	double seconds = 0;
	for (int i = 0; i < request->observation_count; ++i)
	{
		const dk_observation *seen = &request->observation[i];
		const bool done = seen->kind == DK_SEEN_CHECK && seen->special != DK_SPECIAL_CANNOT &&
		                  seen->special != DK_SPECIAL_NOT_LOOKED;
		if (done && !seen->before) seconds += seen->n * boat->catalog->check[seen->row].crank_seconds;
	}
	return seconds;
}

// what cranking may still take, from the plant's account at the said condition. A request does not say what
// came after what: a lock drained in between is not counted, on the safe side.
static dk_crank_account account_of(const dk_boat *boat, const dk_request *request)
{
	dk_condition node[DK_NODES_MOST];
	double weight[DK_NODES_MOST];
	char spent[40];
	snprintf(spent, sizeof spent, "%.3f,0", fmin(cranked_by_checks(boat, request), 120));
	const dk_switch_list tries = { .text = { spent }, .count = 1 };
	dk_flood_left left;
	const int nodes = dk_banks_nodes(&request->said, node, weight);
	dk_app_flood(boat->record.param, &node[nodes / 2], &tries, &left, NULL);
	return (dk_crank_account){ .known = true,
		.seconds_left = left.advice_s,
		.source = "the smaller of the manual's figure and one third of the lower (5 %) computed time until "
		          "the water "
		          "lock is full" };
}

dk_status dk_app_trace_weigh(const dk_boat *boat, dk_banks *banks, const dk_request *request,
    const dk_weighing *weighing, dk_arena *arena, dk_trace_answer *answer, dk_error *error)
{
	dk_trace_input input = dk_default_trace_input();
	input.catalog = boat->catalog;
	input.request = request;
	if (banks)
	{
		input.bank = (const dk_bank *const *)banks->bank;
		input.bank_weight = banks->weight;
		input.bank_count = banks->count;
		input.simulate_pair = dk_banks_pair;
		input.simulate_context = banks;
	}
	input.installation = &boat->record.installation;
	input.prior_factor = weighing->prior_factor;
	input.without = weighing->without;
	input.flat_priors = weighing->flat_priors;
	input.crank = account_of(boat, request);
	input.rated_rpm = boat->record.param[DK_PARAM_fuel_rated_rpm];
	input.seed = weighing->seed;
	return dk_trace(&input, arena, answer, error);
}

dk_status dk_app_weighing(
    const dk_switches *switches, const dk_boat *boat, dk_arena *arena, dk_weighing *out, dk_error *error)
{
	const int count = boat->catalog->fault_count;
	dk_numbers numbers;
	DK_TRY(dk_switches_numbers(switches, &numbers, error));
	*out = (dk_weighing){ .flat_priors = switches->flat_priors, .seed = numbers.seed };
	const char *names[count + 1];
	for (int i = 0; i < count; ++i) names[i] = boat->catalog->fault[i].id;

	double *factor = dk_arena_array(arena, (size_t)count + 1, sizeof *factor);
	bool *without = dk_arena_array(arena, (size_t)count + 1, sizeof *without);
	for (int i = 0; i < count; ++i) factor[i] = 1;
	for (int i = 0; i < switches->prior.count + switches->without.count; ++i)
	{
		const bool prior = i < switches->prior.count;
		const char *text =
		    prior ? switches->prior.text[i] : switches->without.text[i - switches->prior.count];
		const char *equals = prior ? strchr(text, '=') : NULL;
		const char *id = equals ? dk_arena_bytes(arena, text, (size_t)(equals - text)) : text;
		const char *field = prior ? "--prior" : "--without";
		const int fault = dk_fault_find(boat->catalog, id);
		if (fault < 0 || (prior && !equals))
		{
			dk_error_set(error, fault < 0 ? DK_UNKNOWN_NAME : DK_BAD_INPUT,
			    fault < 0 ? "there is no fault '%.60s'" : "'%.60s' is not FAULT=FACTOR", id);
			dk_error_field(error, field);
			return dk_error_nearest(error, id, names, count);
		}
		if (prior)
			DK_TRY(
			    dk_unit_read_range(equals + 1, "-", DK_BARE_TABLE, 1e-6, 1e6, field, &factor[fault], error));
		else
			without[fault] = true;
	}
	if (switches->prior.count) out->prior_factor = factor;
	if (switches->without.count) out->without = without;
	return DK_OK;
}

// each text of a repeatable switch
static dk_status add_all(const dk_switch_list *list, char kind, const dk_boat *boat, dk_arena *arena,
    dk_request *request, dk_error *error)
{
	for (int i = 0; i < list->count; ++i)
		DK_TRY(dk_request_add(request, kind, list->text[i], boat->catalog, arena, error));
	return DK_OK;
}

// an id of the catalogue, or the sentence with the nearest one
static dk_status find_id(const dk_catalog *catalog, const char *id, bool gate, int *index, dk_error *error)
{
	*index = gate ? dk_gate_find(catalog, id) : dk_check_find(catalog, id);
	if (*index >= 0) return DK_OK;
	const int count = gate ? catalog->gate_count : catalog->check_count;
	const char *names[count + 1];
	for (int i = 0; i < count; ++i) names[i] = gate ? catalog->gate[i].id : catalog->check[i].id;
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no %s '%.60s'", gate ? "gate" : "check", id);
	dk_error_field(error, gate ? "--passed" : "--cannot");
	return dk_error_nearest(error, id, names, count);
}

// --tool, --cannot and --passed, added to what a case file says
static dk_status add_means(
    const dk_switches *switches, const dk_boat *boat, dk_arena *arena, dk_request *request, dk_error *error)
{
	int *cannot =
	    dk_arena_array(arena, (size_t)(request->cannot_count + switches->can_not.count) + 1, sizeof *cannot);
	int *passed =
	    dk_arena_array(arena, (size_t)(request->passed_count + switches->passed.count) + 1, sizeof *passed);
	const char **tool =
	    dk_arena_array(arena, (size_t)(request->tools.count + switches->tool.count) + 1, sizeof *tool);
	for (int i = 0; i < request->cannot_count; ++i) cannot[i] = request->cannot[i];
	for (int i = 0; i < request->passed_count; ++i) passed[i] = request->passed[i];
	for (int i = 0; i < request->tools.count; ++i) tool[i] = request->tools.item[i];
	for (int i = 0; i < switches->can_not.count; ++i)
		DK_TRY(find_id(
		    boat->catalog, switches->can_not.text[i], false, &cannot[request->cannot_count++], error));
	for (int i = 0; i < switches->passed.count; ++i)
		DK_TRY(
		    find_id(boat->catalog, switches->passed.text[i], true, &passed[request->passed_count++], error));
	for (int i = 0; i < switches->tool.count; ++i)
	{
		DK_TRY(dk_tool_known(boat->catalog, switches->tool.text[i], arena, error));
		tool[request->tools.count++] = switches->tool.text[i];
	}
	request->cannot = cannot;
	request->passed = passed;
	request->tools.item = tool;
	request->has_tools |= switches->tool.count > 0;
	return DK_OK;
}

// NAME of a record, without folder and .yaml
static void stem_of(const char *engine, char *stem, size_t size)
{
	const char *slash = strrchr(engine, '/');
	snprintf(stem, size, "%s", slash ? slash + 1 : engine);
	char *end = strstr(stem, ".yaml");
	if (end) *end = 0;
}

dk_status dk_app_same_engine(const dk_boat *boat, const char *engine, dk_error *error)
{
	char asked[96], open[96];
	if (!engine) return DK_OK;
	stem_of(engine, asked, sizeof asked);
	stem_of(boat->engine, open, sizeof open);
	if (!strcmp(asked, open) || !strcmp(asked, boat->record.id)) return DK_OK;
	dk_error_set(error, DK_CONTRADICTION, "'%.60s' is asked for, but the engine here is '%.60s'", asked,
	    boat->record.id);
	return dk_error_field(error, "engine");
}

dk_status dk_app_trace_boat(const dk_switches *switches, dk_boat **boat, dk_error *error)
{
	if (!switches->case_file || switches->engine) return dk_switches_boat(switches, boat, error);
	dk_arena *arena = dk_arena_new();
	dk_switches full = *switches;
	const dk_node *root = NULL;
	dk_status status = dk_yaml_read(switches->case_file, arena, &root, error);
	if (status == DK_OK) status = dk_node_text_or(root, "engine", NULL, &full.engine, error);
	if (status == DK_OK) status = dk_switches_boat(&full, boat, error);
	dk_arena_free(arena);
	return status;
}

dk_status dk_app_request(
    const dk_switches *switches, const dk_boat *boat, dk_arena *arena, dk_request *request, dk_error *error)
{
	*request = dk_default_request();
	if (switches->case_file) DK_TRY(dk_case_read(switches->case_file, boat->catalog, arena, request, error));
	DK_TRY(dk_app_same_engine(boat, request->engine, error));
	if (switches->air) DK_TRY(dk_request_add(request, 'a', switches->air, boat->catalog, arena, error));
	if (switches->sea) DK_TRY(dk_request_add(request, 'w', switches->sea, boat->catalog, arena, error));
	if (switches->pressure)
		DK_TRY(dk_request_add(request, 'p', switches->pressure, boat->catalog, arena, error));
	DK_TRY(add_all(&switches->sign, 's', boat, arena, request, error));
	DK_TRY(add_all(&switches->reading, 'r', boat, arena, request, error));
	DK_TRY(add_all(&switches->done, 'd', boat, arena, request, error));
	DK_TRY(add_all(&switches->tried, 't', boat, arena, request, error));
	DK_TRY(add_means(switches, boat, arena, request, error));
	return dk_request_check(request, boat->catalog, error);
}

// boat and banks are open: answer and write it down
static dk_status trace_open(const dk_switches *switches, const dk_boat *boat, const dk_banks_order *order,
    dk_arena *arena, json_t **out, dk_error *error)
{
	dk_request request;
	dk_weighing weighing;
	dk_numbers numbers;
	dk_banks *banks;
	dk_trace_answer answer;
	DK_TRY(dk_switches_numbers(switches, &numbers, error));
	DK_TRY(dk_app_request(switches, boat, arena, &request, error));
	DK_TRY(dk_app_weighing(switches, boat, arena, &weighing, error));

	dk_banks_order full = *order;
	full.cache_folder = switches->cache_folder;
	full.seed = numbers.seed;
	full.threads = numbers.threads;
	full.lanes = numbers.lanes;
	full.severities = numbers.severities;
	DK_TRY(dk_banks_open(boat, &request.said, &full, &banks, error));
	const dk_status status = dk_app_trace_weigh(boat, banks, &request, &weighing, arena, &answer, error);
	if (status == DK_OK) *out = dk_app_trace_json(boat, banks, &request, &answer, weighing.seed);
	dk_banks_close(banks);
	return status;
}

dk_status dk_app_trace(
    const dk_switches *switches, const dk_banks_order *order, json_t **out, dk_error *error)
{
	dk_boat *boat;
	DK_TRY(dk_app_trace_boat(switches, &boat, error));
	dk_arena *arena = dk_arena_new();
	const dk_status status = trace_open(switches, boat, order, arena, out, error);
	dk_arena_free(arena);
	dk_boat_close(boat);
	return status;
}
