// The cylinder cycle: conservation, plausible engines, trade facts, directions, smooth ramps.
#include "../num/near.h"
#include "cycle/cylinder.h"
#include "cycle/friction.h"
#include "cycle/geometry.h"
#include <stdbool.h>

#define RPM(n) ((n)*DK_PI / 30)

static dk_cylinder_def indirect_def(void)
{
	dk_cylinder_def def;
#define DK_TEST_FIELD(system, name, unit, low, standard, ...) def.name = standard;
	DK_PARAMS_CYLINDER(DK_TEST_FIELD)
#undef DK_TEST_FIELD
	return def;
}

static dk_cylinder_def direct_def(void)
{
	dk_cylinder_def def = indirect_def();
	def.bore_m = 0.088;
	def.stroke_m = 0.095;
	def.rod_m = 0.160;
	def.compression_ratio = 18.5;
	def.indirect = 0;
	def.chamber_area_factor = 1.1;
	def.premixed_share = 0.25;
	def.burn_span_deg = 70;
	def.burn_form = 0.5;
	def.inlet_valve_m = 0.039;
	def.exhaust_valve_m = 0.034;
	return def;
}

// warm full load of the indirect engine, injection 12 deg before
static dk_cylinder_ports full_load(void)
{
	dk_cylinder_ports in = dk_default_cylinder_ports_w1();
	in.injection_start_deg = 12;
	return in;
}

static dk_cylinder_ports idle(void)
{
	dk_cylinder_ports in = full_load();
	in.speed_rad_s = RPM(800);
	in.fuel_kg = 7e-6;
	in.injection_start_deg = 10;
	in.injection_span_deg = 8;
	in.intake_pa = 99.8e3;
	in.exhaust_pa = 101e3;
	in.wall_k = 385;
	return in;
}

// settles a cylinder: ten cycles, exhaust temperature fed back
static dk_cylinder_result settle(const dk_cylinder_def *def, dk_cylinder_ports in, bool at_idle)
{
	static dk_crank_grid running, slow;
	const dk_grid_def timing = dk_default_grid_def();
	if (running.steps == 0)
	{
		dk_crank_grid_running(&timing, &running);
		dk_crank_grid_idle(&timing, &slow);
	}
	const dk_crank_grid *grid = at_idle ? &slow : &running;
	dk_cylinder_state state;
	dk_cylinder_result out;
	dk_cylinder_start_w1(def, &in, grid, &state);
	for (int i = 0; i < 10; ++i)
	{
		dk_cylinder_cycle_w1(def, &in, grid, &state, &out);
		in.exhaust_k = out.exhaust_k;
	}
	return out;
}

static double bmep_bar(const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_cylinder_result *out)
{
	const double constant = dk_friction_constant_w1(def->indirect, def->compression_ratio);
	return (out->imep_pa - dk_friction_rubbing_w1(constant, in->speed_rad_s)) / 1e5;
}

// filling against outside air of 288.15 K and 100 kPa
static double filling(const dk_cylinder_def *def, const dk_cylinder_result *out)
{
	return out->fresh_air_kg / (dk_geometry_of(def, 0).swept_m3 * 100e3 / (287.05 * 288.15));
}

static void test_conservation(void **state)
{
	(void)state;
	int bad = 0;
	for (int i = 0; i < 64; ++i)
	{
		dk_cylinder_def def = i & 1 ? direct_def() : indirect_def();
		dk_cylinder_ports in = i & 2 ? idle() : full_load();
		if (i & 4) def.ring_leak_m2 = 1.2e-6;
		if (i & 8) def.exhaust_leak_m2 = def.inlet_leak_m2 = 3e-6;
		if (i & 16) def.gasket_leak_m2 = 1e-6;
		if (i & 16) in.water_kg = 2e-5;
		if (i & 32) in.fuel_kg = 45e-6;
		if (i == 2) in.fuel_kg = 0;
		const dk_cylinder_result out = settle(&def, in, (i & 2) != 0);
		bad += miss("energy", out.energy_residual, 0, 1e-12, "conservative form: rounding only");
		bad += miss("mass", out.mass_residual, 0, 1e-12, "conservative form: rounding only");
	}
	assert_int_equal(bad, 0);
}

