#include "plant/steam.h"
#include "plant/smooth.h"

static const double kZero = 273.15;
static const double kPaMmHg = 133.322;
static const double kLn10 = 2.302585092994046;
static const double kWaterOverAir = 0.622; // ratio of molar masses, 18.015/28.96

dk_real DK_FN(dk_steam_pressure)(dk_real water_k)
{
	const dk_real t = dk_clip(water_k, 240, 640) - kZero;

	// [ANTOINE-LOW]
	return kPaMmHg * dk_exp(kLn10 * (8.07131 - 1730.63 / (233.426 + t)));
}

dk_real DK_FN(dk_steam_saturated)(dk_real gas_k, dk_real gas_pa)
{
	const dk_real vapour = DK_FN(dk_steam_pressure)(gas_k);

	// near boiling the dry gas left goes to nothing: its share is held at 0.6 %
	const dk_real dry = dk_max(gas_pa - vapour, 0.006 * gas_pa);
	return dk_min(kWaterOverAir * vapour / dry, dk_set(100)); // [ASHRAE]
}

dk_real DK_FN(dk_steam_in_air)(dk_real air_k, dk_real air_pa, dk_real humidity)
{
	const dk_real vapour = humidity * DK_FN(dk_steam_pressure)(air_k);
	return kWaterOverAir * vapour / (air_pa - vapour); // [ASHRAE]
}

dk_real DK_FN(dk_steam_boil)(dk_real mole_share, dk_real over_pa)
{
	// Raoult: pure water must reach over_pa / mole_share
	const dk_real log_mmhg = dk_log(over_pa / mole_share / kPaMmHg) / kLn10;

	// two fits of the same curve, each better on its side of 100 degC
	const dk_real low = 1730.63 / (8.07131 - log_mmhg) - 233.426;  // [ANTOINE-LOW]
	const dk_real high = 1810.94 / (8.14019 - log_mmhg) - 244.485; // [ANTOINE-HIGH]
	const dk_real share = dk_smooth_step(low, dk_set(100), dk_set(103));
	return kZero + low + share * (high - low);
}
