#include "plant/battery.h"
#include "plant_a.h"

static const struct
{
	double charge, flooded, mat;
} kRest[] = {
	{ 1, 12.65, 12.85 },
	{ 0.75, 12.45, 12.65 },
	{ 0.50, 12.24, 12.35 },
	{ 0.25, 12.06, 12.10 },
	{ 0, 11.89, 11.80 },
};

static void rest_follows_the_tables(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof kRest / sizeof *kRest; ++i)
	{
		expect_near(
		    dk_battery_rest_w1(kRest[i].charge, 6, 0), kRest[i].flooded, 1e-12, "[BATTERY-OCV] flooded");
		expect_near(dk_battery_rest_w1(kRest[i].charge, 6, 1), kRest[i].mat, 1e-12, "[BATTERY-OCV] mat");
		expect_near(dk_battery_rest_w1(kRest[i].charge, 12, 0), 2 * kRest[i].flooded, 1e-12,
		    "identity: two in series");
	}
	expect_near(dk_battery_rest_w1(1.5, 6, 0), 12.65, 1e-12, "identity: held above full");
	expect_near(dk_battery_rest_w1(-1, 6, 0), 11.89, 1e-12, "identity: held below empty");
}

static void rating_gives_the_cold_resistance(void **state)
{
	(void)state;
	expect_near(dk_battery_ohm_from_rating(600, 7.2), 9.0e-3, 1e-9, "[J537] 5.4 V / CCA");
	expect_near(dk_battery_ohm_from_rating(600, 7.5), 8.5e-3, 1e-9, "[EN50342] 5.1 V / Icc");
	expect_near(dk_battery_ohm_from_rating(600, 8.4), 7.0e-3, 1e-9, "[IEC60095] 4.2 V / I");
	expect_near(dk_battery_ohm_from_rating(600, 9.0), 6.0e-3, 1e-9, "[DIN43539] 3.6 V / I");
}

static void resistance_by_charge_and_cold(void **state)
{
	(void)state;
	const double warm = 298.15, cold = 255.15;
	expect_near(dk_battery_ohm_w1(0.005, 1, cold), 0.010, 1e-9, "[BATTERY-OHM] twice at -18 degC");
	expect_near(dk_battery_ohm_w1(0.005, 0.75, warm) / 0.005, 1.15, 1e-9, "[BATTERY-OHM] 75 %");
	expect_near(dk_battery_ohm_w1(0.005, 0.50, warm) / 0.005, 1.40, 1e-9, "[BATTERY-OHM] 50 %");
	expect_near(dk_battery_ohm_w1(0.005, 0.25, warm) / 0.005, 2.00, 1e-9, "[BATTERY-OHM] 25 %");

	// falls with charge and with warmth, everywhere
	for (int i = 0; i < 100; ++i)
	{
		const double charge = i * 0.01, k = 243 + 0.6 * i;
		assert_true(dk_battery_ohm_w1(0.005, charge, 280) > dk_battery_ohm_w1(0.005, charge + 0.01, 280));
		assert_true(dk_battery_ohm_w1(0.005, 0.7, k) > dk_battery_ohm_w1(0.005, 0.7, k + 0.6));
	}
}

// a chart in print gives 100, 65, 40 % of the cranking power at 27, 0 and -18 degC; the power that can be
// drawn goes with 1/R. The doubling rule gives more at -18 degC than the chart: docs/model/starting.md says
// so.
static void power_by_cold_against_the_chart(void **state)
{
	(void)state;
	const double at_27 = dk_battery_ohm_w1(0.005, 1, 300.15);
	expect_near(at_27 / dk_battery_ohm_w1(0.005, 1, 273.15), 0.65, 0.05, "[BCI] 0 degC");
	expect_near(at_27 / dk_battery_ohm_w1(0.005, 1, 255.15), 0.40, 0.10, "[BCI] -18 degC");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rest_follows_the_tables),
		cmocka_unit_test(rating_gives_the_cold_resistance),
		cmocka_unit_test(resistance_by_charge_and_cold),
		cmocka_unit_test(power_by_cold_against_the_chart),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
