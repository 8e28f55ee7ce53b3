#pragma once
// Plain journal bearings by the textbook: Sommerfeld number, Petroff friction, pressure-fed flow.
#include "num/real.h"

/// Flow through clearances lumped into one number: geometry x pressure / viscosity.
///
/// Given:   geometry_m3 = sum of (1 + 1.5 e^2) pi r c^3 / (3 l') over the bearings, viscosity_pa_s, supply_pa
/// (gauge) Returns: flow                                                     [m3/s] Source:  [SHIGLEY 12-12].
/// The oil circuit uses it with oil.bearing_m3.
dk_real DK_FN(dk_bearing_lumped_flow)(dk_real geometry_m3, dk_real viscosity_pa_s, dk_real supply_pa);

/// Side flow of a pressure-fed bearing with a central groove.
///
/// Given:   viscosity_pa_s, supply_pa (gauge), radius_m, clearance_m (radial), half_length_m (of the
///          bearing, one side of the groove), eccentricity 0 .. 1
/// Returns: flow of both sides                                       [m3/s]
/// Source:  [SHIGLEY 12-12] Q = (1 + 1.5 e^2) pi p r c^3 / (3 mu l').
dk_real DK_FN(dk_bearing_flow)(dk_real viscosity_pa_s, dk_real supply_pa, dk_real radius_m,
    dk_real clearance_m, dk_real half_length_m, dk_real eccentricity);

/// Petroff's torque of a concentric bearing [Nm]: T = 4 pi^2 mu N r^3 l / c. Source: [SHIGLEY 12-3].
///
/// Given:   viscosity_pa_s, turns_s (1/s), radius_m, clearance_m, length_m
dk_real DK_FN(dk_bearing_petroff_nm)(
    dk_real viscosity_pa_s, dk_real turns_s, dk_real radius_m, dk_real clearance_m, dk_real length_m);

/// Sommerfeld number S = (r/c)^2 mu N / P. Source: [SHIGLEY 12-4].
///
/// Given:   radius_m, clearance_m, viscosity_pa_s, turns_s (1/s), load_pa (load over projected area)
dk_real DK_FN(dk_bearing_sommerfeld)(
    dk_real radius_m, dk_real clearance_m, dk_real viscosity_pa_s, dk_real turns_s, dk_real load_pa);
