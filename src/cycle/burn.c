#include "cycle/burn.h"

dk_real DK_FN(dk_burn_premixed_share)(dk_real share_1ms, dk_real delay_s)
{
	const dk_real plain = share_1ms * delay_s * 1e3;

	// tends to 0.9 smoothly, 0.5 % low at 0.3
	const dk_real square = plain * plain * (1 / 0.81);
	return plain / dk_sqrt(dk_sqrt(1 + square * square));
}

dk_real DK_FN(dk_burn_span)(dk_real span_deg, dk_real fuel_ratio, dk_real speed_ratio, dk_real mixing)
{
	return span_deg * (0.4 + 0.6 * fuel_ratio) * (0.6 + 0.4 * speed_ratio) * (0.7 + 0.3 * mixing);
}

dk_real DK_FN(dk_burn_oxygen)(dk_real lambda)
{
	const dk_real held = dk_clip(lambda, 1e-3, 60);
	const dk_real inverse = dk_exp(-12 * dk_log(held));
	return dk_exp(dk_log(1 + inverse) * (-1.0 / 12));
}

dk_real DK_FN(dk_burn_misfire)(dk_real ignition_deg)
{
	const dk_real x = dk_clip((ignition_deg - 8) / 12, 0, 1);
	return x * x * (3 - 2 * x);
}

void DK_FN(dk_burn_watson)(dk_real phi, dk_real delay_ms, dk_real speed_rpm, dk_burn_watson_result *out)
{
	const dk_real beta = 1 - 0.926 * dk_pow(phi, dk_set(0.37)) * dk_pow(delay_ms, dk_set(-0.26));
	out->beta = dk_clip(beta, 0, 1);
	out->cp1 = 2 + 1.25e-8 * dk_pow(delay_ms * speed_rpm, dk_set(2.4));
	out->cp2 = dk_set(5000);
	out->cd1 = 14.2 * dk_pow(phi, dk_set(-0.644));
	out->cd2 = 0.79 * dk_pow(out->cd1, dk_set(0.25));
}
