#pragma once
// Resistance of a displacement hull in calm water: friction line and the yacht series.
#include "num/real.h"

/// Friction coefficient of the ITTC 1957 line: 0.075/(log10 Re - 2)^2.
///
/// Given:   reynolds [-], held above 1e4
/// Returns: [-]. Source: [ITTC57].
dk_real DK_FN(dk_hull_ittc57)(dk_real reynolds);

/// The same with its steepness, for solvers: *power = d ln CF / d ln Re, 0 where it is held.
dk_real DK_FN(dk_hull_ittc57_slope)(dk_real reynolds, dk_real *power);

// A canoe body without keel and rudder.
typedef struct dk_hull_form
{
	dk_real lwl_m, bwl_m, draught_m, volume_m3;
	dk_real wetted_m2; // of the canoe body
	dk_real waterplane_m2;
	dk_real prismatic, midship;
	dk_real lcb, lcf; // distance from the forward perpendicular over length, 0.50 .. 0.58
} dk_hull_form;

enum
{
	DK_HULL_KS98_ROWS = 11,
	DK_HULL_KK08_ROWS = 13
};

/// Residuary resistance over weight of the canoe body at the rows of the 1998 Delft series,
/// Froude number 0.10 .. 0.60 by 0.05, as the polynomials give it.
///
/// Given:   hull
/// Returns: ratio[11]
/// Source:  [KS98]. Valid: lwl/bwl 2.73 .. 5, bwl/draught 2.46 .. 19.4, lwl/volume^(1/3) 4.34 .. 8.5.
void DK_FN(dk_hull_ks98_rows)(const dk_hull_form *hull, dk_real ratio[DK_HULL_KS98_ROWS]);

/// Residuary resistance over weight at any Froude number, linear between rows, 0 at rest.
///
/// Given:   ratio[11] from the function above, froude 0 .. 0.6 (held above)
/// Returns: [-]; x volume x density x g gives newtons
dk_real DK_FN(dk_hull_ks98)(const dk_real ratio[DK_HULL_KS98_ROWS], dk_real froude);

/// The same for the 2008 form of the series. Rows at Froude number 0.15 .. 0.75.
/// Source: [KK08].
dk_real DK_FN(dk_hull_kk08)(const dk_hull_form *hull, dk_real froude);

/// Waterplane area where no drawing gives it.
///
/// Given:   lwl_m, bwl_m, draught_m, volume_m3, midship coefficient
/// Returns: [m2]
/// Source:  [SCHNEEKLUTH] CWP = (1 + 2 CB / sqrt(CM)) / 3.
dk_real DK_FN(dk_hull_waterplane_m2)(
    dk_real lwl_m, dk_real bwl_m, dk_real draught_m, dk_real volume_m3, dk_real midship);
