// Faults applied to parameters: the contract's formulas, order, classes and sentences.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "population/breaking.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define assert_near(got, want, within) assert_true(fabs((got) - (want)) <= (within))
#define MARK                                                                                                 \
	{                                                                                                        \
		"faults/x.yaml", 12, 7                                                                               \
	}

static dk_breaking *joined(const dk_fault *fault, int count)
{
	const dk_catalog catalog = { .fault = fault, .fault_count = count };
	dk_breaking *breaking = NULL;
	dk_error error;
	assert_int_equal(dk_breaking_open(&catalog, &breaking, &error), DK_OK);
	return breaking;
}

static dk_breaking *joined_one(const dk_move *move, int count, dk_cylinders cylinders)
{
	const dk_fault fault = { .id = "f",
		.name = "f",
		.system = DK_SYSTEM_fuel,
		.move = move,
		.move_count = count,
		.cylinders = cylinders,
		.mark = MARK };
	return joined(&fault, 1);
}

// one move on fuel.filter_fine_pa_s_m3, healthy 4e8, range 0 .. 1e12; wants by hand from the contract's
// formulas
static const struct
{
	dk_how how;
	dk_curve curve;
	double to, severity, want, within;
	const char *source;
} kMoves[] = {
	{ DK_HOW_TIMES, DK_CURVE_LINEAR, 11, 0.5, 24e8, 1, "4e8 x (1 + 0.5 x 10)" },
	{ DK_HOW_TIMES, DK_CURVE_SQUARE, 11, 0.5, 14e8, 1, "4e8 x (1 + 0.25 x 10)" },
	{ DK_HOW_TIMES, DK_CURVE_LOG, 100, 0.5, 40e8, 1, "4e8 x 100^0.5" },
	{ DK_HOW_TIMES, DK_CURVE_LOG, 100, 1, 400e8, 1, "4e8 x 100" },
	{ DK_HOW_ADD, DK_CURVE_LINEAR, 8e8, 0.25, 6e8, 1, "4e8 + 0.25 x 8e8" },
	{ DK_HOW_ADD, DK_CURVE_SQUARE, 8e8, 0.25, 4.5e8, 1, "4e8 + 0.0625 x 8e8" },
	{ DK_HOW_ADD, DK_CURVE_LOG, 8e8, 0.5, 4e8 + 8e8 * 0.11920292, 10,
	    "(e^2 - 1)/(e^4 - 1) = 1/(e^2 + 1) = 0.11920292" },
	{ DK_HOW_SET, DK_CURVE_LINEAR, 1e8, 0.5, 2.5e8, 1, "half way from 4e8 to 1e8" },
	{ DK_HOW_SET, DK_CURVE_SQUARE, 1e8, 0.5, 3.25e8, 1, "a quarter of the way" },
	{ DK_HOW_SET, DK_CURVE_LOG, 1e8, 1, 1e8, 1, "all the way" },
	{ DK_HOW_ADD, DK_CURVE_LINEAR, 9e12, 1, 1e12, 0, "held to the top of its range" },
	{ DK_HOW_ADD, DK_CURVE_LINEAR, -9e12, 1, 0, 0, "held to the bottom" },
};

static void test_moves(void **state)
{
	(void)state;
	int bad = 0;
	for (size_t i = 0; i < sizeof kMoves / sizeof *kMoves; ++i)
	{
		const dk_move move = { "fuel.filter_fine_pa_s_m3", kMoves[i].how, kMoves[i].to, kMoves[i].curve,
			MARK };
		dk_breaking *breaking = joined_one(&move, 1, DK_CYLINDERS_ALL);
		double param[DK_PARAM_COUNT];
		dk_param_defaults(param);
		const dk_broken broken = { 0, kMoves[i].severity, 0 };
		assert_int_equal(dk_breaking_apply(breaking, &broken, 1, param, NULL), DK_OK);
		const double got = param[DK_PARAM_fuel_filter_fine_pa_s_m3];
		if (!(fabs(got - kMoves[i].want) <= kMoves[i].within))
		{
			print_error("move %zu: want %.9g got %.9g (%s)\n", i, kMoves[i].want, got, kMoves[i].source);
			++bad;
		}

		// nothing else moved
		double healthy[DK_PARAM_COUNT];
		dk_param_defaults(healthy);
		healthy[DK_PARAM_fuel_filter_fine_pa_s_m3] = got;
		assert_memory_equal(param, healthy, sizeof param);
		dk_breaking_free(breaking);
	}
	assert_int_equal(bad, 0);
}

