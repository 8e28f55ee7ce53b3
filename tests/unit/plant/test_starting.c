#include "plant/battery.h"
#include "plant/starting.h"
#include "plant_a.h"

static dk_starting_result crank(dk_starting_def def, double battery_k, double load_nm)
{
	const dk_starting_ports in = { battery_k, load_nm };
	dk_starting_result out;
	dk_starting_crank_w1(&def, &in, &out);
	return out;
}

// the three cranks of the design notes: torque follows from the current, so the speed is what is tested
static const struct
{
	double k, amps, rpm;
} kCrank[] = { { 298.15, 129, 219 }, { 273.15, 193, 184 }, { 263.15, 227, 167 } };

static void cranks_as_worked_by_hand(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	def.contact_ohm = 0;
	for (size_t i = 0; i < sizeof kCrank / sizeof *kCrank; ++i)
	{
		// T = k (I - I0) x efficiency; battery rounded to half a milliohm there: 2.6 rpm at 227 A
		const double load = def.motor_k * (kCrank[i].amps - def.free_amps) * def.gear_efficiency;
		const dk_starting_result out = crank(def, kCrank[i].k, load);
		expect_near(out.amps, kCrank[i].amps, 0.1, "identity: current from torque");
		expect_near(out.speed_rad_s / kRpm, kCrank[i].rpm, 3, "hand calculation, [MOTOR-LINEAR]");
	}
}

static void stall_current(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	def.battery_charge = 0.9375; // 12.60 V
	def.battery_ohm = 0.009 / dk_battery_ohm_w1(1, 0.9375, 298.15);
	def.cable_live_ohm = def.cable_ground_ohm = 0.0006;
	def.contact_ohm = 0, def.motor_ohm = 0.006, def.brush_volts = 0;
	expect_near(crank(def, 298.15, 1e4).stall_amps, 777.8, 0.05, "12.6 V / (9 + 1.2 + 6) milliohm");
}

static void voltages_add_up(void **state)
{
	(void)state;
	const dk_starting_def def = default_starting();
	for (double load = 0; load < 400; load += 7)
	{
		const dk_starting_result out = crank(def, 273.15, load);
		expect_near(
		    out.starter_volts + out.drop_live + out.drop_ground, out.battery_volts, 1e-9, "identity: loop");
		expect_near(
		    out.drop_contact / out.drop_live, 0.0002 / 0.00095, 1e-12, "identity: share of the contacts");
	}

	// a sound circuit stays inside the drops that a workshop manual allows
	const dk_starting_result sound = crank(def, 273.15, 56);
	assert_true(sound.drop_live < 0.5 && sound.drop_ground < 0.2); // [TM256]
	assert_true(sound.battery_volts > 9.6);                        // [CRANK-VOLTS]
	assert_true(sound.battery_volts - sound.control_volts < 1.0);  // [TM230]
}

static void stalls_smoothly(void **state)
{
	(void)state;
	const dk_starting_def def = default_starting();
	dk_starting_result last = crank(def, 298.15, 0);
	for (double load = 1; load < 500; load += 1)
	{
		const dk_starting_result out = crank(def, 298.15, load);
		assert_true(out.speed_rad_s <= last.speed_rad_s);
		assert_true(last.speed_rad_s - out.speed_rad_s < 0.15);
		assert_true(out.battery_volts <= last.battery_volts + 1e-12);
		assert_true(out.turns <= last.turns);
		last = out;
	}
	assert_true(last.speed_rad_s == 0 && last.turns == 0 && last.motor_rad_s == 0);
	expect_near(last.amps, last.stall_amps * last.holds, 1e-6, "identity: locked rotor");

	// a locked engine on a sound battery thumps and stays in; it does not chatter
	assert_true(last.holds > 0.9);
}

