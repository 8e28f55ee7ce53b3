#pragma once
// Friction of the whole engine as a mean effective pressure over 720 deg.
#include "num/real.h"

/// Constant term C1 of Millington and Hartles [Pa]: (ratio - 4) psi direct, ratio psi indirect (145 kPa at
/// ratio 21; the printed SI form has 75 direct, 110 larger to 144 small swirl chambers).
/// Given: indirect 0 direct, 1 indirect; ratio compression ratio. Source: [MILLINGTON68] SAE 680590,
/// [HEY88 13.6]
dk_real DK_FN(dk_friction_constant)(dk_real indirect, dk_real ratio);

/// Millington and Hartles: motored friction of a warm diesel, PUMPING INCLUDED: C1 + 48 N/1000 + 0.4 Sp^2
/// kPa.
///
/// Given:   indirect, ratio or the constant itself; speed_rad_s; piston_m_s mean piston speed
/// Returns: friction mean effective pressure [Pa]
/// Source:  [MILLINGTON68] SAE 680590 as in [HEY88 13.6]
/// Valid:   warm, 500 .. 4500 rpm
dk_real DK_FN(dk_friction_mh)(dk_real indirect, dk_real ratio, dk_real speed_rad_s, dk_real piston_m_s);
dk_real DK_FN(dk_friction_mh_constant)(dk_real constant_pa, dk_real speed_rad_s, dk_real piston_m_s);

/// Millington and Hartles without the term in Sp^2, which stands for gas-exchange losses ([HEY88 13.6]): what
/// is to be taken from the work of dk_cylinder_cycle, which has its own gas exchange in it, so that pumping
/// is not counted twice. For a motored closed cycle (cranking) too.
/// Given: constant_pa of dk_friction_constant; speed_rad_s. Returns: Pa.
dk_real DK_FN(dk_friction_rubbing)(dk_real constant_pa, dk_real speed_rad_s);

/// Chen and Flynn: 0.137 bar + 0.005 pmax + 0.162 bar s/m Sp.
/// Given:   peak_pa, piston_m_s. Returns: Pa. Source: [CHENFLYNN65] SAE 650733.
dk_real DK_FN(dk_friction_cf)(dk_real peak_pa, dk_real piston_m_s);

/// Cold oil: factor on warm friction. Given: viscosity over that at 90 degC. Returns: ratio^0.24.
/// Source: exponent of [SHAYLER05] (0.19 .. 0.3), [ASSUMED-100].
dk_real DK_FN(dk_friction_cold)(dk_real viscosity_ratio);
