#include "plant/governor.h"
#include "plant/fuel.h"
#include "plant/smooth.h"

static const double kRpm = 0.10471975511965977; // rad/s per rpm

// rack share that friction and what hangs on a healthy engine take, at warm idle and at no load [ASSUMED-300]
static const double kIdleShare = 0.34;
static const double kNoLoadShare = 0.38;

// rounding of the ends of the demand; doubling it moves idle by about 1 rpm
static const double kRound = 0.04;

dk_real DK_FN(dk_governor_setting)(const dk_fuel_def *def, dk_real lever)
{
	const dk_real droop_rpm = def->droop * def->rated_rpm;
	const dk_real idle = def->idle_rpm + kIdleShare * droop_rpm;
	const dk_real top = def->no_load_ratio * def->rated_rpm + kNoLoadShare * droop_rpm;
	return kRpm * (idle + dk_clip(lever, 0, 1) * (top - idle));
}

dk_real DK_FN(dk_governor_demand)(const dk_fuel_def *def, dk_real setting_rad_s, dk_real speed_rad_s)
{
	const dk_real share = (setting_rad_s - speed_rad_s) / (kRpm * def->droop * def->rated_rpm); // [BOSCH-GOV]
	return dk_soft_unit(share, dk_set(kRound));
}

dk_real DK_FN(dk_governor_fuel)(const dk_fuel_def *def, dk_real demand, dk_real speed_rad_s, dk_real fuel_k)
{
	const dk_real rpm = speed_rad_s / kRpm;
	const dk_real over_rated = rpm / def->rated_rpm;

	// the rack at its place: the stop's slope, and the start excess below idle [ASSUMED-301]
	const dk_real slope = 1.0 + def->rack_slope * (over_rated - 1.0);
	const dk_real running = dk_smooth_step(rpm, 0.5 * def->idle_rpm, 0.9 * def->idle_rpm);
	const dk_real excess = 1.0 + (def->start_excess - 1.0) * (1.0 - running);

	// back past the plunger: the slower the stroke the longer it leaks [BOSCH-PUMP]
	const dk_real leak = def->plunger_leak / (over_rated + 0.01);
	const dk_real share = dk_soft_plus(demand * slope * excess - leak, dk_set(0.01));

	// a pump measures volume; rack_max_kg holds for 836 kg/m3 fuel in a gallery at 40 degC
	const dk_real reference = 836.0 * DK_FN(dk_fuel_vcf)(dk_set(836), dk_set(313.15));
	return def->rack_max_kg * share * DK_FN(dk_fuel_density)(def, fuel_k) / reference;
}

dk_real DK_FN(dk_governor_rack)(const dk_fuel_def *def, dk_real speed_rad_s, dk_real fuel_k)
{
	return DK_FN(dk_governor_fuel)(def, dk_set(1), speed_rad_s, fuel_k);
}

void DK_FN(dk_governor_injection)(
    const dk_fuel_def *def, dk_real speed_rad_s, dk_real fuel_kg, dk_injection *out)
{
	const dk_real rpm = speed_rad_s / kRpm;

	// the advance device: all of it at rated speed, none at idle [ASSUMED-302]
	const dk_real back = dk_clip((def->rated_rpm - rpm) / (def->rated_rpm - 0.9 * def->idle_rpm), 0, 1);
	out->start_deg = def->injection_start_deg - def->injection_advance_deg * back;

	// a cam lifts the plunger in step with the crank: as many degrees as fuel [BOSCH-PUMP]
	const dk_real span = def->injection_span_deg * fuel_kg / def->rack_max_kg;
	out->span_deg = dk_smooth_max(span, dk_set(4), dk_set(0.5));
}
