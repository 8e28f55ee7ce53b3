// People's units against the printed values of the definitions, and every way of getting a unit wrong.
#include "base/units.h"
#include "engine/tables.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const struct
{
	const char *text, *unit;
	double want, within;
	const char *source;
} reads[] = {
	{ "92 mm", "m", 0.092, 0, "identity" },
	{ "84mm", "m", 0.084, 0, "identity: no space" },
	{ "3.5 in", "mm", 88.9, 1e-12, "inch 25.4 mm" },
	{ "38 hp", "kW", 28.3366, 5e-5, "[SI9] 1 hp = 745.6999 W" },
	{ "38 PS", "kW", 27.949, 5e-4, "[SI9] 1 PS = 735.499 W" },
	{ "1.4 bar", "Pa", 1.4e5, 1e-9, "identity" },
	{ "600 psi", "bar", 41.3685, 5e-5, "[SI9] 1 psi = 6894.757 Pa" },
	{ "10 inHg", "kPa", 33.86389, 1e-4, "[SI9] 3386.389 Pa" },
	{ "98 C", "K", 371.15, 1e-12, "identity" },
	{ "98 \xc2\xb0"
	  "C",
	    "degC", 98, 1e-12, "identity" },
	{ "212 F", "degC", 100, 1e-9, "definition of the scale" },
	{ "-40 degF", "C", -40, 1e-9, "definition of the scale" },
	{ "76 C", "K", 349.15, 1e-12, "identity" },
	{ "3000 rpm", "rad/s", 314.15927, 1e-5, "identity" },
	{ "12 ml", "m3", 12e-6, 0, "identity" },
	{ "1 usgal", "l", 3.785412, 5e-7, "[SI9]" },
	{ "1 impgal", "l", 4.54609, 1e-12, "[SI9]" },
	{ "6 kn", "m/s", 3.0866667, 1e-7, "1852 m an hour" },
	{ "90 Ah", "Ah", 90, 0, "identity" },
	{ "5.5 mOhm", "ohm", 0.0055, 0, "identity" },
	{ "5.5 m\xce\xa9", "ohm", 0.0055, 0, "the Greek letter" },
	{ "8 %", "-", 0.08, 1e-15, "identity" },
	{ "0.5", "-", 0.5, 0, "a plain number" },
	{ "14.3 cSt", "m2/s", 14.3e-6, 1e-18, "identity" },
	{ "250 g/kWh", "kg/J", 250e-3 / 3.6e6, 1e-20, "identity" },
	{ "7 l/h", "l/min", 7.0 / 60, 1e-12, "identity" },
	{ "15 deg", "rad", 0.26179939, 1e-8, "identity" },
	{ "400 kPa h/l", "Pa s/m3", 400e3 * 3600e3, 1, "identity" },
	{ "110 cm\xc2\xb2", "m2", 0.011, 1e-15, "the raised two" },
	{ "1.4 BAR", "bar", 1.4, 0, "any case of letters, where that is one thing" },
	{ "2.6 kgf m", "Nm", 25.49729, 1e-5, "[SI9] standard gravity" },
};

static void test_reads(void **state)
{
	(void)state;
	int bad = 0;
	for (size_t i = 0; i < sizeof reads / sizeof reads[0]; ++i)
	{
		dk_error error;
		double got = NAN;
		const dk_status status =
		    dk_unit_read(reads[i].text, reads[i].unit, DK_BARE_REFUSED, "f", &got, &error);
		if (status == DK_OK && fabs(got - reads[i].want) <= reads[i].within) continue;
		printf("'%s' in %s: want %.12g got %.12g (%s)\n", reads[i].text, reads[i].unit, reads[i].want, got,
		    reads[i].source);
		++bad;
	}
	assert_int_equal(bad, 0);
}

