#include "cycle/friction.h"

#define PSI 6894.757293168
#define REV_MIN 9.549296585513720 // rpm in one rad/s

dk_real DK_FN(dk_friction_mh_constant)(dk_real constant_pa, dk_real speed_rad_s, dk_real piston_m_s)
{
	return DK_FN(dk_friction_rubbing)(constant_pa, speed_rad_s) + 400 * piston_m_s * piston_m_s;
}

dk_real DK_FN(dk_friction_mh)(dk_real indirect, dk_real ratio, dk_real speed_rad_s, dk_real piston_m_s)
{
	return DK_FN(dk_friction_mh_constant)(
	    DK_FN(dk_friction_constant)(indirect, ratio), speed_rad_s, piston_m_s);
}

dk_real DK_FN(dk_friction_constant)(dk_real indirect, dk_real ratio)
{
	return PSI * (ratio - 4 * (1 - indirect));
}

dk_real DK_FN(dk_friction_rubbing)(dk_real constant_pa, dk_real speed_rad_s)
{
	return constant_pa + 48 * REV_MIN * speed_rad_s;
}

dk_real DK_FN(dk_friction_cf)(dk_real peak_pa, dk_real piston_m_s)
{
	return 0.137e5 + 0.005 * peak_pa + 0.162e5 * piston_m_s;
}

dk_real DK_FN(dk_friction_cold)(dk_real viscosity_ratio)
{
	return dk_pow(viscosity_ratio, dk_set(0.24));
}
