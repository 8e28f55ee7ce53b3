#include "plant/hull.h"

static const double kLn10 = 2.302585092994046;

dk_real DK_FN(dk_hull_ittc57_slope)(dk_real reynolds, dk_real *power)
{
	// [ITTC57] with log10 Re - 2 = (ln Re - 2 ln 10)/ln 10
	const dk_real over = dk_log(dk_max(reynolds, dk_set(1e4))) - 2 * kLn10;
	*power = dk_choose(reynolds > 1e4, -2 / over, dk_set(0));
	return 0.075 * kLn10 * kLn10 / (over * over);
}

dk_real DK_FN(dk_hull_ittc57)(dk_real reynolds)
{
	dk_real power;
	return DK_FN(dk_hull_ittc57_slope)(reynolds, &power);
}

// [KS98] a0 .. a8, residuary resistance of the bare canoe body
static const double kKs98[][9] = {
	{ -0.0014, 0.0403, 0.0470, -0.0227, -0.0119, 0.0061, -0.0086, -0.0307, -0.0553 }, // Froude number 0.10
	{ 0.0004, -0.1808, 0.1793, -0.0004, 0.0097, 0.0118, -0.0055, 0.1721, -0.1728 },   // Froude number 0.15
	{ 0.0014, -0.1071, 0.0637, 0.0090, 0.0153, 0.0011, 0.0012, 0.1021, -0.0648 },     // Froude number 0.20
	{ 0.0027, 0.0463, -0.1263, 0.0150, 0.0274, -0.0299, 0.0110, -0.0595, 0.1220 },    // Froude number 0.25
	{ 0.0056, -0.8005, 0.4891, 0.0269, 0.0519, -0.0313, 0.0292, 0.7314, -0.3619 },    // Froude number 0.30
	{ 0.0032, -0.1011, -0.0813, -0.0382, 0.0320, -0.1481, 0.0837, 0.0223, 0.1587 },   // Froude number 0.35
	{ -0.0064, 2.3095, -1.5152, 0.0751, -0.0858, -0.5349, 0.1715, -2.4550, 1.1865 },  // Froude number 0.40
	{ -0.0171, 3.4017, -1.9862, 0.3242, -0.1450, -0.8043, 0.2952, -3.5284, 1.3575 },  // Froude number 0.45
	{ -0.0201, 7.1576, -6.3304, 0.5829, 0.1630, -0.3966, 0.5023, -7.1579, 5.2534 },   // Froude number 0.50
	{ 0.0495, 1.5618, -6.0661, 0.8641, 1.1702, 1.7610, 0.9176, -2.1191, 5.4281 },     // Froude number 0.55
	{ 0.0808, -5.3233, -1.1513, 0.9663, 1.6084, 2.7459, 0.8491, 4.7129, 1.1089 },     // Froude number 0.60
};

// [KK08] a0 .. a7
static const double kKk08[][8] = {
	{ -0.0005, 0.0023, -0.0086, -0.0015, 0.0061, 0.0010, 0.0001, 0.0052 },   // Froude number 0.15
	{ -0.0003, 0.0059, -0.0064, 0.0070, 0.0014, 0.0013, 0.0005, -0.0020 },   // Froude number 0.20
	{ -0.0002, -0.0156, 0.0031, -0.0021, -0.0070, 0.0148, 0.0010, -0.0043 }, // Froude number 0.25
	{ -0.0009, 0.0016, 0.0337, -0.0285, -0.0367, 0.0218, 0.0015, -0.0172 },  // Froude number 0.30
	{ -0.0026, -0.0567, 0.0446, -0.1091, -0.0707, 0.0914, 0.0021, -0.0078 }, // Froude number 0.35
	{ -0.0064, -0.4034, -0.1250, 0.0273, -0.1341, 0.3578, 0.0045, 0.1115 },  // Froude number 0.40
	{ -0.0218, -0.5261, -0.2945, 0.2485, -0.2428, 0.6293, 0.0081, 0.2086 },  // Froude number 0.45
	{ -0.0388, -0.5986, -0.3038, 0.6033, -0.0430, 0.8332, 0.0106, 0.1336 },  // Froude number 0.50
	{ -0.0347, -0.4764, -0.2361, 0.8726, 0.4219, 0.8990, 0.0096, -0.2272 },  // Froude number 0.55
	{ -0.0361, 0.0037, -0.2960, 0.9661, 0.6123, 0.7534, 0.0100, -0.3352 },   // Froude number 0.60
	{ 0.0008, 0.3728, -0.3667, 1.3957, 1.0343, 0.3230, 0.0072, -0.4632 },    // Froude number 0.65
	{ 0.0108, -0.1238, -0.2026, 1.1282, 1.1836, 0.4973, 0.0038, -0.4477 },   // Froude number 0.70
	{ 0.1023, 0.7726, 0.5040, 1.7867, 2.1934, -1.5479, -0.0115, -0.0977 },   // Froude number 0.75
};