// every how and curve on odd healthy values: severity 0 gives them back bit for bit
static void test_severity_zero(void **state)
{
	(void)state;
	for (int how = DK_HOW_TIMES; how <= DK_HOW_SET; ++how)
		for (int curve = DK_CURVE_LINEAR; curve <= DK_CURVE_LOG; ++curve)
		{
			const dk_move move[] = {
				{ "fuel.filter_fine_pa_s_m3", (dk_how)how, 7.3, (dk_curve)curve, MARK },
				{ "cylinder.ring_leak_m2", (dk_how)how, 0.1, (dk_curve)curve, MARK },
				{ "starting.battery_charge", (dk_how)how, 0.05, (dk_curve)curve, MARK },
			};
			for (int where = DK_CYLINDERS_ALL; where <= DK_CYLINDERS_K; ++where)
			{
				dk_breaking *breaking = joined_one(move, 3, (dk_cylinders)where);
				double param[DK_PARAM_COUNT], healthy[DK_PARAM_COUNT];
				for (int p = 0; p < DK_PARAM_COUNT; ++p)
				{
					const dk_param_row *row = &dk_param_info[p];
					healthy[p] = row->low + (row->high - row->low) * fmod(0.37 * (p + 1), 1);
				}
				healthy[DK_PARAM_cylinder_count] = 3;
				healthy[DK_PARAM_cylinder_hit_count] = 0;
				memcpy(param, healthy, sizeof param);
				const dk_broken broken = { 0, 0, where == DK_CYLINDERS_K ? 2 : 0 };
				assert_int_equal(dk_breaking_apply(breaking, &broken, 1, param, NULL), DK_OK);
				assert_memory_equal(param, healthy, sizeof param);
				dk_breaking_free(breaking);
			}
		}
}

// a sets, b adds, c multiplies; whatever order they are given in: times, then add, then set
static void test_order(void **state)
{
	(void)state;
	static const dk_move set = { "fuel.filter_fine_pa_s_m3", DK_HOW_SET, 10e8, DK_CURVE_LINEAR, MARK };
	static const dk_move add = { "fuel.filter_fine_pa_s_m3", DK_HOW_ADD, 3e8, DK_CURVE_LINEAR, MARK };
	static const dk_move times = { "fuel.filter_fine_pa_s_m3", DK_HOW_TIMES, 2, DK_CURVE_LINEAR, MARK };
	const dk_fault fault[] = {
		{ .id = "a", .system = DK_SYSTEM_fuel, .move = &set, .move_count = 1, .mark = MARK },
		{ .id = "b", .system = DK_SYSTEM_fuel, .move = &add, .move_count = 1, .mark = MARK },
		{ .id = "c", .system = DK_SYSTEM_fuel, .move = &times, .move_count = 1, .mark = MARK },
	};
	dk_breaking *breaking = joined(fault, 3);
	const int order[][3] = { { 0, 1, 2 }, { 2, 1, 0 }, { 1, 2, 0 }, { 0, 2, 1 } };
	for (size_t i = 0; i < sizeof order / sizeof *order; ++i)
	{
		double param[DK_PARAM_COUNT];
		dk_param_defaults(param);
		dk_broken broken[3];
		for (int k = 0; k < 3; ++k) broken[k] = (dk_broken){ order[i][k], order[i][k] == 0 ? 0.5 : 1, 0 };
		assert_int_equal(dk_breaking_apply(breaking, broken, 3, param, NULL), DK_OK);

		// (4e8 x 2 + 3e8) half way to 10e8
		assert_near(param[DK_PARAM_fuel_filter_fine_pa_s_m3], 10.5e8, 1);
	}
	dk_breaking_free(breaking);
}

