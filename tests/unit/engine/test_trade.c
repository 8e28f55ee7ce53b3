// Trade facts: common practice, known to every yard, so no source beside them; the state in which each is
// taken stands beside its number.
#include "engine/block.h"
#include "engine/cranking.h"
#include "engine/running.h"
#include "fleet.h"

static const double kCruiseLever = 0.5323;

static void at(
    const double *param, const dk_condition *condition, int point, double reading[DK_READING_COUNT])
{
	assert_int_equal(run_one(param, condition, point, kCruiseLever, reading), DK_REACHED);
}

// what compression alone makes of the charge of a running engine: its intake, its walls, its speed, no fuel
static void compression_running(const double *param, double lever, double *kelvin, double *bar)
{
	const dk_condition condition = dk_default_condition();
	static dk_crank_grid running, crank;
	dk_block block = { .condition = condition };
	memcpy(block.param, param, DK_PARAM_COUNT * sizeof *param);
	block.air_k[0] = condition.air_k;
	block.sea_k[0] = condition.sea_k;
	dk_grid_def def = dk_default_grid_def();
	def.ivo_deg = param[DK_PARAM_cylinder_ivo_deg], def.ivc_deg = param[DK_PARAM_cylinder_ivc_deg];
	def.evo_deg = param[DK_PARAM_cylinder_evo_deg], def.evc_deg = param[DK_PARAM_cylinder_evc_deg];
	dk_crank_grid_running(&def, &running);
	dk_crank_grid_crank(&def, &crank);
	dk_lane_engine engine;
	dk_running run;
	unsigned char status;
	long cycles = 0;
	const dk_running_order order = { .lever = lever, .in_gear = true, .settle = 1e-5 };
	DK_FN(dk_lane_engine_read)(&block, &engine);
	DK_FN(dk_running_find)(&engine, &running, &order, &run, &status, &cycles);
	assert_int_equal(status, DK_REACHED);

	dk_cylinder_ports in = DK_FN(dk_default_cylinder_ports)();
	in.speed_rad_s = run.speed_rad_s;
	in.intake_pa = run.air.intake_pa, in.intake_k = run.air.intake_k;
	in.exhaust_pa = engine.pressure_pa, in.crankcase_pa = engine.pressure_pa,
	in.coolant_pa = engine.pressure_pa;
	in.wall_k = run.wall_k[DK_SOUND];
	in.fuel_kg = 0;
	dk_crank_result closed;
	DK_FN(dk_cylinder_crank)(&engine.cylinder[DK_SOUND], &in, &crank, 0, &closed);
	*kelvin = closed.temperature_max_k;
	*bar = closed.peak_pa / 1e5;
}

// a healthy diesel, warm and running at 2100 and at 3000 rpm in gear, heats its charge by compression alone
// to about 550 degC (held to 15 % of the absolute temperature) at a pressure of the order of 40 bar (28 to
// 57: a factor of root two)
static void test_compression_heat(void **state)
{
	(void)state;
	const double *engine[] = { ours.indirect.param, ours.direct.param };
	const double lever[] = { kCruiseLever, 1 };
	for (int i = 0; i < COUNT(engine); ++i)
		for (int k = 0; k < COUNT(lever); ++k)
		{
			double kelvin, bar;
			compression_running(engine[i], lever[k], &kelvin, &bar);
			print_message("%s at lever %.2f: %.0f degC, %.1f bar by compression alone\n",
			    i ? "direct" : "indirect", lever[k], kelvin - 273.15, bar);
			assert_true(fabs(kelvin / 823.15 - 1) < 0.15);
			assert_true(bar > 40 / sqrt(2) && bar < 40 * sqrt(2));
		}

	// cranking is cooler and lower: first turns at 15 degC
	double kelvin, bar, cold[DK_READING_COUNT];
	const dk_condition condition = dk_default_condition();
	compression_running(ours.indirect.param, kCruiseLever, &kelvin, &bar);
	at(ours.indirect.param, &condition, DK_POINT_cold_crank, cold);
	assert_true(cold[DK_READING_charge_temperature] < kelvin - 273.15 - 50);
	assert_true(cold[DK_READING_compression_gauge] < bar);
}

// full lever in gear, 15 degC, 1013 hPa against air at 45 degC, and against 800 hPa: power and speed fall,
// smoke darkens
static void test_hot_and_thin_air(void **state)
{
	(void)state;
	const dk_condition usual = air_sea(15, 15), hot = air_sea(45, 15);
	dk_condition thin = usual;
	thin.pressure_pa = 80e3;
	const dk_condition *worse[] = { &hot, &thin };
	double here[DK_READING_COUNT], there[DK_READING_COUNT];
	at(ours.indirect.param, &usual, DK_POINT_full, here);
	for (int i = 0; i < COUNT(worse); ++i)
	{
		at(ours.indirect.param, worse[i], DK_POINT_full, there);
		assert_true(there[DK_READING_shaft_power] < 0.98 * here[DK_READING_shaft_power]);
		assert_true(there[DK_READING_engine_speed] < here[DK_READING_engine_speed] - 10);
		assert_true(there[DK_READING_lambda] < here[DK_READING_lambda]);
		assert_true(there[DK_READING_soot] > here[DK_READING_soot]);
	}
}

