// Fuel supply and governor: printed values, closed forms, directions, and a supply that closes on itself.
#include "plant/fuel.h"
#include "plant/governor.h"
#include "rows.h"

static const double kRpm = 0.10471975511965977;

static dk_fuel_def fuel_def(void)
{
	return (dk_fuel_def){ DK_PARAMS_FUEL(ROWS_FIELD) };
}

static dk_fuel_ports ports_at(double rpm, double mg, double fuel_k)
{
	return (dk_fuel_ports){ .injected_kg_s = 3 * mg * 1e-6 * rpm / 120,
		.speed_rad_s = rpm * kRpm,
		.outside_pa = 101325,
		.fuel_k = fuel_k };
}

static dk_fuel_supply supply(const dk_fuel_def *def, double rpm, double mg)
{
	const dk_fuel_ports ports = ports_at(rpm, mg, 293.15);
	dk_fuel_supply out;
	DK_FN(dk_fuel_supply)(def, &ports, &out);
	return out;
}

static void printed_values(void **state)
{
	(void)state;
	const row rows[] = {
		{ "vcf 845 at 25 degC", DK_FN(dk_fuel_vcf)(845, 298.15), 0.99161, 5e-6, "D1250 table: 0.9916" },
		{ "vcf 840 at 40 degC", DK_FN(dk_fuel_vcf)(840, 313.15), 0.97878, 5e-6, "D1250 form" },
		{ "vcf at 15 degC", DK_FN(dk_fuel_vcf)(845, 288.15), 1, 1e-12, "identity" },
		{ "vcf meets at 838.3", DK_FN(dk_fuel_vcf)(838.3, 313.15) - DK_FN(dk_fuel_vcf)(838.29999, 313.15), 0,
		    2e-6, "the two ranges of D1250 meet: alpha 8.460e-4" },
	};
	assert_int_equal(rows_bad(rows, COUNT(rows)), 0);
}

// one metre of diesel is 8.2 kPa, and with no flow nothing but heads and the lift pump counts
static void still_pressures(void **state)
{
	(void)state;
	dk_fuel_def def = fuel_def();
	def.tank_head_m = -1;
	const dk_fuel_ports ports = ports_at(800, 1e-6, 288.15);
	dk_fuel_supply out;
	DK_FN(dk_fuel_supply)(&def, &ports, &out);
	const row rows[] = {
		{ "1 m lift", out.vacuum_pa, 8200, 50, "8.2 kPa a metre at 836 kg/m3, printed to 0.1" },
		{ "gallery", out.inlet_pa, 30e3 - 8198, 10, "lift pump pressure less the lift" },
	};
	assert_int_equal(rows_bad(rows, COUNT(rows)), 0);
}

// the inlet pressure that comes out gives the delivery that went in
static void supply_closes(void **state)
{
	(void)state;
	for (int i = 0; i <= 20; ++i)
	{
		dk_fuel_def def = fuel_def();
		def.filter_fine_pa_s_m3 *= pow(10, i / 10.0);
		const dk_fuel_supply out = supply(&def, 3000, 26);
		double share = (out.inlet_pa + 35e3) / 10e3;
		share = share > 1 ? 1 : share;

		// the corner at 1 is rounded: 4 % less where both limits meet, under 1 % from 0.8 down
		assert_true(out.delivery <= share + 1e-9);
		assert_true(out.delivery > (out.delivery < 0.8 ? 0.9 : 0.85) * share);
		const double drop = out.flow_m3_s * def.filter_fine_pa_s_m3;
		assert_true(fabs(out.lift_outlet_pa - out.inlet_pa - drop) < 1e-6 * (1 + drop));
	}
}

