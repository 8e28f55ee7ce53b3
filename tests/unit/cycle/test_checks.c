// Geometry, closed-form cycles and power adjustment against printed answers.
#include "../num/near.h"
#include "cycle/checks.h"

static void test_volume(void **state)
{
	(void)state;

	// the 104 x 85 mm rig (rod 136.5, ratio 21.5) and the 87.5 x 110 research engine (rod 234, 17.5), cm3
	static const struct
	{
		double bore, stroke, rod, ratio, deg, want;
	} kRow[] = {
		{ .104, .085, .1365, 21.5, 0, 35.223 },
		{ .104, .085, .1365, 21.5, 30, 97.729 },
		{ .104, .085, .1365, 21.5, 90, 453.891 },
		{ .104, .085, .1365, 21.5, 135, 679.994 },
		{ .104, .085, .1365, 21.5, 180, 757.286 },
		{ .0875, .110, .234, 17.5, 0, 40.088 },
		{ .0875, .110, .234, 17.5, 30, 94.148 },
		{ .0875, .110, .234, 17.5, 90, 410.234 },
		{ .0875, .110, .234, 17.5, 180, 701.541 },
	};
	int bad = 0;
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		const double got =
		    dk_geometry_volume_at(kRow[i].bore, kRow[i].stroke, kRow[i].rod, kRow[i].ratio, kRow[i].deg);
		bad += miss("volume", got * 1e6, kRow[i].want, 0.0006, "[HEY88 2.4], last digit");
	}
	assert_int_equal(bad, 0);
}

static void test_isentropic(void **state)
{
	(void)state;
	static const double kRow[][4] = {
		{ 300, 17.5, 889.0, 51.86 },
		{ 293.15, 18, 880.0, 54.03 },
		{ 273.15, 19, 843.5, 58.67 },
		{ 320, 22, 1014.8, 69.77 },
		{ 340, 16, 959.6, 45.16 },
	};
	int bad = 0;
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		const dk_check_isentropic got = dk_cycle_isentropic(kRow[i][1], kRow[i][0], 1e5);
		bad += miss("T2", got.temperature_k, kRow[i][2], 0.06, "variable cp, last digit");
		bad += miss("p2/p1", got.pressure_pa / 1e5, kRow[i][3], 0.006, "variable cp, last digit");
	}
	assert_int_equal(bad, 0);
}

static void test_integrator_lands_on_the_isentropic(void **state)
{
	(void)state;

	// compression without heat or leak from bottom dead centre on: 0.1 % of the step method
	static const double kRow[][2] = { { 300, 17.5 }, { 293.15, 18 }, { 273.15, 19 }, { 320, 22 },
		{ 340, 16 } };
	int bad = 0;
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		dk_check_motored_def def = dk_default_motored_def();
		def.heat_kind = 0;
		def.ivc_deg_before_tdc = 180;
		def.t1_k = kRow[i][0];
		def.ratio = kRow[i][1];
		const dk_check_motored run = dk_cycle_motored(&def);
		const dk_check_isentropic want = dk_cycle_isentropic(kRow[i][1], kRow[i][0], 1e5);
		bad +=
		    miss_share("T at dead centre", run.tdc_k, want.temperature_k, 0.001, "limit of the integrator");
		bad +=
		    miss_share("p at dead centre", run.peak_pa, want.pressure_pa, 0.001, "limit of the integrator");
	}
	assert_int_equal(bad, 0);
}

static void test_printed_cycles(void **state)
{
	(void)state;
	int bad = 0;

	// [MORAN] ex. 9.2 and 9.3: air tables; 0.3 % on T and p, 0.3 points, 0.5 % on mep between property sets
	dk_check_dual d = dk_cycle_dual(18, 1, 2, 300, 1e5, false);
	bad += miss_share("9.2 T2", d.t2_k, 898.3, 0.003, "[MORAN] 9.2");
	bad += miss_share("9.2 p2", d.p2_pa / 1e6, 5.39, 0.003, "[MORAN] 9.2");
	bad += miss_share("9.2 T4", d.t4_k, 1796.6, 0.003, "[MORAN] 9.2");
	bad += miss_share("9.2 T5", d.t5_k, 887.7, 0.003, "[MORAN] 9.2");
	bad += miss("9.2 efficiency", d.efficiency, 0.578, 0.003, "[MORAN] 9.2");
	bad += miss("9.2 mep", d.mep_pa / 1e6, 0.76, 0.005, "[MORAN] 9.2, two digits");
	d = dk_cycle_dual(18, 1.5, 1.2, 300, 1e5, false);
	bad += miss_share("9.3 T3", d.t3_k, 1347.5, 0.003, "[MORAN] 9.3");
	bad += miss_share("9.3 T4", d.t4_k, 1617, 0.003, "[MORAN] 9.3");
	bad += miss("9.3 efficiency", d.efficiency, 0.635, 0.003, "[MORAN] 9.3");
	bad += miss("9.3 mep", d.mep_pa / 1e6, 0.56, 0.005, "[MORAN] 9.3, two digits");

	// [CENGEL] ex. 9-3, cold air, in rankine and psi: half the last digit printed
	d = dk_cycle_dual(18, 1, 2, 300, 14.7, true);
	bad += miss("9-3 T2", d.t2_k * 1.8, 1716, 0.6, "[CENGEL] 9-3");
	bad += miss("9-3 p2", d.p2_pa, 841, 0.6, "[CENGEL] 9-3");
	bad += miss("9-3 T3", d.t4_k * 1.8, 3432, 1.1, "[CENGEL] 9-3");
	bad += miss("9-3 T4", d.t5_k * 1.8, 1425, 0.6, "[CENGEL] 9-3");
	bad += miss("9-3 p4", d.p5_pa, 38.8, 0.06, "[CENGEL] 9-3");
	bad += miss("9-3 efficiency", d.efficiency, 0.632, 0.0006, "[CENGEL] 9-3");
	bad += miss_share("9-3 mep", d.mep_pa, 110, 0.0075, "[CENGEL] 9-3, rounded there from 109.3");

	// [CENGEL] problems
	d = dk_cycle_dual(16, 1, 2, 300.15, 95e3, false);
	bad += miss_share("9-47 T3", d.t4_k, 1724.8, 0.003, "[CENGEL] 9-47");
	bad += miss("9-47 efficiency", d.efficiency, 0.563, 0.003, "[CENGEL] 9-47");
	bad += miss_share("9-47 mep", d.mep_pa / 1e3, 675.9, 0.005, "[CENGEL] 9-47");
	const double t2 = 293 * pow(20, 0.4);
	d = dk_cycle_dual(20, 1, 2200 / t2, 293, 95e3, true);
	bad += miss("9-50 efficiency", d.efficiency, 0.635, 0.0006, "[CENGEL] 9-50");
	bad += miss_share("9-50 mep", d.mep_pa / 1e3, 933, 0.001, "[CENGEL] 9-50");
	assert_int_equal(bad, 0);
}

