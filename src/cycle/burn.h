#pragma once
// How fast and how completely the fuel burns.
#include "num/real.h"

/// Wiebe function: share burnt at t = (angle - ignition)/span. 1 - exp(-6.908 t^(m+1)), 0.999 at t = 1.
/// Given: t any (0 before), power m + 1. Source: [WIEBE56]
static inline dk_real dk_burn_wiebe(dk_real t, dk_real power)
{
	const dk_real held = dk_max(t, dk_set(1e-9));
	const dk_real share = 1 - dk_exp(-6.908 * dk_exp(power * dk_log(held)));
	return dk_choose(t > 0, share, dk_set(0));
}

// The premixed part: m = 3, so the power is two squarings.
static inline dk_real dk_burn_premixed(dk_real t)
{
	const dk_real held = dk_clip(t, 0, 3);
	const dk_real square = held * held;
	return 1 - dk_exp(-6.908 * (square * square));
}

// Length of the premixed part [deg]. [MIYAMOTO85] SAE 850107: about 7 deg, m = 3.
#define DK_PREMIXED_SPAN_DEG 7.0

/// Premixed share: share_1ms x delay, levelling off at 0.9.
/// Given: premixed_share of dk_cylinder_def (at a delay of one millisecond), delay_s.
/// Source: rises with the fuel prepared during the delay [WATSON80]; straight line [ASSUMED-105]
dk_real DK_FN(dk_burn_premixed_share)(dk_real share_1ms, dk_real delay_s);

/// Length of the diffusion burn [deg]: span x (0.4 + 0.6 fuel/rated) (0.6 + 0.4 speed/rated) (0.7 + 0.3
/// mixing). Source: grows with the fuel quantity [MIYAMOTO85]; the straight lines [ASSUMED-106]
dk_real DK_FN(dk_burn_span)(dk_real span_deg, dk_real fuel_ratio, dk_real speed_ratio, dk_real mixing);

/// Share of the fuel that finds oxygen: (1 + lambda^-12)^(-1/12): 0.996 at lambda 1.3, 0.94 at 1, lambda
/// below. Source: oxygen balance, rounded at the corner [ASSUMED-107]
dk_real DK_FN(dk_burn_oxygen)(dk_real lambda);

/// Misfire share: 0 for ignition up to 8 deg after top dead centre, 1 from 20 deg on, smooth between.
/// Source: [ASSUMED-108]
dk_real DK_FN(dk_burn_misfire)(dk_real ignition_deg);

/// Watson, Pilley and Marzouk: split and shape for a direct engine over a nominal 125 deg. Not used by the
/// cycle (its premixed spike is sharper than one zone can use); for comparison.
/// Given: phi trapped equivalence ratio, delay_ms, speed_rpm. Source: [WATSON80] SAE 800029; one engine's
/// beta = 1 - 0.926 phi^0.37 delay^-0.26, held to 0..1.
typedef struct dk_burn_watson_result
{
	dk_real beta, cp1, cp2, cd1, cd2;
} dk_burn_watson_result;
void DK_FN(dk_burn_watson)(dk_real phi, dk_real delay_ms, dk_real speed_rpm, dk_burn_watson_result *out);