static void test_classes(void **state)
{
	(void)state;
	const dk_move move[] = {
		{ "cylinder.ring_leak_m2", DK_HOW_TIMES, 4, DK_CURVE_LINEAR, MARK },
		{ "oil.level", DK_HOW_SET, 0.5, DK_CURVE_LINEAR, MARK },
	};
	const dk_fault fault[] = {
		{ .id = "all", .system = DK_SYSTEM_cylinder, .move = move, .move_count = 2, .mark = MARK },
		{ .id = "k",
		    .system = DK_SYSTEM_cylinder,
		    .move = move,
		    .move_count = 1,
		    .cylinders = DK_CYLINDERS_K,
		    .mark = MARK },
		{ .id = "one",
		    .system = DK_SYSTEM_cylinder,
		    .move = move,
		    .move_count = 2,
		    .cylinders = DK_CYLINDERS_ONE,
		    .mark = MARK },
	};
	dk_breaking *breaking = joined(fault, 3);
	const struct
	{
		dk_broken broken[2];
		int count;
		double a, b, hit, oil;
	} row[] = {
		{ { { 0, 1, 0 } }, 1, 4, 4, 0, 0.5 },
		{ { { 1, 1, 2 } }, 1, 1, 4, 2, 1 },
		{ { { 1, 1, 0 } }, 1, 1, 4, 1, 1 },
		{ { { 1, 1, 3 } }, 1, 1, 4, 3, 1 },
		{ { { 2, 1, 0 } }, 1, 1, 4, 1, 0.5 },
		{ { { 0, 1, 0 }, { 1, 1, 2 } }, 2, 4, 16, 2, 0.5 },
		{ { { 1, 1, 1 }, { 2, 1, 0 } }, 2, 1, 16, 1, 0.5 },
		{ { { 0, 1, 0 }, { 1, 0, 2 } }, 2, 4, 4, 0, 0.5 },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		double param[DK_PARAM_COUNT];
		dk_param_defaults(param);
		const double leak = param[DK_PARAM_cylinder_ring_leak_m2];
		assert_int_equal(dk_breaking_apply(breaking, row[i].broken, row[i].count, param, NULL), DK_OK);
		assert_near(param[DK_PARAM_cylinder_ring_leak_m2] / leak, row[i].a, 1e-12);
		assert_near(param[DK_PARAM_B_cylinder_ring_leak_m2] / leak, row[i].b, 1e-12);
		assert_near(param[DK_PARAM_cylinder_hit_count], row[i].hit, 0);
		assert_near(param[DK_PARAM_oil_level], row[i].oil, 1e-12);
	}
	dk_breaking_free(breaking);
}

