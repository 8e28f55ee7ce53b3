#include "plant/coolant.h"
#include "plant/smooth.h"
#include "plant/steam.h"

// share of the rise over its surroundings that a dry sender still takes [ASSUMED-366]
static const double kDryShare = 0.45;
// level over the full volume between which the sender falls dry [ASSUMED-367]
static const double kDryLevel = 0.40;
static const double kWetLevel = 0.60;
// half width of the lamp switch [K] [ASSUMED-368]
static const double kSwitchK = 1.5;

dk_real DK_FN(dk_coolant_water_moles)(dk_real glycol_share)
{
	// kmol in a cubic metre: densities at 20 degC over molar masses
	const dk_real water = (1.0 - glycol_share) * 998.0 / 18.015;
	const dk_real glycol = glycol_share * 1113.0 / 62.07;
	return water / (water + glycol);
}

dk_real DK_FN(dk_coolant_density)(dk_real glycol_share, dk_real coolant_k)
{
	// [GLYCOL] 1070 kg/m3 at 50 % and 20 degC; 4 % expansion from 20 to 90 degC
	return (998.0 + 144.0 * glycol_share) * (1.0 - 5.6e-4 * (coolant_k - 293.15));
}

dk_real DK_FN(dk_coolant_heat)(dk_real glycol_share, dk_real coolant_k)
{
	// [GLYCOL] 50 %: 3300 at 20 degC, 3500 at 80 degC; water 4180
	return 4180.0 - 1760.0 * glycol_share + 6.667 * glycol_share * (coolant_k - 293.15);
}

dk_real DK_FN(dk_coolant_boil)(dk_real glycol_share, dk_real over_pa)
{
	return DK_FN(dk_steam_boil)(DK_FN(dk_coolant_water_moles)(glycol_share), over_pa);
}

void DK_FN(dk_coolant_shown)(const dk_cooling_def *def, dk_real coolant_k, dk_real air_k, dk_real level,
    dk_real supply, dk_coolant_shown *out)
{
	const dk_real wet = dk_smooth_step(level, dk_set(kDryLevel), dk_set(kWetLevel));
	const dk_real share = wet + (1.0 - wet) * kDryShare;
	out->sender_k = air_k + share * (coolant_k - air_k);
	out->gauge_k = air_k + def->sender_gain * (out->sender_k - air_k) + def->sender_offset_k;

	// the switch sits beside the sender and closes around its set point
	const dk_real closed = 0.5 * (1.0 + dk_tanh((out->sender_k - def->lamp_set_k) / kSwitchK));
	out->lamp = def->lamp_bulb * dk_clip(supply, 0, 1) * closed;
}
