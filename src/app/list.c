// Rows of the tables and the catalogue as JSON.
#include "app/list.h"
#include "base/file.h"
#include "base/json.h"
#include <string.h>

static const char *const kKind[] = { "ordinal", "nominal", "flag" };
static const char *const kGives[] = { "reading", "answer", "sign" };
static const char *const kTransform[] = { "lin", "log", "logit" };

static void put_text(json_t *row, const char *key, const char *text)
{
	json_object_set_new(row, key, dk_json_text(text));
}

static void put_number(json_t *row, const char *key, double value)
{
	json_object_set_new(row, key, dk_json_number(value));
}

// ids of the points of a mask
static json_t *points(unsigned mask)
{
	json_t *out = json_array();
	for (int p = 0; p < DK_POINT_COUNT; ++p)
		if (mask & (1u << p)) json_array_append_new(out, dk_json_text(dk_point_info[p].id));
	return out;
}

static json_t *answer_row(const dk_answer *answer)
{
	json_t *row = json_object();
	put_text(row, "id", answer->id);
	put_text(row, "text", answer->text);
	json_object_set_new(row, "normal", json_boolean(answer->normal));
	return row;
}

static json_t *answers(const dk_look *look)
{
	json_t *out = json_array();
	for (int i = 0; i < look->answer_count; ++i) json_array_append_new(out, answer_row(&look->answer[i]));
	return out;
}

static json_t *texts(const dk_texts *list)
{
	return dk_json_texts(list->item, list->count);
}

