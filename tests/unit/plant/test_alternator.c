#include "plant/alternator.h"
#include "plant_a.h"

static dk_alternator_result run(dk_starting_def def, double rpm)
{
	const dk_alternator_ports in = { rpm * kRpm, 288.15 };
	dk_alternator_result out;
	dk_alternator_run_w1(&def, &in, &out);
	return out;
}

static void speed_and_frequency(void **state)
{
	(void)state;
	const double speed = dk_alternator_speed_w1(1500 * kRpm, 2.6, 0.03);
	expect_near(speed / kRpm, 3783, 0.5, "[BELT] 1500 x 2.6 x 0.97");
	expect_near(dk_alternator_frequency_w1(speed, 6), 378.3, 0.05, "[ALTERNATOR] six pole pairs");
}

static void belt_power(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	def.house_amps = 60, def.alternator_amps = 200;
	expect_near(run(def, 2500).shaft_w, 1549, 0.5, "[ALTERNATOR] 60 A x 14.2 V / 0.55");
}

static void current_goes_where_it_is_wanted(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	expect_near(run(def, 2000).amps, 8, 1e-9, "[ASSUMED-206] full battery: the house alone");
	expect_near(run(def, 2000).volts, 14.2, 1e-9, "identity: regulated");
	def.battery_charge = 0.5;
	expect_near(run(def, 3000).amps, 8 + 36, 1e-9, "[ASSUMED-206] 8 + 72 x 0.5");
	def.battery_charge = 0.1;
	expect_near(run(def, 2000).amps, run(def, 2000).capacity_amps, 1e-12, "identity: all it can");
	assert_true(run(def, 2000).volts < 14.2 && run(def, 2000).volts > 11.5);

	// capacity never falls with speed and stays below its greatest value
	double last = -1;
	for (double rpm = 0; rpm < 4000; rpm += 50)
	{
		const dk_alternator_result out = run(def, rpm);
		assert_true(out.capacity_amps >= last && out.capacity_amps < def.alternator_amps);
		last = out.capacity_amps;
	}
}

static void slack_belt_shows(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	const dk_alternator_result sound = run(def, 800);
	expect_near(sound.tacho_rad_s / kRpm, 800, 0.01, "identity: the counter was set with the usual slip");
	assert_true(sound.lamp < 0.01);

	// [BELT] slip reads low on a counter fed by the W terminal; far gone, the lamp lights and voltage falls
	def.belt_slip = 0.2;
	const dk_alternator_result slack = run(def, 800);
	expect_near(slack.tacho_rad_s / sound.tacho_rad_s, 0.8 / 0.98, 1e-3, "[BELT]");
	def.belt_slip = 0.8;
	const dk_alternator_result off = run(def, 800);
	assert_true(off.lamp > 0.95 && off.volts < 12.7 && off.shaft_w < 1 && off.tacho_rad_s < 10 * kRpm);

	// a counter with its own sender does not mind
	def.tacho_from_alternator = 0;
	expect_near(run(def, 800).tacho_rad_s / kRpm, 800, 1e-9, "identity");
}

static void lamp_is_lit_at_key_on(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	assert_true(run(def, 0).lamp > 0.95);
	def.lamp_bulb = 0;
	assert_true(run(def, 0).lamp == 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(speed_and_frequency),
		cmocka_unit_test(belt_power),
		cmocka_unit_test(current_goes_where_it_is_wanted),
		cmocka_unit_test(slack_belt_shows),
		cmocka_unit_test(lamp_is_lit_at_key_on),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