// what is refused, in which words; nothing is moved then
static void test_refused(void **state)
{
	(void)state;
	const dk_move move = { "cylinder.ring_leak_m2", DK_HOW_TIMES, 4, DK_CURVE_LINEAR, MARK };
	const dk_fault fault[] = {
		{ .id = "all", .system = DK_SYSTEM_cylinder, .move = &move, .move_count = 1, .mark = MARK },
		{ .id = "k",
		    .system = DK_SYSTEM_cylinder,
		    .move = &move,
		    .move_count = 1,
		    .cylinders = DK_CYLINDERS_K,
		    .mark = MARK },
		{ .id = "one",
		    .system = DK_SYSTEM_cylinder,
		    .move = &move,
		    .move_count = 1,
		    .cylinders = DK_CYLINDERS_ONE,
		    .mark = MARK },
	};
	dk_breaking *breaking = joined(fault, 3);
	const struct
	{
		dk_broken broken[2];
		int count;
		dk_status status;
		const char *says;
	} row[] = {
		{ { { 0, 1.5, 0 } }, 1, DK_OUT_OF_RANGE, "the severity of all is 1.5" },
		{ { { 0, -0.1, 0 } }, 1, DK_OUT_OF_RANGE, "the severity of all is -0.1" },
		{ { { 0, NAN, 0 } }, 1, DK_OUT_OF_RANGE, "the severity of all is" },
		{ { { 1, 0.5, 4 } }, 1, DK_OUT_OF_RANGE, "k is said to be in 4 cylinders" },
		{ { { 1, 0.5, -1 } }, 1, DK_OUT_OF_RANGE, "k is said to be in -1 cylinders" },
		{ { { 0, 0.5, 2 } }, 1, DK_CONTRADICTION, "all is in all cylinders, so it takes no number of them" },
		{ { { 2, 0.5, 2 } }, 1, DK_CONTRADICTION, "one is in one cylinder, not in 2" },
		{ { { 1, 0.5, 2 }, { 2, 0.5, 0 } }, 2, DK_CONTRADICTION, "same cylinders" },
		{ { { 0, 0.5, 0 }, { 0, 0.2, 0 } }, 2, DK_CONTRADICTION, "all is given twice" },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		double param[DK_PARAM_COUNT], healthy[DK_PARAM_COUNT];
		dk_param_defaults(healthy);
		memcpy(param, healthy, sizeof param);
		dk_error error;
		assert_int_equal(
		    dk_breaking_apply(breaking, row[i].broken, row[i].count, param, &error), row[i].status);
		char text[DK_ERROR_TEXT];
		dk_error_text(&error, text, sizeof text);
		if (!strstr(text, row[i].says)) print_error("row %zu says '%s'\n", i, text);
		assert_non_null(strstr(text, row[i].says));
		assert_null(strchr(text, '\n'));
		assert_memory_equal(param, healthy, sizeof param);

		// without an error struct the status still tells
		assert_int_equal(
		    dk_breaking_apply(breaking, row[i].broken, row[i].count, param, NULL), row[i].status);
	}
	char text[DK_ERROR_TEXT];
	dk_error error;
	double param[DK_PARAM_COUNT];
	dk_param_defaults(param);
	dk_breaking_apply(breaking, row[0].broken, 1, param, &error);
	dk_error_text(&error, text, sizeof text);
	if (!strstr(text, " 0 to 1")) print_error("it says '%s'\n", text);
	assert_non_null(strstr(text, " 0 to 1"));
	dk_breaking_free(breaking);
}

// rows that do not fit the parameter table, with their place
static void test_join_refused(void **state)
{
	(void)state;
	const dk_move unknown = { "fuel.filter_fyne_pa_s_m3", DK_HOW_TIMES, 4, DK_CURVE_LINEAR, MARK };
	const dk_move twin = { "cylinder.ring_leak_m2.b", DK_HOW_TIMES, 4, DK_CURVE_LINEAR, MARK };
	const dk_move plain = { "oil.level", DK_HOW_SET, 0.5, DK_CURVE_LINEAR, MARK };
	const struct
	{
		dk_fault fault[2];
		int count;
		dk_status status;
		const char *says;
	} row[] = {
		{ { { .id = "a", .move = &unknown, .move_count = 1, .mark = MARK } }, 1, DK_UNKNOWN_NAME,
		    "moves 'fuel.filter_fyne_pa_s_m3', which is no parameter" },
		{ { { .id = "a", .move = &twin, .move_count = 1, .mark = MARK } }, 1, DK_BAD_INPUT,
		    "cylinder.ring_leak_m2.b" },
		{ { { .id = "a", .move = &plain, .move_count = 1, .cylinders = DK_CYLINDERS_ONE, .mark = MARK } }, 1,
		    DK_BAD_INPUT, "nothing that differs between cylinders" },
		{ { { .id = "b", .mark = MARK }, { .id = "a", .mark = MARK } }, 2, DK_BAD_INPUT, "order" },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		const dk_catalog catalog = { .fault = row[i].fault, .fault_count = row[i].count };
		dk_breaking *breaking = NULL;
		dk_error error;
		assert_int_equal(dk_breaking_open(&catalog, &breaking, &error), row[i].status);
		assert_null(breaking);
		assert_string_equal(error.file, "faults/x.yaml");
		assert_int_equal(error.line, 12);
		assert_int_equal(error.column, 7);
		char text[DK_ERROR_TEXT];
		assert_non_null(strstr(dk_error_text(&error, text, sizeof text), row[i].says));
	}
}

