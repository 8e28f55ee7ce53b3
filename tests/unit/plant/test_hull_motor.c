#include "plant/hull_motor.h"
#include "plant_a.h"

// the worked example of the paper: a ship of 205 m at 25 knots
static const dk_motor_hull kShip = { .length_m = 205,
	.beam_m = 32,
	.fore_m = 10,
	.aft_m = 10,
	.volume_m3 = 37500,
	.lcb_percent = -0.75,
	.bulb_m2 = 20,
	.bulb_height_m = 4,
	.midship = 0.98,
	.waterplane = 0.75,
	.transom_m2 = 16,
	.appendages_m2 = 50,
	.appendage_factor = 1.5,
	.stern = 10 };

static void worked_example(void **state)
{
	(void)state;
	dk_motor_resistance out;
	dk_hull_hm82(&kShip, 25 * 0.514444, 1025, 1.18831e-6, &out);
	expect_near(out.froude, 0.2868, 1e-4, "[HM82]");
	expect_near(out.prismatic, 0.5833, 5e-5, "[HM82]");
	expect_near(out.run_m, 81.385, 0.005, "[HM82] length of the run");
	expect_near(out.form_factor, 1.156, 5e-4, "[HM82]");
	expect_near(out.wetted_m2, 7381.45, 0.5, "[HM82]");
	expect_near(out.friction_coefficient, 0.001390, 5e-7, "[HM82]");
	expect_near(out.friction_n / 1e3, 869.63, 0.1, "[HM82]");
	expect_near(out.appendage_n / 1e3, 8.83, 0.03, "[HM82]");
	expect_near(out.bulb_n / 1e3, 0.049, 5e-4, "[HM82]");
	expect_near(out.transom_n, 0, 1e-9, "[HM82]");

	// the paper carries three or four digits from step to step: 0.1 % of either part
	expect_near(out.wave_n / 1e3, 557.11, 0.6, "[HM82]");
	expect_near(out.roughness_n / 1e3, 221.98, 0.3, "[HM82]");
	expect_near(out.total_n / 1e3, 1793.26, 1.0, "[HM82]");
}

static void rises_with_speed(void **state)
{
	(void)state;
	// a small displacement cruiser
	const dk_motor_hull boat = { .length_m = 11,
		.beam_m = 3.6,
		.fore_m = 0.9,
		.aft_m = 0.9,
		.volume_m3 = 12,
		.lcb_percent = -2,
		.midship = 0.62,
		.waterplane = 0.72,
		.appendages_m2 = 2,
		.appendage_factor = 1.5 };
	double last = 0;
	for (double v = 1; v < 4.1; v += 0.1)
	{
		dk_motor_resistance out;
		dk_hull_hm82(&boat, v, 1025, 1.188e-6, &out);
		assert_true(isfinite(out.total_n) && out.total_n > last);
		assert_true(out.bulb_n == 0 && out.transom_n == 0 && out.wave_n >= 0);
		last = out.total_n;
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(worked_example),
		cmocka_unit_test(rises_with_speed) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
