#include "catalog/record.h"
#include "base/file.h"
#include "base/hash.h"
#include "base/text.h"
#include "base/units.h"
#include "catalog/record_build.h"
#include "catalog/record_fields.def"
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

// how a field is written, see record_fields.def
typedef enum way
{
	WAY_VALUE,
	WAY_BORE,
	WAY_BEFORE_TDC,
	WAY_AFTER_TDC,
	WAY_BEFORE_BDC,
	WAY_AFTER_BDC,
	WAY_BEFORE_FIRING,
	WAY_RATED,
	WAY_TONNES,
	WAY_CELLS,
	WAY_PITCH
} way;

static bool is_event(way how)
{
	return how >= WAY_BEFORE_TDC && how <= WAY_BEFORE_FIRING;
}

static const dk_record_field fields[] = {
#define X(section, field, way, unit, system, name, about, costs, plate)                                      \
	{ #section, #field, unit, DK_PARAM_##system##_##name, about, costs, plate },
	DK_RECORD_FIELDS(X)
#undef X
};

static const way ways[] = {
#define X(section, field, way, unit, system, name, about, costs, plate) WAY_##way,
	DK_RECORD_FIELDS(X)
#undef X
};

const dk_record_field *dk_record_fields(int *count)
{
	*count = COUNT(fields);
	return fields;
}

#define AT(field) offsetof(dk_record_building, field)
const dk_record_plain dk_record_plains[] = {
	{ "engine", "rated_power", "kW", "W", AT(record.rated_power_w), 1, 1000, "power at rated speed",
	    "full-load fuel and all that goes by size are then a guess", true },
	{ "engine", "fuel_at_rated", "l/h", "m3/s", AT(fuel_at_rated_m3_s), 0.1, 400, "fuel use at rated power",
	    "", false },
	{ "engine", "usual_speed", "rpm", "rpm", AT(record.usual_rpm), 200, 6000, "usual cruising speed", "",
	    false },
	{ "oil", "hot_idle_pressure", "bar", "Pa", AT(record.hot_idle_oil_pa), 0.1, 8,
	    "oil pressure hot, at idle, gauge", "bearings worn long ago are not told from a fault", false },
	{ "limits", "compression", "bar", "Pa", AT(record.compression_limit_pa), 5, 60,
	    "lowest cranking compression, gauge", "", true },
	{ "limits", "coolant", "degC", "K", AT(record.coolant_limit_k), 40, 130, "highest coolant temperature",
	    "", true },
	{ "limits", "oil_pressure", "bar", "Pa", AT(record.oil_limit_pa), 0.1, 8,
	    "lowest oil pressure at speed, gauge", "", true },
	{ "limits", "back_pressure", "kPa", "Pa", AT(record.back_pressure_limit_pa), 1, 60,
	    "highest exhaust back pressure at rated power", "", true },
};
const int dk_record_plain_count = COUNT(dk_record_plains);

// Oil grades: viscosity at 40 and 100 degC [mm2/s], typical of each grade. [ASSUMED-687]; the 100 degC
// values lie in the grade's band of [J300]
static const struct
{
	const char *grade;
	double kv40, kv100;
} grades[] = {
	{ "5W-30", 66, 11.0 },
	{ "5W-40", 86, 14.0 },
	{ "10W-30", 69, 10.8 },
	{ "10W-40", 97, 14.2 },
	{ "15W-40", 106, 14.3 },
	{ "20W-50", 163, 18.3 },
	{ "SAE 30", 95, 11.0 },
	{ "SAE 40", 140, 14.4 },
};

// ---- one figure: its text and its source

static dk_status wrong(
    dk_record_building *b, const dk_node *node, const char *field, dk_status status, const char *what)
{
	dk_error_set(b->error, status, "%s", what);
	dk_node_blame(node, field, b->error);
	return status;
}

// `84 mm` or {value: 84 mm, source: ...}; a figure without any source is refused
static dk_status figure(
    dk_record_building *b, const dk_node *section, const char *field, const char **text, const char **source)
{
	static const char *const keys[] = { "value", "source", "note" };
	const dk_node *node = dk_node_get(section, field);
	*text = NULL;
	if (!node || dk_node_is_empty(node)) return DK_OK;
	DK_TRY(dk_node_text_or(section, "source", b->file_source, source, b->error));
	if (node->kind == DK_NODE_TEXT)
		DK_TRY(dk_node_text(section, field, text, b->error));
	else
	{
		DK_TRY(dk_node_only(node, field, keys, COUNT(keys), b->error));
		DK_TRY(dk_node_text(node, "value", text, b->error));
		DK_TRY(dk_node_text_or(node, "source", *source, source, b->error));
	}
	if (*source)
	{
		b->record.invented |= !strcmp(*source, "invented");
		return DK_OK;
	}
	wrong(b, node, field, DK_MISSING, "this figure has no source");
	return dk_error_advice(b->error,
	    "write {value: %.40s, source: where it is from}, or one 'source:' for the file; "
	    "'invented' is a source",
	    *text);
}

static void set(dk_record_building *b, int param, double value, const char *source)
{
	b->record.param[param] = value;
	b->record.given[param] = 1;
	b->record.source[param] = source;
}

// ---- valve events: "14 deg before TDC"

// each kind of event: usual side (1 after, -1 before) of which dead centre, where that lies in the
// parameter's count, and the count's sign; `unit` is how it is written
static const struct
{
	int usual;
	char centre;
	double at;
	double sign;
	const char *unit;
} rule[] = {
	[WAY_BEFORE_TDC] = { -1, 'T', 0, 1, "deg before TDC" },
	[WAY_AFTER_TDC] = { 1, 'T', 360, 1, "deg after TDC" },
	[WAY_BEFORE_BDC] = { -1, 'B', 180, 1, "deg before BDC" },
	[WAY_AFTER_BDC] = { 1, 'B', 180, 1, "deg after BDC" },
	[WAY_BEFORE_FIRING] = { -1, 'T', 0, -1, "deg before TDC" },
};

// +1 after, -1 before, 0 not said; `centre` 'T' or 'B', 0 not said; false when a word is not understood
static bool event_words(const char *words, int *side, char *centre)
{
	char line[48];
	*side = 0, *centre = 0;
	if (strlen(words) >= sizeof line) return false;
	memcpy(line, words, strlen(words) + 1);
	char *rest = NULL;
	for (char *word = strtok_r(line, " \t", &rest); word; word = strtok_r(NULL, " \t", &rest))
	{
		static const struct
		{
			const char *word;
			int side;
			char centre;
		} known[] = {
			{ "before", -1, 0 },
			{ "after", 1, 0 },
			{ "TDC", 0, 'T' },
			{ "BDC", 0, 'B' },
			{ "BTDC", -1, 'T' },
			{ "ATDC", 1, 'T' },
			{ "BBDC", -1, 'B' },
			{ "ABDC", 1, 'B' },
			{ "deg", 0, 0 },
			{ "\xc2\xb0", 0, 0 },
		};
		int i = 0;
		while (i < COUNT(known) && strcasecmp(word, known[i].word)) ++i;
		if (i == COUNT(known)) return false;
		if (known[i].side) *side = known[i].side;
		if (known[i].centre) *centre = known[i].centre;
	}
	return true;
}

// usual side, dead centre, and where that centre lies in the parameter's own count; sign of the parameter
static dk_status valve_event(
    dk_record_building *b, const dk_node *node, int i, const char *text, double *value)
{
	double number = 0;
	const char *rest = "";
	int side = 0;
	char centre = 0;
	if (dk_number_parse(text, &number, &rest, b->error) != DK_OK)
		return dk_node_blame(node, fields[i].name, b->error);
	const bool understood = event_words(rest, &side, &centre);
	if (!understood || (centre && centre != rule[ways[i]].centre))
	{
		wrong(b, node, fields[i].name, DK_BAD_INPUT, "this valve or injection event is not understood");
		return dk_error_advice(b->error, "write it as '%s deg %s %s'",
		    fields[i].param == DK_PARAM_cylinder_ivc_deg ? "42" : "14",
		    rule[ways[i]].usual < 0 ? "before" : "after", rule[ways[i]].centre == 'T' ? "TDC" : "BDC");
	}
	if (!side) side = rule[ways[i]].usual;
	*value = rule[ways[i]].sign * (rule[ways[i]].at + side * number);
	const dk_param_row *p = &dk_param_info[fields[i].param];
	if (*value >= p->low && *value <= p->high) return DK_OK;
	wrong(b, node, fields[i].name, DK_OUT_OF_RANGE, "this event is out of range");

	// the range as the skipper would write it
	const double one = side * (rule[ways[i]].sign * p->low - rule[ways[i]].at);
	const double two = side * (rule[ways[i]].sign * p->high - rule[ways[i]].at);
	char unit[32];
	snprintf(unit, sizeof unit, "deg %s %s", side < 0 ? "before" : "after",
	    rule[ways[i]].centre == 'T' ? "TDC" : "BDC");
	return dk_error_range(b->error, fmin(one, two), fmax(one, two), unit);
}

// ---- the fields of the table

// from what is written to what the parameter holds, for the ways that are a plain change of size
static double to_written(way how, double x, double rated)
{
	switch (how)
	{
	case WAY_BORE: return sqrt(x * 4 / 3.141592653589793);
	case WAY_RATED: return x * rated;
	case WAY_TONNES: return x * 1025; // sea water [kg/m3]
	case WAY_CELLS: return x * 2;
	default: return x;
	}
}

static double to_param(way how, double x, double rated)
{
	switch (how)
	{
	case WAY_BORE: return x * x * 3.141592653589793 / 4;
	case WAY_RATED: return x / rated;
	case WAY_TONNES: return x / 1025;
	case WAY_CELLS: return x / 2;
	default: return x;
	}
}

static const char *written_si(way how, const dk_param_row *p)
{
	switch (how)
	{
	case WAY_BORE: return "m";
	case WAY_RATED: return "rpm";
	case WAY_TONNES: return "kg";
	case WAY_CELLS: return "V";
	default: return p->unit;
	}
}

double dk_record_written(int i, const double *param, const char **unit)
{
	const double x = param[fields[i].param];
	*unit = fields[i].unit;
	if (is_event(ways[i]))
	{
		*unit = rule[ways[i]].unit;
		return rule[ways[i]].usual * (rule[ways[i]].sign * x - rule[ways[i]].at);
	}
	if (ways[i] == WAY_PITCH)
		return dk_unit_convert(x * param[DK_PARAM_driveline_propeller_m], "m", fields[i].unit);
	const char *si = written_si(ways[i], &dk_param_info[fields[i].param]);
	return dk_unit_convert(to_written(ways[i], x, param[DK_PARAM_fuel_rated_rpm]), si, fields[i].unit);
}

static dk_status whole(dk_record_building *b, const dk_node *node, const dk_record_field *field, double value)
{
	const bool counts = field->param == DK_PARAM_cylinder_count ||
	                    field->param == DK_PARAM_driveline_blades ||
	                    field->param == DK_PARAM_starting_battery_cells;
	if (!counts || value == floor(value)) return DK_OK;
	wrong(b, node, field->name, DK_BAD_INPUT, "a whole number is expected here");
	const dk_param_row *p = &dk_param_info[field->param];
	return dk_error_range(b->error, p->low, p->high, "");
}

static dk_status read_field(dk_record_building *b, const dk_node *section, int i)
{
	const dk_record_field *field = &fields[i];
	const dk_param_row *p = &dk_param_info[field->param];
	const dk_node *node = dk_node_get(section, field->name);
	const char *text = NULL, *source = NULL;
	DK_TRY(figure(b, section, field->name, &text, &source));
	if (!text) return DK_OK;
	double value = 0;
	if (ways[i] == WAY_PITCH)
	{
		if (dk_unit_read_range(text, "m", DK_BARE_REFUSED, 0.05, 3, field->name, &b->pitch_m, b->error) !=
		    DK_OK)
			return dk_node_blame(node, field->name, b->error);
		b->record.source[field->param] = source;
		return DK_OK;
	}
	if (is_event(ways[i]))
	{
		DK_TRY(valve_event(b, node, i, text, &value));
		set(b, field->param, value, source);
		return DK_OK;
	}
	const double rated = b->record.param[DK_PARAM_fuel_rated_rpm];
	const char *si = written_si(ways[i], p);
	const double low = dk_unit_convert(to_written(ways[i], p->low, rated), si, field->unit);
	const double high = dk_unit_convert(to_written(ways[i], p->high, rated), si, field->unit);
	if (dk_unit_read_range(text, field->unit, DK_BARE_REFUSED, low, high, field->name, &value, b->error) !=
	    DK_OK)
		return dk_node_blame(node, field->name, b->error);

	// from the text once more and not from the range's unit, so that 84 mm is 0.084 to the last bit
	DK_TRY(dk_unit_read(text, si, DK_BARE_TABLE, field->name, &value, b->error));
	value = fmin(fmax(to_param(ways[i], value, rated), p->low), p->high);
	DK_TRY(whole(b, node, field, value));
	set(b, field->param, value, source);
	return DK_OK;
}

static dk_status read_plain(dk_record_building *b, const dk_node *section, const dk_record_plain *plain)
{
	const char *text = NULL, *source = NULL;
	DK_TRY(figure(b, section, plain->name, &text, &source));
	if (!text) return DK_OK;
	double value = 0;
	const dk_status status = dk_unit_read_range(
	    text, plain->unit, DK_BARE_REFUSED, plain->low, plain->high, plain->name, &value, b->error);
	if (status != DK_OK) return dk_node_blame(dk_node_get(section, plain->name), plain->name, b->error);
	*(double *)((char *)b + plain->offset) = dk_unit_convert(value, plain->unit, plain->si);
	return DK_OK;
}

// ---- words

static dk_status read_words(dk_record_building *b, const dk_node *root)
{
	static const char *const chambers[] = { "direct", "indirect" };
	static const char *const counters[] = { "sensor", "alternator" };
	const dk_node *engine = dk_node_get(root, "engine"), *oil = dk_node_get(root, "oil");
	const char *text = NULL, *source = NULL, *names[COUNT(grades)];
	int word = 0;
	DK_TRY(figure(b, engine, "chamber", &text, &source));
	if (text)
	{
		word = dk_text_index(text, chambers, 2);
		if (word < 0)
			return wrong(
			    b, dk_node_get(engine, "chamber"), "chamber", DK_UNKNOWN_NAME, "direct or indirect?");
		set(b, DK_PARAM_cylinder_indirect, word, source);
	}
	DK_TRY(figure(b, engine, "rev_counter", &text, &source));
	if (text)
	{
		word = dk_text_index(text, counters, 2);
		if (word < 0)
			return wrong(b, dk_node_get(engine, "rev_counter"), "rev_counter", DK_UNKNOWN_NAME,
			    "sensor or alternator?");
		set(b, DK_PARAM_starting_tacho_from_alternator, word, source);
	}
	DK_TRY(figure(b, oil, "grade", &text, &source));
	if (!text) return DK_OK;
	for (int i = 0; i < COUNT(grades); ++i) names[i] = grades[i].grade;
	word = dk_text_index(text, names, COUNT(grades));
	if (word < 0)
	{
		wrong(b, dk_node_get(oil, "grade"), "grade", DK_UNKNOWN_NAME, "this oil grade is not known");
		return dk_error_advice(
		    b->error, "known: 5W-30, 5W-40, 10W-30, 10W-40, 15W-40, 20W-50, SAE 30, SAE 40");
	}
	set(b, DK_PARAM_oil_kv40_m2_s, grades[word].kv40 * 1e-6, source);
	set(b, DK_PARAM_oil_kv100_m2_s, grades[word].kv100 * 1e-6, source);
	return DK_OK;
}

static dk_status read_installation(dk_record_building *b, const dk_node *map)
{
	const char *questions[DK_INSTALL_COUNT];
	for (int i = 0; i < DK_INSTALL_COUNT; ++i) questions[i] = dk_install_info[i].id;
	b->record.installation = dk_default_installation();
	if (!map || dk_node_is_empty(map)) return DK_OK;
	DK_TRY(dk_node_only(map, "the installation", questions, DK_INSTALL_COUNT, b->error));
	for (int i = 0; i < map->count; ++i)
	{
		const int question = dk_install_find(map->key[i]->text);
		const dk_install_row *row = &dk_install_info[question];
		int count = 0;
		while (count < DK_INSTALL_ANSWERS && row->answer[count]) ++count;
		DK_TRY(dk_node_word(
		    map, row->id, row->answer, count, &b->record.installation.answer[question], b->error));
		b->record.installation.given[question] = 1;
	}
	return DK_OK;
}

// ---- parameters by id

static dk_status unknown_param(const char *id, dk_error *error)
{
	const char *names[DK_PARAM_COUNT];
	for (int i = 0; i < DK_PARAM_COUNT; ++i) names[i] = dk_param_info[i].id;
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no parameter '%.60s'", id);
	dk_error_field(error, id);
	return dk_error_nearest(error, id, names, DK_PARAM_COUNT);
}

static dk_status read_parameters(dk_record_building *b, const dk_node *map)
{
	if (!map || dk_node_is_empty(map)) return DK_OK;
	if (map->kind != DK_NODE_MAP)
		return wrong(b, map, "parameters", DK_BAD_INPUT, "'parameter: value' lines are expected here");
	for (int i = 0; i < map->count; ++i)
	{
		const char *id = map->key[i]->text, *text = NULL, *source = NULL;
		if (!strcmp(id, "source")) continue;
		const int param = dk_param_find(id);
		if (param < 0)
		{
			unknown_param(id, b->error);
			return dk_node_blame(map->key[i], id, b->error);
		}
		DK_TRY(figure(b, map, id, &text, &source));
		if (!text) continue;
		const dk_param_row *p = &dk_param_info[param];
		double value = 0;
		if (dk_unit_read_range(text, p->unit, DK_BARE_TABLE, p->low, p->high, id, &value, b->error) != DK_OK)
			return dk_node_blame(map->item[i], id, b->error);
		set(b, param, value, source);
	}
	return DK_OK;
}

// ---- the whole record

static const char *const sections[] = { "engine", "cylinder", "valves", "injection", "fuel", "starting",
	"air", "exhaust", "cooling", "oil", "driveline", "boat", "limits" };

static dk_status read_section(dk_record_building *b, const dk_node *root, const char *name)
{
	enum
	{
		MOST = 40
	};
	const char *keys[MOST] = { "source" };
	int count = 1;
	const dk_node *section = dk_node_get(root, name);
	if (!section || dk_node_is_empty(section)) return DK_OK;
	for (int i = 0; i < COUNT(fields); ++i)
		if (!strcmp(fields[i].section, name)) keys[count++] = fields[i].name;
	for (int i = 0; i < dk_record_plain_count; ++i)
		if (!strcmp(dk_record_plains[i].section, name)) keys[count++] = dk_record_plains[i].name;
	if (!strcmp(name, "engine")) keys[count++] = "chamber", keys[count++] = "rev_counter";
	if (!strcmp(name, "oil")) keys[count++] = "grade";
	char what[40];
	snprintf(what, sizeof what, "the section '%s'", name);
	DK_TRY(dk_node_only(section, what, keys, count, b->error));
	for (int i = 0; i < COUNT(fields); ++i)
		if (!strcmp(fields[i].section, name)) DK_TRY(read_field(b, section, i));
	for (int i = 0; i < dk_record_plain_count; ++i)
		if (!strcmp(dk_record_plains[i].section, name)) DK_TRY(read_plain(b, section, &dk_record_plains[i]));
	return DK_OK;
}

// figures that are right alone and give a parameter out of range together with others
static dk_status derived_in_range(dk_record_building *b, const dk_node *root)
{
	const double *p = b->record.param;
	const double diameter = p[DK_PARAM_driveline_propeller_m];
	const dk_param_row *pitch = &dk_param_info[DK_PARAM_driveline_pitch_ratio];
	const dk_param_row *rack = &dk_param_info[DK_PARAM_fuel_rack_max_kg];
	const double injections = p[DK_PARAM_cylinder_count] * p[DK_PARAM_fuel_rated_rpm] / 120;
	const double litres = injections / p[DK_PARAM_fuel_density_kg_m3] * 3.6e6; // [l/h] per kg an injection
	const double fuel = b->fuel_at_rated_m3_s * 3.6e6;
	const bool bad_pitch =
	    b->pitch_m > 0 && (b->pitch_m < pitch->low * diameter || b->pitch_m > pitch->high * diameter);
	const bool bad_fuel = fuel > 0 && (fuel < rack->low * litres || fuel > rack->high * litres);
	if (!bad_pitch && !bad_fuel) return DK_OK;
	const char *field = bad_pitch ? "propeller_pitch" : "fuel_at_rated";
	const dk_node *section = dk_node_get(root, bad_pitch ? "driveline" : "engine");
	wrong(b, dk_node_get(section, field), field, DK_OUT_OF_RANGE,
	    bad_pitch ? "this pitch does not fit the diameter"
	              : "this fuel use does not fit cylinders and speed");
	if (bad_pitch)
		return dk_error_range(b->error, pitch->low * diameter * 1e3, pitch->high * diameter * 1e3, "mm");
	return dk_error_range(b->error, rack->low * litres, rack->high * litres, "l/h");
}

// what is right figure by figure and still cannot be an engine
static dk_status sense(dk_record_building *b, const dk_node *root)
{
	const double *p = b->record.param;
	const struct
	{
		bool bad;
		const char *section, *field, *what;
	} rules[] = {
		{ p[DK_PARAM_fuel_idle_rpm] >= 0.8 * p[DK_PARAM_fuel_rated_rpm], "engine", "idle_speed",
		    "the idle speed is not well below the rated speed" },
		{ p[DK_PARAM_cylinder_rod_m] < 1.2 * p[DK_PARAM_cylinder_stroke_m], "cylinder", "connecting_rod",
		    "the connecting rod is shorter than 1.2 strokes" },
		{ p[DK_PARAM_cooling_thermostat_full_k] < p[DK_PARAM_cooling_thermostat_start_k] + 2, "cooling",
		    "thermostat_open", "the thermostat is fully open before it has started to open" },
		{ p[DK_PARAM_exhaust_lock_residual_m3] >= p[DK_PARAM_exhaust_lock_m3], "exhaust", "lock_residual",
		    "the water lock holds less than what is left in it" },
		{ p[DK_PARAM_oil_kv100_m2_s] >= p[DK_PARAM_oil_kv40_m2_s], "oil", "grade",
		    "the oil is thicker hot than cold" },
		{ p[DK_PARAM_cylinder_hit_count] > p[DK_PARAM_cylinder_count], "parameters", "cylinder.hit_count",
		    "more cylinders are hit than there are" },
	};
	DK_TRY(derived_in_range(b, root));
	for (int i = 0; i < COUNT(rules); ++i)
	{
		if (!rules[i].bad) continue;
		const dk_node *section = dk_node_get(root, rules[i].section),
		              *node = dk_node_get(section, rules[i].field);
		return wrong(b,
		    node      ? node
		    : section ? section
		              : root,
		    rules[i].field, DK_CONTRADICTION, rules[i].what);
	}
	return DK_OK;
}

static uint64_t hash_record(const dk_record *record)
{
	uint64_t hash = DK_HASH_START;
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		hash = dk_hash_text(hash, dk_param_info[i].id);
		hash = dk_hash_int(dk_hash_double(hash, record->param[i]), record->given[i]);
	}
	for (int i = 0; i < DK_INSTALL_COUNT; ++i) hash = dk_hash_int(hash, record->installation.answer[i]);
	return dk_hash_int(dk_hash_int(hash, record->fitted), record->engines);
}