// full lever in gear: an elbow three quarters shut costs power and darkens the exhaust; at idle in neutral it
// does not show (the loss goes with flow squared)
static void test_choked_exhaust(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(15, 15);
	double choked[DK_PARAM_COUNT], here[DK_READING_COUNT], there[DK_READING_COUNT];
	with(ours.indirect.param, DK_PARAM_exhaust_elbow_open, 0.25, choked);
	at(ours.indirect.param, &condition, DK_POINT_full, here);
	at(choked, &condition, DK_POINT_full, there);
	assert_true(there[DK_READING_shaft_power] < 0.97 * here[DK_READING_shaft_power]);
	assert_true(there[DK_READING_back_pressure] > 2 * here[DK_READING_back_pressure]);
	assert_true(there[DK_READING_soot] > here[DK_READING_soot]);
	at(ours.indirect.param, &condition, DK_POINT_warm_idle, here);
	at(choked, &condition, DK_POINT_warm_idle, there);
	assert_true(fabs(there[DK_READING_engine_speed] - here[DK_READING_engine_speed]) < 20);
}

// the same boat speed at cruise with a thermostat stuck open in 5 degC water: more fuel for the same work
static void test_cold_running(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(5, 5);
	double cold[DK_PARAM_COUNT], here[DK_READING_COUNT], there[DK_READING_COUNT];
	with(ours.indirect.param, DK_PARAM_cooling_thermostat_floor, 1, cold);
	at(ours.indirect.param, &condition, DK_POINT_cruise, here);
	at(cold, &condition, DK_POINT_cruise, there);
	assert_true(there[DK_READING_coolant_temperature] < here[DK_READING_coolant_temperature] - 20);
	const double before = here[DK_READING_fuel_rate] / here[DK_READING_shaft_power];
	const double after = there[DK_READING_fuel_rate] / there[DK_READING_shaft_power];
	print_message("fuel per work at cruise, coolant %.0f against %.0f degC: x %.3f\n",
	    there[DK_READING_coolant_temperature], here[DK_READING_coolant_temperature], after / before);
	assert_true(after > 1.01 * before);
}

// first turns at 5 degC: worn bores and rings, or exhaust valves that leak in every cylinder, cost the heat
// of compression, the margin to fire and the gauge's figure
static void test_lost_compression(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(5, 10);
	const struct
	{
		int parameter;
		double value;
	} worn[] = { { DK_PARAM_cylinder_ring_leak_m2, 6e-7 }, { DK_PARAM_cylinder_exhaust_leak_m2, 1e-6 },
		{ DK_PARAM_cylinder_inlet_leak_m2, 1e-6 } };
	double here[DK_READING_COUNT], there[DK_READING_COUNT], leaky[DK_PARAM_COUNT];
	at(ours.indirect.param, &condition, DK_POINT_cold_crank, here);
	for (int i = 0; i < COUNT(worn); ++i)
	{
		with(ours.indirect.param, worn[i].parameter, worn[i].value, leaky);
		at(leaky, &condition, DK_POINT_cold_crank, there);
		assert_true(there[DK_READING_charge_temperature] < here[DK_READING_charge_temperature] - 10);
		assert_true(there[DK_READING_compression_gauge] < here[DK_READING_compression_gauge] - 2);
		assert_true(there[DK_READING_ignition_margin] < 0.9 * here[DK_READING_ignition_margin]);
	}
}

// full lever in gear: a propeller that takes 40 % more torque pulls the engine down and darkens the exhaust;
// starvation of fuel pulls it down too, but clears it
static void test_overload_and_starvation(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(15, 15);
	double engine[DK_PARAM_COUNT], here[DK_READING_COUNT], heavy[DK_READING_COUNT], starved[DK_READING_COUNT];
	at(ours.indirect.param, &condition, DK_POINT_full, here);
	with(ours.indirect.param, DK_PARAM_driveline_torque_factor, 1.4, engine);
	at(engine, &condition, DK_POINT_full, heavy);
	with(ours.indirect.param, DK_PARAM_fuel_filter_fine_pa_s_m3, 1.0e10, engine);
	at(engine, &condition, DK_POINT_full, starved);
	print_message("full: %.0f rpm FSN %.2f; heavy %.0f rpm FSN %.2f; starved %.0f rpm FSN %.2f\n",
	    here[DK_READING_engine_speed], here[DK_READING_soot], heavy[DK_READING_engine_speed],
	    heavy[DK_READING_soot], starved[DK_READING_engine_speed], starved[DK_READING_soot]);
	assert_true(heavy[DK_READING_engine_speed] < here[DK_READING_engine_speed] - 100);
	assert_true(heavy[DK_READING_soot] > here[DK_READING_soot] + 0.2);
	assert_true(starved[DK_READING_engine_speed] < here[DK_READING_engine_speed] - 100);
	assert_true(starved[DK_READING_soot] < here[DK_READING_soot]);
}

// cruise, half the vanes of the raw-water impeller gone: the flow and the hose show it, the thermostat hides
// it from the gauge
static void test_masked_impeller(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(15, 15);
	double worn[DK_PARAM_COUNT], here[DK_READING_COUNT], there[DK_READING_COUNT];
	with(ours.indirect.param, DK_PARAM_cooling_vane_loss, 0.5, worn);
	at(ours.indirect.param, &condition, DK_POINT_cruise, here);
	at(worn, &condition, DK_POINT_cruise, there);
	assert_true(there[DK_READING_raw_water_flow] < 0.7 * here[DK_READING_raw_water_flow]);
	assert_true(there[DK_READING_hose_temperature] > here[DK_READING_hose_temperature] + 5);
	assert_true(fabs(there[DK_READING_coolant_gauge] - here[DK_READING_coolant_gauge]) < 4);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_compression_heat),
		cmocka_unit_test(test_hot_and_thin_air),
		cmocka_unit_test(test_choked_exhaust),
		cmocka_unit_test(test_cold_running),
		cmocka_unit_test(test_lost_compression),
		cmocka_unit_test(test_overload_and_starvation),
		cmocka_unit_test(test_masked_impeller),
	};
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
