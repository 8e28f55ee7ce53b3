// Faults that can't be told apart, and readings that a fault moves.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "population/bank_group.h"
#include "stub_engine.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static double base[DK_PARAM_COUNT];
static dk_breaking *breaking;
static dk_bank *bank;

static dk_bank *built(const dk_breaking *of, int severities)
{
	dk_bank_request request = dk_default_bank_request();
	request.breaking = of;
	request.base = base;
	request.severities = severities;
	dk_bank *made = NULL;
	assert_int_equal(dk_bank_build(&request, &made, NULL), DK_OK);
	return made;
}

static int set_up(void **state)
{
	(void)state;
	dk_param_defaults(base);
	if (dk_breaking_open(&kStubCatalog, &breaking, NULL) != DK_OK) return -1;
	bank = built(breaking, 64);
	return 0;
}

static int tear_down(void **state)
{
	(void)state;
	dk_bank_free(bank);
	dk_breaking_free(breaking);
	return 0;
}

// mine.dirt (air) and zeal.filter (fuel) move one parameter alike, 80 and 100 times: one group though in two
// systems. A fault of one cylinder is one of k of n; all cylinders alike is another matter.
static void test_groups(void **state)
{
	(void)state;
	const int *group = bank->group_of_fault;
	assert_int_equal(group[STUB_DIRT], group[STUB_FILTER]);
	assert_int_not_equal(group[STUB_ELBOW], group[STUB_LEAK]);
	assert_int_not_equal(group[STUB_ELBOW], group[STUB_DIRT]);
	assert_int_not_equal(group[STUB_POWER], group[STUB_DIRT]);

	// numbered by the first fault of each
	int next = 0;
	for (int f = 0; f < STUB_FAULTS; ++f)
	{
		assert_true(group[f] <= next);
		next += group[f] == next;
	}
	assert_int_equal(next, bank->group_count);
}

// the distance by hand, in a bank of two faults that each move one reading
static void test_distance(void **state)
{
	(void)state;

	// elbow against itself is nothing; against the battery it is what the nearest battery leaves: a healthy
	// one
	assert_true(dk_bank_distance(bank, NULL, STUB_DIRT, STUB_FILTER, INFINITY) < 0.1);
	const double apart = dk_bank_distance(bank, NULL, STUB_ELBOW, STUB_POWER, INFINITY);
	double most = 0;
	for (int turn = 0; turn < 2; ++turn)
	{
		// severity 0.9 is the worst for both, and every reading one has the other has not
		const dk_stratum *stratum = &bank->stratum[dk_bank_find(bank, turn ? STUB_POWER : STUB_ELBOW, 0)];
		for (int point = 0; point < DK_POINT_COUNT; ++point)
			for (int r = 0; r < DK_READING_COUNT; ++r)
			{
				const dk_reading_row *row = &dk_reading_info[r];
				if (!(row->points & (1u << point)) || !strcmp(row->gauge, "none")) continue;
				const double error = sqrt(row->gauge_sd * row->gauge_sd + row->bias_sd * row->bias_sd +
				                          row->model_sd * row->model_sd);
				const double x = dk_reading_restore(r, dk_bank_at(bank, stratum, point, r, 0.9));
				most = fmax(most, fabs(x - dk_stratum_reading(&bank->stratum[0], point, r, 0)) / error);
			}
	}
	assert_true(fabs(apart - most) < 1e-4 * most);
	assert_true(dk_bank_distance(bank, NULL, STUB_POWER, STUB_ELBOW, INFINITY) == apart);
	assert_true(dk_bank_distance(bank, NULL, STUB_POWER, STUB_ELBOW, 1.5) > 1.5);
}

// a boat that can't read what tells two faults apart has them in one group
static void test_instruments(void **state)
{
	(void)state;
	unsigned char present[DK_READING_COUNT] = { 0 };
	present[DK_READING_crank_speed] = 1;
	int group[STUB_FAULTS], count;
	assert_int_equal(dk_bank_groups(bank, present, group, &count), DK_OK);

	// the starter's speed knows the battery only
	assert_int_equal(group[STUB_ELBOW], group[STUB_LEAK]);
	assert_int_equal(group[STUB_ELBOW], group[STUB_BORE_SOME]);
	assert_int_not_equal(group[STUB_ELBOW], group[STUB_POWER]);
	assert_int_equal(count, 2);
	present[DK_READING_back_pressure] = 1;
	assert_int_equal(dk_bank_groups(bank, present, group, &count), DK_OK);
	assert_int_not_equal(group[STUB_ELBOW], group[STUB_LEAK]);
	assert_int_equal(count, 3);

	// at no instrument at all everything is one
	memset(present, 0, sizeof present);
	assert_int_equal(dk_bank_groups(bank, present, group, &count), DK_OK);
	assert_int_equal(count, 1);
}