static const struct
{
	const char *text, *unit;
	dk_status status;
	const char *says; // stands in the sentence
} refusals[] = {
	{ "92 bar", "mm", DK_WRONG_UNIT, "'bar' is a pressure; a length is expected" },
	{ "92", "mm", DK_BAD_INPUT, "no unit is given" },
	{ "92 furlong", "mm", DK_WRONG_UNIT, "'furlong' is not known" },
	{ "98 psi", "C", DK_WRONG_UNIT, "a temperature is expected" },
	{ "1,4 bar", "bar", DK_BAD_INPUT, "write decimals with a point" },
	{ "nan bar", "bar", DK_BAD_INPUT, "is not a number" },
	{ "inf C", "C", DK_BAD_INPUT, "is not a number" },
	{ "0x10 C", "C", DK_WRONG_UNIT, "is not known" },
	{ "1e999 C", "C", DK_BAD_INPUT, "too large" },
	{ "bar", "bar", DK_BAD_INPUT, "is not a number" },
	{ "", "bar", DK_BAD_INPUT, "is not a number" },
	{ "5 %", "mm", DK_WRONG_UNIT, "'%' is a share" },
	{ "5 mm", "-", DK_WRONG_UNIT, "write a number without a unit" },
};

static void test_refusals(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; ++i)
	{
		dk_error error;
		char text[DK_ERROR_TEXT];
		double got = 123;
		const dk_status status =
		    dk_unit_read(refusals[i].text, refusals[i].unit, DK_BARE_REFUSED, "the field", &got, &error);
		dk_error_text(&error, text, sizeof text);
		if (status != refusals[i].status || got != 123 || !strstr(text, refusals[i].says) ||
		    !strstr(text, "the field: "))
			fail_msg("'%s': status %d value %g: %s", refusals[i].text, status, got, text);
	}
}

static void test_range(void **state)
{
	(void)state;
	dk_error error;
	char text[DK_ERROR_TEXT];
	double got = 1;
	assert_int_equal(
	    dk_unit_read_range("840 mm", "mm", DK_BARE_REFUSED, 50, 250, "bore", &got, &error), DK_OUT_OF_RANGE);
	assert_string_equal(
	    dk_error_text(&error, text, sizeof text), "bore: 840 mm is out of range; allowed: 50 to 250 mm");
	assert_true(got == 1);

	// a limit typed in another unit is inside
	assert_int_equal(
	    dk_unit_read_range("250 mm", "m", DK_BARE_REFUSED, 0.05, 0.25, "bore", &got, &error), DK_OK);
	assert_true(got == 0.25);
}

// every unit that a parameter or a reading has is known, and is its own inverse
static void test_table_units(void **state)
{
	(void)state;
	for (int i = 0; i < DK_PARAM_COUNT + DK_READING_COUNT; ++i)
	{
		const bool param = i < DK_PARAM_COUNT;
		const char *unit = param ? dk_param_info[i].unit : dk_reading_info[i - DK_PARAM_COUNT].unit;
		if (dk_unit_quantity(unit) == DK_Q_NONE)
			fail_msg("unit '%s' of %s is not known", unit,
			    param ? dk_param_info[i].id : dk_reading_info[i - DK_PARAM_COUNT].id);
		const double back = dk_unit_from_si(dk_unit_to_si(3.7, unit), unit);
		assert_true(fabs(back - 3.7) < 1e-12);
	}
}

static void test_examples(void **state)
{
	(void)state;
	char text[80], small[8];
	assert_string_equal(dk_unit_examples(DK_Q_TEMPERATURE, text, sizeof text), "C, F, K");
	assert_true(strlen(dk_unit_examples(DK_Q_PRESSURE, small, sizeof small)) < 8);
	for (int q = 0; q < DK_QUANTITY_COUNT; ++q)
		assert_int_equal(dk_unit_quantity(dk_quantity_si((dk_quantity)q)), q);
	for (int q = 0; q < DK_QUANTITY_COUNT; ++q) assert_true(strlen(dk_quantity_words((dk_quantity)q)) > 3);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_reads), cmocka_unit_test(test_refusals),
		cmocka_unit_test(test_range), cmocka_unit_test(test_table_units), cmocka_unit_test(test_examples) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
