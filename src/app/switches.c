// Texts of the common switches to numbers, each checked.
#include "app/switches.h"
#include "base/json.h"
#include "base/text.h"
#include "base/units.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double kZeroC = 273.15;

// a whole number in a range
static dk_status whole(const char *text, const char *field, double low, double high, double fallback,
    double *out, dk_error *error)
{
	*out = fallback;
	if (!text) return DK_OK;
	double value;
	DK_TRY(dk_unit_read_range(text, "-", DK_BARE_TABLE, low, high, field, &value, error));
	if (value != (double)(long long)value)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%s' is not a whole number", text);
		return dk_error_field(error, field);
	}
	*out = value;
	return DK_OK;
}

dk_status dk_switches_numbers(const dk_switches *switches, dk_numbers *out, dk_error *error)
{
	double seed, threads, lanes, severities;
	DK_TRY(whole(switches->seed, "--seed", 0, 9007199254740991.0, 1, &seed, error));
	DK_TRY(whole(switches->threads, "--threads", 1, 64, 2, &threads, error));
	DK_TRY(whole(switches->lanes, "--lanes", 1, 8, 0, &lanes, error));
	if ((int)lanes & ((int)lanes - 1))
	{
		dk_error_set(error, DK_BAD_INPUT, "there are 1, 2, 4 or 8 lanes, not %s", switches->lanes);
		return dk_error_field(error, "--lanes");
	}
	DK_TRY(whole(switches->severities, "--severities", 4, 1024, 64, &severities, error));
	*out = (dk_numbers){
		.seed = (uint64_t)seed, .threads = (int)threads, .lanes = (int)lanes, .severities = (int)severities
	};
	return DK_OK;
}

// a range that was passed, in the unit that was typed
static dk_status in_their_unit(const char *text, dk_status status, dk_error *error)
{
	double value;
	const char *unit;
	if (status != DK_OUT_OF_RANGE || !error || dk_number_parse(text, &value, &unit, NULL) != DK_OK)
		return status;
	const double low = dk_unit_convert(error->low, error->unit, unit);
	const double high = dk_unit_convert(error->high, error->unit, unit);
	if (low < high) dk_error_range(error, low, high, unit);
	return status;
}

// a text of the surroundings in the unit `want`
static dk_status surroundings(const char *text, const char *want, double low, double high, const char *field,
    double *value, dk_error *error)
{
	const dk_status status = dk_unit_read_range(text, want, DK_BARE_REFUSED, low, high, field, value, error);
	return in_their_unit(text, status, error);
}

dk_status dk_switches_condition(const dk_switches *switches, dk_condition *out, dk_error *error)
{
	dk_condition condition = dk_default_condition();
	double value;
	if (switches->air)
	{
		DK_TRY(surroundings(switches->air, "degC", -40, 55, "--air", &value, error));
		condition.air_k = value + kZeroC;
	}
	if (switches->sea)
	{
		DK_TRY(surroundings(switches->sea, "degC", -2, 35, "--sea", &value, error));
		condition.sea_k = value + kZeroC;
	}
	if (switches->pressure)
		DK_TRY(
		    surroundings(switches->pressure, "Pa", 60e3, 110e3, "--pressure", &condition.pressure_pa, error));
	if (switches->humidity)
		DK_TRY(dk_unit_read_range(
		    switches->humidity, "-", DK_BARE_TABLE, 0, 1, "--humidity", &condition.humidity, error));
	*out = condition;
	return DK_OK;
}

// the id of a fault that the catalogue knows
static dk_status find_fault(
    const dk_boat *boat, const char *id, const char *field, int *fault, dk_error *error)
{
	*fault = dk_fault_find(boat->catalog, id);
	if (*fault >= 0) return DK_OK;
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no fault '%s'", id);
	dk_error_field(error, field);
	const char *names[boat->catalog->fault_count + 1];
	for (int i = 0; i < boat->catalog->fault_count; ++i) names[i] = boat->catalog->fault[i].id;
	return dk_error_nearest(error, id, names, boat->catalog->fault_count);
}

// one ID=S[:k]
static dk_status read_fault(const char *text, const dk_boat *boat, dk_broken *out, dk_error *error)
{
	char id[96], number[64];
	const char *equals = strchr(text, '=');
	if (!equals || (size_t)(equals - text) >= sizeof id || strlen(equals + 1) >= sizeof number)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.60s' is not ID=SEVERITY or ID=SEVERITY:CYLINDERS", text);
		return dk_error_field(error, "--fault");
	}
	snprintf(id, sizeof id, "%.*s", (int)(equals - text), text);
	snprintf(number, sizeof number, "%s", equals + 1);
	DK_TRY(find_fault(boat, id, "--fault", &out->fault, error));

	char *colon = strchr(number, ':');
	double hit = 0;
	if (colon)
	{
		*colon = 0;
		DK_TRY(whole(colon + 1, "--fault", 1, boat->record.param[DK_PARAM_cylinder_count], 1, &hit, error));
	}
	out->hit_count = (int)hit;
	char field[128];
	snprintf(field, sizeof field, "--fault %s, severity", id);
	return dk_unit_read_range(number, "-", DK_BARE_TABLE, 0, 1, field, &out->severity, error);
}