// head of the file: who it is
static dk_status read_head(dk_record_building *b, const dk_node *root, const char *name)
{
	static const char *const own[] = { "id", "name", "source", "fitted", "engines_aboard", "installation",
		"parameters", "engines", "note" };
	const char *keys[COUNT(own) + COUNT(sections)];
	double engines = 1;
	memcpy(keys, own, sizeof own);
	memcpy(keys + COUNT(own), sections, sizeof sections);
	DK_TRY(dk_node_only(root, "an engine record", keys, COUNT(keys), b->error));
	DK_TRY(dk_node_text_or(root, "id", name, &b->record.id, b->error));
	DK_TRY(dk_node_text(root, "name", &b->record.name, b->error));
	DK_TRY(dk_node_text_or(root, "source", b->file_source, &b->file_source, b->error));
	DK_TRY(dk_node_flag_or(root, "fitted", false, &b->record.fitted, b->error));
	DK_TRY(dk_node_number_or(root, "engines_aboard", "-", 1, 2, 1, &engines, b->error));
	b->record.engines = engines > 1.5 ? 2 : 1;
	if (!dk_text_is_id(b->record.id))
		return wrong(b, root, "id", DK_BAD_INPUT,
		    "an id has lower-case letters, digits, '_' and '.', and starts with a letter");
	return DK_OK;
}

