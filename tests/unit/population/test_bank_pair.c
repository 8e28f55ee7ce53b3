// Two faults in one engine: composed and simulated.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "population/bank_pair.h"
#include "stub_engine.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define assert_near(got, want, within) assert_true(fabs((got) - (want)) <= (within))

static double base[DK_PARAM_COUNT];
static dk_breaking *breaking;
static dk_bank *bank;

static int set_up(void **state)
{
	(void)state;
	dk_param_defaults(base);
	if (dk_breaking_open(&kStubCatalog, &breaking, NULL) != DK_OK) return -1;
	dk_bank_request request = dk_default_bank_request();
	request.breaking = breaking;
	request.base = base;
	return dk_bank_build(&request, &bank, NULL);
}

static int tear_down(void **state)
{
	(void)state;
	dk_bank_free(bank);
	dk_breaking_free(breaking);
	return 0;
}

static int stratum_of(int fault, int hit_count)
{
	const int s = dk_bank_find(bank, fault, hit_count);
	assert_true(s > 0);
	return s;
}

static void test_can_pair(void **state)
{
	(void)state;
	const int one = stratum_of(STUB_BORE_ONE, 1), all = stratum_of(STUB_BORE_ALL, 0),
	          elbow = stratum_of(STUB_ELBOW, 0);
	assert_true(dk_bank_can_pair(bank, one, stratum_of(STUB_BORE_SOME, 1)));
	assert_false(dk_bank_can_pair(bank, one, stratum_of(STUB_BORE_SOME, 2)));
	assert_true(dk_bank_can_pair(bank, all, stratum_of(STUB_BORE_SOME, 2)));
	assert_true(dk_bank_can_pair(bank, elbow, all));
	assert_false(dk_bank_can_pair(bank, elbow, elbow));
	assert_false(dk_bank_can_pair(bank, stratum_of(STUB_BORE_SOME, 1), stratum_of(STUB_BORE_SOME, 2)));
	assert_false(dk_bank_can_pair(bank, 0, elbow));
}

// composed: t = t_a + t_b - t_healthy, and J likewise, at points that do not depend on the order
static void test_composed(void **state)
{
	(void)state;
	const int a = stratum_of(STUB_ELBOW, 0), b = stratum_of(STUB_LEAK, 0);
	dk_stratum pair, turned;
	assert_int_equal(dk_bank_compose(bank, a, b, &pair), DK_OK);
	assert_int_equal(dk_bank_compose(bank, b, a, &turned), DK_OK);
	assert_int_equal(pair.n, DK_BANK_SEVERITIES);
	assert_int_equal(pair.fault_count, 2);
	assert_int_equal(pair.fault[0], STUB_ELBOW);
	assert_int_equal(pair.fault[1], STUB_LEAK);
	assert_null(pair.jac);
	for (int i = 0; i < pair.n; ++i)
	{
		assert_true(pair.severity[3 * i] == turned.severity[3 * i + 1]);
		assert_true(pair.severity[3 * i + 1] == turned.severity[3 * i]);
		const double s_a = pair.severity[3 * i], s_b = pair.severity[3 * i + 1];
		for (int point = 0; point < DK_POINT_COUNT; ++point)
			for (int r = 0; r < DK_READING_COUNT; ++r)
			{
				const double t = dk_bank_at(bank, &bank->stratum[a], point, r, s_a) +
				                 dk_bank_at(bank, &bank->stratum[b], point, r, s_b) -
				                 dk_bank_at(bank, &bank->stratum[0], point, r, 0);
				assert_near(dk_bank_pair_at(bank, a, b, point, r, s_a, s_b), t, 1e-12 * fabs(t));
				assert_true(dk_stratum_reading(&pair, point, r, i) == (float)dk_reading_restore(r, t));
				double x[DK_Z_COUNT], y[DK_Z_COUNT], h[DK_Z_COUNT], got[DK_Z_COUNT];
				dk_bank_jac_at(bank, &bank->stratum[a], s_a, point, r, 1, x);
				dk_bank_jac_at(bank, &bank->stratum[b], s_b, point, r, 1, y);
				dk_bank_jac(bank, &bank->stratum[0], 0, point, r, 1, h);
				dk_bank_jac(bank, &pair, i, point, r, 1, got);
				for (int z = 0; z < DK_Z_COUNT; ++z) assert_near(got[z], x[z] + y[z] - h[z], 1e-12);
			}
	}

	// the leak's unsettled stretch is unsettled in the pair, at that point only
	int unsettled = 0;
	for (int i = 0; i < pair.n; ++i)
	{
		unsettled += dk_stratum_status(&pair, DK_POINT_warm_idle, i) == DK_NOT_SETTLED;
		assert_int_equal(dk_stratum_status(&pair, DK_POINT_cruise, i), DK_REACHED);
	}
	assert_true(unsettled > 0 && unsettled < pair.n / 4);
	dk_stratum_free(&pair);
	dk_stratum_free(&turned);
}

