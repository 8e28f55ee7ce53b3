// The public door over the use cases. No sums here.
#include "app/run.h"
#include "app/session.h"
#include "base/json.h"
#include "base/units.h"
#include <donkeyman.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct dk_door
{
	dk_arena *arena; // data folder and engine name
	const char *data_folder, *engine;
	dk_boat *boat;
	dk_banks *banks; // NULL before dk_door_bank
	uint64_t seed;
};

// the code of a status, its sentence into `problem`
static dk_door_code told(dk_status status, const dk_error *error, char *problem, size_t size)
{
	char sentence[DK_ERROR_TEXT];
	if (status == DK_OK)
	{
		if (problem && size) problem[0] = 0;
		return DK_DOOR_OK;
	}
	if (problem && size) snprintf(problem, size, "%s", dk_error_text(error, sentence, sizeof sentence));
	const bool ours = status == DK_NO_MEMORY || status == DK_FILE_FAILED || status == DK_NOT_CONVERGED ||
	                  status == DK_CANCELLED;
	return ours ? DK_DOOR_FAILED : DK_DOOR_BAD_INPUT;
}

// memory ran out at the door itself
static dk_door_code no_room(char *problem, size_t size)
{
	dk_error error;
	dk_error_set(&error, DK_NO_MEMORY, "no memory for the answer");
	return told(DK_NO_MEMORY, &error, problem, size);
}

dk_door_code dk_door_open(
    const char *data_folder, const char *engine, dk_door **door, char *problem, size_t size)
{
	dk_error error;
	dk_arena *arena = dk_arena_new();
	dk_door *out = dk_arena_take(arena, sizeof *out);
	*out = (dk_door){ .arena = arena,
		.data_folder = dk_arena_text(arena, data_folder),
		.engine = dk_arena_text(arena, engine ? engine : "three_indirect"),
		.seed = 1 };
	const dk_status status = dk_boat_open(out->data_folder, out->engine, NULL, 0, &out->boat, &error);
	if (status != DK_OK)
		dk_arena_free(arena);
	else
		*door = out;
	return told(status, &error, problem, size);
}

void dk_door_close(dk_door *door)
{
	if (!door) return;
	dk_banks_close(door->banks);
	dk_boat_close(door->boat);
	dk_arena_free(door->arena);
}

int dk_door_param_count(const dk_door *door)
{
	(void)door;
	return DK_PARAM_COUNT;
}

int dk_door_param_at(const dk_door *door, int index, dk_door_param *row)
{
	if (index < 0 || index >= DK_PARAM_COUNT) return 0;
	const dk_param_row *info = &dk_param_info[index];
	*row = (dk_door_param){ info->id, info->unit, info->meaning, info->source, info->low, info->high,
		door->boat->record.param[index] };
	return 1;
}

int dk_door_reading_count(const dk_door *door)
{
	(void)door;
	return DK_READING_COUNT;
}

int dk_door_reading_at(const dk_door *door, int index, dk_door_reading *row)
{
	if (index < 0 || index >= DK_READING_COUNT) return 0;
	const dk_reading_row *info = &dk_reading_info[index];
	*row = (dk_door_reading){ info->id, info->unit, info->floor, info->cap, door->boat->present[index] };
	return 1;
}

// texts into a repeatable switch
static dk_status fill_list(
    dk_switch_list *list, const char *const *text, int count, const char *field, dk_error *error)
{
	if (count < 0 || count > DK_SWITCH_MOST)
	{
		dk_error_set(error, DK_TOO_LARGE, "there are %d of them", count);
		dk_error_field(error, field);
		return dk_error_range(error, 0, DK_SWITCH_MOST, "");
	}
	for (int i = 0; i < count; ++i) list->text[i] = text[i];
	list->count = count;
	return DK_OK;
}

static dk_status run_point(const dk_door *door, const dk_door_point *point, json_t **out, dk_error *error)
{
	dk_switches switches = { .data_folder = door->data_folder,
		.engine = door->engine,
		.point = point->point,
		.rpm = point->rpm,
		.lever = point->lever,
		.air = point->air,
		.sea = point->sea,
		.pressure = point->pressure,
		.humidity = point->humidity };
	DK_TRY(fill_list(&switches.fault, point->fault, point->fault_count, "fault", error));
	DK_TRY(fill_list(&switches.set, point->set, point->set_count, "set", error));
	return dk_app_run(&switches, out, error);
}

static double number_or_nan(const json_t *row, const char *key)
{
	const json_t *value = json_object_get(row, key);
	return json_is_number(value) ? json_number_value(value) : NAN;
}

