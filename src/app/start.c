// The page's first answer.
#include "app/start.h"
#include "app/list.h"
#include "base/json.h"
#include <string.h>

// rows of a list that are aboard
static dk_status aboard(
    const dk_boat *boat, const char *data_folder, const char *kind, json_t *into, dk_error *error)
{
	json_t *rows, *kept = json_array();
	const dk_status status = dk_app_list_of(boat, data_folder, kind, &rows, error);
	if (status != DK_OK)
	{
		json_decref(kept);
		return status;
	}
	size_t i;
	json_t *row;
	json_array_foreach(rows, i, row) if (!json_is_false(json_object_get(row, "aboard")))
	    json_array_append(kept, row);
	json_decref(rows);
	json_object_set_new(into, kind, kept);
	return DK_OK;
}

// every way to stop this engine, the usual one first
static json_t *stop_ways(const dk_boat *boat)
{
	static const char *const kWays[][2] = {
		{ "cable", "Pull the stop cable or lever on the injection pump, and hold it." },
		{ "energise_to_run", "Key off. If it runs on, pull the wire off the stop solenoid." },
		{ "energise_to_stop",
		    "Hold the stop button. If it does nothing, push the stop lever on the pump by hand." },
	};
	const char *stop =
	    dk_install_info[DK_INSTALL_stop].answer[boat->record.installation.answer[DK_INSTALL_stop]];
	json_t *out = json_array();
	for (int i = 0; i < 3; ++i)
		if (!strcmp(kWays[i][0], stop)) json_array_append_new(out, dk_json_text(kWays[i][1]));
	json_array_append_new(out, dk_json_text("Shut the fuel at the tank: it dies in a minute or more."));
	json_array_append_new(
	    out, dk_json_text("Starve it of air: a flat board over the inlet. Stand clear, no hand near it."));
	return out;
}

static json_t *engine(const dk_boat *boat)
{
	const dk_record *record = &boat->record;
	json_t *out = json_object(), *installation = json_object();
	for (int i = 0; i < DK_INSTALL_COUNT; ++i)
		json_object_set_new(installation, dk_install_info[i].id,
		    dk_json_text(dk_install_info[i].answer[record->installation.answer[i]]));
	json_object_set_new(out, "name", dk_json_text(record->id));
	json_object_set_new(out, "title", dk_json_text(record->name));
	json_object_set_new(out, "invented", json_boolean(record->invented));
	json_object_set_new(out, "cylinders", json_integer((json_int_t)record->param[DK_PARAM_cylinder_count]));
	json_object_set_new(out, "rated_rpm", dk_json_number(record->param[DK_PARAM_fuel_rated_rpm]));
	json_object_set_new(out, "cruise_rpm", dk_json_number(0.7 * record->param[DK_PARAM_fuel_rated_rpm]));
	json_object_set_new(out, "installation", installation);
	json_object_set_new(out, "stop_ways", stop_ways(boat));
	json_object_set_new(out, "air_c", json_null());
	json_object_set_new(out, "sea_c", json_null());
	json_object_set_new(out, "hours", json_null());
	return out;
}

// range in which a reading is plausible, for the figure pad
static json_t *readings(const dk_boat *boat)
{
	json_t *out = json_array();
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		const dk_reading_row *row = &dk_reading_info[r];
		if (!boat->present[r]) continue;
		json_t *one = json_object();
		json_object_set_new(one, "id", dk_json_text(row->id));
		json_object_set_new(one, "unit", dk_json_text(row->unit));
		json_object_set_new(one, "low", dk_json_number(row->span_low));
		json_object_set_new(one, "high", dk_json_number(row->span_high));
		json_array_append_new(out, one);
	}
	return out;
}

dk_status dk_app_start(const dk_boat *boat, const char *data_folder, json_t **out, dk_error *error)
{
	static const char *const kKinds[] = { "signs", "checks", "red_rules", "gates", "repairs", "faults" };
	json_t *start = json_object();
	for (int i = 0; i < 6; ++i)
	{
		const dk_status status = aboard(boat, data_folder, kKinds[i], start, error);
		if (status == DK_OK) continue;
		json_decref(start);
		return status;
	}
	json_t *first = json_array();
	const dk_catalog *catalog = boat->catalog;
	if (catalog->after >= 0) json_array_append_new(first, dk_json_text(catalog->sign[catalog->after].id));
	if (catalog->since >= 0) json_array_append_new(first, dk_json_text(catalog->sign[catalog->since].id));
	json_object_set_new(start, "first_questions", first);
	json_object_set_new(start, "engine", engine(boat));
	json_object_set_new(start, "readings", readings(boat));
	json_object_set_new(start, "catalogue_hash", dk_json_hash(catalog->hash));
	json_object_set_new(start, "engine_hash", dk_json_hash(boat->record.hash));
	json_object_set_new(start, "model_version", dk_json_text(dk_model_version));
	*out = start;
	return DK_OK;
}
