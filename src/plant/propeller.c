#include "plant/propeller.h"

static const double kPi = 3.14159265358979324;

// one term: coefficient and the powers of J, P/D, AE/A0, Z
typedef struct term
{
	double c;
	int j, pitch, area, blades;
} term;

// [BERNITSAS81], [OOSTERVELD75]
static const term kThrust[] = {
	{ 0.00880496, 0, 0, 0, 0 },
	{ -0.204554, 1, 0, 0, 0 },
	{ 0.166351, 0, 1, 0, 0 },
	{ 0.158114, 0, 2, 0, 0 },
	{ -0.147581, 2, 0, 1, 0 },
	{ -0.481497, 1, 1, 1, 0 },
	{ 0.415437, 0, 2, 1, 0 },
	{ 0.0144043, 0, 0, 0, 1 },
	{ -0.0530054, 2, 0, 0, 1 },
	{ 0.0143481, 0, 1, 0, 1 },
	{ 0.0606826, 1, 1, 0, 1 },
	{ -0.0125894, 0, 0, 1, 1 },
	{ 0.0109689, 1, 0, 1, 1 },
	{ -0.133698, 0, 3, 0, 0 },
	{ 0.00638407, 0, 6, 0, 0 },
	{ -0.00132718, 2, 6, 0, 0 },
	{ 0.168496, 3, 0, 1, 0 },
	{ -0.0507214, 0, 0, 2, 0 },
	{ 0.0854559, 2, 0, 2, 0 },
	{ -0.0504475, 3, 0, 2, 0 },
	{ 0.010465, 1, 6, 2, 0 },
	{ -0.00648272, 2, 6, 2, 0 },
	{ -0.00841728, 0, 3, 0, 1 },
	{ 0.0168424, 1, 3, 0, 1 },
	{ -0.00102296, 3, 3, 0, 1 },
	{ -0.0317791, 0, 3, 1, 1 },
	{ 0.018604, 1, 0, 2, 1 },
	{ -0.00410798, 0, 2, 2, 1 },
	{ -0.000606848, 0, 0, 0, 2 },
	{ -0.0049819, 1, 0, 0, 2 },
	{ 0.0025983, 2, 0, 0, 2 },
	{ -0.000560528, 3, 0, 0, 2 },
	{ -0.00163652, 1, 2, 0, 2 },
	{ -0.000328787, 1, 6, 0, 2 },
	{ 0.000116502, 2, 6, 0, 2 },
	{ 0.000690904, 0, 0, 1, 2 },
	{ 0.00421749, 0, 3, 1, 2 },
	{ 5.65229e-05, 3, 6, 1, 2 },
	{ -0.00146564, 0, 3, 2, 2 },
};

static const term kTorque[] = {
	{ 0.00379368, 0, 0, 0, 0 },
	{ 0.00886523, 2, 0, 0, 0 },
	{ -0.032241, 1, 1, 0, 0 },
	{ 0.00344778, 0, 2, 0, 0 },
	{ -0.0408811, 0, 1, 1, 0 },
	{ -0.108009, 1, 1, 1, 0 },
	{ -0.0885381, 2, 1, 1, 0 },
	{ 0.188561, 0, 2, 1, 0 },
	{ -0.00370871, 1, 0, 0, 1 },
	{ 0.00513696, 0, 1, 0, 1 },
	{ 0.0209449, 1, 1, 0, 1 },
	{ 0.00474319, 2, 1, 0, 1 },
	{ -0.00723408, 2, 0, 1, 1 },
	{ 0.00438388, 1, 1, 1, 1 },
	{ -0.0269403, 0, 2, 1, 1 },
	{ 0.0558082, 3, 0, 1, 0 },
	{ 0.0161886, 0, 3, 1, 0 },
	{ 0.00318086, 1, 3, 1, 0 },
	{ 0.015896, 0, 0, 2, 0 },
	{ 0.0471729, 1, 0, 2, 0 },
	{ 0.0196283, 3, 0, 2, 0 },
	{ -0.0502782, 0, 1, 2, 0 },
	{ -0.030055, 3, 1, 2, 0 },
	{ 0.0417122, 2, 2, 2, 0 },
	{ -0.0397722, 0, 3, 2, 0 },
	{ -0.00350024, 0, 6, 2, 0 },
	{ -0.0106854, 3, 0, 0, 1 },
	{ 0.00110903, 3, 3, 0, 1 },
	{ -0.000313912, 0, 6, 0, 1 },
	{ 0.0035985, 3, 0, 1, 1 },
	{ -0.00142121, 0, 6, 1, 1 },
	{ -0.00383637, 1, 0, 2, 1 },
	{ 0.0126803, 0, 2, 2, 1 },
	{ -0.00318278, 2, 3, 2, 1 },
	{ 0.00334268, 0, 6, 2, 1 },
	{ -0.00183491, 1, 1, 0, 2 },
	{ 0.000112451, 3, 2, 0, 2 },
	{ -2.97228e-05, 3, 6, 0, 2 },
	{ 0.000269551, 1, 0, 1, 2 },
	{ 0.00083265, 2, 0, 1, 2 },
	{ 0.00155334, 0, 2, 1, 2 },
	{ 0.000302683, 0, 6, 1, 2 },
	{ -0.0001843, 0, 0, 2, 2 },
	{ -0.000425399, 0, 3, 2, 2 },
	{ 8.69243e-05, 3, 3, 2, 2 },
	{ -0.0004659, 0, 6, 2, 2 },
	{ 5.54194e-05, 1, 6, 2, 2 },
};

