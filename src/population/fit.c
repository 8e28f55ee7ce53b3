// From the plate to the figures that no plate carries.
#include "population/fit.h"
#include "engine/defs.h"
#include "plant/driveline.h"
#include "plant/oil.h"
#include <math.h>
#include <string.h>

static const double kPi = 3.14159265358979323846;

// [ASSUMED-843] share of the rated power that a well-chosen propeller takes at rated speed
static const double kPropellerShare = 0.97;

// [ASSUMED-840] oil at hot idle
static const double kHotIdleOilK = 368.15;

static dk_driveline_def driveline_of(const double *param)
{
#define X(system, name, ...) .name = param[DK_PARAM_##system##_##name],
	return (dk_driveline_def){ DK_PARAMS_DRIVELINE(X) };
#undef X
}

static dk_oil_def oil_of(const double *param)
{
#define X(system, name, ...) .name = param[DK_PARAM_##system##_##name],
	return (dk_oil_def){ DK_PARAMS_OIL(X) };
#undef X
}

static double rated_rad_s(const double *param)
{
	return param[DK_PARAM_fuel_rated_rpm] * kPi / 30;
}

// a propeller that takes `power_w` at rated speed
static bool fit_propeller(double *param, double power_w)
{
	const dk_driveline_def def = driveline_of(param);
	return dk_driveline_fit(&def, rated_rad_s(param), power_w, &param[DK_PARAM_driveline_propeller_m],
	    &param[DK_PARAM_driveline_pitch_ratio]);
}

// speed at full lever with a given rack stop, the governor out of the way [rad/s]
static double full_speed(const double *param, double rack_kg)
{
	double free_running[DK_PARAM_COUNT], reading[DK_READING_COUNT];
	memcpy(free_running, param, sizeof free_running);
	free_running[DK_PARAM_fuel_no_load_ratio] = dk_param_info[DK_PARAM_fuel_no_load_ratio].high;
	free_running[DK_PARAM_fuel_rack_max_kg] = rack_kg;
	unsigned char status;
	dk_batch one = { .count = 1,
		.param = free_running,
		.condition = dk_default_condition(),
		.point = DK_POINT_full,
		.lever = 1,
		.reading = reading,
		.status = &status };
	one.condition.air_k = 298.15; // the standard reference condition of engine power: 25 degC, 100 kPa
	one.condition.pressure_pa = 100e3;
	one.condition.humidity = 0.3;
	dk_batch_run(&one, 1);
	return status == DK_NOT_REACHED ? 0 : reading[DK_READING_engine_speed] * kPi / 30;
}

// the rack stop at which full rack and a load of the rated power agree at rated speed
static bool fit_rack(const double *param, double power_w, double *rack_kg, double *residual_w)
{
	double loaded[DK_PARAM_COUNT];
	memcpy(loaded, param, sizeof loaded);
	if (!fit_propeller(loaded, power_w)) return false;
	const double wanted = rated_rad_s(param);

	// start from 250 g/kWh and bracket; the speed rises with the rack
	const double cycles_s = param[DK_PARAM_cylinder_count] * wanted / (4 * kPi);
	double low = 0.4 * power_w * 250e-3 / 3.6e6 / cycles_s, high = 3 * low / 0.4;
	if (full_speed(loaded, low) > wanted || full_speed(loaded, high) < wanted) return false;
	for (int i = 0; i < 40 && high - low > 1e-6 * high; ++i)
	{
		const double middle = 0.5 * (low + high);
		if (full_speed(loaded, middle) < wanted)
			low = middle;
		else
			high = middle;
	}
	*rack_kg = 0.5 * (low + high);
	*residual_w = power_w * 3 * (full_speed(loaded, *rack_kg) / wanted - 1); // the load goes with speed cubed
	return true;
}

dk_status dk_fit_plate(double *param, const dk_plate *plate, dk_fitted *fitted, dk_error *error)
{
	double solved[DK_PARAM_COUNT];
	dk_fitted found = { 0 };
	memcpy(solved, param, sizeof solved);

	if (plate->hot_idle_oil_pa > 0 && !plate->given[DK_PARAM_oil_bearing_m3])
	{
		const dk_oil_def def = oil_of(solved);
		if (!dk_oil_fit(&def, solved[DK_PARAM_fuel_idle_rpm] * kPi / 30, kHotIdleOilK, plate->hot_idle_oil_pa,
		        &solved[DK_PARAM_oil_bearing_m3]))
		{
			dk_error_set(error, DK_OUT_OF_RANGE,
			    "no bearing clearance gives %.2f bar at hot idle with this pump and relief",
			    plate->hot_idle_oil_pa / 1e5);
			return dk_error_field(error, "hot idle oil pressure");
		}
		found.bearing = true;
	}
	if (plate->rated_power_w > 0 && !plate->given[DK_PARAM_fuel_rack_max_kg])
	{
		if (!fit_rack(
		        solved, plate->rated_power_w, &solved[DK_PARAM_fuel_rack_max_kg], &found.power_residual_w))
		{
			dk_error_set(error, DK_OUT_OF_RANGE,
			    "no amount of fuel gives %.1f kW at %.0f rpm from this bore, stroke and ratio",
			    plate->rated_power_w / 1e3, solved[DK_PARAM_fuel_rated_rpm]);
			return dk_error_field(error, "rated power");
		}
		found.rack = true;
	}
	if (plate->rated_power_w > 0 && !plate->given[DK_PARAM_driveline_pitch_ratio])
	{
		if (!fit_propeller(solved, kPropellerShare * plate->rated_power_w))
		{
			dk_error_set(error, DK_OUT_OF_RANGE,
			    "no propeller takes %.1f kW at %.0f rpm through this gearbox on this hull",
			    kPropellerShare * plate->rated_power_w / 1e3, solved[DK_PARAM_fuel_rated_rpm]);
			return dk_error_field(error, "rated power");
		}
		found.propeller = true;
	}
	found.rack_kg = solved[DK_PARAM_fuel_rack_max_kg];
	found.propeller_m = solved[DK_PARAM_driveline_propeller_m];
	found.pitch_ratio = solved[DK_PARAM_driveline_pitch_ratio];
	found.bearing_m3 = solved[DK_PARAM_oil_bearing_m3];
	memcpy(param, solved, sizeof solved);
	*fitted = found;
	return DK_OK;
}
