// donkeyman run and crank: what happens is a number, what does not happen is null, what can't be is said.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "app/crank.h"
#include "app/engine_card.h"
#include "app/run.h"
#include "base/json.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static json_t *ran(const dk_switches *switches)
{
	dk_error error;
	json_t *out;
	char text[DK_ERROR_TEXT];
	if (dk_app_run(switches, &out, &error) != DK_OK) fail_msg("%s", dk_error_text(&error, text, sizeof text));
	return out;
}

static const json_t *value(const json_t *answer, const char *reading, const char *which)
{
	const json_t *row = json_object_get(json_object_get(answer, "readings"), reading);
	if (!row) fail_msg("no reading %s", reading);
	return json_object_get(row, which);
}

// a lamp that is fully lit stands at the cap of its row, and is lit all the same
static void test_lamps(void **state)
{
	(void)state;
	const dk_switches switches = { .data_folder = "data", .point = "key_on" };
	json_t *answer = ran(&switches);
	assert_true(json_number_value(value(answer, "lamp_oil", "value")) > 0.9);
	assert_true(json_number_value(value(answer, "lamp_charge", "healthy")) > 0.9);
	assert_true(json_number_value(value(answer, "lamp_coolant", "value")) < 0.1);
	json_decref(answer);
}

static void test_never(void **state)
{
	(void)state;
	dk_switches switches = { .data_folder = "data", .point = "full" };
	json_t *answer = ran(&switches);
	assert_true(json_is_null(value(answer, "minutes_to_stop", "value")));
	assert_true(json_is_null(value(answer, "minutes_to_overheat", "healthy")));
	assert_string_equal(json_string_value(json_object_get(answer, "status")), "reached");
	json_decref(answer);

	// no heaters at 0 degC: it never fires
	switches.point = "cold_crank", switches.air = "0 C";
	switches.set.text[0] = "starting.heater_supply=0", switches.set.count = 1;
	answer = ran(&switches);
	assert_true(json_is_null(value(answer, "seconds_to_fire", "value")));
	assert_true(json_number_value(value(answer, "flood_seconds", "value")) > 30);
	json_decref(answer);
}

// severity 0 is the healthy engine, bit for bit
static void test_severity_none(void **state)
{
	(void)state;
	dk_switches switches = { .data_folder = "data", .point = "cruise" };
	switches.fault.text[0] = "elbow.blocked=0", switches.fault.count = 1;
	json_t *answer = ran(&switches);
	const char *key;
	json_t *row;
	json_object_foreach(json_object_get(answer, "readings"), key, row)
	    assert_true(json_equal(json_object_get(row, "value"), json_object_get(row, "healthy")));
	json_decref(answer);
}

static void test_refused(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	dk_switches switches = { .data_folder = "data", .point = "cruise", .rpm = "2000", .lever = "0.5" };
	assert_int_equal(dk_app_run(&switches, &out, &error), DK_CONTRADICTION);
	switches.rpm = NULL, switches.lever = "1.5";
	assert_int_equal(dk_app_run(&switches, &out, &error), DK_OUT_OF_RANGE);
	switches.lever = NULL, switches.fault.text[0] = "elbow.blockt=0.5", switches.fault.count = 1;
	assert_int_equal(dk_app_run(&switches, &out, &error), DK_UNKNOWN_NAME);
	assert_non_null(strstr(error.advice, "elbow.blocked"));
	switches.fault.text[0] = "nozzle.shut=0.5:9";
	assert_int_equal(dk_app_run(&switches, &out, &error), DK_OUT_OF_RANGE);
}

// a point that sets its own lever says which, and takes no other
static void test_lever(void **state)
{
	(void)state;
	static const char *const points[] = { "full", "no_load", "warm_idle", "cold_crank", "key_on" };
	dk_error error;
	json_t *out;
	for (int i = 0; i < 5; ++i)
	{
		dk_switches switches = { .data_folder = "data", .point = points[i] };
		out = ran(&switches);
		assert_true(json_number_value(json_object_get(out, "lever")) == (i < 2));
		json_decref(out);
		switches.lever = "0.5";
		assert_int_equal(dk_app_run(&switches, &out, &error), DK_CONTRADICTION);
		switches.lever = NULL, switches.rpm = "2000";
		assert_int_equal(dk_app_run(&switches, &out, &error), DK_CONTRADICTION);
		assert_string_equal(error.field, "--rpm");
	}
	const dk_switches cruise = { .data_folder = "data", .lever = "0.5" };
	out = ran(&cruise);
	assert_true(json_number_value(json_object_get(out, "lever")) == 0.5);
	json_decref(out);
}

