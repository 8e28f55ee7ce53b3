// Compressible flow through a hole.
#include "gas/orifice.h"
#include "near.h"

static void test_published_flows(void **state)
{
	(void)state;
	static const struct
	{
		double p0, t0, pd, gamma, area, want;
	} kRow[] = {
		{ 100e3, 300, 90e3, 1.4, 1e-4, 0.0144003 },
		{ 100e3, 300, 99e3, 1.4, 1e-4, 0.00479332 },
		{ 100e3, 300, 50e3, 1.4, 1e-4, 0.0233336 },
		{ 500e3, 1200, 105e3, 1.3, 0.5e-4, 0.0284228 },
		{ 4000e3, 800, 100e3, 1.35, 0.1e-6, 5.64386e-4 },
	};
	int bad = 0;
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		const double model =
		    dk_orifice_flow_w1(kRow[i].area, kRow[i].p0, kRow[i].t0, kRow[i].pd, kRow[i].gamma, 287.05);
		const double exact =
		    dk_orifice_flow_exact_w1(kRow[i].area, kRow[i].p0, kRow[i].t0, kRow[i].pd, kRow[i].gamma, 287.05);
		bad += miss_share("flow", model, kRow[i].want, 2e-5, "[HEY88 C.8, C.9], fit error stated");
		bad += miss_share("exact flow", exact, kRow[i].want, 3e-6, "[HEY88 C.8, C.9], last digit");
	}
	assert_int_equal(bad, 0);
}

static void test_isentropic_table(void **state)
{
	(void)state;

	// [NACA1135] table I: flow over choked flow equals A*/A of an isentropic nozzle: a gas table for
	// gamma 1.4
	static const double kRow[][3] = {
		{ 0.9395, 1 / 2.035, 5e-4 },
		{ 0.8430, 1 / 1.340, 5e-4 },
		{ 0.6560, 1 / 1.038, 5e-4 },
		{ 0.5283, 1, 1e-4 },
		{ 0.2, 1, 1e-12 },
		{ 1.0, 0, 1e-12 },
	};
	int bad = 0;
	const double choked = dk_orifice_flow_w1(1, 1e5, 300, 0, 1.4, 287);
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		const double got = dk_orifice_flow_w1(1, 1e5, 300, kRow[i][0] * 1e5, 1.4, 287) / choked;
		bad += miss("share of choked flow", got, kRow[i][1], kRow[i][2], "[NACA1135] table I");
	}
	assert_int_equal(bad, 0);
}

static void test_fit_against_the_relation(void **state)
{
	(void)state;
	double worst = 0;
	for (double gamma = 1.2; gamma <= 1.42; gamma += 0.005)
	{
		for (double ratio = 0.01; ratio < 0.9999; ratio += 0.0037)
		{
			const double exact = dk_orifice_flow_exact_w1(1, 1e5, 300, ratio * 1e5, gamma, 287);
			worst = fmax(worst, fabs(dk_orifice_flow_w1(1, 1e5, 300, ratio * 1e5, gamma, 287) / exact - 1));
		}
	}
	assert_int_equal(miss_band("fit error", worst, 0, 1e-5, "stated in orifice.h"), 0);
}

static void test_direction(void **state)
{
	(void)state;
	const dk_orifice_gas gas = dk_orifice_gas_of(1.35);
	const double out = dk_orifice_either(1e-5, 2e5, 1 / 1.2e5, &gas, 1e5, 1 / 0.9e5);
	const double in = dk_orifice_either(1e-5, 1e5, 1 / 0.9e5, &gas, 2e5, 1 / 1.2e5);
	assert_true(out > 0);
	assert_int_equal(miss("reverse", in, -out, 1e-18, "symmetry"), 0);
	assert_true(dk_orifice_either(1e-5, 1e5, 1 / 0.9e5, &gas, 1e5, 1 / 1.2e5) == 0);
	assert_true(dk_orifice_flow_w1(1e-5, 1e5, 300, 2e5, 1.4, 287) == 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_published_flows),
		cmocka_unit_test(test_isentropic_table),
		cmocka_unit_test(test_fit_against_the_relation),
		cmocka_unit_test(test_direction),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