static void test_indirect_at_full_load(void **state)
{
	(void)state;
	const dk_cylinder_def def = indirect_def();
	const dk_cylinder_ports in = full_load();
	const dk_cylinder_result out = settle(&def, in, false);
	const double bmep = bmep_bar(&def, &in, &out), power = bmep * 1e5 * dk_geometry_of(&def, 0).swept_m3 * 25;
	int bad = 0;
	bad += miss_band("bmep bar", bmep, 6, 7.5, "handbook band, NA indirect");
	bad += miss_band("lambda", out.lambda, 1.15, 1.5, "handbook band, NA indirect");
	bad += miss_band("peak bar", out.peak_pa / 1e5, 55, 80, "handbook band, NA indirect 55-75, wide");
	bad += miss_band("exhaust degC", out.exhaust_k - 273.15, 450, 600, "handbook band, NA");
	bad += miss_band("filling", filling(&def, &out), 0.75, 0.90, "handbook band, NA");
	bad += miss_band("fuel g/kWh", in.fuel_kg * 25 / power * 3.6e9, 270, 320, "handbook band, NA indirect");
	bad += miss_band("soot", out.soot_fsn, 1, 3.3, "handbook band, full load 1-3");
	bad +=
	    miss_band("blow-by share", out.blow_by_kg / out.fresh_air_kg, 0.004, 0.012, "0.5 .. 1 % of the air");
	bad += miss_band("burnt", out.burnt_share, 0.99, 1, "complete at lambda above 1.3");
	bad +=
	    miss_band("indicated efficiency", out.work_j / (in.fuel_kg * in.lhv_j_kg), 0.36, 0.45, "plausible");
	bad += miss_band("wall and port share", (out.wall_heat_j + out.port_heat_j) / (in.fuel_kg * in.lhv_j_kg),
	    0.22, 0.34, "coolant 25-32 %, part of it friction heat");
	assert_int_equal(bad, 0);
}

static void test_direct_at_full_load(void **state)
{
	(void)state;
	const dk_cylinder_def def = direct_def();
	dk_cylinder_ports in = full_load();
	in.speed_rad_s = in.rated_speed_rad_s = RPM(2600);
	in.fuel_kg = in.rated_fuel_kg = 28e-6;
	const dk_cylinder_result out = settle(&def, in, false);
	const double bmep = bmep_bar(&def, &in, &out),
	             power = bmep * 1e5 * dk_geometry_of(&def, 0).swept_m3 * 2600 / 120;
	int bad = 0;
	bad += miss_band("bmep bar", bmep, 6, 7.5, "handbook band, NA direct");
	bad += miss_band("lambda", out.lambda, 1.3, 1.55, "handbook band, NA direct");
	bad += miss_band("peak bar", out.peak_pa / 1e5, 65, 85, "handbook band, NA direct");
	bad += miss_band("exhaust degC", out.exhaust_k - 273.15, 450, 600, "handbook band, NA");
	bad += miss_band("filling", filling(&def, &out), 0.75, 0.90, "handbook band, NA");
	bad += miss_band(
	    "fuel g/kWh", in.fuel_kg * 2600 / 120 / power * 3.6e9, 230, 275, "handbook band, NA direct");
	printf("direct: bmep %.2f lambda %.2f peak %.1f exhaust %.0f C filling %.3f fuel %.0f g/kWh fsn %.2f\n",
	    bmep, out.lambda, out.peak_pa / 1e5, out.exhaust_k - 273.15, filling(&def, &out),
	    in.fuel_kg * 2600 / 120 / power * 3.6e9, out.soot_fsn);
	assert_int_equal(bad, 0);
}

// Common practice, no source: a healthy running warm engine compresses to about 550 degC and 40 bar or more.
static void test_compression_of_a_warm_running_engine(void **state)
{
	(void)state;
	int bad = 0;
	const dk_cylinder_def defs[] = { indirect_def(), direct_def() };
	for (int i = 0; i < 2; ++i)
	{
		dk_cylinder_ports in = idle();
		in.fuel_kg = 0;
		const dk_cylinder_result sound = settle(&defs[i], in, true);
		bad += miss_band("end of compression degC", sound.temperature_max_k - 273.15, 500, 700,
		    "common practice, about 550");
		bad += miss_band("compression bar", sound.peak_pa / 1e5, 35, 60, "common practice, order of 40");
		dk_cylinder_def worn = defs[i], burnt = defs[i];
		worn.ring_leak_m2 = 1.2e-6;
		burnt.exhaust_leak_m2 = 3e-6;
		bad += miss_band("worn rings cool it, K",
		    sound.temperature_max_k - settle(&worn, in, true).temperature_max_k, 15, 250, "trade fact");
		bad += miss_band("a burnt valve cools it, K",
		    sound.temperature_max_k - settle(&burnt, in, true).temperature_max_k, 15, 300, "trade fact");
	}
	assert_int_equal(bad, 0);
}