// several engines in one record come later: a list of one is taken
static dk_status only_engine(dk_record_building *b, const dk_node **root, const char **name)
{
	static const char *const keys[] = { "engines", "source", "id", "name", "note" };
	const dk_node *list = dk_node_get(*root, "engines");
	if (!list) return DK_OK;
	DK_TRY(dk_node_only(*root, "a record with a list of engines", keys, COUNT(keys), b->error));
	DK_TRY(dk_node_list(*root, "engines", 1, &list, b->error));
	if (list->count > 1)
		return wrong(
		    b, list->item[1], "engines", DK_TOO_LARGE, "only one engine a record is understood so far");
	DK_TRY(dk_node_text_or(*root, "source", NULL, &b->file_source, b->error));
	DK_TRY(dk_node_text_or(*root, "id", *name, name, b->error));
	*root = list->item[0];
	return DK_OK;
}

dk_status dk_record_from_node(
    const dk_node *root, const char *name, dk_arena *arena, dk_record *record, dk_error *error)
{
	dk_record_building *b = dk_arena_take(arena, sizeof *b);
	b->arena = arena, b->error = error;
	dk_param_defaults(b->record.param);
	for (int i = 0; i < DK_PARAM_COUNT; ++i) b->record.source[i] = "default";
	DK_TRY(only_engine(b, &root, &name));
	DK_TRY(read_head(b, root, name));
	for (int i = 0; i < COUNT(sections); ++i) DK_TRY(read_section(b, root, sections[i]));
	DK_TRY(read_words(b, root));
	DK_TRY(read_installation(b, dk_node_get(root, "installation")));
	DK_TRY(read_parameters(b, dk_node_get(root, "parameters")));
	dk_record_complete(b);
	DK_TRY(sense(b, root));
	b->record.hash = hash_record(&b->record);
	*record = b->record;
	return DK_OK;
}

