#include "cycle/smoke.h"

dk_real DK_FN(dk_smoke_fsn)(dk_real lambda, dk_real indirect, dk_real quality)
{
	// [ASSUMED-113] a swirl chamber uses its air 15 % better
	const dk_real useful = lambda * (1 + 0.15 * indirect);
	const dk_real plain = 12 * quality * dk_exp(-4 * (useful - 1));

	// levels off smoothly at 10, the end of the scale: 0.3 % off at FSN 3.3
	const dk_real square = plain * plain * 0.01;
	return plain / dk_sqrt(dk_sqrt(1 + square * square));
}

dk_real DK_FN(dk_smoke_mira)(dk_real fsn)
{
	return 4.95 / 0.405 * 1e-6 * fsn * dk_exp(0.38 * fsn);
}

dk_real DK_FN(dk_smoke_extinction)(dk_real opacity, dk_real length_m)
{
	return -dk_log(1 - opacity) / length_m;
}

dk_real DK_FN(dk_smoke_alkidas)(dk_real bosch)
{
	const dk_real darkening = dk_log(10 / (10 - bosch));
	return 565e-6 * dk_pow(dk_max(darkening, dk_set(1e-30)), dk_set(1.206));
}