// Twice the ring leak: cranking loses much more than full load, which hardly notices ([CE2013] wear runs).
static void test_wear_shows_at_the_crank(void **state)
{
	(void)state;
	dk_cylinder_def sound = indirect_def(), worn = sound;
	worn.ring_leak_m2 = 2 * sound.ring_leak_m2;
	const dk_cylinder_ports in = full_load();
	const dk_cylinder_result a = settle(&sound, in, false), b = settle(&worn, in, false);
	int bad = 0;
	bad += miss_band("blow-by ratio", b.blow_by_kg / a.blow_by_kg, 1.9, 2.05, "flow with area");
	bad += miss_band(
	    "power lost", 1 - bmep_bar(&worn, &in, &b) / bmep_bar(&sound, &in, &a), 0, 0.04, "below 4 %");

	static dk_crank_grid grid;
	const dk_grid_def timing = dk_default_grid_def();
	dk_crank_grid_crank(&timing, &grid);
	dk_cylinder_ports crank = in;
	crank.speed_rad_s = RPM(220);
	crank.intake_pa = 100e3;
	crank.intake_k = crank.wall_k = 293.15;
	dk_crank_result c, d, gauge, warm;
	dk_cylinder_crank_w1(&sound, &crank, &grid, 0, &c);
	dk_cylinder_crank_w1(&worn, &crank, &grid, 0, &d);
	bad += miss_band("compression lost", 1 - d.peak_pa / c.peak_pa, 0.02, 0.15,
	    "wear band 3-15 % with the measured spread");
	bad += miss_band("margin lost", 1 - d.ignition_margin / c.ignition_margin, 0.03, 0.5, "leak cools");

	// the gauge's adapter adds volume: it reads lower than the bare cylinder
	dk_cylinder_crank_w1(&sound, &crank, &grid, 5e-6, &gauge);
	bad += miss_band("gauge bar", (gauge.peak_pa - 100e3) / 1e5, 24, 36,
	    "service manuals 25-32, indirect small at the top");
	assert_true(gauge.peak_pa < c.peak_pa);

	// warm the starter turns faster, walls are warmer than the charge
	crank.intake_k = 320;
	crank.wall_k = 350;
	crank.speed_rad_s = RPM(250);
	dk_cylinder_crank_w1(&sound, &crank, &grid, 5e-6, &warm);

	// lower when cold, as a service manual has it; its 10 % is missed (3.7 % here: no cold ring gaps in the
	// model)
	bad += miss_band("cold 20 degC against warm", gauge.peak_pa / warm.peak_pa, 0.85, 0.99, "direction");
	bad += miss_band("loop work bar", -c.loop_work_j / dk_geometry_of(&sound, 0).swept_m3 / 1e5, 1.2, 2.0,
	    "1.4 .. 1.7 for a sound engine");

	// pressure at the crank goes with the air outside [TM5-3895]
	crank.intake_pa = crank.crankcase_pa = crank.exhaust_pa = 73.4e3;
	dk_crank_result high;
	dk_cylinder_crank_w1(&sound, &crank, &grid, 5e-6, &high);
	bad += miss(
	    "altitude", high.peak_pa / warm.peak_pa, 0.738, 0.015, "[TM5-3895] 380/515 psi, density ratio 0.734");
	assert_int_equal(bad, 0);
}

static void test_directions(void **state)
{
	(void)state;
	const dk_cylinder_def def = indirect_def();
	const dk_cylinder_ports in = full_load();
	const dk_cylinder_result base = settle(&def, in, false);
	dk_cylinder_ports other = in;
	other.exhaust_pa += 40e3;
	const dk_cylinder_result blocked = settle(&def, other, false);
	assert_true(
	    blocked.work_j < base.work_j && blocked.lambda < base.lambda && blocked.soot_fsn > base.soot_fsn);
	assert_true(blocked.exhaust_k > base.exhaust_k && blocked.pumping_work_j < base.pumping_work_j);
	other = in;
	other.intake_k += 30;
	const dk_cylinder_result hot = settle(&def, other, false);
	assert_true(hot.fresh_air_kg < base.fresh_air_kg && hot.soot_fsn > base.soot_fsn &&
	            hot.exhaust_k > base.exhaust_k);
	other = in;
	other.mixing = 2;
	const dk_cylinder_result coarse = settle(&def, other, false);
	assert_true(coarse.work_j < base.work_j && coarse.soot_fsn > 1.5 * base.soot_fsn &&
	            coarse.exhaust_k > base.exhaust_k);
	other = in;
	other.injection_start_deg -= 6;
	const dk_cylinder_result late = settle(&def, other, false);
	assert_true(late.peak_pa < base.peak_pa && late.exhaust_k > base.exhaust_k && late.work_j < base.work_j);
	other = in;
	other.humidity_kg_kg = 0.02;
	assert_true(settle(&def, other, false).lambda < base.lambda);
	other = in;
	other.cetane = 40;
	assert_true(settle(&def, other, false).ignition_deg > base.ignition_deg);
	other = in;
	other.water_kg = 60e-6;
	assert_true(settle(&def, other, false).compression_k < base.compression_k - 20);

	// a hole to the coolant: gas out under load, water in while the cylinder draws
	dk_cylinder_def gasket = def;
	gasket.gasket_leak_m2 = 1e-6;
	const dk_cylinder_result leak = settle(&gasket, in, false);
	assert_true(
	    leak.gasket_kg > 1e-6 && leak.water_in_kg > 1e-6 && base.gasket_kg == 0 && base.water_in_kg == 0);

	// a leaking inlet valve blows burned gas back into the port
	dk_cylinder_def inlet = def;
	inlet.inlet_leak_m2 = 3e-6;
	const dk_cylinder_result back = settle(&inlet, in, false);
	assert_true(
	    back.inlet_leak_kg > 1e-6 && back.fresh_air_kg < base.fresh_air_kg && back.work_j < base.work_j);
}

