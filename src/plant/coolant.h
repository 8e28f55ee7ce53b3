#pragma once
// Coolant as a mixture of water and ethylene glycol, and the gauge and lamp that show its temperature.
#include "engine/defs.h"

// Moles of water over moles of liquid. Given: glycol_share by volume, 0 .. 0.6. Source: molar masses,
// densities at 20 degC.
dk_real DK_FN(dk_coolant_water_moles)(dk_real glycol_share);

/// Density [kg/m3] and specific heat [J/(kg K)]. Given: glycol_share 0 .. 0.6, coolant_k 270 .. 400.
/// Source:  [GLYCOL] linear through water and the 50 % mixture: 1070 kg/m3 at 20 degC, 3300 J/(kg K) at 20
///          degC and 3500 at 80 degC.
dk_real DK_FN(dk_coolant_density)(dk_real glycol_share, dk_real coolant_k);
dk_real DK_FN(dk_coolant_heat)(dk_real glycol_share, dk_real coolant_k);

/// Boiling temperature under a cap. calc coolant.boil.
///
/// Given:   glycol_share   by volume                                  [-]
///          over_pa        absolute pressure: outside + cap           [Pa]
/// Returns: temperature                                               [K]
/// Source:  Raoult with dk_steam_boil; agrees with published maker values within 1 K
dk_real DK_FN(dk_coolant_boil)(dk_real glycol_share, dk_real over_pa);

// What gauge and lamp see and show.
typedef struct dk_coolant_shown
{
	dk_real sender_k; // temperature of the sender itself: lower when the level leaves it dry
	dk_real gauge_k;  // shown: coolant_gauge
	dk_real lamp;     // brightness 0 .. 1: lamp_coolant
} dk_coolant_shown;
/// Given:   def         reads sender_gain, sender_offset_k, lamp_set_k, lamp_bulb
///          coolant_k   at the engine outlet;  air_k around the sender
///          level       coolant there over coolant when full, 0 .. 1
///          supply      panel voltage over nominal, 0 .. 1 or a little above; 0 with the key off
/// Source:  a sender in steam and air above the coolant takes 0.45 of the rise over its surroundings
///          [ASSUMED-366]; it is dry below 0.40 of the full volume and wet above 0.60 [ASSUMED-367]; switch
///          closes over +-1.5 K [ASSUMED-368]
void DK_FN(dk_coolant_shown)(const dk_cooling_def *def, dk_real coolant_k, dk_real air_k, dk_real level,
    dk_real supply, dk_coolant_shown *out);
