#pragma once
// Heat transfer from gas to wall: coefficients [W/(m2 K)].
#include "num/real.h"

enum
{
	DK_HEAT_NONE,
	DK_HEAT_WOSCHNI, // motored form: gas velocity from the piston alone
	DK_HEAT_HOHENBERG
};

/// Hohenberg: 130 V^-0.06 p^0.8 T^-0.4 (Sp + 1.4)^0.8, p in bar. Keeps a gas velocity when the piston is
/// slow, so it holds at cranking speed, where Woschni's goes to nothing.
///
/// Given:   pressure_pa, temperature_k, volume_m3, piston_m_s mean piston speed
/// Source:  [HOHENBERG79] SAE 790825
dk_real DK_FN(dk_heat_hohenberg)(
    dk_real pressure_pa, dk_real temperature_k, dk_real volume_m3, dk_real piston_m_s);

// The same as the cycle calls it: speed_term is (Sp + 1.4)^0.8, and p^0.8 T^-0.4 needs one logarithm.
static inline dk_real dk_heat_hohenberg_term(
    dk_real pressure_pa, dk_real temperature_k, dk_real volume_m3, dk_real speed_term)
{
	const dk_real bar = pressure_pa * 1e-5;
	const dk_real logs = 0.4 * dk_log(bar * bar / temperature_k) - 0.06 * dk_log(volume_m3);
	return 130 * speed_term * dk_exp(logs);
}

/// Woschni: 129.8 B^-0.2 p^0.8 T^-0.53 w^0.8, p in bar.
/// Given:   bore_m, pressure_pa, temperature_k, gas_m_s from dk_heat_woschni_speed
/// Source:  [WOSCHNI67] SAE 670931, with its exponent -0.53 (reprints with 3.26 and -0.55 are 11-14 % lower)
dk_real DK_FN(dk_heat_woschni)(dk_real bore_m, dk_real pressure_pa, dk_real temperature_k, dk_real gas_m_s);

/// Gas velocity C1 Sp + C2 (Vd T1/(p1 V1)) (p - pm). Given: c1 6.18 gas exchange, 2.28 closed; c2 0 before
/// ignition, 3.24e-3 open chamber, 6.22e-3 swirl or pre-chamber [m/(s K)]. Source: [WOSCHNI67].
dk_real DK_FN(dk_heat_woschni_speed)(dk_real c1, dk_real piston_m_s, dk_real c2, dk_real swept_m3,
    dk_real t1_k, dk_real p1_pa, dk_real v1_m3, dk_real above_motored_pa);
