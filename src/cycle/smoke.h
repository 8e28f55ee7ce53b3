#pragma once
// Black smoke: filter smoke number, soot mass, opacity.
#include "num/real.h"

/// Filter smoke number from air excess and mixing: 12 q exp(-4 (lambda' - 1)), levelling off at 10;
/// lambda' = lambda for direct injection, 1.15 lambda for a swirl or pre-chamber.
///
/// Given:   lambda of the trapped air; indirect 0 or 1; quality q >= 0: 1 sound spray and timely burn
/// Returns: FSN 0 .. 10
/// Source:  smoke-limited full loads of [HEY88 ch 15]: direct lambda 1.3 .. 1.5 and indirect 1.15 .. 1.3,
///          both at FSN 1.5 .. 3.6; under 0.5 above lambda 2 on a measured rig; the curve through them
///          [ASSUMED-104], the shift [ASSUMED-113]
dk_real DK_FN(dk_smoke_fsn)(dk_real lambda, dk_real indirect, dk_real quality);

/// Soot [kg/m3] from FSN: 12.22 FSN exp(0.38 FSN) mg/m3. Source: [CHRISTIAN93] (MIRA form)
dk_real DK_FN(dk_smoke_mira)(dk_real fsn);

/// Light extinction [1/m] from opacity 0 .. 1 over length_m (0.43 m in a smoke meter): -ln(1 - N)/L.
/// Source: Beer-Lambert law
dk_real DK_FN(dk_smoke_extinction)(dk_real opacity, dk_real length_m);

/// Soot [kg/m3] from a Bosch number 0 .. 9.9: 565 ln(10/(10 - SN))^1.206 mg/m3. Source: [ALKIDAS84] SAE
/// 840412
dk_real DK_FN(dk_smoke_alkidas)(dk_real bosch);