static void test_worked_dual_cycles(void **state)
{
	(void)state;
	int bad = 0;
	dk_check_dual d = dk_cycle_dual(20, 1.25, 1.5, 300, 1e5, false);
	const double want[] = { 930.6, 6204, 7755, 1744.9, 746.8, 691.0, 900.9 };
	const double got[] = { d.t2_k, d.p2_pa / 1e3, d.p3_pa / 1e3, d.t4_k, d.t5_k, d.mep_pa / 1e3,
		d.heat_j_kg / 1e3 };
	for (int i = 0; i < 7; ++i)
		bad += miss_share("dual, variable cp", got[i], want[i], 1e-4, "worked, polynomials");
	bad += miss("dual efficiency", d.efficiency, 0.6275, 6e-5, "worked, polynomials");
	d = dk_cycle_dual(17.5, 1.4, 1.6, 320, 1e5, true);
	bad += miss("cold T2", d.t2_k, 1005.5, 0.06, "worked");
	bad += miss("cold T4", d.t4_k, 2252.2, 0.15, "worked");
	bad += miss("cold T5", d.t5_k, 865.1, 0.06, "worked");
	bad += miss("cold efficiency", d.efficiency, 0.6560, 6e-5, "worked");
	bad += miss("cold mep", d.mep_pa / 1e3, 861.4, 0.06, "worked");
	assert_int_equal(bad, 0);
}

static void test_power_adjustment(void **state)
{
	(void)state;
	int bad = 0;
	bad += miss_share("ps 25", dk_water_saturation_pa(298.15), 3170, 0.002, "steam table");
	bad += miss_share("ps 35", dk_water_saturation_pa(308.15), 5620, 0.002, "steam table");
	bad += miss_share("ps 45", dk_water_saturation_pa(318.15), 9580, 0.002, "steam table");

	// k, alpha, beta; 2e-3: saturation pressures are read at whole degrees there
	static const struct
	{
		int kind;
		double px, tx, humidity, k, alpha, beta;
	} kRow[] = {
		{ DK_POWER_NA_AIR, 100e3, 318, 0.6, 0.9063, 0.8899, 1.0184 },
		{ DK_POWER_NA_AIR, 90e3, 318, 0.6, 0.8102, 0.7769, 1.0428 },
		{ DK_POWER_TURBO, 90e3, 318, 0.6, 0.8157, 0.7835, 0.8157 / 0.7835 },
	};
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		const dk_check_iso3046 got =
		    dk_power_iso3046(kRow[i].kind, kRow[i].px, kRow[i].tx, kRow[i].humidity, 298, 0.8);
		bad += miss_share("k", got.k, kRow[i].k, 1e-3, "[ISO3046]");
		bad += miss_share("alpha", got.alpha, kRow[i].alpha, 1e-3, "[ISO3046]");
		bad += miss_share("beta", got.beta, kRow[i].beta, 1e-3, "[ISO3046]");
	}
	bad += miss("fa", dk_power_iso15550(false, 95e3, 308, 40).fa, 1.0665, 6e-5, "[ISO15550]");
	bad += miss("fm low", dk_power_iso15550(false, 95e3, 308, 20).fm, 0.2, 1e-3, "[ISO15550]");
	bad += miss("fm high", dk_power_iso15550(false, 95e3, 308, 90).fm, 1.2, 1e-9, "[ISO15550]");
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_volume),
		cmocka_unit_test(test_isentropic),
		cmocka_unit_test(test_integrator_lands_on_the_isentropic),
		cmocka_unit_test(test_printed_cycles),
		cmocka_unit_test(test_worked_dual_cycles),
		cmocka_unit_test(test_power_adjustment),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