static void directions(void **state)
{
	(void)state;
	const dk_fuel_supply sound = supply(&(dk_fuel_def){ DK_PARAMS_FUEL(ROWS_FIELD) }, 3000, 26);
	assert_true(sound.delivery > 0.999 && sound.air_share < 1e-3 && sound.misfire < 1e-9);
	assert_true(sound.stop_s > 3600);

	// a clogged primary raises the vacuum; a clogged fine filter lowers the gallery's pressure and not the
	// vacuum
	dk_fuel_def primary = fuel_def(), fine = fuel_def();
	primary.filter_primary_pa_s_m3 *= 10;
	fine.filter_fine_pa_s_m3 *= 10;
	assert_true(supply(&primary, 3000, 26).vacuum_pa > sound.vacuum_pa + 5e3);
	assert_true(fabs(supply(&fine, 3000, 26).vacuum_pa - sound.vacuum_pa) < 100);
	assert_true(supply(&fine, 3000, 26).inlet_pa < sound.inlet_pa - 10e3);

	// starving shows at full load first: an idling engine still gets its fuel
	fine.filter_fine_pa_s_m3 *= 10;
	assert_true(supply(&fine, 3000, 26).delivery < 0.5);
	assert_true(supply(&fine, 800, 5).delivery > 0.99);

	// air needs suction: a tank above the pump leaks out and not in
	dk_fuel_def leak = fuel_def(), above = fuel_def();
	leak.air_leak_m3_pa_s = above.air_leak_m3_pa_s = 1e-10;
	above.tank_head_m = 1;
	assert_true(supply(&leak, 2100, 12).air_share > 0.05);
	assert_true(supply(&above, 2100, 12).air_share < 0.01 * supply(&leak, 2100, 12).air_share + 2e-3);

	// thick cold fuel drags more
	const dk_fuel_ports cold = ports_at(3000, 26, 273.15);
	dk_fuel_supply out;
	const dk_fuel_def def = fuel_def();
	DK_FN(dk_fuel_supply)(&def, &cold, &out);
	assert_true(out.vacuum_pa > sound.vacuum_pa + 500);
}

static void monotone(void **state)
{
	(void)state;
	double delivery = 2;
	double air = -1, misfire = -1, stop = 1e9, prime = 2;
	for (int i = 0; i <= 60; ++i)
	{
		dk_fuel_def def = fuel_def();
		def.filter_fine_pa_s_m3 *= pow(10, i / 30.0);
		const double d = supply(&def, 3000, 26).delivery;
		assert_true(d <= delivery);
		delivery = d;

		def = fuel_def();
		def.air_leak_m3_pa_s = pow(10, -12 + i / 20.0);
		const dk_fuel_supply s = supply(&def, 2100, 12);
		assert_true(s.air_share >= air && s.stop_s <= stop + 1e-9 && s.delivery >= 0 && s.delivery <= 1);
		air = s.air_share, stop = s.stop_s;
		dk_fuel_ports crank = ports_at(200, 30, 283.15);
		crank.soak_s = 12 * 3600;
		dk_fuel_prime p;
		DK_FN(dk_fuel_prime)(&def, &crank, &p);
		assert_true(p.delivery <= prime && p.delivery > 0);
		prime = p.delivery;

		def = fuel_def();
		def.water_share = i / 100.0;
		const dk_fuel_supply w = supply(&def, 2100, 12);
		assert_true(w.misfire >= misfire && w.misfire <= 1);
		assert_true(fabs(w.fuel_share + w.water_share - 1) < 1e-12);
		misfire = w.misfire;
	}
	assert_true(stop < 300 && prime < 0.5);
}

// air gathers: litres over flow, less what the return carries; a longer rest lets more in
static void air_gathers(void **state)
{
	(void)state;
	dk_fuel_def def = fuel_def();
	def.air_leak_m3_pa_s = 3e-10;
	const dk_fuel_supply s = supply(&def, 2100, 12);
	const double head_pa = 101325 + s.inlet_pa;
	const double gathered = s.air_m3_s * 101325 / head_pa - 0.15 * s.flow_m3_s * 1.5 / 2.5;
	assert_true(fabs(s.stop_s - 1e-4 / gathered) < 0.02 * s.stop_s);

	def.air_leak_m3_pa_s = 1e-13;
	dk_fuel_ports crank = ports_at(200, 30, 283.15);
	dk_fuel_prime one, eight, none;
	crank.soak_s = 3600;
	DK_FN(dk_fuel_prime)(&def, &crank, &one);
	crank.soak_s = 8 * 3600;
	DK_FN(dk_fuel_prime)(&def, &crank, &eight);
	def.air_leak_m3_pa_s = 0;
	DK_FN(dk_fuel_prime)(&def, &crank, &none);
	assert_true(eight.air_m3 > 6 * one.air_m3 && eight.seconds > one.seconds);
	assert_true(none.air_m3 == 0 && none.delivery == 1);

	// a tank that runs dry: volume over what is burnt
	def.tank_m3 = 0.001;
	const dk_fuel_supply dry = supply(&def, 3000, 26);
	const double burnt = dry.delivery * 3 * 26e-6 * 25 / (836 * DK_FN(dk_fuel_vcf)(836, 293.15));
	assert_true(fabs(dry.stop_s - 0.001 / burnt) < 0.01 * dry.stop_s);
}