// a range in the unit that was typed
static void test_unit_of_range(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	const dk_switches switches = { .data_folder = "data", .pressure = "5 bar" };
	assert_int_equal(dk_app_run(&switches, &out, &error), DK_OUT_OF_RANGE);
	assert_string_equal(error.unit, "bar");
	assert_true(fabs(error.high - 1.1) < 1e-12);
}

// short rests are remarked on, where they were asked for
static void test_rests(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	dk_switches switches = { .data_folder = "data" };
	switches.attempt.text[0] = "10,29", switches.attempt.text[1] = "10,30", switches.attempt.text[2] = "30";
	switches.attempt.count = 3;
	assert_int_equal(dk_app_crank(&switches, &out, &error), DK_OK);
	assert_int_equal(json_array_size(json_object_get(out, "remarks")), 1);
	assert_true(json_number_value(json_object_get(out, "tries_asked")) == 3);
	json_decref(out);
	switches.attempt.text[2] = "0";
	switches.attempt.text[0] = "0.4";
	assert_int_equal(dk_app_crank(&switches, &out, &error), DK_OUT_OF_RANGE);
}

// more power than the air of this size can burn
static void test_warnings(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	dk_switches switches = { .data_folder = "data" };
	assert_int_equal(dk_app_engine(&switches, &out, &error), DK_OK);
	assert_int_equal(json_array_size(json_object_get(out, "warnings")), 0);
	json_decref(out);
	const char path[] = "/tmp/dk_test_warnings.yaml";
	FILE *file = fopen(path, "w");
	assert_non_null(file);
	fputs("name: Too small\nsource: plate\n"
	      "engine: {cylinders: 3, chamber: indirect, rated_power: 24 kW, rated_speed: 3000 rpm}\n"
	      "cylinder: {bore: 79 mm, stroke: 84 mm}\n",
	    file);
	fclose(file);
	switches.engine = path;
	const dk_status status = dk_app_engine(&switches, &out, &error);
	remove(path);
	char text[DK_ERROR_TEXT];
	if (status != DK_OK) fail_msg("%s", dk_error_text(&error, text, sizeof text));
	assert_int_equal(json_array_size(json_object_get(out, "warnings")), 1);
	json_decref(out);
}

// tries: each takes charge from the battery and fills the water lock
static void test_tries(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	dk_switches switches = { .data_folder = "data", .air = "0 C" };
	switches.set.text[0] = "starting.heater_supply=0", switches.set.count = 1;
	switches.attempt.text[0] = "10,60", switches.attempt.text[1] = "10,60", switches.attempt.text[2] = "5";
	switches.attempt.count = 3;
	assert_int_equal(dk_app_crank(&switches, &out, &error), DK_OK);
	const json_t *tries = json_object_get(out, "tries");
	assert_int_equal(json_array_size(tries), 3);
	double charge = 2, flood = 1e9;
	for (size_t i = 0; i < 3; ++i)
	{
		const json_t *one = json_array_get(tries, i);
		const double now = json_number_value(json_object_get(one, "charge_before"));
		const double left =
		    json_number_value(json_object_get(json_object_get(one, "flood_before"), "seconds"));
		assert_true(json_is_false(json_object_get(one, "fires")));
		assert_true(now < charge && left < flood);
		charge = now, flood = left;
	}
	json_decref(out);

	// with heaters the first try is the last
	switches.set.count = 0;
	assert_int_equal(dk_app_crank(&switches, &out, &error), DK_OK);
	assert_int_equal(json_array_size(json_object_get(out, "tries")), 1);
	assert_true(json_is_true(json_object_get(json_array_get(json_object_get(out, "tries"), 0), "fires")));
	json_decref(out);

	switches.attempt.text[0] = "ten";
	assert_int_not_equal(dk_app_crank(&switches, &out, &error), DK_OK);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_lamps),
		cmocka_unit_test(test_never),
		cmocka_unit_test(test_severity_none),
		cmocka_unit_test(test_refused),
		cmocka_unit_test(test_tries),
		cmocka_unit_test(test_lever),
		cmocka_unit_test(test_unit_of_range),
		cmocka_unit_test(test_rests),
		cmocka_unit_test(test_warnings),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