// simulated: the engine with both; where the two do not touch each other it agrees with the composed one
static void test_simulated(void **state)
{
	(void)state;
	const int a = stratum_of(STUB_ELBOW, 0), b = stratum_of(STUB_BORE_SOME, 2);
	dk_stratum run, again, composed;
	assert_int_equal(dk_bank_simulate(bank, a, b, 1, 1, &run), DK_OK);
	assert_int_equal(dk_bank_simulate(bank, a, b, 5, 8, &again), DK_OK);
	assert_int_equal(dk_bank_compose(bank, a, b, &composed), DK_OK);
	assert_int_equal(run.hit_count, 2);
	assert_memory_equal(run.severity, composed.severity, (size_t)run.n * 3 * sizeof(float));
	assert_memory_equal(
	    run.reading, again.reading, (size_t)DK_POINT_COUNT * DK_READING_COUNT * run.n * sizeof(float));
	assert_memory_equal(run.status, again.status, (size_t)DK_POINT_COUNT * run.n);
	for (int i = 0; i < run.n; ++i)
	{
		double param[DK_PARAM_COUNT], x[DK_READING_COUNT];
		dk_bank_engine(bank, &run, i, param);
		assert_near(param[DK_PARAM_exhaust_elbow_open], 1 - 0.95 * run.severity[3 * i], 1e-12);
		assert_near(param[DK_PARAM_B_cylinder_ring_leak_m2], 1e-7 * pow(12, run.severity[3 * i + 1]), 1e-15);
		stub_run(param, 288.15, 288.15, DK_POINT_full, bank->cruise_lever, x);
		for (int r = 0; r < DK_READING_COUNT; ++r)
		{
			assert_true(dk_stratum_reading(&run, DK_POINT_full, r, i) == (float)x[r]);
			const double t = dk_reading_transform(r, x[r]);
			assert_near(t, dk_reading_transform(r, dk_stratum_reading(&composed, DK_POINT_full, r, i)),
			    0.02 * (1 + fabs(t)));
		}
	}

	// its slopes are the composed ones
	double x[DK_Z_COUNT], y[DK_Z_COUNT];
	dk_bank_jac(bank, &run, 3, DK_POINT_full, DK_READING_engine_speed, 1, x);
	dk_bank_jac(bank, &composed, 3, DK_POINT_full, DK_READING_engine_speed, 1, y);
	assert_memory_equal(x, y, sizeof x);
	dk_stratum_free(&run);
	dk_stratum_free(&again);
	dk_stratum_free(&composed);
}

// where two faults are in each other's way the sum misleads, and that is why pairs are simulated
static void test_interaction(void **state)
{
	(void)state;
	const int a = stratum_of(STUB_DIRT, 0), b = stratum_of(STUB_FILTER, 0);
	dk_stratum run, composed;
	assert_int_equal(dk_bank_simulate(bank, a, b, 2, 0, &run), DK_OK);
	assert_int_equal(dk_bank_compose(bank, a, b, &composed), DK_OK);
	double most = 0;
	for (int i = 0; i < run.n; ++i)
	{
		const double x = dk_stratum_reading(&run, DK_POINT_full, DK_READING_engine_speed, i);
		most = fmax(most, fabs(x - dk_stratum_reading(&composed, DK_POINT_full, DK_READING_engine_speed, i)));
	}
	assert_true(most > 300);
	dk_stratum_free(&run);
	dk_stratum_free(&composed);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_can_pair),
		cmocka_unit_test(test_composed),
		cmocka_unit_test(test_simulated),
		cmocka_unit_test(test_interaction),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