// cube root of the displaced volume over length, and the two shapes of volume against area
static dk_real slimness(const dk_hull_form *hull, dk_real *cube_root_m)
{
	*cube_root_m = dk_exp(dk_log(hull->volume_m3) * (1.0 / 3));
	return *cube_root_m / hull->lwl_m;
}

void DK_FN(dk_hull_ks98_rows)(const dk_hull_form *hull, dk_real ratio[DK_HULL_KS98_ROWS])
{
	dk_real root_m;
	const dk_real slim = slimness(hull, &root_m);
	const dk_real plane = root_m * root_m / hull->waterplane_m2, wet = root_m * root_m / hull->wetted_m2;
	const dk_real beam = hull->bwl_m / hull->lwl_m, centre = hull->lcb / hull->lcf;
	for (int i = 0; i < DK_HULL_KS98_ROWS; ++i)
	{
		const double *a = kKs98[i];
		ratio[i] = a[0] + (a[1] * hull->lcb + a[2] * hull->prismatic + a[3] * plane + a[4] * beam) * slim +
		           (a[5] * wet + a[6] * centre + a[7] * hull->lcb * hull->lcb +
		               a[8] * hull->prismatic * hull->prismatic) *
		               slim;
	}
}

// straight between rows 0.05 apart, from 0 at rest; the last value holds beyond
static dk_real between_rows(const dk_real *ratio, int count, double first, dk_real froude)
{
	dk_real sum = ratio[0] * (1 / first) * dk_clip(froude, 0, first);
	for (int i = 1; i < count; ++i)
	{
		const double start = first + 0.05 * (i - 1);
		sum = sum + (ratio[i] - ratio[i - 1]) * 20 * (dk_clip(froude, start, start + 0.05) - start);
	}
	return sum;
}

dk_real DK_FN(dk_hull_ks98)(const dk_real ratio[DK_HULL_KS98_ROWS], dk_real froude)
{
	return between_rows(ratio, DK_HULL_KS98_ROWS, 0.10, froude);
}

dk_real DK_FN(dk_hull_kk08)(const dk_hull_form *hull, dk_real froude)
{
	dk_real root_m, ratio[DK_HULL_KK08_ROWS];
	const dk_real slim = slimness(hull, &root_m);
	const dk_real plane = root_m * root_m / hull->waterplane_m2;
	const dk_real beam = hull->bwl_m / hull->lwl_m, centre = hull->lcb / hull->lcf;
	for (int i = 0; i < DK_HULL_KK08_ROWS; ++i)
	{
		const double *a = kKk08[i];
		ratio[i] = a[0] + (a[1] * hull->lcb + a[2] * hull->prismatic + a[3] * plane + a[4] * beam) * slim +
		           (a[5] * centre + a[6] * (hull->bwl_m / hull->draught_m) + a[7] * hull->midship) * slim;
	}
	return between_rows(ratio, DK_HULL_KK08_ROWS, 0.15, froude);
}

dk_real DK_FN(dk_hull_waterplane_m2)(
    dk_real lwl_m, dk_real bwl_m, dk_real draught_m, dk_real volume_m3, dk_real midship)
{
	// [SCHNEEKLUTH]
	const dk_real block = volume_m3 / (lwl_m * bwl_m * draught_m);
	return lwl_m * bwl_m * (1 + 2 * block / dk_sqrt(midship)) * (1.0 / 3);
}
