#pragma once
// Copper cables: resistance and voltage drop. Lengths are out and back.
#include "num/real.h"

/// Cross-section of an American wire gauge size.
///
/// Given:   awg  gauge number; 1/0 is 0, 2/0 is -1, 3/0 is -2, 4/0 is -3   [-]
/// Returns: area                                                           [m2]
/// Source:  [ASTM-B258] d = 0.127 mm x 92^((36-n)/39).
dk_real DK_FN(dk_cable_awg_m2)(dk_real awg);

/// Resistance of solid annealed copper of a given area (the AWG tables).
///
/// Given:   area_m2, length_m (out and back), copper_k                     [m2, m, K]
/// Returns: resistance                                                     [ohm]
/// Source:  [IACS] 0.017241 ohm mm2/m at 20 degC, 0.00393 per kelvin.
/// Valid:   area_m2 > 0.
dk_real DK_FN(dk_cable_solid_ohm)(dk_real area_m2, dk_real length_m, dk_real copper_k);

/// Resistance of a fine-stranded cable of a metric size, greatest value the standard allows.
///
/// Given:   area_m2 (nominal), length_m (out and back), copper_k           [m2, m, K]
/// Returns: resistance                                                     [ohm]
/// Source:  [IEC60228] class 5 table, 6 .. 120 mm2; between sizes the product of resistance and
///          area is linear in area; beyond the table the end product holds.
/// Valid:   area_m2 > 0.
dk_real DK_FN(dk_cable_stranded_ohm)(dk_real area_m2, dk_real length_m, dk_real copper_k);
