#include "plant/cable.h"

// [IACS] growth of the resistance of copper, per kelvin above 20 degC
static dk_real warm(dk_real copper_k)
{
	return 1 + 0.00393 * (copper_k - 293.15);
}

dk_real DK_FN(dk_cable_awg_m2)(dk_real awg)
{
	// [ASTM-B258] 39 steps from size 36 (0.127 mm) to 4/0, whose diameter is 92 times as large
	const dk_real diameter_m = 0.127e-3 * dk_exp((36 - awg) * (4.5217885770490405 / 39));
	return 0.78539816339744831 * diameter_m * diameter_m;
}

dk_real DK_FN(dk_cable_solid_ohm)(dk_real area_m2, dk_real length_m, dk_real copper_k)
{
	// [IACS] resistivity at 20 degC
	return 1.7241e-8 * length_m / area_m2 * warm(copper_k);
}

dk_real DK_FN(dk_cable_stranded_ohm)(dk_real area_m2, dk_real length_m, dk_real copper_k)
{
	// [IEC60228] class 5: nominal mm2 and greatest resistance in ohm mm2 per km (size x ohm/km at 20 degC)
	static const double size[] = { 6, 10, 16, 25, 35, 50, 70, 95, 120 };
	static const double product[] = { 6 * 3.30, 10 * 1.91, 16 * 1.21, 25 * 0.780, 35 * 0.554, 50 * 0.386,
		70 * 0.272, 95 * 0.206, 120 * 0.161 };
	const dk_real ohm_m = 1e-9 * dk_ramp(area_m2 * 1e6, size, product, 9);
	return ohm_m * length_m / area_m2 * warm(copper_k);
}
