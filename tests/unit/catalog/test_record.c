// Engine records: a whole one, a plate only, and every way of getting a figure wrong.
#include "base/file.h"
#include "base/units.h"
#include "catalog/record.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "data_folder.h"
#include <cmocka.h>

static dk_status parse(const char *text, dk_arena *arena, dk_record *record, dk_error *error)
{
	memset(error, 0, sizeof *error);
	return dk_record_parse(text, strlen(text), "e.yaml", "e", arena, record, error);
}

static const char plate[] =
    "name: an engine\nsource: plate\nengine: {cylinders: 2, chamber: indirect, rated_power: 18 hp, "
    "rated_speed: 3600 rpm}\ncylinder: {bore: 72 mm, stroke: 72 mm}\n";

static void test_units_and_sources(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	static const char text[] =
	    "name: x\nsource: manual p. 12\n"
	    "cylinder: {bore: 3.5 in, stroke: {value: 90 mm, source: plate}, compression_ratio: 19}\n"
	    "valves: {inlet_opens: 10 deg BTDC, inlet_closes: 40 deg after BDC, exhaust_opens: 45, "
	    "exhaust_closes: 8 deg}\n"
	    "injection: {start: 16 deg before TDC}\n"
	    "starting: {battery_voltage: 24 V}\n"
	    "exhaust: {hose_bore: 50 mm}\n"
	    "oil: {source: tin, grade: SAE 30, relief_pressure: 60 psi}\n"
	    "cooling: {thermostat_opens: 160 F}\n"
	    "driveline: {propeller_diameter: 17 in, propeller_pitch: 12 in}\n"
	    "boat: {displacement: 6 t}\n"
	    "parameters: {fuel.cetane: {value: 45, source: tanker}, cooling.metal_j_k: 80 kJ/K}\n";
	assert_int_equal(parse(text, arena, &r, &error), DK_OK);
	const struct
	{
		int param;
		double want;
		const char *source;
	} rows[] = {
		{ DK_PARAM_cylinder_bore_m, 0.0889, "manual p. 12" },
		{ DK_PARAM_cylinder_stroke_m, 0.09, "plate" },
		{ DK_PARAM_cylinder_ivo_deg, -10, "manual p. 12" },
		{ DK_PARAM_cylinder_ivc_deg, 220, "manual p. 12" },
		{ DK_PARAM_cylinder_evo_deg, 135, "manual p. 12" },
		{ DK_PARAM_cylinder_evc_deg, 368, "manual p. 12" },
		{ DK_PARAM_fuel_injection_start_deg, 16, "manual p. 12" },
		{ DK_PARAM_starting_battery_cells, 12, "manual p. 12" },
		{ DK_PARAM_exhaust_hose_m2, 3.14159265358979 * 0.05 * 0.05 / 4, "manual p. 12" },
		{ DK_PARAM_oil_kv40_m2_s, 95e-6, "tin" },
		{ DK_PARAM_oil_relief_pa, 413685.4, "tin" },
		{ DK_PARAM_cooling_thermostat_start_k, 344.2611, "manual p. 12" },
		{ DK_PARAM_driveline_pitch_ratio, 12.0 / 17, "manual p. 12" },
		{ DK_PARAM_driveline_volume_m3, 6000.0 / 1025, "manual p. 12" },
		{ DK_PARAM_fuel_cetane, 45, "tanker" },
		{ DK_PARAM_cooling_metal_j_k, 80e3, "manual p. 12" },
	};
	int bad = 0;
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
	{
		const double got = r.param[rows[i].param];
		const bool near = fabs(got - rows[i].want) <= 1e-6 * fabs(rows[i].want);
		if (near && r.given[rows[i].param] && !strcmp(r.source[rows[i].param], rows[i].source)) continue;
		printf("%s: want %.9g from %s, got %.9g from %s\n", dk_param_info[rows[i].param].id, rows[i].want,
		    rows[i].source, got, r.source[rows[i].param]);
		++bad;
	}
	assert_int_equal(bad, 0);
	assert_false(r.invented);
	dk_arena_free(arena);
}