dk_door_code dk_door_run_point(
    const dk_door *door, const dk_door_point *point, dk_door_run *run, char *problem, size_t size)
{
	dk_error error;
	json_t *answer;
	const dk_status status = run_point(door, point, &answer, &error);
	if (status != DK_OK) return told(status, &error, problem, size);
	const json_t *readings = json_object_get(answer, "readings");
	dk_door_run out = { .value = calloc(DK_READING_COUNT, sizeof *out.value) };
	if (!out.value)
	{
		json_decref(answer);
		return no_room(problem, size);
	}
	out.reached = !strcmp(json_string_value(json_object_get(answer, "status")), "reached");
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		const json_t *row = json_object_get(readings, dk_reading_info[r].id);
		if (!row) continue;
		out.value[out.count++] = (dk_door_value){ dk_reading_info[r].id, dk_reading_info[r].unit,
			number_or_nan(row, "value"), number_or_nan(row, "healthy") };
	}
	json_decref(answer);
	*run = out;
	return told(DK_OK, NULL, problem, size);
}

void dk_door_run_free(dk_door_run *run)
{
	free(run->value);
	*run = (dk_door_run){ 0 };
}

dk_door_order dk_default_door_order(void)
{
	const dk_banks_order usual = dk_default_banks_order();
	return (dk_door_order){ .seed = usual.seed, .threads = usual.threads, .severities = usual.severities };
}

static dk_status open_banks(
    const dk_door *door, const dk_door_order *order, dk_banks **banks, dk_error *error)
{
	const dk_switches switches = { .data_folder = door->data_folder, .air = order->air, .sea = order->sea };
	dk_condition condition;
	DK_TRY(dk_switches_condition(&switches, &condition, error));
	const dk_said said = {
		.air = order->air, .sea = order->sea, .air_k = condition.air_k, .sea_k = condition.sea_k
	};
	dk_banks_order full = dk_default_banks_order();
	full.cache_folder = order->cache_folder;
	full.seed = order->seed;
	full.threads = order->threads;
	full.severities = order->severities;
	return dk_banks_open(door->boat, &said, &full, banks, error);
}

dk_door_code dk_door_bank(dk_door *door, const dk_door_order *order, char *problem, size_t size)
{
	dk_error error;
	dk_banks *banks;
	const dk_status status = open_banks(door, order, &banks, &error);
	if (status == DK_OK)
	{
		dk_banks_close(door->banks);
		door->banks = banks;
		door->seed = order->seed;
	}
	return told(status, &error, problem, size);
}

// what an answer stands on
typedef struct inside
{
	json_t *answer;
	char *json;
	dk_door_cause *cause;
	dk_door_check *check;
} inside;

static const char *text_or_empty(const json_t *row, const char *key)
{
	const char *text = json_string_value(json_object_get(row, key));
	return text ? text : "";
}

// rows of the answer as structs; their texts stay in the JSON
static void fill_rows(const inside *in, dk_door_answer *out)
{
	size_t i;
	json_t *row;
	json_array_foreach(json_object_get(in->answer, "causes"), i, row) in->cause[i] =
	    (dk_door_cause){ text_or_empty(row, "id"), text_or_empty(row, "name"), text_or_empty(row, "repair"),
		    number_or_nan(row, "probability"), number_or_nan(row, "low"), number_or_nan(row, "high") };
	out->cause_count = (int)i;
	json_array_foreach(json_object_get(in->answer, "next"), i, row) in->check[i] =
	    (dk_door_check){ text_or_empty(row, "check"), text_or_empty(row, "name"), text_or_empty(row, "place"),
		    number_or_nan(row, "bits"), number_or_nan(row, "minutes"),
		    (int)json_array_size(json_object_get(row, "gates")), text_or_empty(row, "held_back") };
	out->check_count = (int)i;
	out->json = in->json;
	out->order = text_or_empty(json_object_get(in->answer, "red_rule"), "order");
	out->healthy = number_or_nan(in->answer, "healthy");
	out->none_of_these = number_or_nan(in->answer, "none_of_these");
	out->cause = in->cause;
	out->check = in->check;
}

dk_door_code dk_door_weigh(const dk_door *door, const char *request, size_t length, dk_door_answer *answer,
    char *problem, size_t size)
{
	dk_error error;
	json_t *weighed;
	const dk_session session = { .boat = door->boat, .banks = door->banks };
	const dk_status status = dk_session_json(&session, request, length, door->seed, &weighed, &error);
	if (status != DK_OK) return told(status, &error, problem, size);

	inside *in = calloc(1, sizeof *in);
	dk_door_answer out = { .inside = in };
	if (in)
	{
		in->answer = weighed;
		in->json = dk_json_dump(weighed);
		in->cause = calloc(json_array_size(json_object_get(weighed, "causes")) + 1, sizeof *in->cause);
		in->check = calloc(json_array_size(json_object_get(weighed, "next")) + 1, sizeof *in->check);
	}
	else
		json_decref(weighed);
	if (!in || !in->json || !in->cause || !in->check)
	{
		dk_door_answer_free(&out);
		return no_room(problem, size);
	}
	fill_rows(in, &out);
	*answer = out;
	return told(DK_OK, NULL, problem, size);
}

void dk_door_answer_free(dk_door_answer *answer)
{
	inside *in = answer->inside;
	if (in)
	{
		json_decref(in->answer);
		free(in->json);
		free(in->cause);
		free(in->check);
		free(in);
	}
	*answer = (dk_door_answer){ 0 };
}
