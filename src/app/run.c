// One operating point, healthy and broken side by side.
#include "app/run.h"
#include "base/json.h"
#include <string.h>

static const char *const kStatus[] = { "reached", "not_reached", "not_settled" };

// a value, or null for what does not happen: only a time may be waited for in vain
static json_t *value_of(const dk_reading_row *row, double value)
{
	return strcmp(row->gauge, "watch") ? dk_json_number(value) : dk_json_capped(value, row->cap);
}

// the readings of one column of two
static json_t *readings(const double *reading, const unsigned char *status, int point)
{
	json_t *out = json_object();
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		const dk_reading_row *row = &dk_reading_info[r];
		if (!(row->points & (1u << point))) continue;
		json_t *one = json_object();
		json_object_set_new(
		    one, "value", status[1] == DK_NOT_REACHED ? json_null() : value_of(row, reading[2 * r + 1]));
		json_object_set_new(one, "healthy", value_of(row, reading[2 * r]));
		json_object_set_new(one, "unit", dk_json_text(row->unit));
		json_object_set_new(one, "system", dk_json_text(dk_system_name[row->system]));
		json_object_set_new(out, row->id, one);
	}
	return out;
}

static dk_status run_open(const dk_switches *switches, const dk_boat *boat, json_t **out, dk_error *error)
{
	dk_condition condition;
	dk_numbers numbers;
	dk_broken broken[DK_SWITCH_MOST];
	int count, point;
	double lever;
	DK_TRY(dk_switches_numbers(switches, &numbers, error));
	DK_TRY(dk_switches_condition(switches, &condition, error));
	DK_TRY(dk_switches_faults(switches, boat, broken, &count, error));
	DK_TRY(dk_switches_point(switches, DK_POINT_cruise, &point, error));
	DK_TRY(dk_switches_lever(switches, boat, &condition, point, &lever, error));

	// engine 0 is healthy, engine 1 broken
	double damaged[DK_PARAM_COUNT], param[DK_PARAM_COUNT * 2], reading[DK_READING_COUNT * 2];
	unsigned char status[2];
	memcpy(damaged, boat->record.param, sizeof damaged);
	DK_TRY(dk_breaking_apply(boat->breaking, broken, count, damaged, error));
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
	{
		param[2 * p] = boat->record.param[p];
		param[2 * p + 1] = damaged[p];
	}
	dk_batch batch = { .count = 2,
		.param = param,
		.condition = condition,
		.point = point,
		.lever = lever,
		.reading = reading,
		.status = status };
	dk_batch_run(&batch, numbers.lanes);

	*out = json_object();
	json_object_set_new(*out, "engine", dk_json_text(boat->record.id));
	json_object_set_new(*out, "invented", json_boolean(boat->record.invented));
	json_object_set_new(*out, "point", dk_json_text(dk_point_info[point].id));
	json_object_set_new(*out, "about", dk_json_text(dk_point_info[point].about));
	json_object_set_new(*out, "status", dk_json_text(kStatus[status[1]]));
	json_object_set_new(*out, "lever", dk_json_number(lever));
	json_object_set_new(*out, "condition", dk_json_condition(&condition));
	json_object_set_new(*out, "faults", dk_json_broken(boat, broken, count));
	json_object_set_new(*out, "readings", readings(reading, status, point));
	json_object_set_new(*out, "model_version", dk_json_text(dk_model_version));
	return DK_OK;
}

dk_status dk_app_run(const dk_switches *switches, json_t **out, dk_error *error)
{
	dk_boat *boat;
	DK_TRY(dk_switches_boat(switches, &boat, error));
	const dk_status status = run_open(switches, boat, out, error);
	dk_boat_close(boat);
	return status;
}
