// calc calls the very functions that the model calls: the same bits; and every row of the list answers.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "app/calc.h"
#include "cycle/delay.h"
#include "cycle/friction.h"
#include "cycle/heat.h"
#include "gas/orifice.h"
#include "plant/alternator.h"
#include "plant/battery.h"
#include "plant/coolant.h"
#include "plant/exchanger.h"
#include "plant/hull.h"
#include "plant/oil.h"
#include "plant/propeller.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const dk_calc_row *row_of(const char *name)
{
	const dk_calc_row *const tables[] = { dk_calc_cylinder, dk_calc_plant };
	for (int t = 0; t < 2; ++t)
		for (const dk_calc_row *row = tables[t]; row->name; ++row)
			if (!strcmp(row->name, name)) return row;
	fail_msg("there is no row %s", name);
	return NULL;
}

// the first result of a row
static double first(const char *name, const double *in)
{
	double out[DK_CALC_RESULTS];
	row_of(name)->work(in, out);
	return out[0];
}

static void test_same_bits(void **state)
{
	(void)state;
	const double wolfer[] = { 38e5, 745 };
	assert_true(first("delay.wolfer", wolfer) == 1e3 * DK_FN(dk_delay_wolfer)(38e5, 745));
	const double watson[] = { 41e5, 812 };
	assert_true(first("delay.watson", watson) == 1e3 * DK_FN(dk_delay_watson)(41e5, 812));
	const double hohenberg[] = { 35e5, 800, 60e-6, 8.1 };
	assert_true(first("heat.hohenberg", hohenberg) == DK_FN(dk_heat_hohenberg)(35e5, 800, 60e-6, 8.1));
	const double chen[] = { 70e5, 9 };
	assert_true(first("friction.cf", chen) == 1e-5 * DK_FN(dk_friction_cf)(70e5, 9));
	const double orifice[] = { 2e5, 400, 1.1e5, 1.38, 3e-4, 289 };
	assert_true(first("flow.orifice", orifice) == DK_FN(dk_orifice_flow)(3e-4, 2e5, 400, 1.1e5, 1.38, 289));
	const double ittc[] = { 3.3e7 };
	assert_true(first("hull.ittc57", ittc) == DK_FN(dk_hull_ittc57)(3.3e7));
	const double d341[] = { 106, 14.3, 63 };
	assert_true(first("oil.d341", d341) == 1e6 * DK_FN(dk_oil_d341)(106 * 1e-6, 14.3 * 1e-6, 63 + 273.15));
	const double rest[] = { 0.63, 1, 6 };
	assert_true(first("battery.rest", rest) == DK_FN(dk_battery_rest)(0.63, 6, 1));
	const double boil[] = { 0.4, 0.9e5 };
	assert_true(first("coolant.boil", boil) == DK_FN(dk_coolant_boil)(0.4, 101325 + 0.9e5) - 273.15);
	const double counter[] = { 0, 1.7, 0.6 };
	assert_true(first("cooler.effectiveness", counter) == DK_FN(dk_exchanger_counterflow)(1.7, 0.6));
	const double speed[] = { 2100, 2.6, 0.02, 6 };
	const double pi = 3.14159265358979323846;
	assert_true(
	    first("alternator.speed", speed) == DK_FN(dk_alternator_speed)(2100 * pi / 30, 2.6, 0.02) * 30 / pi);
	dk_propeller propeller;
	DK_FN(dk_propeller_b_series)(0.83, 0.5, 3, &propeller);
	const double series[] = { 0.55, 0.83, 0.5, 3, 0 };
	assert_true(first("propeller.b_series", series) == DK_FN(dk_propeller_kt)(&propeller, 0.55));
}

// a value of a row between its ends, where it may be
static double middle(const dk_calc_argument *argument)
{
	if (isfinite(argument->fallback)) return argument->fallback;
	if (argument->word[0]) return 0;
	return argument->low > 0 ? sqrt(argument->low * argument->high) : 0.5 * (argument->low + argument->high);
}

