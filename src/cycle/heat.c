#include "cycle/heat.h"

dk_real DK_FN(dk_heat_hohenberg)(
    dk_real pressure_pa, dk_real temperature_k, dk_real volume_m3, dk_real piston_m_s)
{
	const dk_real speed_term = dk_pow(piston_m_s + 1.4, dk_set(0.8));
	return dk_heat_hohenberg_term(pressure_pa, temperature_k, volume_m3, speed_term);
}

dk_real DK_FN(dk_heat_woschni)(dk_real bore_m, dk_real pressure_pa, dk_real temperature_k, dk_real gas_m_s)
{
	const dk_real logs = 0.8 * (dk_log(pressure_pa * 1e-5) + dk_log(gas_m_s)) - 0.53 * dk_log(temperature_k) -
	                     0.2 * dk_log(bore_m);
	return 129.8 * dk_exp(logs);
}

dk_real DK_FN(dk_heat_woschni_speed)(dk_real c1, dk_real piston_m_s, dk_real c2, dk_real swept_m3,
    dk_real t1_k, dk_real p1_pa, dk_real v1_m3, dk_real above_motored_pa)
{
	return c1 * piston_m_s + c2 * swept_m3 * t1_k / (p1_pa * v1_m3) * above_motored_pa;
}