// in each system the next fault's moves; a system of one keeps its own; doing it again goes on round
static void test_exchange(void **state)
{
	(void)state;
	const dk_move move[] = {
		{ "fuel.lift_pa", DK_HOW_TIMES, 0.1, DK_CURVE_LINEAR, MARK },
		{ "fuel.tank_head_m", DK_HOW_ADD, -1, DK_CURVE_LINEAR, MARK },
		{ "cylinder.ring_leak_m2", DK_HOW_TIMES, 12, DK_CURVE_LOG, MARK },
		{ "oil.level", DK_HOW_SET, 0.2, DK_CURVE_LINEAR, MARK },
	};
	const dk_fault fault[] = {
		{ .id = "a", .system = DK_SYSTEM_fuel, .move = &move[0], .move_count = 1, .mark = MARK },
		{ .id = "b", .system = DK_SYSTEM_oil, .move = &move[3], .move_count = 1, .mark = MARK },
		{ .id = "c", .system = DK_SYSTEM_fuel, .move = &move[1], .move_count = 1, .mark = MARK },
		{ .id = "d",
		    .system = DK_SYSTEM_fuel,
		    .move = &move[2],
		    .move_count = 1,
		    .cylinders = DK_CYLINDERS_K,
		    .mark = MARK },
	};
	dk_breaking *breaking = joined(fault, 4), *other = dk_breaking_exchange(breaking);
	assert_non_null(other);
	assert_string_equal(other->fault[0].id, "a");
	assert_int_equal(other->fault[0].shift[0].parameter, DK_PARAM_fuel_tank_head_m);
	assert_int_equal(other->fault[1].shift[0].parameter, DK_PARAM_oil_level);
	assert_int_equal(other->fault[2].shift[0].parameter, DK_PARAM_cylinder_ring_leak_m2);
	assert_int_equal(other->fault[2].cylinders, DK_CYLINDERS_K);
	assert_int_equal(other->fault[3].shift[0].parameter, DK_PARAM_fuel_lift_pa);
	assert_int_equal(other->fault[3].cylinders, DK_CYLINDERS_ALL);
	assert_int_not_equal(other->hash, breaking->hash);
	assert_int_equal(dk_breaking_partner(breaking, 1), 1);
	assert_int_equal(dk_breaking_partner(breaking, 3), 0);
	dk_breaking *copy = dk_breaking_copy(breaking);
	assert_int_equal(copy->hash, breaking->hash);
	assert_int_equal(dk_breaking_find(copy, "c"), 2);
	assert_int_equal(dk_breaking_find(copy, "e"), -1);
	dk_breaking_free(copy);
	dk_breaking_free(other);
	dk_breaking_free(breaking);
}

// one z: every parameter of the group by its signed spread, twins too, held to its range; nothing else
static void test_spread(void **state)
{
	(void)state;
	for (int group = 0; group < DK_Z_COUNT; ++group)
		for (int fitted = 0; fitted < 2; ++fitted)
			for (double z = -1; z <= 1; z += 2)
			{
				double param[DK_PARAM_COUNT];
				dk_param_defaults(param);
				dk_breaking_spread(param, group, z, fitted);
				int moved = 0;
				for (int p = 0; p < DK_PARAM_COUNT; ++p)
				{
					const dk_param_row *row = &dk_param_info[p];
					const double spread = fitted ? row->spread_fitted : row->spread_plate;
					double want = row->def;
					if (row->z_group == group && group >= DK_Z_LOAD)
						want = fmin(fmax(want + z * spread, row->low), row->high);
					assert_true(param[p] == want);
					moved += param[p] != row->def;
				}
				if (group >= DK_Z_LOAD)
					assert_true(moved > 0);
				else
					assert_int_equal(moved, 0);
			}
	double param[DK_PARAM_COUNT];
	dk_param_defaults(param);
	dk_breaking_spread(param, DK_Z_HEAT, 1, false);
	assert_true(param[DK_PARAM_B_cylinder_ring_leak_m2] == param[DK_PARAM_cylinder_ring_leak_m2]);
	assert_true(param[DK_PARAM_cylinder_ring_leak_m2] > dk_param_info[DK_PARAM_cylinder_ring_leak_m2].def);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_moves),
		cmocka_unit_test(test_severity_zero),
		cmocka_unit_test(test_order),
		cmocka_unit_test(test_classes),
		cmocka_unit_test(test_refused),
		cmocka_unit_test(test_join_refused),
		cmocka_unit_test(test_exchange),
		cmocka_unit_test(test_spread),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