dk_status dk_record_parse(const char *text, size_t size, const char *file, const char *name, dk_arena *arena,
    dk_record *record, dk_error *error)
{
	const dk_node *root = NULL;
	DK_TRY(dk_yaml_parse(text, size, file, arena, &root, error));
	return dk_record_from_node(root, name, arena, record, error);
}

// NAME of folder/NAME.yaml, in the form of an id
static const char *name_of(const char *path, dk_arena *arena)
{
	const char *slash = strrchr(path, '/');
	char *name = dk_arena_text(arena, slash ? slash + 1 : path);
	const size_t length = strlen(name);
	if (length > 5 && !strcmp(name + length - 5, ".yaml")) name[length - 5] = 0;
	for (char *c = name; *c; ++c)
	{
		if (*c >= 'A' && *c <= 'Z') *c += 'a' - 'A';
		if (!((*c >= 'a' && *c <= 'z') || (*c >= '0' && *c <= '9'))) *c = '_';
	}
	return dk_text_is_id(name) ? name : "engine";
}

dk_status dk_record_read(const char *path, dk_arena *arena, dk_record *record, dk_error *error)
{
	const dk_node *root = NULL;
	DK_TRY(dk_yaml_read(path, arena, &root, error));
	return dk_record_from_node(root, name_of(path, arena), arena, record, error);
}

