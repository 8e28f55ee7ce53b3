// An example program: everything it does goes through include/donkeyman.h and nothing else of the library.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <donkeyman.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static dk_door *opened(void)
{
	char problem[400];
	dk_door *door = NULL;
	if (dk_door_open("data", "three_indirect", &door, problem, sizeof problem) != DK_DOOR_OK)
		fail_msg("%s", problem);
	assert_string_equal(problem, "");
	return door;
}

static void test_open(void **state)
{
	(void)state;
	char problem[400];
	dk_door *door = NULL;
	assert_int_equal(
	    dk_door_open("data", "three_indirekt", &door, problem, sizeof problem), DK_DOOR_BAD_INPUT);
	assert_null(door);
	assert_non_null(strstr(problem, "three_indirekt"));
	assert_int_equal(dk_door_open("data", "three_indirekt", &door, NULL, 0), DK_DOOR_BAD_INPUT);
	dk_door_close(NULL);
	dk_door_close(opened());
}

static void test_tables(void **state)
{
	(void)state;
	dk_door *door = opened();
	dk_door_param param;
	dk_door_reading reading;
	int bore = 0, gauge = 0;
	for (int i = 0; dk_door_param_at(door, i, &param); ++i)
	{
		assert_true(param.low <= param.value && param.value <= param.high);
		assert_true(param.meaning[0] && param.source[0] && param.unit[0]);
		if (!strcmp(param.id, "cylinder.bore_m")) bore = param.value == 0.084;
	}
	for (int i = 0; dk_door_reading_at(door, i, &reading); ++i)
		if (!strcmp(reading.id, "coolant_gauge")) gauge = reading.aboard && !strcmp(reading.unit, "degC");
	assert_true(bore && gauge);
	assert_true(dk_door_param_count(door) > 100 && dk_door_reading_count(door) > 50);
	assert_false(dk_door_param_at(door, -1, &param));
	assert_false(dk_door_reading_at(door, dk_door_reading_count(door), &reading));
	dk_door_close(door);
}

static const dk_door_value *find(const dk_door_run *run, const char *id)
{
	for (int i = 0; i < run->count; ++i)
		if (!strcmp(run->value[i].id, id)) return &run->value[i];
	fail_msg("there is no reading %s at this point", id);
	return NULL;
}

static void test_run(void **state)
{
	(void)state;
	char problem[400];
	dk_door *door = opened();
	dk_door_run run;
	const char *const fault[] = { "elbow.blocked=0.7" };
	dk_door_point point = { .point = "full", .air = "20 C", .fault = fault, .fault_count = 1 };
	assert_int_equal(dk_door_run_point(door, &point, &run, problem, sizeof problem), DK_DOOR_OK);
	assert_true(run.reached);
	assert_true(find(&run, "back_pressure")->broken > 1.5 * find(&run, "back_pressure")->healthy);
	assert_true(isnan(find(&run, "minutes_to_stop")->broken));
	dk_door_run_free(&run);

	point.air = "20 bar";
	assert_int_equal(dk_door_run_point(door, &point, &run, problem, sizeof problem), DK_DOOR_BAD_INPUT);
	assert_non_null(strstr(problem, "--air"));
	dk_door_close(door);
}

static void test_trace(void **state)
{
	(void)state;
	char problem[400];
	dk_door *door = opened();
	const char request[] = "{\"air\": \"15 C\", \"sea\": \"15 C\", \"observed\": {\"crank.turns\": \"slow\", "
	                       "\"lights.crank\": \"dim\"}}";
	dk_door_answer answer;

	// without virtual engines there are priors, and no evidence yet
	assert_int_equal(
	    dk_door_weigh(door, request, sizeof request - 1, &answer, problem, sizeof problem), DK_DOOR_OK);
	assert_non_null(strstr(answer.json, "\"bank_hash\":null"));
	dk_door_answer_free(&answer);

	dk_door_order order = dk_default_door_order();
	assert_int_equal(order.severities, 64);
	order.air = order.sea = "15 C";
	order.severities = 6;
	if (dk_door_bank(door, &order, problem, sizeof problem) != DK_DOOR_OK) fail_msg("%s", problem);
	assert_int_equal(
	    dk_door_weigh(door, request, sizeof request - 1, &answer, problem, sizeof problem), DK_DOOR_OK);
	double sum = answer.healthy + answer.none_of_these;
	for (int i = 0; i < answer.cause_count; ++i)
	{
		sum += answer.cause[i].probability;
		assert_true(answer.cause[i].id[0]);
	}
	assert_true(fabs(sum - 1) < 1e-4);
	assert_true(answer.cause_count > 5 && answer.check_count > 3);
	assert_true(answer.cause[0].probability > 0.1);
	assert_true(answer.check[0].name[0] && answer.check[0].minutes > 0);
	assert_string_equal(answer.order, "");
	dk_door_answer_free(&answer);
	dk_door_answer_free(&answer);

	// a red rule comes first
	const char red[] = "{\"observed\": {\"space.smoke\": \"fire\"}}";
	assert_int_equal(dk_door_weigh(door, red, sizeof red - 1, &answer, problem, sizeof problem), DK_DOOR_OK);
	assert_true(answer.order[0]);
	dk_door_answer_free(&answer);

	const char wrong[] = "{\"observed\": {\"crank.turn\": \"slow\"}}";
	assert_int_equal(
	    dk_door_weigh(door, wrong, sizeof wrong - 1, &answer, problem, sizeof problem), DK_DOOR_BAD_INPUT);
	assert_non_null(strstr(problem, "crank.turns"));
	dk_door_close(door);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_open),
		cmocka_unit_test(test_tables),
		cmocka_unit_test(test_run),
		cmocka_unit_test(test_trace),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