static json_t *list_faults(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->catalog->fault_count; ++i)
	{
		const dk_fault *fault = &boat->catalog->fault[i];
		char worst[160];
		json_t *row = json_object();
		put_text(row, "id", fault->id);
		put_text(row, "name", fault->name);
		put_text(row, "system", dk_system_name[fault->system]);
		put_text(row, "part", fault->part);
		put_text(row, "repair", boat->catalog->repair[fault->repair].id);
		put_number(row, "share_of_system", fault->share);
		put_text(row, "prior_source", fault->prior_source);
		put_text(row, "at_worst", dk_fault_measure(fault, 1, worst, sizeof worst));
		put_number(row, "mend_minutes", fault->mend_minutes);
		put_text(row, "danger", fault->mend_danger);
		json_object_set_new(row, "aboard", json_boolean(boat->fault_possible[i]));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_signs(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->catalog->sign_count; ++i)
	{
		const dk_sign *sign = &boat->catalog->sign[i];
		json_t *row = json_object();
		put_text(row, "id", sign->id);
		put_text(row, "question", sign->question);
		put_text(row, "group", sign->group);
		put_text(row, "default_point", dk_point_info[sign->default_point].id);
		json_object_set_new(row, "points", points(sign->points));
		put_text(row, "kind", kKind[sign->look.kind]);
		json_object_set_new(row, "answers", answers(&sign->look));
		json_object_set_new(row, "several", json_boolean(sign->look.several));
		json_object_set_new(row, "aboard", json_boolean(boat->sign_possible[i]));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *ids_of_gates(const dk_catalog *catalog, const dk_check *check)
{
	json_t *out = json_array();
	for (int i = 0; i < check->gate_count; ++i)
		json_array_append_new(out, dk_json_text(catalog->gate[check->gate[i]].id));
	return out;
}

// what a check needs of engine and boat, in words
static json_t *needs(unsigned mask)
{
	json_t *out = json_array();
	for (int i = 0; i < DK_NEED_COUNT; ++i)
		if (mask & (1u << i)) json_array_append_new(out, dk_json_text(dk_need_words[i]));
	return out;
}

static json_t *list_checks(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->catalog->check_count; ++i)
	{
		const dk_check *check = &boat->catalog->check[i];
		json_t *row = json_object();
		put_text(row, "id", check->id);
		put_text(row, "name", check->name);
		put_text(row, "gives", kGives[check->gives]);
		put_text(row, "reading", check->reading);
		put_text(row, "parameter", check->parameter);
		put_text(row, "sign", check->gives == DK_GIVES_SIGN ? boat->catalog->sign[check->sign].id : NULL);
		json_object_set_new(row, "needs", needs(check->needs));
		put_text(row, "point", dk_point_info[check->point].id);
		json_object_set_new(row, "answers", answers(&check->look));
		json_object_set_new(row, "steps", texts(&check->steps));
		json_object_set_new(row, "tools", texts(&check->tools));
		json_object_set_new(row, "cautions", texts(&check->cautions));
		json_object_set_new(row, "gates", ids_of_gates(boat->catalog, check));
		put_number(row, "minutes", check->minutes);
		put_number(row, "crank_seconds", check->crank_seconds);
		put_text(row, "place", dk_place_name[check->place]);
		put_text(row, "opens", check->opens);
		put_text(row, "undo", check->undo);
		json_object_set_new(row, "aboard", json_boolean(boat->check_possible[i]));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_readings(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < DK_READING_COUNT; ++i)
	{
		const dk_reading_row *reading = &dk_reading_info[i];
		json_t *row = json_object();
		put_text(row, "id", reading->id);
		put_text(row, "unit", reading->unit);
		put_text(row, "transform", kTransform[reading->transform]);
		put_text(row, "system", dk_system_name[reading->system]);
		put_text(row, "gauge", reading->gauge);
		put_number(row, "floor", reading->floor);
		put_number(row, "cap", reading->cap);
		put_number(row, "gauge_sd", reading->gauge_sd);
		put_number(row, "bias_sd", reading->bias_sd);
		put_number(row, "model_sd", reading->model_sd);
		put_number(row, "span_low", reading->span_low);
		put_number(row, "span_high", reading->span_high);
		json_object_set_new(row, "points", points(reading->points));
		json_object_set_new(row, "aboard", json_boolean(boat->present[i]));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_params(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		const dk_param_row *param = &dk_param_info[i];
		json_t *row = json_object();
		put_text(row, "id", param->id);
		put_text(row, "unit", param->unit);
		put_number(row, "low", param->low);
		put_number(row, "default", param->def);
		put_number(row, "high", param->high);
		put_number(row, "neutral", param->neutral);
		put_number(row, "spread_plate", param->spread_plate);
		put_number(row, "spread_fitted", param->spread_fitted);
		put_text(row, "z_group", param->z_group == DK_Z_NONE ? "none" : dk_z_name[param->z_group]);
		json_object_set_new(row, "per_class", json_boolean(param->twin >= 0));
		put_text(row, "meaning", param->meaning);
		put_text(row, "source", param->source);
		put_number(row, "here", boat->record.param[i]);
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_points(void)
{
	json_t *out = json_array();
	for (int i = 0; i < DK_POINT_COUNT; ++i)
	{
		json_t *row = json_object();
		put_text(row, "id", dk_point_info[i].id);
		put_text(row, "about", dk_point_info[i].about);
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_repairs(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->catalog->repair_count; ++i)
	{
		const dk_repair *repair = &boat->catalog->repair[i];
		json_t *row = json_object();
		put_text(row, "id", repair->id);
		put_text(row, "name", repair->name);
		put_number(row, "efficacy", repair->efficacy);
		put_number(row, "minutes", repair->minutes);
		json_object_set_new(row, "needs", texts(&repair->needs));
		put_text(row, "danger", repair->danger);
		put_text(row, "proves", repair->proves);
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_gates(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->catalog->gate_count; ++i)
	{
		const dk_gate *gate = &boat->catalog->gate[i];
		json_t *row = json_object(), *all = json_array(), *opens = json_array();
		put_text(row, "id", gate->id);
		put_text(row, "asks", gate->asks);
		for (int k = 0; k < gate->answer_count; ++k)
		{
			json_array_append_new(all, answer_row(&gate->answer[k]));
			if (gate->opens & (1u << k)) json_array_append_new(opens, dk_json_text(gate->answer[k].id));
		}
		json_object_set_new(row, "answers", all);
		json_object_set_new(row, "opens", opens);
		put_text(row, "blocked", gate->blocked);
		json_object_set_new(row, "cautions", texts(&gate->cautions));
		json_array_append_new(out, row);
	}
	return out;
}

// what a rule or gate looks for: {sign, answers[], points[]}
static json_t *conditions(const dk_catalog *catalog, const dk_condition_row *condition, int count)
{
	json_t *out = json_array();
	for (int i = 0; i < count; ++i)
	{
		const dk_sign *sign = &catalog->sign[condition[i].sign];
		json_t *row = json_object(), *which = json_array();
		for (int k = 0; k < sign->look.answer_count; ++k)
			if (condition[i].answers & (1u << k))
				json_array_append_new(which, dk_json_text(sign->look.answer[k].id));
		put_text(row, "sign", sign->id);
		json_object_set_new(row, "answers", which);
		json_object_set_new(row, "points", points(condition[i].points));
		json_object_set_new(row, "before", json_boolean(condition[i].before));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *list_red_rules(const dk_boat *boat)
{
	static const char *const kConcern[] = { "people", "fire", "flooding", "engine" };
	const dk_catalog *catalog = boat->catalog;
	json_t *out = json_array();
	for (int i = 0; i < catalog->red_rule_count; ++i)
	{
		const dk_red_rule *rule = &catalog->red_rule[i];
		json_t *row = json_object(), *at = json_object();
		put_text(row, "id", rule->id);
		put_text(row, "name", rule->name);
		put_text(row, "order", rule->order);
		put_text(row, "concern", kConcern[rule->concern]);
		put_text(row, "reason", rule->reason);
		put_text(row, "source", rule->source);
		json_object_set_new(row, "all", json_boolean(rule->all));
		json_object_set_new(row, "then", texts(&rule->then));
		json_object_set_new(row, "conditions", conditions(catalog, rule->condition, rule->condition_count));
		for (int k = 0; k < rule->at_count; ++k)
		{
			json_t *place = json_object();
			put_text(place, "order", rule->at[k].order ? rule->at[k].order : rule->order);
			json_object_set_new(place, "then", texts(&rule->at[k].then));
			json_object_set_new(at, catalog->sign[catalog->where].look.answer[rule->at[k].where].id, place);
		}
		json_object_set_new(row, "at", at);
		json_array_append_new(out, row);
	}
	return out;
}

// the records in data/engines, NULL with the error set
static json_t *list_engines(const char *data_folder, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	char **path;
	int count;
	if (dk_file_list(
	        dk_arena_format(arena, "%s/engines", data_folder), ".yaml", arena, &path, &count, error) != DK_OK)
	{
		dk_arena_free(arena);
		return NULL;
	}
	json_t *out = json_array();
	for (int i = 0; i < count; ++i)
	{
		dk_record record;
		if (dk_record_read(path[i], arena, &record, NULL) != DK_OK) continue;
		json_t *row = json_object();
		put_text(row, "id", record.id);
		put_text(row, "name", record.name);
		json_object_set_new(row, "invented", json_boolean(record.invented));
		json_array_append_new(out, row);
	}
	dk_arena_free(arena);
	return out;
}

dk_status dk_app_list_of(
    const dk_boat *boat, const char *data_folder, const char *kind, json_t **out, dk_error *error)
{
	static const char *const kKinds[] = { "faults", "signs", "checks", "readings", "params", "engines",
		"repairs", "gates", "red_rules", "points" };
	int which = -1;
	for (int i = 0; i < 10; ++i)
		if (!strcmp(kind, kKinds[i])) which = i;
	switch (which)
	{
	case 0: *out = list_faults(boat); return DK_OK;
	case 1: *out = list_signs(boat); return DK_OK;
	case 2: *out = list_checks(boat); return DK_OK;
	case 3: *out = list_readings(boat); return DK_OK;
	case 4: *out = list_params(boat); return DK_OK;
	case 5: *out = list_engines(data_folder, error); return *out ? DK_OK : DK_NO_FILE;
	case 6: *out = list_repairs(boat); return DK_OK;
	case 7: *out = list_gates(boat); return DK_OK;
	case 8: *out = list_red_rules(boat); return DK_OK;
	case 9: *out = list_points(); return DK_OK;
	default: break;
	}
	dk_error_set(error, DK_UNKNOWN_NAME, "there is nothing called '%.60s' to list", kind);
	dk_error_field(error, "list");
	dk_error_nearest(error, kind, kKinds, 10);
	if (error && !error->advice[0])
		dk_error_advice(error,
		    "list faults, signs, checks, readings, params, engines, repairs, gates, red_rules or points");
	return DK_UNKNOWN_NAME;
}

dk_status dk_app_list(const dk_switches *switches, const char *kind, json_t **out, dk_error *error)
{
	dk_boat *boat;
	DK_TRY(dk_switches_boat(switches, &boat, error));
	const dk_status status = dk_app_list_of(boat, switches->data_folder, kind, out, error);
	dk_boat_close(boat);
	return status;
}
