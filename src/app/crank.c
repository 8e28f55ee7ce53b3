// Tries with the starter, one after another: the battery sags, the water lock fills.
#include "app/crank.h"
#include "base/json.h"
#include "base/units.h"
#include "plant/cooling.h"
#include "plant/starting.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const double kPi = 3.14159265358979323846;

// shorter than this is a touch of the key, no try
static const double kTryLeast = 0.5;

// one try as it was asked for; 10 s and a minute of rest where nobody says [ASSUMED-851]
typedef struct attempt
{
	double seconds, rest_s;
} attempt;

// the starter's own heat: a rest of three times the cranking lets it go on [ASSUMED-852]
static const double kRestShare = 3;

static dk_status read_attempt(const char *text, double least_s, attempt *out, dk_error *error)
{
	char first[64];
	const char *comma = strchr(text, ',');
	const size_t length = comma ? (size_t)(comma - text) : strlen(text);
	if (length >= sizeof first)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.40s' is not SECONDS or SECONDS,REST", text);
		return dk_error_field(error, "--try");
	}
	memcpy(first, text, length);
	first[length] = 0;
	DK_TRY(
	    dk_unit_read_range(first, "s", DK_BARE_TABLE, least_s, 120, "--try, seconds", &out->seconds, error));
	out->rest_s = 60;
	if (!comma) return DK_OK;
	return dk_unit_read_range(comma + 1, "s", DK_BARE_TABLE, 0, 86400, "--try, rest", &out->rest_s, error);
}

static dk_exhaust_def exhaust_of(const double *param)
{
#define X(system, name, ...) .name = param[DK_PARAM_##system##_##name],
	return (dk_exhaust_def){ DK_PARAMS_EXHAUST(X) };
#undef X
}

static dk_cooling_def cooling_of(const double *param)
{
#define X(system, name, ...) .name = param[DK_PARAM_##system##_##name],
	return (dk_cooling_def){ DK_PARAMS_COOLING(X) };
#undef X
}

static dk_starting_def starting_of(const double *param)
{
#define X(system, name, ...) .name = param[DK_PARAM_##system##_##name],
	return (dk_starting_def){ DK_PARAMS_STARTING(X) };
#undef X
}

// the first cranking of one engine
static unsigned char crank_once(const double *param, const dk_condition *condition, double *reading)
{
	unsigned char status;
	dk_batch one = { .count = 1,
		.param = param,
		.condition = *condition,
		.point = DK_POINT_cold_crank,
		.reading = reading,
		.status = &status };
	dk_batch_run(&one, 1);
	return status;
}

static double raw_flow(const double *param, const double *reading)
{
	const dk_cooling_def cooling = cooling_of(param);
	return DK_FN(dk_cooling_raw_flow)(&cooling, reading[DK_READING_crank_speed] * kPi / 30);
}

dk_status dk_app_flood(const double *param, const dk_condition *condition, const dk_switch_list *tries,
    dk_flood_left *left, dk_error *error)
{
	const dk_exhaust_def exhaust = exhaust_of(param);
	dk_flood_account account;
	double reading[DK_READING_COUNT];
	crank_once(param, condition, reading);
	const double flow = raw_flow(param, reading);
	DK_FN(dk_flood_start)(&exhaust, &account);
	for (int i = 0; i < tries->count; ++i)
	{
		attempt one;
		DK_TRY(read_attempt(tries->text[i], 0, &one, error));
		DK_FN(dk_flood_try)(flow, one.seconds, one.rest_s, 0, &account);
	}
	DK_FN(dk_flood_left)(&exhaust, &account, flow, left);
	return DK_OK;
}

static json_t *flood_json(const dk_flood_left *left)
{
	json_t *out = json_object();
	json_object_set_new(out, "seconds", dk_json_number(left->seconds));
	json_object_set_new(out, "low_5_percent", dk_json_number(left->low_seconds));
	json_object_set_new(out, "advice", dk_json_number(left->advice_s));
	return out;
}

// what one try shows, before it is spent
static json_t *try_json(
    const attempt *one, const double *reading, unsigned char status, double charge, const dk_flood_left *left)
{
	const double fire = reading[DK_READING_seconds_to_fire];
	const bool fires = status != DK_NOT_REACHED && fire < dk_reading_info[DK_READING_seconds_to_fire].cap;
	json_t *out = json_object();
	json_object_set_new(out, "seconds", dk_json_number(one->seconds));
	json_object_set_new(out, "rest", dk_json_number(one->rest_s));
	json_object_set_new(out, "turns", json_boolean(status != DK_NOT_REACHED));
	json_object_set_new(out, "fires", json_boolean(fires && fire <= one->seconds));
	json_object_set_new(out, "seconds_to_fire", fires ? dk_json_number(fire) : json_null());
	json_object_set_new(out, "ignition_margin", dk_json_number(reading[DK_READING_ignition_margin]));
	json_object_set_new(out, "crank_speed_rpm", dk_json_number(reading[DK_READING_crank_speed]));
	json_object_set_new(out, "battery_volts", dk_json_number(reading[DK_READING_battery_crank]));
	json_object_set_new(out, "crank_current_amps", dk_json_number(reading[DK_READING_crank_current]));
	json_object_set_new(out, "charge_before", dk_json_number(charge));
	json_object_set_new(out, "flood_before", flood_json(left));
	return out;
}

