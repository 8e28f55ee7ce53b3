#pragma once
// Effective area of a poppet valve over the crank angle.
#include "cycle/geometry.h"

typedef struct dk_valve
{
	dk_real open_deg, per_deg; // opening angle, 1 / open span
	dk_real peak_m2, port_m2;  // curtain area at full lift and port area, both times cd
	dk_real leak_m2;           // when closed; added throughout
} dk_valve;

/// Lift 16 x^2 (1 - x)^2 of its greatest over the open span x = 0..1: smooth ends, half its span above 0.56.
/// Source: curtain area pi D L, at most the port [HEY88 6.3.2]; lift form [ASSUMED-101]; port 0.85 of the
/// valve head's area [ASSUMED-102].
static inline dk_valve dk_valve_of(
    dk_real diameter_m, dk_real lift_share, dk_real cd, dk_real open_deg, dk_real close_deg, dk_real leak_m2)
{
	dk_valve v;
	const dk_real square = diameter_m * diameter_m;
	v.open_deg = open_deg;
	v.per_deg = 1 / (close_deg - open_deg);
	v.peak_m2 = DK_PI * square * lift_share * cd;
	v.port_m2 = 0.85 * DK_PI / 4 * square * cd;
	v.leak_m2 = leak_m2;
	return v;
}

/// Effective area [m2] at a crank angle, leak included.
static inline dk_real dk_valve_area(const dk_valve *v, double deg)
{
	const dk_real x = dk_clip((deg - v->open_deg) * v->per_deg, 0, 1);
	const dk_real bump = x * (1 - x);
	return dk_min(v->peak_m2 * (16 * (bump * bump)), v->port_m2) + v->leak_m2;
}