static void test_plate_only(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	assert_int_equal(parse(plate, arena, &r, &error), DK_OK);
	assert_false(r.fitted);
	assert_true(r.missing_count > 10);
	assert_true(fabs(r.rated_power_w - 18 * 745.69987) < 0.01);

	// every value is inside its range, twins are equal, and what is not given says where it is from
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		const dk_param_row *p = &dk_param_info[i];
		if (!(r.param[i] >= p->low && r.param[i] <= p->high)) fail_msg("%s = %g", p->id, r.param[i]);
		if (p->twin > i) assert_true(r.param[i] == r.param[p->twin]);
		assert_true(r.given[i] || strcmp(r.source[i], "plate"));
		assert_true(dk_record_spread(&r, i) == p->spread_plate);
	}

	// a small engine is small throughout: half the power, about half the water, fuel as the power says
	const double power = r.rated_power_w / 28e3;
	double usual[DK_PARAM_COUNT];
	dk_param_defaults(usual);
	assert_true(
	    fabs(r.param[DK_PARAM_cooling_exchanger_w_k] / usual[DK_PARAM_cooling_exchanger_w_k] - power) < 1e-9);
	const double fuel_w = r.param[DK_PARAM_fuel_rack_max_kg] * 2 * 3600 / 120 * 3.6e6 / 0.275;
	assert_true(fabs(fuel_w / r.rated_power_w - 1) < 1e-9);

	// what is missing is told as one would write it
	int told = 0;
	for (int i = 0; i < r.missing_count; ++i)
	{
		const dk_missing *m = &r.missing[i];
		if (!strcmp(m->field, "inlet_closes")) told += m->taken == 42 && !strcmp(m->unit, "deg after BDC");
		if (!strcmp(m->field, "no_load_speed"))
			told += fabs(m->taken - 3960) < 1e-6 && !strcmp(m->unit, "rpm");
		if (!strcmp(m->field, "thermostat_opens"))
			told += fabs(m->taken - 76) < 1e-9 && !strcmp(m->unit, "degC");
		if (!strcmp(m->field, "hose_bore")) told += m->taken > 20 && m->taken < 45 && !strcmp(m->unit, "mm");
	}
	assert_int_equal(told, 4);
	dk_arena_free(arena);
}

static void test_fitted_spread(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	assert_int_equal(parse("name: x\nfitted: true\n", arena, &r, &error), DK_OK);
	bool narrower = false;
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		assert_true(fabs(dk_record_spread(&r, i)) <= fabs(dk_param_info[i].spread_plate));
		narrower |= fabs(dk_record_spread(&r, i)) < fabs(dk_param_info[i].spread_plate);
	}
	assert_true(narrower);
	dk_arena_free(arena);
}

static void test_installation(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	static const char text[] = "name: x\ninstallation: {start_aid: none, exhaust: dry, cooling: keel}\n";
	assert_int_equal(parse(text, arena, &r, &error), DK_OK);
	assert_true(r.param[DK_PARAM_starting_heater_watts] == 0);
	assert_true(r.param[DK_PARAM_starting_heater_watts + 0] == r.param[DK_PARAM_B_starting_heater_watts]);
	assert_true(r.param[DK_PARAM_exhaust_wet] == 0);
	assert_int_equal(r.installation.given[DK_INSTALL_cooling], 1);
	assert_int_equal(r.installation.given[DK_INSTALL_gearbox], 0);
	for (int i = 0; i < r.missing_count; ++i) assert_string_not_equal(r.missing[i].field, "heater_power");
	dk_arena_free(arena);
}

