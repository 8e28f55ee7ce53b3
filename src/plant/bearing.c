#include "plant/bearing.h"

static const double kPi = 3.14159265358979324;

dk_real DK_FN(dk_bearing_lumped_flow)(dk_real geometry_m3, dk_real viscosity_pa_s, dk_real supply_pa)
{
	// [SHIGLEY 12-12]
	return geometry_m3 * supply_pa / viscosity_pa_s;
}

dk_real DK_FN(dk_bearing_flow)(dk_real viscosity_pa_s, dk_real supply_pa, dk_real radius_m,
    dk_real clearance_m, dk_real half_length_m, dk_real eccentricity)
{
	// [SHIGLEY 12-12] both sides of the groove
	const dk_real gap_m3 = clearance_m * clearance_m * clearance_m;
	const dk_real geometry_m3 =
	    (1 + 1.5 * eccentricity * eccentricity) * kPi * radius_m * gap_m3 / (3 * half_length_m);
	return DK_FN(dk_bearing_lumped_flow)(geometry_m3, viscosity_pa_s, supply_pa);
}

dk_real DK_FN(dk_bearing_petroff_nm)(
    dk_real viscosity_pa_s, dk_real turns_s, dk_real radius_m, dk_real clearance_m, dk_real length_m)
{
	// [SHIGLEY 12-3]
	return 4 * kPi * kPi * viscosity_pa_s * turns_s * radius_m * radius_m * radius_m * length_m / clearance_m;
}

dk_real DK_FN(dk_bearing_sommerfeld)(
    dk_real radius_m, dk_real clearance_m, dk_real viscosity_pa_s, dk_real turns_s, dk_real load_pa)
{
	// [SHIGLEY 12-4]
	const dk_real ratio = radius_m / clearance_m;
	return ratio * ratio * viscosity_pa_s * turns_s / load_pa;
}