static void charge_and_cables_slow_it(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	double last = crank(def, 273.15, 56).speed_rad_s;
	for (int i = 1; i <= 19; ++i)
	{
		def.battery_charge = 1 - 0.05 * i;
		const dk_starting_result out = crank(def, 273.15, 56);
		expect_above(last, out.speed_rad_s, 0, "charge to speed");
		last = out.speed_rad_s;
	}

	// empty: the contacts fall out as soon as they close, the lights dip, nothing turns
	const dk_starting_result empty = crank(def, 273.15, 56);
	assert_true(empty.holds < 0.01 && empty.speed_rad_s < 0.1 && empty.battery_volts < 7);

	// a bad ground cable costs speed, shows in its own drop and leaves the battery post higher
	def = default_starting();
	const dk_starting_result sound = crank(def, 283.15, 45);
	def.cable_ground_ohm += 0.015;
	const dk_starting_result bad = crank(def, 283.15, 45);
	expect_above(sound.speed_rad_s, bad.speed_rad_s, 1, "ground to speed");
	expect_above(bad.drop_ground, sound.drop_ground, 1, "ground to its drop");
	expect_near(bad.drop_live, sound.drop_live, 1e-9, "identity: same current, same live drop");
	expect_above(
	    bad.battery_volts, sound.battery_volts, -1e-9, "post voltage does not fall with a bad cable");
}

static void control_circuit_decides_alone(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	def.control_ohm = 2;
	const dk_starting_result silent = crank(def, 293.15, 45);
	assert_true(silent.pulls < 0.01 && silent.speed_rad_s < 0.01 && silent.amps < 1);
	expect_near(silent.battery_volts, 12.65, 0.02, "identity: nothing flows, lights stay bright");
	assert_true(silent.starter_volts < 0.1 && silent.control_volts < 3);
}

static void two_batteries_in_series(void **state)
{
	(void)state;
	// twice the cells, twice the ohms, twice the constant, same torque per ampere doubled: same speed
	const dk_starting_def twelve = default_starting();
	dk_starting_def def = twelve;
	def.battery_cells *= 2, def.battery_ohm *= 2, def.cable_live_ohm *= 2, def.cable_ground_ohm *= 2;
	def.contact_ohm *= 2, def.motor_ohm *= 2, def.motor_k *= 2, def.brush_volts *= 2, def.control_ohm *= 2;
	const dk_starting_result a = crank(twelve, 283.15, 40), b = crank(def, 283.15, 80);
	expect_near(b.speed_rad_s, a.speed_rad_s, 1e-9, "identity: 24 V");
	expect_near(b.amps, a.amps, 1e-9, "identity: 24 V");
}

static void heaters(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	dk_heater_result full, half;
	dk_starting_heater_w1(&def, 12, &full);
	expect_near(full.watts, 110, 1e-9, "identity: rated at 12 V");
	expect_near(full.rise_k, 150, 1e-9, "identity: rated rise");
	def.heater_supply = 0.5;
	dk_starting_heater_w1(&def, 12, &half);
	expect_near(half.watts, 27.5, 1e-9, "[GLOW] half the voltage, a quarter of the power");
	expect_near(half.rise_k, 37.5, 1e-9, "[ASSUMED-205]");
	def.heater_watts = 0;
	dk_starting_heater_w1(&def, 12, &half);
	assert_true(half.watts == 0 && half.rise_k == 0 && half.amps == 0);

	// the divider agrees with the two functions it joins
	def = default_starting();
	const double volts = dk_starting_heater_supply_w1(&def, 273.15, 330);
	dk_starting_heater_w1(&def, volts, &full);
	expect_near(dk_starting_supply_w1(&def, 273.15, 3 * full.amps), volts, 1e-9, "identity: two ways");

	// older car plugs draw 6 .. 20 A each
	assert_true(full.amps > 6 && full.amps < 20); // [GLOW-CURRENT]
}

static void tries_spend_charge(void **state)
{
	(void)state;
	dk_starting_def def = default_starting();
	expect_near(dk_starting_charge_after_w1(&def, 200, 9), 1 - 200 * 9 / 3600.0 / 90, 1e-12, "identity: Ah");
	def.battery_charge = 0.02;
	assert_true(dk_starting_charge_after_w1(&def, 300, 600) == 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(cranks_as_worked_by_hand),
		cmocka_unit_test(stall_current),
		cmocka_unit_test(voltages_add_up),
		cmocka_unit_test(stalls_smoothly),
		cmocka_unit_test(charge_and_cables_slow_it),
		cmocka_unit_test(control_circuit_decides_alone),
		cmocka_unit_test(two_batteries_in_series),
		cmocka_unit_test(heaters),
		cmocka_unit_test(tries_spend_charge),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