static void test_late_ignition_is_a_ramp(void **state)
{
	(void)state;

	// colder and colder charges on a slow cold engine, one cycle each from a fresh start: burnt share falls
	// over about 9 K. (Settled over many cycles it falls more steeply below one half, since a cylinder
	// that misfires has cold residual gas; so does an engine.)
	const dk_cylinder_def def = indirect_def();
	static dk_crank_grid grid;
	const dk_grid_def timing = dk_default_grid_def();
	dk_crank_grid_idle(&timing, &grid);
	dk_cylinder_ports in = idle();
	in.fuel_kg = 12e-6;
	in.injection_start_deg = 6;
	double last_burnt = -1, lowest = 1, highest = 0, steepest = 0;
	for (double k = 300; k >= 225; k -= 0.5)
	{
		in.intake_k = k;
		in.wall_k = k + 20;
		dk_cylinder_state state_now;
		dk_cylinder_result out;
		dk_cylinder_start_w1(&def, &in, &grid, &state_now);
		dk_cylinder_cycle_w1(&def, &in, &grid, &state_now, &out);
		if (last_burnt >= 0) steepest = fmax(steepest, fabs(out.burnt_share - last_burnt));
		last_burnt = out.burnt_share;
		lowest = fmin(lowest, last_burnt);
		highest = fmax(highest, last_burnt);
		assert_true(fabs(out.burnt_share + out.misfire_share - 1) < 0.02);
	}
	int bad = 0;
	bad += miss_band("burns when warm", highest, 0.98, 1, "smooth ramp");
	bad += miss_band("fails when cold", lowest, 0, 0.1, "smooth ramp");
	bad += miss_band("largest change for half a kelvin", steepest, 0, 0.2, "no cliff");
	assert_int_equal(bad, 0);
}

static void test_settles_in_three_cycles(void **state)
{
	(void)state;
	static dk_crank_grid grid;
	const dk_grid_def timing = dk_default_grid_def();
	dk_crank_grid_running(&timing, &grid);
	const dk_cylinder_def def = indirect_def();
	const dk_cylinder_ports in = full_load();
	dk_cylinder_state state_now;
	dk_cylinder_result out[6];
	dk_cylinder_start_w1(&def, &in, &grid, &state_now);
	for (int i = 0; i < 6; ++i) dk_cylinder_cycle_w1(&def, &in, &grid, &state_now, &out[i]);
	int bad = 0;
	bad += miss_share(
	    "fourth against sixth", out[3].work_j, out[5].work_j, 1e-5, "contracts by 0.02-0.05 a cycle");
	bad += miss_share(
	    "third against sixth", out[2].work_j, out[5].work_j, 5e-4, "contracts by 0.02-0.05 a cycle");
	assert_int_equal(bad, 0);
}

static void test_down_to_400_rpm_and_wide_valves(void **state)
{
	(void)state;

	// valves half as large again at 400 rpm: no overshoot, trapped charge near that of the port
	dk_cylinder_def def = indirect_def();
	def.inlet_valve_m = 0.055;
	def.exhaust_valve_m = 0.05;
	dk_cylinder_ports in = idle();
	in.speed_rad_s = RPM(400);
	const dk_cylinder_result out = settle(&def, in, true);
	int bad = 0;
	bad += miss_band("filling", filling(&def, &out), 0.7, 0.95, "quasi-steady filling");
	bad += miss_band("pumping bar", -out.pumping_work_j / dk_geometry_of(&def, 0).swept_m3 / 1e5, 0.005, 0.05,
	    "pressure step 1.2 kPa");
	bad += miss_band("peak bar", out.peak_pa / 1e5, 40, 80, "plausible");
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_conservation),
		cmocka_unit_test(test_indirect_at_full_load),
		cmocka_unit_test(test_direct_at_full_load),
		cmocka_unit_test(test_compression_of_a_warm_running_engine),
		cmocka_unit_test(test_wear_shows_at_the_crank),
		cmocka_unit_test(test_directions),
		cmocka_unit_test(test_late_ignition_is_a_ramp),
		cmocka_unit_test(test_settles_in_three_cycles),
		cmocka_unit_test(test_down_to_400_rpm_and_wide_valves),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