static void test_every_row(void **state)
{
	(void)state;
	json_t *list = dk_app_calc_list();
	size_t i;
	json_t *shown;
	assert_true(json_array_size(list) > 30);
	json_array_foreach(list, i, shown)
	{
		const char *name = json_string_value(json_object_get(shown, "name"));
		const dk_calc_row *row = row_of(name);
		double in[DK_CALC_ARGUMENTS] = { 0 }, out[DK_CALC_RESULTS];
		int arguments = 0, finite = 0;
		for (; arguments < DK_CALC_ARGUMENTS && row->argument[arguments].name; ++arguments)
			in[arguments] = middle(&row->argument[arguments]);
		for (int r = 0; r < DK_CALC_RESULTS; ++r) out[r] = NAN;
		row->work(in, out);
		for (int r = 0; r < DK_CALC_RESULTS && row->result[r].name; ++r) finite += isfinite(out[r]);
		if (!finite) fail_msg("calc %s gives no number in the middle of its ranges", name);
		assert_int_equal(json_array_size(json_object_get(shown, "arguments")), arguments);
		assert_true(row->about && row->about[0]);
	}
	json_decref(list);
}

// texts in, units turned, sentences for what is not right
static void test_texts(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	const char *good[] = { "kv40=106 cSt", "kv100=14.3", "temperature=363.15 K" };
	assert_int_equal(dk_app_calc("oil.d341", good, 3, &out, &error), DK_OK);
	const double got = json_number_value(
	    json_object_get(json_object_get(json_object_get(out, "results"), "viscosity"), "value"));
	const double in[] = { 106, 14.3, 90 };
	assert_true(fabs(got - first("oil.d341", in)) < 1e-5 * got);
	json_decref(out);

	const char *missing[] = { "kv40=106" }, *twice[] = { "kv40=106", "kv40=107" },
	           *strange[] = { "kv41=106" }, *outside[] = { "kv40=106", "kv100=14.3", "temperature=900 C" };
	assert_int_equal(dk_app_calc("oil.d341", missing, 1, &out, &error), DK_MISSING);
	assert_int_equal(dk_app_calc("oil.d341", twice, 2, &out, &error), DK_CONTRADICTION);
	assert_int_equal(dk_app_calc("oil.d341", strange, 1, &out, &error), DK_UNKNOWN_NAME);
	assert_non_null(strstr(error.advice, "kv40"));
	assert_int_equal(dk_app_calc("oil.d341", outside, 3, &out, &error), DK_OUT_OF_RANGE);
	assert_true(error.has_range);
	assert_int_equal(dk_app_calc("oil.d314", good, 3, &out, &error), DK_UNKNOWN_NAME);
	assert_non_null(strstr(error.advice, "oil.d341"));
}

// arguments that are each in range and do not go together
static void test_refuse(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	const char *thick[] = { "kv40=14", "kv100=14", "temperature=90" };
	assert_int_equal(dk_app_calc("oil.d341", thick, 3, &out, &error), DK_CONTRADICTION);
	thick[0] = "kv40=106";
	assert_int_equal(dk_app_calc("oil.d341", thick, 3, &out, &error), DK_OK);
	json_decref(out);
	const char *cable[] = { "current=300", "length=2", "awg=0", "area=50" };
	assert_int_equal(dk_app_calc("cable.drop", cable, 2, &out, &error), DK_CONTRADICTION);
	assert_int_equal(dk_app_calc("cable.drop", cable, 4, &out, &error), DK_CONTRADICTION);
	assert_int_equal(dk_app_calc("cable.drop", cable, 3, &out, &error), DK_OK);
	json_decref(out);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_same_bits),
		cmocka_unit_test(test_every_row),
		cmocka_unit_test(test_refuse),
		cmocka_unit_test(test_texts),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
