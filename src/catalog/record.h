#pragma once
// The engine record: one engine (and the boat around it) from a hand-edited YAML file in people's words and
// units to the parameters of engine/params.def. Every number has a source; 'invented' is one. What the file
// does not say falls back to the table's default and is named in `missing`, with what that costs. The
// exact, complete form is in docs/data.md.
#include "base/arena.h"
#include "base/error.h"
#include "base/yaml.h"
#include "catalog/install.h"
#include "engine/tables.h"
#include <stdbool.h>
#include <stdint.h>

// A figure that the record leaves out.
typedef struct dk_missing
{
	const char *field; // the record's own name: "connecting_rod"
	int param;         // DK_PARAM_..., -1 when it maps onto none
	double taken;      // the default that stands in, in `unit`; NAN when nothing does
	const char *unit;  // as one would write it: "mm", "deg before TDC"
	const char *costs; // what that costs in certainty, in plain words
} dk_missing;

typedef struct dk_record
{
	const char *id; // the file's NAME without .yaml unless the file says
	const char *name;
	bool invented;                // any number of it is invented: shown as such wherever it is shown
	bool fitted;                  // readings of a well day narrowed it: spread_fitted, else spread_plate
	double param[DK_PARAM_COUNT]; // in each parameter's unit; .b twins equal to the sound class
	unsigned char given[DK_PARAM_COUNT]; // 1 where the record says (or derives) the value
	const char *source[DK_PARAM_COUNT];  // where the value is from; "default" where not given
	double rated_power_w;                // 0 when not given
	double hot_idle_oil_pa;              // gauge, 0 when not given
	double compression_limit_pa;   // lowest cranking compression the manual allows, gauge; 0 when not given
	double max_rpm;                // highest no-load speed; rated x no_load_ratio when not given
	double coolant_limit_k;        // highest coolant temperature the manual allows; 0 when not given
	double oil_limit_pa;           // lowest oil pressure at speed the manual allows, gauge; 0 when not given
	double back_pressure_limit_pa; // highest back pressure the manual allows; 0 when not given
	double usual_rpm;              // the skipper's usual cruising speed; 0 when not given
	dk_installation installation;
	int engines; // how many of these stand side by side; 1 or 2
	const dk_missing *missing;
	int missing_count;
	uint64_t hash; // over param, given and installation
} dk_record;

// One row of the table that maps the record's fields onto parameters (record_fields.def), for docs and
// `engine --json`.
typedef struct dk_record_field
{
	const char *section, *name; // "cylinder", "bore"
	const char *unit;           // the unit the field is best written in: "mm"
	int param;                  // DK_PARAM_..., -1: held in dk_record itself
	const char *about;          // what it is, for someone with a paper in hand
	const char *costs;          // what it costs when it is left out; NULL: nothing worth saying
	bool plate;                 // on the plate, or in any manual
} dk_record_field;

// The table; *count gets its length.
const dk_record_field *dk_record_fields(int *count);

// Reads a record. `name` is the id when the file gives none.
// Errors: those of yaml.h; a number without a source, out of range or in a wrong unit, an unknown field: with
// file, line, column, field, unit and range. `record` is written only on DK_OK; its texts live in the arena.
dk_status dk_record_read(const char *path, dk_arena *arena, dk_record *record, dk_error *error);
dk_status dk_record_parse(const char *text, size_t size, const char *file, const char *name, dk_arena *arena,
    dk_record *record, dk_error *error);
dk_status dk_record_from_node(
    const dk_node *root, const char *name, dk_arena *arena, dk_record *record, dk_error *error);

// `--engine FILE|NAME`: a path when it has a '/' or ends in .yaml, else FOLDER/engines/NAME.yaml; an
// unknown name says which there are and the nearest.
dk_status dk_record_find(
    const char *folder, const char *file_or_name, dk_arena *arena, dk_record *record, dk_error *error);

// Sets one parameter by text, as `--set PARAM=VALUE` gives it: "exhaust.elbow_open=0.4",
// "cylinder.bore_m=84 mm". A per-class parameter without ".b" sets both classes. Errors name the parameter,
// its unit and range.
dk_status dk_record_set(dk_record *record, const char *assignment, dk_arena *arena, dk_error *error);

// The spread of a parameter for this record: spread_fitted when fitted, else spread_plate.
double dk_record_spread(const dk_record *record, int param);