// without --try: one of the usual length
static int tries_asked(const dk_switches *switches)
{
	return switches->attempt.count ? switches->attempt.count : 1;
}

// what was asked for and should not be done so; the texts were read before
static json_t *remarks_json(const dk_switches *switches)
{
	json_t *out = json_array();
	for (int i = 0; i < switches->attempt.count; ++i)
	{
		attempt one;
		char remark[200];
		if (!strchr(switches->attempt.text[i], ',')) continue;
		if (read_attempt(switches->attempt.text[i], kTryLeast, &one, NULL) != DK_OK) continue;
		if (one.rest_s >= kRestShare * one.seconds) continue;
		snprintf(remark, sizeof remark,
		    "Try %d: %.3g s of rest after %.3g s of cranking is short. The starter heats: three times the "
		    "cranking at least, and the manual's figure rules.",
		    i + 1, one.rest_s, one.seconds);
		json_array_append_new(out, dk_json_text(remark));
	}
	return out;
}

// tries until the list is done or it fires
static dk_status crank_tries(const dk_switches *switches, double *param, const dk_condition *condition,
    json_t *tries, dk_flood_left *left, dk_error *error)
{
	const dk_exhaust_def exhaust = exhaust_of(param);
	const char *const usual[] = { "10,60" };
	const dk_switch_list *list = &switches->attempt;
	const int count = tries_asked(switches);
	dk_flood_account account;
	DK_FN(dk_flood_start)(&exhaust, &account);
	for (int i = 0; i < count; ++i)
	{
		attempt one;
		double reading[DK_READING_COUNT];
		DK_TRY(read_attempt(list->count ? list->text[i] : usual[0], kTryLeast, &one, error));
		const unsigned char status = crank_once(param, condition, reading);
		const double flow = raw_flow(param, reading);
		DK_FN(dk_flood_left)(&exhaust, &account, flow, left);
		json_array_append_new(
		    tries, try_json(&one, reading, status, param[DK_PARAM_starting_battery_charge], left));
		const double fire = reading[DK_READING_seconds_to_fire];
		if (status != DK_NOT_REACHED && fire <= one.seconds) break;

		// what the try costs: charge, and water in the lock
		const dk_starting_def starting = starting_of(param);
		param[DK_PARAM_starting_battery_charge] = fmax(dk_param_info[DK_PARAM_starting_battery_charge].low,
		    DK_FN(dk_starting_charge_after)(&starting, reading[DK_READING_crank_current], one.seconds));
		DK_FN(dk_flood_try)(flow, one.seconds, one.rest_s, 0, &account);
		DK_FN(dk_flood_left)(&exhaust, &account, flow, left);
	}
	return DK_OK;
}

static dk_status crank_open(const dk_switches *switches, const dk_boat *boat, json_t **out, dk_error *error)
{
	dk_condition condition;
	dk_broken broken[DK_SWITCH_MOST];
	int count;
	double param[DK_PARAM_COUNT];
	dk_flood_left left;
	DK_TRY(dk_switches_condition(switches, &condition, error));
	DK_TRY(dk_switches_faults(switches, boat, broken, &count, error));
	memcpy(param, boat->record.param, sizeof param);
	DK_TRY(dk_breaking_apply(boat->breaking, broken, count, param, error));
	json_t *tries = json_array();
	const dk_status status = crank_tries(switches, param, &condition, tries, &left, error);
	if (status != DK_OK)
	{
		json_decref(tries);
		return status;
	}
	*out = json_object();
	json_object_set_new(*out, "engine", dk_json_text(boat->record.id));
	json_object_set_new(*out, "invented", json_boolean(boat->record.invented));
	json_object_set_new(*out, "condition", dk_json_condition(&condition));
	json_object_set_new(*out, "faults", dk_json_broken(boat, broken, count));
	json_object_set_new(*out, "tries", tries);
	json_object_set_new(*out, "tries_asked", json_integer(tries_asked(switches)));
	json_object_set_new(*out, "remarks", remarks_json(switches));
	json_object_set_new(*out, "flood_left", flood_json(&left));
	json_object_set_new(*out, "manual_seconds", dk_json_number(param[DK_PARAM_exhaust_manual_crank_s]));
	json_object_set_new(*out, "caution",
	    dk_json_text(
	        "Neutral seen at the gearbox, nobody near belts or shaft. If you shut the inlet valve while "
	        "cranking, open it the moment it fires. Starter rest is a separate clock: see the manual."));
	return DK_OK;
}

dk_status dk_app_crank(const dk_switches *switches, json_t **out, dk_error *error)
{
	dk_boat *boat;
	DK_TRY(dk_switches_boat(switches, &boat, error));
	const dk_status status = crank_open(switches, boat, out, error);
	dk_boat_close(boat);
	return status;
}
