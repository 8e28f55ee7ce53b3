#pragma once
// Cranking pumps raw water into the exhaust while no gas blows it out. This account says how long until it
// can reach a cylinder. The water already there is not known: a mean and a standard deviation, carried by
// the caller over tries.
#include "engine/defs.h"

// State of the account: water standing between lock bottom and exhaust port.
typedef struct dk_flood_account
{
	dk_real water_m3, spread_m3; // mean and standard deviation
	dk_real cranked_s;           // starter seconds since it was last drained or ran
} dk_flood_account;

// What is left.
typedef struct dk_flood_left
{
	dk_real seconds;     // of cranking, at the mean water level: flood_seconds; 0 .. 600
	dk_real low_seconds; // 5 % sure to be less
	dk_real advice_s;    // the smaller of the manual's figure (less what was spent) and low_seconds / 3
} dk_flood_left;

// After the engine ran for minutes, or at first sight of a boat: lock_residual_m3 with lock_spread_m3.
void DK_FN(dk_flood_start)(const dk_exhaust_def *def, dk_flood_account *account);
// After the lock was drained: a tenth of the residual is thought left in corners [ASSUMED-345].
void DK_FN(dk_flood_drained)(const dk_exhaust_def *def, dk_flood_account *account);
// One try. water_m3_s raw-water flow while cranking (0 with the inlet shut), seconds cranked, then rest_s at
// rest with seep_m3_s coming in (siphon or following sea; 0 when sound). Each litre pumped adds 15 % of
// itself to the spread [ASSUMED-344].
void DK_FN(dk_flood_try)(
    dk_real water_m3_s, dk_real seconds, dk_real rest_s, dk_real seep_m3_s, dk_flood_account *account);

/// Given:   def          reads lock_m3, port_m3, manual_crank_s, wet (dry exhaust: 600 s, the manual rules)
///          water_m3_s   raw-water flow while cranking                [m3/s]
/// Source:  (lock + port - water)/flow, no water leaving before the first fire [ASSUMED-343]; 5 %
///          by 1.645 standard deviations
void DK_FN(dk_flood_left)(
    const dk_exhaust_def *def, const dk_flood_account *account, dk_real water_m3_s, dk_flood_left *out);

/// Time to fill. calc waterlock.fill.
///
/// Given:   volume_m3 with port_m3 to the exhaust port, residual_m3 in it, per_rev_m3 pumped a pump turn,
///          speed_rad_s of the pump, efficiency of the pump 0 .. 1
/// Returns: (volume + port - residual)/(per_rev speed/2pi efficiency)      [s]
/// Source:  volume balance
dk_real DK_FN(dk_flood_fill)(dk_real volume_m3, dk_real port_m3, dk_real residual_m3, dk_real per_rev_m3,
    dk_real speed_rad_s, dk_real efficiency);