dk_status dk_record_find(
    const char *folder, const char *file_or_name, dk_arena *arena, dk_record *record, dk_error *error)
{
	const size_t length = strlen(file_or_name);
	const bool path =
	    strchr(file_or_name, '/') || (length > 5 && !strcmp(file_or_name + length - 5, ".yaml"));
	if (path) return dk_record_read(file_or_name, arena, record, error);
	char **files = NULL;
	int count = 0;
	DK_TRY(dk_file_list(dk_arena_format(arena, "%s/engines", folder), ".yaml", arena, &files, &count, error));
	const char **names = dk_arena_array(arena, (size_t)count + 1, sizeof *names);
	char *line = dk_arena_text(arena, "");
	for (int i = 0; i < count; ++i)
	{
		names[i] = name_of(files[i], arena);
		if (!strcmp(names[i], file_or_name)) return dk_record_read(files[i], arena, record, error);
		line = dk_arena_format(arena, "%s%s%s", line, i ? ", " : "", names[i]);
	}
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no engine '%.60s'", file_or_name);
	dk_error_field(error, "engine");
	dk_error_advice(error, "known: %s; or give a file ending in .yaml", line);
	dk_error_nearest(error, file_or_name, names, count);
	return DK_UNKNOWN_NAME;
}

dk_status dk_record_set(dk_record *record, const char *assignment, dk_arena *arena, dk_error *error)
{
	const char *equals = strchr(assignment, '=');
	if (!equals)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.60s' is not PARAM=VALUE", assignment);
		return dk_error_field(error, "set");
	}
	const char *id = dk_arena_bytes(arena, assignment, (size_t)(equals - assignment));
	const int param = dk_param_find(id);
	if (param < 0) return unknown_param(id, error);
	const dk_param_row *p = &dk_param_info[param];
	double value = 0;
	DK_TRY(dk_unit_read_range(equals + 1, p->unit, DK_BARE_TABLE, p->low, p->high, id, &value, error));
	record->param[param] = value;
	record->given[param] = 1;
	record->source[param] = "set";
	const bool sound = p->twin >= 0 && p->twin > param;
	if (sound) record->param[p->twin] = value, record->given[p->twin] = 1, record->source[p->twin] = "set";
	record->hash = hash_record(record);
	return DK_OK;
}

double dk_record_spread(const dk_record *record, int param)
{
	return record->fitted ? dk_param_info[param].spread_fitted : dk_param_info[param].spread_plate;
}
