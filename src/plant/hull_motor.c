#include "plant/hull_motor.h"
#include "plant/hull.h"

#if DK_LANES == 1

static const double kGravity = 9.80665;

// middle draught
static double draught(const dk_motor_hull *h)
{
	return 0.5 * (h->fore_m + h->aft_m);
}

// share of the wave resistance that a bulb leaves
static double bulb_share(const dk_motor_hull *h)
{
	if (!(h->bulb_m2 > 0)) return 1;
	const double size_m = sqrt(h->bulb_m2);
	const double c3 = 0.56 * h->bulb_m2 * size_m /
	                  (h->beam_m * draught(h) * (0.31 * size_m + h->fore_m - h->bulb_height_m));
	return exp(-1.89 * sqrt(c3));
}

// [HM82] wetted area and half angle of entrance where no drawing gives it
static void shape(const dk_motor_hull *h, dk_motor_resistance *out)
{
	const double l = h->length_m, b = h->beam_m, t = draught(h), lcb = h->lcb_percent;
	const double block = h->volume_m3 / (l * b * t), cp = block / h->midship;
	out->prismatic = cp;
	out->run_m = l * (1 - cp + 0.06 * cp * lcb / (4 * cp - 1));
	out->wetted_m2 =
	    l * (2 * t + b) * sqrt(h->midship) *
	        (0.453 + 0.4425 * block - 0.2862 * h->midship - 0.003467 * b / t + 0.3696 * h->waterplane) +
	    2.38 * h->bulb_m2 / block;
	out->entrance_deg = h->entrance_deg;
	if (h->entrance_deg > 0) return;
	out->entrance_deg = 1 + 89 * exp(-pow(l / b, 0.80856) * pow(1 - h->waterplane, 0.30484) *
	                                 pow(1 - cp - 0.0225 * lcb, 0.6367) * pow(out->run_m / b, 0.34574) *
	                                 pow(100 * h->volume_m3 / (l * l * l), 0.16302));
}

// [HM82] form factor 1 + k1
static double form_factor(const dk_motor_hull *h, const dk_motor_resistance *out)
{
	const double slim = draught(h) / h->length_m, cp = out->prismatic;
	const double c12 = slim > 0.05   ? pow(slim, 0.2228446)
	                   : slim > 0.02 ? 48.20 * pow(slim - 0.02, 2.078) + 0.479948
	                                 : 0.479948;
	return (1 + 0.003 * h->stern) *
	       (0.93 + c12 * pow(h->beam_m / out->run_m, 0.92497) * pow(0.95 - cp, -0.521448) *
	                   pow(1 - cp + 0.0225 * h->lcb_percent, 0.6906));
}

// [HM82] wave resistance over weight, form of Froude number up to 0.4
static double wave_share(const dk_motor_hull *h, const dk_motor_resistance *out)
{
	const double l = h->length_m, b = h->beam_m, t = draught(h), cp = out->prismatic, fn = out->froude;
	const double wide = b / l, c7 = wide < 0.11    ? 0.229577 * cbrt(wide)
	                                : wide <= 0.25 ? wide
	                                               : 0.5 - 0.0625 / wide;
	const double c1 =
	    2223105 * pow(c7, 3.78613) * pow(t / b, 1.07961) * pow(90 - out->entrance_deg, -1.37565);
	const double c5 = 1 - 0.8 * h->transom_m2 / (b * t * h->midship);
	const double lambda = l / b < 12 ? 1.446 * cp - 0.03 * l / b : 1.446 * cp - 0.36;
	const double c16 =
	    cp < 0.8 ? 8.07981 * cp - 13.8673 * cp * cp + 6.984388 * cp * cp * cp : 1.73014 - 0.7067 * cp;
	const double m1 = 0.0140407 * l / t - 1.75254 * cbrt(h->volume_m3) / l - 4.79323 * wide - c16;
	const double cube = l * l * l / h->volume_m3;
	const double c15 = cube < 512 ? -1.69385 : cube > 1727 ? 0 : -1.69385 + (cbrt(cube) - 8) / 2.36;
	const double m2 = c15 * cp * cp * exp(-0.1 / (fn * fn));
	return c1 * bulb_share(h) * c5 * exp(m1 * pow(fn, -0.9) + m2 * cos(lambda / (fn * fn)));
}

// [HM82] what the bulb's own waves and the immersed transom add
static void bulb_and_transom(const dk_motor_hull *h, double v, double density, dk_motor_resistance *out)
{
	out->bulb_n = 0;
	if (h->bulb_m2 > 0)
	{
		const double size_m = sqrt(h->bulb_m2);
		const double emerged = 0.56 * size_m / (h->fore_m - 1.5 * h->bulb_height_m);
		const double fn = v / sqrt(kGravity * (h->fore_m - h->bulb_height_m - 0.25 * size_m) + 0.15 * v * v);
		out->bulb_n = 0.11 * exp(-3 / (emerged * emerged)) * fn * fn * fn * h->bulb_m2 * size_m * density *
		              kGravity / (1 + fn * fn);
	}
	out->transom_n = 0;
	if (h->transom_m2 > 0)
	{
		const double fn = v / sqrt(2 * kGravity * h->transom_m2 / (h->beam_m + h->beam_m * h->waterplane));
		const double c6 = fn < 5 ? 0.2 * (1 - 0.2 * fn) : 0;
		out->transom_n = 0.5 * density * v * v * h->transom_m2 * c6;
	}
}

void dk_hull_hm82(
    const dk_motor_hull *hull, double speed_m_s, double density, double viscosity, dk_motor_resistance *out)
{
	const double v = speed_m_s, l = hull->length_m, push = 0.5 * density * v * v;
	shape(hull, out);
	out->froude = v / sqrt(kGravity * l);
	out->form_factor = form_factor(hull, out);
	out->friction_coefficient = DK_FN(dk_hull_ittc57)(v * l / viscosity);
	out->friction_n = push * out->wetted_m2 * out->friction_coefficient;
	out->appendage_n = push * hull->appendages_m2 * hull->appendage_factor * out->friction_coefficient;
	out->wave_n = wave_share(hull, out) * hull->volume_m3 * density * kGravity;
	bulb_and_transom(hull, v, density, out);

	// [HM82] model-ship correlation: roughness and still air. The printed example is met only when
	// the area of the appendages is counted too
	const double block = hull->volume_m3 / (l * hull->beam_m * draught(hull));
	const double c4 = fmin(hull->fore_m / l, 0.04);
	const double ca = 0.006 * pow(l + 100, -0.16) - 0.00205 +
	                  0.003 * sqrt(l / 7.5) * pow(block, 4) * bulb_share(hull) * (0.04 - c4);
	out->roughness_n = push * (out->wetted_m2 + hull->appendages_m2) * ca;
	out->total_n = out->friction_n * out->form_factor + out->appendage_n + out->wave_n + out->bulb_n +
	               out->transom_n + out->roughness_n;
}

#endif
