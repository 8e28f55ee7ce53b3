#pragma once
// Resistance of a displacement motor vessel by the statistical method of 1982: for `calc`, where the
// yacht series does not fit. Plain numbers, one vessel at a time; not part of the lanes.
#include "num/real.h"

#if DK_LANES == 1

typedef struct dk_motor_hull
{
	double length_m;              // of the waterline
	double beam_m, fore_m, aft_m; // moulded beam, draughts at the perpendiculars
	double volume_m3;
	double lcb_percent;            // centre of buoyancy forward of half length, % of length
	double bulb_m2, bulb_height_m; // transverse bulb area, its centre above the keel; 0 = none
	double midship, waterplane;    // coefficients
	double transom_m2;             // immersed
	double appendages_m2;
	double appendage_factor; // 1 + k2: 1.5 a rudder behind the propeller, up to 4 with shaft brackets
	double stern;            // -10 V-shaped, 0 normal, 10 U-shaped sections
	double entrance_deg;     // half angle of entrance; 0 = estimate
} dk_motor_hull;

typedef struct dk_motor_resistance
{
	double froude, prismatic, run_m, form_factor; // run_m: length of the run; form_factor: 1 + k1
	double wetted_m2, entrance_deg, friction_coefficient;
	double friction_n, appendage_n, wave_n, bulb_n, transom_n, roughness_n, total_n;
} dk_motor_resistance;

/// Calm-water resistance.
///
/// Given:   hull, speed_m_s > 0, density [kg/m3], viscosity [m2/s]
/// Returns: *out
/// Source:  [HM82]. Valid: Froude number up to 0.4 (above, the wave part is that of the formula and
///          too high), prismatic 0.55 .. 0.85, length over beam 3.9 .. 15.
void dk_hull_hm82(
    const dk_motor_hull *hull, double speed_m_s, double density, double viscosity, dk_motor_resistance *out);

#endif
