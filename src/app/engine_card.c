// The engine record, shown back.
#include "app/engine_card.h"
#include "base/json.h"
#include "engine/batch.h"
#include <stdio.h>

static json_t *figures(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "id", dk_json_text(dk_param_info[i].id));
		json_object_set_new(row, "value", dk_json_number(boat->record.param[i]));
		json_object_set_new(row, "unit", dk_json_text(dk_param_info[i].unit));
		json_object_set_new(row, "meaning", dk_json_text(dk_param_info[i].meaning));
		json_object_set_new(row, "given", json_boolean(boat->record.given[i]));
		json_object_set_new(row, "source", dk_json_text(boat->record.source[i]));
		json_object_set_new(row, "spread", dk_json_number(dk_record_spread(&boat->record, i)));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *missing(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int i = 0; i < boat->record.missing_count; ++i)
	{
		const dk_missing *one = &boat->record.missing[i];
		json_t *row = json_object();
		json_object_set_new(row, "field", dk_json_text(one->field));
		json_object_set_new(row, "taken", dk_json_number(one->taken));
		json_object_set_new(row, "unit", dk_json_text(one->unit));
		json_object_set_new(row, "costs", dk_json_text(one->costs));
		json_array_append_new(out, row);
	}
	return out;
}

static json_t *installation(const dk_boat *boat)
{
	json_t *out = json_object();
	for (int i = 0; i < DK_INSTALL_COUNT; ++i)
		json_object_set_new(out, dk_install_info[i].id,
		    dk_json_text(dk_install_info[i].answer[boat->record.installation.answer[i]]));
	return out;
}

static json_t *solved(const dk_boat *boat)
{
	const dk_fitted *fitted = &boat->fitted;
	json_t *out = json_object();
	json_object_set_new(out, "rack_max_kg", fitted->rack ? dk_json_number(fitted->rack_kg) : json_null());
	json_object_set_new(
	    out, "propeller_m", fitted->propeller ? dk_json_number(fitted->propeller_m) : json_null());
	json_object_set_new(
	    out, "pitch_ratio", fitted->propeller ? dk_json_number(fitted->pitch_ratio) : json_null());
	json_object_set_new(
	    out, "bearing_m3", fitted->bearing ? dk_json_number(fitted->bearing_m3) : json_null());
	json_object_set_new(
	    out, "power_residual_w", fitted->rack ? dk_json_number(fitted->power_residual_w) : json_null());
	return out;
}

// a healthy engine at full with less air than this smokes: bore, stroke and power do not fit each other
// [ASSUMED-853]
static const double kLambdaLeast = 1.10;

// what of the record does not hold together
static json_t *warnings(const dk_boat *boat)
{
	json_t *out = json_array();
	double reading[DK_READING_COUNT];
	unsigned char status;
	dk_batch full = { .count = 1,
		.param = boat->record.param,
		.condition = dk_default_condition(),
		.point = DK_POINT_full,
		.reading = reading,
		.status = &status };
	dk_batch_run(&full, 1);
	if (status == DK_REACHED && reading[DK_READING_lambda] < kLambdaLeast)
	{
		char text[200];
		snprintf(text, sizeof text,
		    "this much power from this size leaves too little air: lambda %.2f at full; look at rated power, "
		    "bore and stroke again",
		    reading[DK_READING_lambda]);
		json_array_append_new(out, dk_json_text(text));
	}
	return out;
}

dk_status dk_app_engine_of(const dk_boat *boat, json_t **out)
{
	*out = json_object();
	json_object_set_new(*out, "id", dk_json_text(boat->record.id));
	json_object_set_new(*out, "name", dk_json_text(boat->record.name));
	json_object_set_new(*out, "invented", json_boolean(boat->record.invented));
	json_object_set_new(*out, "engines", json_integer(boat->record.engines));
	json_object_set_new(*out, "rated_power_kw", dk_json_number(boat->record.rated_power_w / 1e3));
	json_object_set_new(*out, "installation", installation(boat));
	json_object_set_new(*out, "figures", figures(boat));
	json_object_set_new(*out, "solved", solved(boat));
	json_object_set_new(*out, "missing", missing(boat));
	json_object_set_new(*out, "warnings", warnings(boat));
	json_object_set_new(*out, "engine_hash", dk_json_hash(boat->record.hash));
	return DK_OK;
}

dk_status dk_app_engine(const dk_switches *switches, json_t **out, dk_error *error)
{
	dk_boat *boat;
	DK_TRY(dk_switches_boat(switches, &boat, error));
	const dk_status status = dk_app_engine_of(boat, out);
	dk_boat_close(boat);
	return status;
}