static const struct
{
	const char *text;
	dk_status status;
	int line;
	const char *says;
} refusals[] = {
	{ "cylinder: {bore: 84 mm}\n", DK_MISSING, 0, "name: this is missing" },
	{ "name: x\ncylinder:\n  bore: 84 mm\n", DK_MISSING, 3, "bore: this figure has no source" },
	{ "name: x\nsource: y\ncylinder:\n  bore: 840 mm\n", DK_OUT_OF_RANGE, 4, "allowed: 50 to 250 mm" },
	{ "name: x\nsource: y\ncylinder:\n  bore: 84 bar\n", DK_WRONG_UNIT, 4,
	    "bore: 'bar' is a pressure; a length is expected" },
	{ "name: x\nsource: y\ncylinder:\n  bore: 84\n", DK_BAD_INPUT, 4, "no unit is given" },
	{ "name: x\nsource: y\ncylinder:\n  borre: 84 mm\n", DK_UNKNOWN_NAME, 4, "did you mean 'bore'?" },
	{ "name: x\nsource: y\ncylindre: {bore: 84 mm}\n", DK_UNKNOWN_NAME, 3, "did you mean 'cylinder'?" },
	{ "name: x\nsource: y\ncylinder: {bore: [1, 2]}\n", DK_BAD_INPUT, 3, "" },
	{ "name: x\nsource: y\ncylinder: 5\n", DK_BAD_INPUT, 3, "'key: value'" },
	{ "name: x\nsource: y\nengine: {cylinders: 2.5}\n", DK_BAD_INPUT, 3, "a whole number" },
	{ "name: x\nsource: y\nengine: {cylinders: 0}\n", DK_OUT_OF_RANGE, 3, "allowed: 1 to 12" },
	{ "name: x\nsource: y\nengine: {idle_speed: 1900 rpm, rated_speed: 2000 rpm}\n", DK_CONTRADICTION, 3,
	    "idle speed" },
	{ "name: x\nsource: y\nengine: {chamber: swirly}\n", DK_UNKNOWN_NAME, 3, "direct or indirect?" },
	{ "name: x\nsource: y\nvalves: {inlet_opens: 14 deg before BDC}\n", DK_BAD_INPUT, 3, "before TDC" },
	{ "name: x\nsource: y\nvalves: {inlet_opens: 14 furlongs}\n", DK_BAD_INPUT, 3, "before TDC" },
	{ "name: x\nsource: y\nvalves: {inlet_closes: 140 deg after BDC}\n", DK_OUT_OF_RANGE, 3,
	    "-20 to 90 deg after BDC" },
	{ "name: x\nsource: y\noil: {grade: 7W-13}\n", DK_UNKNOWN_NAME, 3, "15W-40" },
	{ "name: x\nsource: y\ndriveline: {propeller_diameter: 460 mm, propeller_pitch: 1400 mm}\n",
	    DK_OUT_OF_RANGE, 3, "pitch" },
	{ "name: x\nsource: y\nengine: {fuel_at_rated: 390 l/h}\n", DK_OUT_OF_RANGE, 3, "fuel" },
	{ "name: x\nsource: y\nparameters: {exhaust.elbow_opn: 1}\n", DK_UNKNOWN_NAME, 3,
	    "did you mean 'exhaust.elbow_open'?" },
	{ "name: x\nsource: y\nparameters: {exhaust.elbow_open: 2}\n", DK_OUT_OF_RANGE, 3,
	    "allowed: 0.005 to 1" },
	{ "name: x\nparameters: {exhaust.elbow_open: 1}\n", DK_MISSING, 2, "no source" },
	{ "name: x\ninstallation: {cooling: ice}\n", DK_UNKNOWN_NAME, 2,
	    "one of: heat_exchanger, raw_water, keel" },
	{ "name: x\ninstallation: {coling: keel}\n", DK_UNKNOWN_NAME, 2, "did you mean 'cooling'?" },
	{ "name: x\nid: 'A B'\n", DK_BAD_INPUT, 0, "id" },
	{ "- a\n- b\n", DK_BAD_INPUT, 1, "an engine record" },
	{ "name: x\nname: y\n", DK_BAD_INPUT, 2, "given twice" },
	{ "engines: [{name: x}, {name: y}]\n", DK_TOO_LARGE, 1, "only one engine" },
};

static void test_refusals(void **state)
{
	(void)state;
	int bad = 0;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; ++i)
	{
		dk_arena *arena = dk_arena_new();
		dk_error error;
		char text[DK_ERROR_TEXT];
		static dk_record r;
		r.max_rpm = 77;
		const dk_status status = parse(refusals[i].text, arena, &r, &error);
		dk_error_text(&error, text, sizeof text);
		const bool placed = !refusals[i].line || error.line == refusals[i].line;
		if (status != refusals[i].status || !placed || !strstr(text, refusals[i].says) || r.max_rpm != 77)
		{
			printf("row %zu: status %d, wanted %d: %s\n", i, status, refusals[i].status, text);
			++bad;
		}
		assert_string_equal(error.file, "e.yaml");
		dk_arena_free(arena);
	}
	assert_int_equal(bad, 0);
}

static void test_set(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	assert_int_equal(parse(plate, arena, &r, &error), DK_OK);
	const uint64_t hash = r.hash;
	assert_int_equal(dk_record_set(&r, "cylinder.bore_m=80 mm", arena, &error), DK_OK);
	assert_true(r.param[DK_PARAM_cylinder_bore_m] == 0.08);
	assert_true(r.hash != hash);
	assert_int_equal(dk_record_set(&r, "cylinder.ring_leak_m2=0.3 mm2", arena, &error), DK_OK);
	assert_true(r.param[DK_PARAM_B_cylinder_ring_leak_m2] == r.param[DK_PARAM_cylinder_ring_leak_m2]);
	assert_int_equal(dk_record_set(&r, "cylinder.ring_leak_m2.b=0.5 mm2", arena, &error), DK_OK);
	assert_true(r.param[DK_PARAM_B_cylinder_ring_leak_m2] > r.param[DK_PARAM_cylinder_ring_leak_m2]);
	assert_int_equal(dk_record_set(&r, "cylinder.bore_m=8 m", arena, &error), DK_OUT_OF_RANGE);
	assert_int_equal(dk_record_set(&r, "cylinder.bore_m=8 bar", arena, &error), DK_WRONG_UNIT);
	assert_int_equal(dk_record_set(&r, "cylinder.boar_m=80 mm", arena, &error), DK_UNKNOWN_NAME);
	assert_string_equal(error.advice, "did you mean 'cylinder.bore_m'?");
	assert_int_equal(dk_record_set(&r, "cylinder.bore_m", arena, &error), DK_BAD_INPUT);
	dk_arena_free(arena);
}

