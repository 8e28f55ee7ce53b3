// The trace answer in the contract's form.
#include "app/trace.h"
#include "base/json.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static json_t *number(double value)
{
	return dk_json_number(value);
}
static json_t *text(const char *value)
{
	return dk_json_text(value);
}

static json_t *texts(const dk_texts *list)
{
	return dk_json_texts(list->item, list->count);
}

// an item of the evidence by name: "water.outlet@cruise", or "tried filter.replace": the answer counts the
// tried repairs after the observations
static json_t *item_name(const dk_catalog *catalog, const dk_request *request, int item)
{
	char name[160];
	if (item < request->observation_count)
	{
		const dk_observation *seen = &request->observation[item];
		snprintf(name, sizeof name, "%s@%s", seen->id, dk_point_info[seen->point].id);
	}
	else
		snprintf(name, sizeof name, "tried %s",
		    catalog->repair[request->tried[item - request->observation_count].repair].id);
	return text(name);
}

static json_t *why_json(const dk_catalog *catalog, const dk_request *request, const dk_cause *cause)
{
	json_t *out = json_array();
	for (int i = 0; i < cause->why_count; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "observation", item_name(catalog, request, cause->why[i].observation));
		json_object_set_new(row, "log_ratio", number(cause->why[i].log_ratio));
		json_array_append_new(out, row);
	}
	return out;
}

// names of several faults, joined for a reader
static json_t *joined_names(const dk_catalog *catalog, const int *fault, int count)
{
	char name[480] = "";
	for (int i = 0; i < count; ++i)
	{
		if (i) strncat(name, " and ", sizeof name - strlen(name) - 1);
		strncat(name, catalog->fault[fault[i]].name, sizeof name - strlen(name) - 1);
	}
	return text(name);
}

static json_t *fault_ids(const dk_catalog *catalog, const int *fault, int count)
{
	json_t *out = json_array();
	for (int i = 0; i < count; ++i) json_array_append_new(out, text(catalog->fault[fault[i]].id));
	return out;
}

// what the first fault of a cause says; the rest of the pairs, in one row, has no fault of its own
static void put_first(json_t *row, const dk_catalog *catalog, const dk_cause *cause)
{
	const dk_fault *first = cause->fault_count ? &catalog->fault[cause->fault[0]] : NULL;
	json_object_set_new(row, "repair", first ? text(catalog->repair[first->repair].id) : json_null());
	json_object_set_new(row, "name",
	    first ? joined_names(catalog, cause->fault, cause->fault_count) : text("other pairs of faults"));
	json_object_set_new(row, "system", first ? text(dk_system_name[first->system]) : json_null());
	json_object_set_new(row, "part", first ? text(first->part) : json_null());
}

static json_t *causes_json(const dk_boat *boat, const dk_request *request, const dk_trace_answer *answer)
{
	const dk_catalog *catalog = boat->catalog;
	json_t *out = json_array();
	for (int i = 0; i < answer->cause_count; ++i)
	{
		const dk_cause *cause = &answer->cause[i];
		json_t *row = json_object(), *severity = json_object();
		json_object_set_new(row, "id", text(cause->id));
		json_object_set_new(row, "faults", fault_ids(catalog, cause->fault, cause->fault_count));
		json_object_set_new(
		    row, "group", cause->group >= 0 ? text(answer->group[cause->group].id) : json_null());
		put_first(row, catalog, cause);
		json_object_set_new(row, "probability", number(cause->probability));
		json_object_set_new(row, "low", number(cause->low));
		json_object_set_new(row, "high", number(cause->high));
		json_object_set_new(severity, "low", number(cause->severity_low));
		json_object_set_new(severity, "mid", number(cause->severity_mid));
		json_object_set_new(severity, "high", number(cause->severity_high));
		json_object_set_new(severity, "text", text(cause->severity_text));
		json_object_set_new(row, "severity", severity);
		json_object_set_new(row, "why", why_json(catalog, request, cause));
		json_array_append_new(out, row);
	}
	return out;
}