// a chain a - b - c whose ends are too far apart: complete linkage keeps the nearer pair and leaves the other
static void test_complete_linkage(void **state)
{
	(void)state;
	const double unit = sqrt(8 * 8 + 3 * 3 + 12 * 12) / (220 * 0.95);

	// crank speed falls by 0.9 x drop x 220 x 0.95 at the worst; only severity 0.9 counts against a shorter
	// fault
	const double drop[3] = { 4, 4 + 1.2 / 0.9, 4 + 2.3 / 0.9 };
	dk_move move[3];
	dk_fault fault[3];
	static const char *id[] = { "a", "b", "c" };
	for (int f = 0; f < 3; ++f)
	{
		move[f] = (dk_move){ "starting.battery_charge", DK_HOW_ADD, -drop[f] * unit * 0.95, DK_CURVE_LINEAR,
			{ "x", 1, 1 } };
		fault[f] = (dk_fault){ .id = id[f],
			.system = DK_SYSTEM_starting,
			.move = &move[f],
			.move_count = 1,
			.mark = { "x", 1, 1 } };
	}
	const dk_catalog catalog = { .fault = fault, .fault_count = 3 };
	dk_breaking *three = NULL;
	assert_int_equal(dk_breaking_open(&catalog, &three, NULL), DK_OK);
	dk_bank *made = built(three, 64);
	unsigned char present[DK_READING_COUNT] = { 0 };
	present[DK_READING_crank_speed] = 1;

	// the shorter fault goes to 1, the longer is asked at 0.9: apart 0.9 longer - shorter
	const double ab = dk_bank_distance(made, present, 0, 1, INFINITY),
	             bc = dk_bank_distance(made, present, 1, 2, INFINITY);
	const double ac = dk_bank_distance(made, present, 0, 2, INFINITY);
	assert_true(fabs(ab - fmax(0, 0.9 * drop[1] - drop[0] * 127 / 128)) < 0.001);
	assert_true(fabs(bc - fmax(0, 0.9 * drop[2] - drop[1] * 127 / 128)) < 0.001);
	assert_true(fabs(ac - (0.9 * drop[2] - drop[0] * 127 / 128)) < 0.001);
	assert_true(ab <= 1.5 && bc <= 1.5 && ac > 1.5);
	int group[3], count;
	assert_int_equal(dk_bank_groups(made, present, group, &count), DK_OK);
	assert_int_equal(count, 2);
	assert_true(group[1] == group[ab <= bc ? 0 : 2]);
	dk_bank_free(made);
	dk_breaking_free(three);
}

// 16 severities find the same groups as 64: the gaps between engines are looked at too
static void test_coarser(void **state)
{
	(void)state;
	dk_bank *few = built(breaking, 16);
	assert_int_equal(few->group_count, bank->group_count);
	assert_memory_equal(few->group_of_fault, bank->group_of_fault, STUB_FAULTS * sizeof(int));
	dk_bank_free(few);
}

// the elbow moves back pressure and coolant; with neither gauge aboard, nothing
static void test_moves_enough(void **state)
{
	(void)state;
	int count[STUB_FAULTS];
	dk_condition node = dk_default_condition();
	assert_int_equal(dk_population_moves_enough(breaking, base, &node, NULL, 0, count), DK_OK);
	assert_int_equal(count[STUB_ELBOW], 2);
	node.air_k = 273.15;
	assert_int_equal(dk_population_moves_enough(breaking, base, &node, NULL, 1, count), DK_OK);
	assert_true(count[STUB_POWER] >= 2);
	unsigned char present[DK_READING_COUNT] = { 0 };
	present[DK_READING_back_pressure] = 1;
	assert_int_equal(dk_population_moves_enough(breaking, base, &node, present, 1, count), DK_OK);
	for (int f = 0; f < STUB_FAULTS; ++f) assert_int_equal(count[f], f == STUB_ELBOW);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_groups),
		cmocka_unit_test(test_distance),
		cmocka_unit_test(test_instruments),
		cmocka_unit_test(test_complete_linkage),
		cmocka_unit_test(test_coarser),
		cmocka_unit_test(test_moves_enough),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
