#include "cycle/delay.h"

dk_real DK_FN(dk_delay_wolfer)(dk_real pressure_pa, dk_real temperature_k)
{
	return 1 / dk_delay_wolfer_rate(pressure_pa, temperature_k);
}

dk_real DK_FN(dk_delay_watson)(dk_real pressure_pa, dk_real temperature_k)
{
	return 3.45e-3 * dk_exp(2100 / temperature_k - 1.02 * dk_log(pressure_pa / 1e5));
}

dk_real DK_FN(dk_delay_hardenberg_deg)(
    dk_real pressure_pa, dk_real temperature_k, dk_real piston_m_s, dk_real cetane)
{
	const dk_real bar = dk_max(pressure_pa / 1e5, dk_set(14));
	const dk_real activation = 618840 / (cetane + 25);
	const dk_real crowding = dk_pow(21.2 / (bar - 12.4), dk_set(0.63));
	return (0.36 + 0.22 * piston_m_s) *
	       dk_exp(activation * (1 / (8.3143 * temperature_k) - 1.0 / 17190) * crowding);
}