// the lines of the ranking: faults that can't be told apart from here are one
static json_t *groups_json(const dk_catalog *catalog, const dk_trace_answer *answer)
{
	json_t *out = json_array();
	for (int i = 0; i < answer->group_count; ++i)
	{
		const dk_trace_group *group = &answer->group[i];
		json_t *row = json_object();
		json_object_set_new(row, "id", text(group->id));
		json_object_set_new(row, "faults", fault_ids(catalog, group->fault, group->fault_count));
		json_object_set_new(row, "name", text(catalog->fault[group->fault[0]].name));
		json_object_set_new(row, "repair", text(group->repair));
		json_object_set_new(row, "probability", number(group->probability));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *marginal_json(const dk_boat *boat, const dk_trace_answer *answer)
{
	json_t *out = json_object();
	for (int i = 0; i < boat->catalog->fault_count; ++i)
		if (boat->fault_possible[i])
			json_object_set_new(out, boat->catalog->fault[i].id, number(answer->marginal[i]));
	return out;
}

static json_t *chances(const dk_chance *answer, int count)
{
	json_t *out = json_array();
	for (int i = 0; i < count; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "id", text(answer[i].id));
		json_object_set_new(row, "text", text(answer[i].text));
		json_object_set_new(row, "chance", number(answer[i].chance));
		if (!isnan(answer[i].low)) json_object_set_new(row, "low", number(answer[i].low));
		if (!isnan(answer[i].high)) json_object_set_new(row, "high", number(answer[i].high));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *ask_json(const dk_catalog *catalog, const dk_trace_answer *answer)
{
	json_t *out = json_array();
	for (int i = 0; i < answer->ask_count; ++i)
	{
		const dk_ask *ask = &answer->ask[i];
		json_t *row = json_object();
		json_object_set_new(row, "sign", text(catalog->sign[ask->sign].id));
		json_object_set_new(row, "point", text(dk_point_info[ask->point].id));
		json_object_set_new(row, "question", text(catalog->sign[ask->sign].question));
		json_object_set_new(row, "answers", chances(ask->answer, ask->answer_count));
		json_object_set_new(row, "bits", number(ask->bits));
		json_object_set_new(row, "bits_per_minute", number(ask->bits_per_minute));
		json_array_append_new(out, row);
	}
	return out;
}

// ids of gates or checks by their indices
static json_t *ids(const dk_catalog *catalog, const int *index, int count, bool gates)
{
	json_t *out = json_array();
	for (int i = 0; i < count; ++i)
		json_array_append_new(out, text(gates ? catalog->gate[index[i]].id : catalog->check[index[i]].id));
	return out;
}

static json_t *next_json(const dk_catalog *catalog, const dk_trace_answer *answer)
{
	json_t *out = json_array();
	for (int i = 0; i < answer->next_count; ++i)
	{
		const dk_next *next = &answer->next[i];
		const dk_check *check = &catalog->check[next->check];
		json_t *row = json_object();
		json_object_set_new(row, "check", text(check->id));
		json_object_set_new(row, "name", text(check->name));
		json_object_set_new(row, "steps", texts(&check->steps));
		json_object_set_new(row, "place", text(dk_place_name[check->place]));
		json_object_set_new(row, "undo", text(check->undo));
		json_object_set_new(row, "bits", number(next->bits));
		json_object_set_new(row, "bits_per_minute", number(next->bits_per_minute));
		json_object_set_new(row, "expected_cost", number(next->expected_cost));
		json_object_set_new(row, "minutes", number(next->minutes));
		json_object_set_new(row, "tools", texts(&check->tools));
		json_object_set_new(row, "cautions", texts(&check->cautions));
		json_object_set_new(row, "gates", ids(catalog, next->gate, next->gate_count, true));
		json_object_set_new(row, "answers", chances(next->answer, next->answer_count));
		json_object_set_new(
		    row, "shares_cover_with", ids(catalog, next->shares_cover_with, next->shares_count, false));
		json_object_set_new(row, "held_back", text(next->held_back));
		json_object_set_new(row, "point", text(dk_point_info[next->point].id));
		json_object_set_new(
		    row, "reading", check->gives == DK_GIVES_READING ? text(check->reading) : json_null());
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *red_json(const dk_catalog *catalog, const dk_red *red)
{
	if (red->rule < 0) return json_null();
	json_t *out = json_object(), *waiting = json_array();
	json_object_set_new(out, "id", text(catalog->red_rule[red->rule].id));
	json_object_set_new(out, "order", text(red->order));
	json_object_set_new(out, "then", dk_json_texts(red->then, red->then_count));
	json_object_set_new(out, "reason", text(catalog->red_rule[red->rule].reason));
	for (int i = 0; i < red->waiting_count; ++i)
		json_array_append_new(waiting, text(catalog->red_rule[red->waiting[i]].id));
	json_object_set_new(out, "waiting", waiting);
	return out;
}

static json_t *may_json(const dk_may *may)
{
	json_t *out = json_object(), *because = json_array();
	json_object_set_new(out, "crank", text(dk_may_crank_text[may->crank]));
	json_object_set_new(out, "crank_seconds", number(may->crank_seconds));
	json_object_set_new(out, "run", text(dk_may_run_text[may->run]));
	json_object_set_new(out, "minutes", number(may->minutes));
	json_object_set_new(out, "max_rpm", number(may->max_rpm));
	json_object_set_new(out, "unknown", number(may->unknown));
	json_object_set_new(out, "price_of_running", text(may->price_of_running));
	for (int i = 0; i < may->because_count; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "reading", text(may->because[i].reading));
		json_object_set_new(row, "limit", number(may->because[i].limit));
		json_object_set_new(row, "source", text(may->because[i].source));
		json_array_append_new(because, row);
	}
	json_object_set_new(out, "because", because);
	return out;
}

static json_t *conflicts_json(
    const dk_catalog *catalog, const dk_request *request, const dk_trace_answer *answer)
{
	json_t *out = json_array();
	for (int i = 0; i < answer->conflict_count; ++i)
	{
		const dk_conflict *conflict = &answer->conflict[i];
		json_t *row = json_object(), *between = json_array();
		json_array_append_new(between, item_name(catalog, request, conflict->a));
		if (conflict->b >= 0) json_array_append_new(between, item_name(catalog, request, conflict->b));
		json_object_set_new(row, "observations", between);
		json_object_set_new(row, "nats", number(conflict->nats));
		json_array_append_new(out, row);
	}
	return out;
}

// the answers of a look that were given, or the special one
static json_t *answers_given(const dk_catalog *catalog, const dk_observation *seen)
{
	static const char *const kSpecial[] = { NULL, "not_looked", "not_sure", "odd", "cannot" };
	const dk_look *look =
	    seen->kind == DK_SEEN_SIGN ? &catalog->sign[seen->row].look : &catalog->check[seen->row].look;
	json_t *out = json_array();
	if (seen->special != DK_SPECIAL_NONE)
		json_array_append_new(out, text(kSpecial[seen->special]));
	else
		for (int i = 0; i < look->answer_count; ++i)
			if (seen->answers & (1u << i)) json_array_append_new(out, text(look->answer[i].id));
	return out;
}

static json_t *inputs_json(const dk_boat *boat, const dk_banks *banks, const dk_request *request)
{
	static const char *const kKind[] = { "sign", "reading", "done" };
	json_t *out = banks ? dk_json_banks(banks) : json_array();
	if (request->where >= 0)
	{
		json_t *row = json_object();
		json_object_set_new(row, "id", text("where"));
		json_object_set_new(
		    row, "answer", text(boat->catalog->sign[boat->catalog->where].look.answer[request->where].id));
		json_array_append_new(out, row);
	}
	for (int i = 0; i < request->observation_count; ++i)
	{
		const dk_observation *seen = &request->observation[i];
		json_t *row = json_object();
		json_object_set_new(row, "id", text(seen->id));
		json_object_set_new(row, "kind", text(kKind[seen->kind]));
		json_object_set_new(row, "at", text(dk_point_info[seen->point].id));
		if (seen->reading >= 0 && seen->special == DK_SPECIAL_NONE)
		{
			json_object_set_new(row, "value", number(seen->value));
			json_object_set_new(row, "unit", text(dk_reading_info[seen->reading].unit));
		}
		else
			json_object_set_new(row, "answer", answers_given(boat->catalog, seen));
		json_object_set_new(row, "when", text(seen->before ? "before" : "now"));
		json_object_set_new(row, "how", text(seen->volunteered ? "volunteered" : "asked"));
		json_object_set_new(row, "n", json_integer(seen->n));
		json_array_append_new(out, row);
	}
	for (int i = 0; i < request->tried_count; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "tried", text(boat->catalog->repair[request->tried[i].repair].id));
		json_object_set_new(row, "result", text(dk_result_name[request->tried[i].result]));
		json_array_append_new(out, row);
	}
	return out;
}

json_t *dk_app_trace_json(const dk_boat *boat, const dk_banks *banks, const dk_request *request,
    const dk_trace_answer *answer, uint64_t seed)
{
	const dk_catalog *catalog = boat->catalog;
	json_t *out = json_object();
	json_object_set_new(out, "causes", causes_json(boat, request, answer));
	json_object_set_new(out, "groups", groups_json(catalog, answer));
	json_object_set_new(out, "marginal", marginal_json(boat, answer));
	json_object_set_new(out, "healthy", number(answer->healthy));
	json_object_set_new(out, "none_of_these", number(answer->none_of_these));
	json_object_set_new(out, "ask", ask_json(catalog, answer));
	json_object_set_new(out, "next", next_json(catalog, answer));
	json_object_set_new(out, "red_rule", red_json(catalog, &answer->red));
	json_object_set_new(out, "may", may_json(&answer->may));
	json_object_set_new(out, "conflicts", conflicts_json(catalog, request, answer));
	json_object_set_new(out, "inputs", inputs_json(boat, banks, request));
	json_object_set_new(out, "engine_hash", dk_json_hash(boat->record.hash));
	json_object_set_new(out, "catalogue_hash", dk_json_hash(catalog->hash));
	json_object_set_new(out, "bank_hash", banks ? dk_json_hash(dk_banks_hash(banks)) : json_null());
	json_object_set_new(out, "model_version", text(dk_model_version));
	json_object_set_new(out, "seed", json_integer((json_int_t)seed));
	return out;
}
