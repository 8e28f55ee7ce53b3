// The fit to the plate: what the plate says comes out again.
#include "fleet.h"

// the standard reference condition of engine power [ISO3046]: 25 degC, 100 kPa, 30 %
static dk_condition reference(void)
{
	dk_condition condition = air_sea(25, 15);
	condition.pressure_pa = 100e3;
	condition.humidity = 0.3;
	return condition;
}

// power at rated speed and full rack: the governor out of the way, and as much propeller as holds it there
static double rated_power_kw(const double *fitted)
{
	double param[DK_PARAM_COUNT], reading[DK_READING_COUNT];
	const dk_condition condition = reference();
	memcpy(param, fitted, sizeof param);
	param[DK_PARAM_fuel_no_load_ratio] = dk_param_info[DK_PARAM_fuel_no_load_ratio].high;

	double low = 0.3, high = 2; // times the propeller's torque
	for (int i = 0; i < 40; ++i)
	{
		param[DK_PARAM_driveline_torque_factor] = 0.5 * (low + high);
		run_one(param, &condition, DK_POINT_full, 1, reading);
		if (reading[DK_READING_engine_speed] > param[DK_PARAM_fuel_rated_rpm])
			low = param[DK_PARAM_driveline_torque_factor];
		else
			high = param[DK_PARAM_driveline_torque_factor];
	}
	assert_true(fabs(reading[DK_READING_engine_speed] / param[DK_PARAM_fuel_rated_rpm] - 1) < 1e-3);
	return reading[DK_READING_shaft_power];
}

static void test_rated_power(void **state)
{
	(void)state;
	const struct
	{
		const dk_record *record;
		const dk_fitted *fit;
	} engine[] = { { &ours.indirect, &ours.indirect_fit }, { &ours.direct, &ours.direct_fit } };
	for (int i = 0; i < COUNT(engine); ++i)
	{
		const double plate = engine[i].record->rated_power_w / 1e3;
		const double got = rated_power_kw(engine[i].record->param);
		print_message("%s: plate %.1f kW, model %.2f kW; residual said %.0f W\n", engine[i].record->id, plate,
		    got, engine[i].fit->power_residual_w);
		assert_true(engine[i].fit->rack && engine[i].fit->propeller);
		assert_true(fabs(engine[i].fit->power_residual_w) < 0.01 * 1e3 * plate);
		if (!(fabs(got / plate - 1) < 0.01)) fail_msg("%.2f kW for %.2f on the plate", got, plate);
	}
}

static void test_hot_idle_oil(void **state)
{
	(void)state;
	const struct
	{
		const dk_record *record;
		const dk_fitted *fit;
	} engine[] = { { &ours.indirect, &ours.indirect_fit }, { &ours.direct, &ours.direct_fit } };
	for (int i = 0; i < COUNT(engine); ++i)
	{
		if (!(engine[i].record->hot_idle_oil_pa > 0)) continue;
		double reading[DK_READING_COUNT], param[DK_PARAM_COUNT];
		const dk_condition condition = air_sea(50, 35);

		// idle at the speed and with the oil at the temperature of the fit, 95 degC: found by moving governor
		// and thermostat
		memcpy(param, engine[i].record->param, sizeof param);
		double low = 340, high = 400;
		for (int k = 0; k < 40; ++k)
		{
			param[DK_PARAM_cooling_thermostat_start_k] = 0.5 * (low + high);
			param[DK_PARAM_cooling_thermostat_full_k] = 0.5 * (low + high) + 14;
			run_one(param, &condition, DK_POINT_warm_idle, 0, reading);
			param[DK_PARAM_fuel_idle_rpm] *=
			    engine[i].record->param[DK_PARAM_fuel_idle_rpm] / reading[DK_READING_engine_speed];
			if (reading[DK_READING_oil_temperature] < 95)
				low = param[DK_PARAM_cooling_thermostat_start_k];
			else
				high = param[DK_PARAM_cooling_thermostat_start_k];
		}
		const double plate = engine[i].record->hot_idle_oil_pa / 1e5;
		print_message("%s: oil at %.1f degC %.3f bar, plate %.2f\n", engine[i].record->id,
		    reading[DK_READING_oil_temperature], reading[DK_READING_oil_pressure], plate);
		assert_true(fabs(reading[DK_READING_oil_temperature] - 95) < 0.5);
		assert_true(fabs(reading[DK_READING_oil_pressure] / plate - 1) < 0.03);
	}
}

// the governor idles the engine near its plate speed
static void test_idle_speed(void **state)
{
	(void)state;
	const double *engine[] = { ours.indirect.param, ours.direct.param };
	for (int i = 0; i < COUNT(engine); ++i)
	{
		double reading[DK_READING_COUNT];
		const dk_condition condition = dk_default_condition();
		run_one(engine[i], &condition, DK_POINT_warm_idle, 0, reading);
		print_message("warm idle %.0f rpm, plate %.0f\n", reading[DK_READING_engine_speed],
		    engine[i][DK_PARAM_fuel_idle_rpm]);

		// within the error that readings.def states for a speed: of the counter and of the model
		const dk_reading_row *row = &dk_reading_info[DK_READING_engine_speed];
		assert_true(fabs(reading[DK_READING_engine_speed] - engine[i][DK_PARAM_fuel_idle_rpm]) <
		            hypot(row->gauge_sd, row->model_sd));
	}
}

// the propeller lets the engine reach its rated speed at full lever, but not pass what the governor holds
static void test_propeller(void **state)
{
	(void)state;
	const dk_condition condition = reference();
	const double *engine[] = { ours.indirect.param, ours.direct.param };
	for (int i = 0; i < COUNT(engine); ++i)
	{
		double reading[DK_READING_COUNT];
		assert_int_equal(run_one(engine[i], &condition, DK_POINT_full, 1, reading), DK_REACHED);
		const double over = reading[DK_READING_engine_speed] / engine[i][DK_PARAM_fuel_rated_rpm];
		print_message("full lever: %.3f of rated speed\n", over);
		assert_true(over > 0.995 && over < engine[i][DK_PARAM_fuel_no_load_ratio]);
	}
}

// what the record gives is left as it is; what can't be is said, and nothing is written
static void test_refused(void **state)
{
	(void)state;
	double param[DK_PARAM_COUNT], before[DK_PARAM_COUNT];
	unsigned char given[DK_PARAM_COUNT] = { 0 };
	dk_fitted fitted;
	dk_error error;
	memcpy(param, ours.indirect.param, sizeof param);
	memcpy(before, param, sizeof before);
	const dk_plate giant = { .rated_power_w = 500e3, .given = given };
	assert_int_equal(dk_fit_plate(param, &giant, &fitted, &error), DK_OUT_OF_RANGE);
	assert_string_equal(error.field, "rated power");
	assert_memory_equal(param, before, sizeof param);

	memset(given, 1, sizeof given);
	const dk_plate known = { .rated_power_w = 20e3, .hot_idle_oil_pa = 1e5, .given = given };
	assert_int_equal(dk_fit_plate(param, &known, &fitted, &error), DK_OK);
	assert_false(fitted.rack || fitted.propeller || fitted.bearing);
	assert_memory_equal(param, before, sizeof param);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_rated_power),
		cmocka_unit_test(test_hot_idle_oil),
		cmocka_unit_test(test_idle_speed),
		cmocka_unit_test(test_propeller),
		cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
