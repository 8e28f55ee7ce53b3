#pragma once
// Water vapour over water: what air, exhaust and coolant share. Moist air is water in dry air by mass.
#include "num/real.h"

/// Vapour pressure of water, below about 100 degC.
///
/// Given:   water_k   temperature, 240 .. 640 (held there)            [K]
/// Returns: pressure, absolute                                        [Pa]
/// Source:  [ANTOINE-LOW] log10 p(mmHg) = 8.07131 - 1730.63 / (233.426 + t), t in degC
/// Valid:   1 .. 100 degC; within 1 % to 120 degC; below 0 degC it is that of supercooled water, within 2 %.
dk_real DK_FN(dk_steam_pressure)(dk_real water_k);

/// Water that a gas holds when saturated, over dry gas.
///
/// Given:   gas_k     temperature                                     [K]
///          gas_pa    pressure, absolute                              [Pa]
/// Returns: mass ratio; 0.622 p/(P - p), held at 100 where p comes near P   [kg/kg]
/// Source:  [ASHRAE] ideal moist gas; the ratio of the molar masses 18.015/28.96
dk_real DK_FN(dk_steam_saturated)(dk_real gas_k, dk_real gas_pa);

// Water in outside air of a given relative humidity (0..1). [kg/kg] Source and range as above.
dk_real DK_FN(dk_steam_in_air)(dk_real air_k, dk_real air_pa, dk_real humidity);

/// Boiling temperature of a mixture in which water is `mole_share` of the liquid (Raoult).
///
/// Given:   mole_share   moles of water over moles of liquid, 0.2 .. 1   [-]
///          over_pa      pressure over the liquid, absolute, 2e4 .. 1e6  [Pa]
/// Returns: temperature                                                  [K]
/// Source:  [ANTOINE-LOW] to 100 degC and [ANTOINE-HIGH] 8.14019, 1810.94, 244.485 above, blended over 100 ..
///          103 degC
dk_real DK_FN(dk_steam_boil)(dk_real mole_share, dk_real over_pa);
