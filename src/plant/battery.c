#include "plant/battery.h"

dk_real DK_FN(dk_battery_rest)(dk_real charge, dk_real cells, dk_real agm)
{
	// [BATTERY-OCV] volts of a six-cell battery, flooded and absorbed glass mat
	static const double at[] = { 0, 0.25, 0.50, 0.75, 1 };
	static const double flooded[] = { 11.89, 12.06, 12.24, 12.45, 12.65 };
	static const double mat[] = { 11.80, 12.10, 12.35, 12.65, 12.85 };
	const dk_real wet = dk_ramp(charge, at, flooded, 5);
	const dk_real dry = dk_ramp(charge, at, mat, 5);
	return (wet + (dry - wet) * agm) * cells * (1.0 / 6);
}

dk_real DK_FN(dk_battery_ohm)(dk_real full_ohm, dk_real charge, dk_real battery_k)
{
	// [BATTERY-OHM] from 25 % up, [ASSUMED-201] below: the acid at the plates runs out
	static const double at[] = { 0, 0.02, 0.05, 0.10, 0.25, 0.50, 0.75, 1 };
	static const double times[] = { 16, 10, 6, 3.5, 2, 1.4, 1.15, 1 };

	// [BATTERY-OHM] twice as much for every 43 K colder
	const dk_real colder_k = 298.15 - dk_clip(battery_k, 233, 333);
	return full_ohm * dk_ramp(charge, at, times, 8) * dk_exp(colder_k * (0.69314718055994531 / 43));
}

#if DK_LANES == 1
double dk_battery_ohm_from_rating(double amps, double end_volts)
{
	// [J537] the battery starts the test full, at 12.6 V
	return (12.6 - end_volts) / amps;
}
#endif