dk_status dk_switches_faults(
    const dk_switches *switches, const dk_boat *boat, dk_broken *broken, int *count, dk_error *error)
{
	for (int i = 0; i < switches->fault.count; ++i)
		DK_TRY(read_fault(switches->fault.text[i], boat, &broken[i], error));
	*count = switches->fault.count;
	return DK_OK;
}

dk_status dk_switches_point(const dk_switches *switches, int fallback, int *point, dk_error *error)
{
	*point = fallback;
	if (!switches->point) return DK_OK;
	*point = dk_point_find(switches->point);
	if (*point >= 0) return DK_OK;
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no operating point '%s'", switches->point);
	dk_error_field(error, "--point");
	const char *names[DK_POINT_COUNT];
	for (int i = 0; i < DK_POINT_COUNT; ++i) names[i] = dk_point_info[i].id;
	dk_error_nearest(error, switches->point, names, DK_POINT_COUNT);
	if (error && !error->advice[0])
		dk_error_advice(
		    error, "points are key_on, cold_crank, cold_idle, warm_idle, cruise, full, no_load, stopped_hot");
	return DK_UNKNOWN_NAME;
}

dk_status dk_switches_lever(const dk_switches *switches, const dk_boat *boat, const dk_condition *condition,
    int point, double *lever, dk_error *error)
{
	if (point != DK_POINT_cruise && point != DK_POINT_stopped_hot)
	{
		*lever = point == DK_POINT_full || point == DK_POINT_no_load;
		if (!switches->lever && !switches->rpm) return DK_OK;
		dk_error_set(error, DK_CONTRADICTION, "the point %s sets its own lever; leave --lever and --rpm away",
		    dk_point_info[point].id);
		return dk_error_field(error, switches->lever ? "--lever" : "--rpm");
	}
	if (switches->lever && switches->rpm)
	{
		dk_error_set(error, DK_CONTRADICTION, "--lever and --rpm both set the lever; give one of them");
		return dk_error_field(error, "--lever");
	}
	if (switches->lever)
		return dk_unit_read_range(switches->lever, "-", DK_BARE_TABLE, 0, 1, "--lever", lever, error);
	const double *param = boat->record.param;
	if (!switches->rpm)
	{
		*lever = dk_engine_cruise_lever(param, condition);
		return DK_OK;
	}
	double rpm;
	DK_TRY(dk_unit_read_range(switches->rpm, "rpm", DK_BARE_TABLE, param[DK_PARAM_fuel_idle_rpm],
	    1.1 * param[DK_PARAM_fuel_rated_rpm], "--rpm", &rpm, error));
	*lever = dk_engine_lever(param, condition, rpm);
	return DK_OK;
}

dk_status dk_switches_boat(const dk_switches *switches, dk_boat **boat, dk_error *error)
{
	return dk_boat_open(switches->data_folder, switches->engine ? switches->engine : "three_indirect",
	    switches->set.text, switches->set.count, boat, error);
}

json_t *dk_json_condition(const dk_condition *condition)
{
	json_t *out = json_object();
	json_object_set_new(out, "air_degc", dk_json_number(condition->air_k - kZeroC));
	json_object_set_new(out, "sea_degc", dk_json_number(condition->sea_k - kZeroC));
	json_object_set_new(out, "pressure_bar", dk_json_number(condition->pressure_pa / 1e5));
	json_object_set_new(out, "humidity", dk_json_number(condition->humidity));
	json_object_set_new(out, "soak_h", dk_json_number(condition->soak_h));
	return out;
}

json_t *dk_json_broken(const dk_boat *boat, const dk_broken *broken, int count)
{
	json_t *out = json_array();
	for (int i = 0; i < count; ++i)
	{
		const dk_fault *fault = &boat->catalog->fault[broken[i].fault];
		char measure[160];
		dk_fault_measure(fault, broken[i].severity, measure, sizeof measure);
		json_t *row = json_object();
		json_object_set_new(row, "id", dk_json_text(fault->id));
		json_object_set_new(row, "name", dk_json_text(fault->name));
		json_object_set_new(row, "severity", dk_json_number(broken[i].severity));
		json_object_set_new(row, "measure", dk_json_text(measure));
		json_object_set_new(row, "cylinders", json_integer(broken[i].hit_count));
		json_array_append_new(out, row);
	}
	return out;
}
