#pragma once
// Open-water propellers of the Wageningen B-series: thrust and torque coefficients.
// J = VA/(n D), KT = T/(rho n^2 D^4), KQ = Q/(rho n^2 D^5), n in turns per second.
#include "num/real.h"

// One propeller, its geometry worked into two cubics in J.
typedef struct dk_propeller
{
	dk_real kt[4]; // KT = kt[0] + kt[1] J + kt[2] J^2 + kt[3] J^3
	dk_real kq[4];
	dk_real zero_thrust_j; // first J at which KT is 0
} dk_propeller;

/// Works the geometry of a propeller into its cubics.
///
/// Given:   pitch_ratio 0.4 .. 1.4, area_ratio 0.30 .. 1.05, blades 2 .. 7
/// Returns: *out, written by this function alone
/// Source:  [OOSTERVELD75], [BERNITSAS81]: 39 terms for KT, 47 for KQ. All their exponents of J are 0 .. 3,
///          so for a fixed geometry the sums are cubics in J, exactly.
/// Valid:   J from 0 to zero thrust, Reynolds number 2e6 at 0.75 R.
void DK_FN(dk_propeller_b_series)(dk_real pitch_ratio, dk_real area_ratio, dk_real blades, dk_propeller *out);

/// KT and KQ at an advance ratio, from the cubics. J >= 0.
dk_real DK_FN(dk_propeller_kt)(const dk_propeller *propeller, dk_real j);
dk_real DK_FN(dk_propeller_kq)(const dk_propeller *propeller, dk_real j);

/// What a Reynolds number other than 2e6 adds to KT and KQ.
///
/// Given:   j, pitch_ratio, area_ratio, blades, reynolds at 0.75 R (2e6 .. 1e9; held above 1e5)
/// Returns: *d_kt, *d_kq
/// Source:  [OOSTERVELD75] with the seventh term of dKT in L squared: of the two forms in print only
///          that one vanishes at 2e6.
void DK_FN(dk_propeller_reynolds)(dk_real j, dk_real pitch_ratio, dk_real area_ratio, dk_real blades,
    dk_real reynolds, dk_real *d_kt, dk_real *d_kq);

/// Open-water efficiency J KT / (2 pi KQ); 0 at J = 0. kq > 0.
dk_real DK_FN(dk_propeller_efficiency)(dk_real j, dk_real kt, dk_real kq);

#if DK_LANES == 1
/// The published coefficients, for tests: term i of KT (0 .. 38) or KQ (0 .. 46).
/// Returns the coefficient and, in order, the powers of J, P/D, AE/A0, Z in power[4].
double dk_propeller_term(bool torque, int i, int power[4]);
enum
{
	DK_PROPELLER_KT_TERMS = 39,
	DK_PROPELLER_KQ_TERMS = 47
};
#endif