enum
{
	kThrustCount = sizeof kThrust / sizeof *kThrust,
	kTorqueCount = sizeof kTorque / sizeof *kTorque
};

// powers 0 .. 6 of a number
static void powers(dk_real x, dk_real power[7])
{
	power[0] = dk_set(1);
	for (int i = 1; i < 7; ++i) power[i] = power[i - 1] * x;
}

// gathers the terms of one table by their power of J
static void gather(const term *table, int count, const dk_real pitch[7], const dk_real area[7],
    const dk_real blades[7], dk_real cubic[4])
{
	for (int i = 0; i < 4; ++i) cubic[i] = dk_set(0);
	for (int i = 0; i < count; ++i)
	{
		const term *t = &table[i];
		cubic[t->j] = cubic[t->j] + t->c * pitch[t->pitch] * area[t->area] * blades[t->blades];
	}
}

static dk_real cubic_at(const dk_real c[4], dk_real j)
{
	return c[0] + j * (c[1] + j * (c[2] + j * c[3]));
}

void DK_FN(dk_propeller_b_series)(dk_real pitch_ratio, dk_real area_ratio, dk_real blades, dk_propeller *out)
{
	dk_real pitch[7], area[7], count[7];
	powers(pitch_ratio, pitch);
	powers(area_ratio, area);
	powers(blades, count);
	gather(kThrust, kThrustCount, pitch, area, count, out->kt);
	gather(kTorque, kTorqueCount, pitch, area, count, out->kq);

	// thrust ends a little beyond J = P/D: halve the bracket, then sharpen by the secant
	dk_real low = dk_set(0), high = 1.3 * pitch_ratio + 0.2;
	for (int i = 0; i < 24; ++i)
	{
		const dk_real middle = 0.5 * (low + high);
		const dk_mask pushes = cubic_at(out->kt, middle) > 0;
		low = dk_choose(pushes, middle, low);
		high = dk_choose(pushes, high, middle);
	}
	const dk_real at_low = cubic_at(out->kt, low), at_high = cubic_at(out->kt, high);
	const dk_real span = dk_max(at_low - at_high, dk_set(1e-300));
	out->zero_thrust_j = low + (high - low) * dk_clip(at_low / span, 0, 1);
}

dk_real DK_FN(dk_propeller_kt)(const dk_propeller *propeller, dk_real j)
{
	return cubic_at(propeller->kt, j);
}

dk_real DK_FN(dk_propeller_kq)(const dk_propeller *propeller, dk_real j)
{
	return cubic_at(propeller->kq, j);
}

void DK_FN(dk_propeller_reynolds)(dk_real j, dk_real pitch_ratio, dk_real area_ratio, dk_real blades,
    dk_real reynolds, dk_real *d_kt, dk_real *d_kq)
{
	const dk_real p = pitch_ratio, a = area_ratio, z = blades;
	const dk_real p2 = p * p, p6 = p2 * p2 * p2, j2 = j * j;
	const dk_real l = dk_log(dk_max(reynolds, dk_set(1e5))) * (1 / 2.302585092994046) - 0.301, l2 = l * l;

	// [OOSTERVELD75], [BERNITSAS81]
	*d_kt = 0.000353485 - 0.00333758 * a * j2 - 0.00478125 * a * p * j + 0.000257792 * l2 * a * j2 +
	        0.0000643192 * l * p6 * j2 - 0.0000110636 * l2 * p6 * j2 - 0.0000276305 * l2 * z * a * j2 +
	        0.0000954 * l * z * a * p * j + 0.0000032049 * l * z * z * a * p2 * p * j;
	*d_kq = -0.000591412 + 0.00696898 * p - 0.0000666654 * z * p6 + 0.0160818 * a * a - 0.000938091 * l * p -
	        0.00059593 * l * p2 + 0.0000782099 * l2 * p2 + 0.0000052199 * l * z * a * j2 -
	        0.00000088528 * l2 * z * a * p * j + 0.0000230171 * l * z * p6 - 0.00000184341 * l2 * z * p6 -
	        0.00400252 * l * a * a + 0.000220915 * l2 * a * a;
}

dk_real DK_FN(dk_propeller_efficiency)(dk_real j, dk_real kt, dk_real kq)
{
	return j * kt / (2 * kPi * kq);
}

#if DK_LANES == 1
double dk_propeller_term(bool torque, int i, int power[4])
{
	const term *t = torque ? &kTorque[i] : &kThrust[i];
	power[0] = t->j, power[1] = t->pitch, power[2] = t->area, power[3] = t->blades;
	return t->c;
}
#endif
