#include "plant/cable.h"
#include "plant_a.h"

static void stranded_cable_of_the_starter(void **state)
{
	(void)state;
	const double ohm = dk_cable_stranded_ohm_w1(50e-6, 4, 293.15);
	expect_near(ohm * 1e3, 1.544, 5e-4, "[IEC60228] 4 m x 0.386");
	expect_near(ohm * 250, 0.386, 5e-4, "[IEC60228] 250 A");
	expect_near(
	    dk_cable_stranded_ohm_w1(50e-6, 4, 333.15) * 250, 0.4467, 5e-5, "[IEC60228] 250 A at 60 degC");
	expect_near(dk_cable_stranded_ohm_w1(120e-6, 1000, 293.15), 0.161, 1e-9, "[IEC60228] 120 mm2");
	expect_near(dk_cable_stranded_ohm_w1(6e-6, 1000, 293.15), 3.30, 1e-9, "[IEC60228] 6 mm2");
}

static const struct
{
	double awg, mm2, milliohm_m;
} kGauge[] = { { -3, 107.22, 0.1608 }, { -2, 85.03, 0.2028 }, { -1, 67.43, 0.2557 }, { 0, 53.48, 0.3224 },
	{ 1, 42.41, 0.4066 }, { 2, 33.63, 0.5127 }, { 4, 21.15, 0.8152 }, { 6, 13.30, 1.2961 },
	{ 8, 8.37, 2.0609 } };

static void wire_gauges(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof kGauge / sizeof *kGauge; ++i)
	{
		const double area = dk_cable_awg_m2_w1(kGauge[i].awg);
		expect_near(area * 1e6, kGauge[i].mm2, 0.006, "[ASTM-B258] table of areas");
		expect_near(
		    dk_cable_solid_ohm_w1(area, 1, 293.15) * 1e3, kGauge[i].milliohm_m, 6e-5, "[IACS] per metre");
	}
	const double ohm = dk_cable_solid_ohm_w1(dk_cable_awg_m2_w1(-1), 2.1336, 293.15);
	// printed from 0.2557 milliohm/m: half its last digit times the length
	expect_near(ohm * 1e3, 0.5456, 1.1e-4, "2/0, 7 ft in all");
	expect_near(ohm * 300, 0.164, 5e-4, "2/0, 7 ft in all, 300 A");
}

static void thinner_longer_hotter_drops_more(void **state)
{
	(void)state;
	for (double mm2 = 4; mm2 < 150; mm2 += 1)
	{
		const double here = dk_cable_stranded_ohm_w1(mm2 * 1e-6, 3, 300);
		assert_true(here > dk_cable_stranded_ohm_w1((mm2 + 1) * 1e-6, 3, 300));
		assert_true(here < dk_cable_stranded_ohm_w1(mm2 * 1e-6, 3, 301));
		expect_near(dk_cable_stranded_ohm_w1(mm2 * 1e-6, 6, 300), 2 * here, 1e-15, "identity: length");
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(stranded_cable_of_the_starter),
		cmocka_unit_test(wire_gauges),
		cmocka_unit_test(thinner_longer_hotter_drops_more),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
