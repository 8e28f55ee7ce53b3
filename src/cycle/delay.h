#pragma once
// Ignition delay. The model integrates dt/delay from the start of injection and lights at 1.
#include "num/real.h"

/// Wolfer: 0.44 ms p^-1.19 exp(4650 K/T), p in atm. Its activation temperature is high enough to tell a
/// cold start from a warm one; Watson's and Hardenberg's light at any cranking temperature.
/// Given: Pa, K. Returns: s. Source: [WOLFER38] as in [HEY88 table 10.3], cetane above 50.
dk_real DK_FN(dk_delay_wolfer)(dk_real pressure_pa, dk_real temperature_k);

// 1/delay, as the cycle calls it [1/s].
static inline dk_real dk_delay_wolfer_rate(dk_real pressure_pa, dk_real temperature_k)
{
	const dk_real atm = pressure_pa * (1 / 101325.0);
	return dk_exp(1.19 * dk_log(atm) - 4650 / temperature_k) * (1 / 0.44e-3);
}

/// Factor on the delay for a cetane number: 50/CN, 1 at the 50 of the correlation.
/// Source: [ASSUMED-103] exponent 1 (0.9 .. 1.2 in use).
static inline dk_real dk_delay_cetane(dk_real cetane)
{
	return 50 / cetane;
}

/// Watson: 3.45 ms p^-1.02 exp(2100 K/T), p in bar. Warm engines only.
/// Source: [WATSON80] SAE 800029
dk_real DK_FN(dk_delay_watson)(dk_real pressure_pa, dk_real temperature_k);

/// Hardenberg and Hase: (0.36 + 0.22 Sp) exp(EA (1/(R T) - 1/17190) (21.2/(p - 12.4))^0.63) degrees, p in
/// bar, EA = 618840/(CN + 25) J/mol; state at top dead centre. Warm engines only, p above 12.4 bar (held at
/// 14). Given: Pa, K, piston_m_s, cetane. Returns: crank degrees. Source: [HARDENBERG79] SAE 790493,
/// [HEY88 10.37-39]
dk_real DK_FN(dk_delay_hardenberg_deg)(
    dk_real pressure_pa, dk_real temperature_k, dk_real piston_m_s, dk_real cetane);