// the two records of the data folder, with every figure inside its range
static void test_data(void **state)
{
	(void)state;
	static const char *const names[] = { "three_indirect", "four_direct" };
	dk_arena *arena = dk_arena_new();
	dk_error error;
	char text[DK_ERROR_TEXT];
	static dk_record r;
	for (int i = 0; i < 2; ++i)
	{
		if (dk_record_find(data_folder(), names[i], arena, &r, &error) != DK_OK)
			fail_msg("%s", dk_error_text(&error, text, sizeof text));
		assert_string_equal(r.id, names[i]);
		assert_true(r.invented);
		assert_true(r.missing_count <= 2); // full-load fuel and pitch follow from rated power
		assert_true((r.param[DK_PARAM_cylinder_indirect] > 0.5) == (i == 0));
		assert_true(r.hot_idle_oil_pa == 1e5);
	}
	assert_int_equal(dk_record_find(data_folder(), "three_indirct", arena, &r, &error), DK_UNKNOWN_NAME);
	assert_string_equal(error.advice, "did you mean 'three_indirect'?");
	assert_int_equal(dk_record_find(data_folder(), "./none.yaml", arena, &r, &error), DK_NO_FILE);
	dk_arena_free(arena);
}

// the defaults of params.def are the engine of three_indirect: one engine, written down twice
static void test_defaults_agree(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record r;
	int bad = 0;
	assert_int_equal(dk_record_find(data_folder(), "three_indirect", arena, &r, &error), DK_OK);
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		// to the third figure: bores are written in tenths of a millimetre; the rest falls back on the
		// defaults
		if (!r.given[i]) continue;
		const double want = dk_param_info[i].def;
		if (fabs(r.param[i] - want) <= 2e-3 * fabs(want)) continue;
		printf("%s: %g in the record, %g in params.def\n", dk_param_info[i].id, r.param[i], want);
		++bad;
	}
	assert_int_equal(bad, 0);
	dk_arena_free(arena);
}

// docs/data.md shows this very record, and names every field and every answer of the installation
static void test_docs(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	static dk_record shown, kept;
	char *page = NULL;
	size_t size = 0;
	int count = 0;
	const char *path = dk_arena_format(arena, "%s/../docs/data.md", data_folder());
	assert_int_equal(dk_file_read(path, 1 << 20, arena, &page, &size, &error), DK_OK);
	const char *start = strstr(page, "```yaml\n# Three cylinders"),
	           *end = start ? strstr(start + 8, "```") : NULL;
	assert_non_null(end);
	const char *text = dk_arena_bytes(arena, start + 8, (size_t)(end - start - 8));
	assert_int_equal(parse(text, arena, &shown, &error), DK_OK);
	assert_int_equal(dk_record_find(data_folder(), "three_indirect", arena, &kept, &error), DK_OK);
	if (shown.hash != kept.hash)
		fail_msg("docs/data.md shows another record: copy data/engines/three_indirect.yaml into it");
	const dk_record_field *field = dk_record_fields(&count);
	for (int i = 0; i < count; ++i)
	{
		const char *row = dk_arena_format(arena, "| %s | %s", field[i].section, field[i].name);
		const char *id = dk_arena_format(arena, "`%s`", dk_param_info[field[i].param].id);
		if (!strstr(page, row) || !strstr(page, id)) fail_msg("docs/data.md lacks %s %s", row, id);
	}
	for (int i = 0; i < DK_INSTALL_COUNT; ++i)
		for (int k = 0; k < DK_INSTALL_ANSWERS && dk_install_info[i].answer[k]; ++k)
			assert_non_null(strstr(page, dk_arena_format(arena, "`%s`", dk_install_info[i].answer[k])));
	dk_arena_free(arena);
}

static void test_fields_table(void **state)
{
	(void)state;
	int count = 0;
	const dk_record_field *field = dk_record_fields(&count);
	assert_true(count > 60);
	for (int i = 0; i < count; ++i)
	{
		assert_true(dk_unit_quantity(field[i].unit) != DK_Q_NONE);
		for (int k = 0; k < i; ++k)
			assert_true(field[i].param != field[k].param &&
			            (strcmp(field[i].section, field[k].section) || strcmp(field[i].name, field[k].name)));
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_units_and_sources),
		cmocka_unit_test(test_plate_only), cmocka_unit_test(test_fitted_spread),
		cmocka_unit_test(test_installation), cmocka_unit_test(test_refusals), cmocka_unit_test(test_set),
		cmocka_unit_test(test_data), cmocka_unit_test(test_defaults_agree), cmocka_unit_test(test_docs),
		cmocka_unit_test(test_fields_table) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