static void governor(void **state)
{
	(void)state;
	const dk_fuel_def def = fuel_def();
	const double idle = DK_FN(dk_governor_setting)(&def, 0);
	const double top = DK_FN(dk_governor_setting)(&def, 1);
	const row rows[] = {
		{ "idle demand at idle", DK_FN(dk_governor_demand)(&def, idle, 800 * kRpm), 0.34, 0.01,
		    "ASSUMED-300" },
		{ "no-load demand at 1.10 rated", DK_FN(dk_governor_demand)(&def, top, 3300 * kRpm), 0.38, 0.01,
		    "ASSUMED-300" },
		{ "at the stop at rated", DK_FN(dk_governor_demand)(&def, top, 3000 * kRpm), 1, 0.002, "droop 8 %" },
		{ "overspeed", DK_FN(dk_governor_demand)(&def, top, 3600 * kRpm), 0, 0.001,
		    "no fuel above the set point" },
		{ "rack at rated, fuel at 40 degC", DK_FN(dk_governor_rack)(&def, 3000 * kRpm, 313.15), 26e-6 * 0.99,
		    0.02e-6, "rack_max_kg less 1 % plunger leak" },
		{ "hot fuel +20 K",
		    DK_FN(dk_governor_rack)(&def, 3000 * kRpm, 333.15) /
		        DK_FN(dk_governor_rack)(&def, 3000 * kRpm, 313.15),
		    0.9825, 0.0025, "plant 5: -1.5 to -2 %" },
	};
	assert_int_equal(rows_bad(rows, COUNT(rows)), 0);

	// a worn pump loses most while cranking
	dk_fuel_def worn = def;
	worn.plunger_leak = 0.05;
	const double at_crank = DK_FN(dk_governor_rack)(&worn, 200 * kRpm, 313.15) /
	                        DK_FN(dk_governor_rack)(&def, 200 * kRpm, 313.15);
	const double at_rated = DK_FN(dk_governor_rack)(&worn, 3000 * kRpm, 313.15) /
	                        DK_FN(dk_governor_rack)(&def, 3000 * kRpm, 313.15);
	assert_true(at_crank < 0.7 && at_rated > 0.95);

	// start excess while cranking, gone at idle (a rack without slope shows it alone); demand falls with
	// speed
	dk_fuel_def level = def;
	level.rack_slope = 0;
	assert_true(DK_FN(dk_governor_rack)(&level, 200 * kRpm, 313.15) > 1.2 * 26e-6);
	assert_true(DK_FN(dk_governor_rack)(&level, 800 * kRpm, 313.15) < 26e-6);
	double last = 2;
	for (int rpm = 0; rpm < 4000; rpm += 20)
	{
		const double d = DK_FN(dk_governor_demand)(&def, top, rpm * kRpm);
		assert_true(d <= last && d >= 0 && d <= 1);
		last = d;
	}

	dk_injection at_rated_full, at_idle;
	DK_FN(dk_governor_injection)(&def, 3000 * kRpm, 26e-6, &at_rated_full);
	DK_FN(dk_governor_injection)(&def, 700 * kRpm, 5e-6, &at_idle);
	assert_true(at_rated_full.start_deg == def.injection_start_deg);
	assert_true(at_idle.start_deg == def.injection_start_deg - def.injection_advance_deg);
	assert_true(fabs(at_rated_full.span_deg - 22) < 0.01 && fabs(at_idle.span_deg - 4.35) < 0.2);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(printed_values),
		cmocka_unit_test(still_pressures),
		cmocka_unit_test(supply_closes),
		cmocka_unit_test(directions),
		cmocka_unit_test(monotone),
		cmocka_unit_test(air_gathers),
		cmocka_unit_test(governor),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
