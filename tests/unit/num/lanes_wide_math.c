// Lane file: the functions of wide_math over arrays, built once a width and called by test_wide_math.
#include "num/real.h"

// out[6][n]: exp, log, pow, floor, norm_cdf, tanh of x[n] (log and pow of positive[n]). n a multiple of 8.
void DK_FN(lanes_wide_math)(const double *x, const double *positive, int n, double *out)
{
	for (int i = 0; i < n; i += DK_LANES)
	{
		dk_real a = dk_set(0), b = dk_set(1);
		for (int lane = 0; lane < DK_LANES; ++lane)
		{
			dk_put(&a, lane, x[i + lane]);
			dk_put(&b, lane, positive[i + lane]);
		}
		const dk_real y[6] = { dk_exp(a), dk_log(b), dk_pow(b, a * 0.01), dk_floor(a), dk_norm_cdf(a * 0.05),
			dk_tanh(a) };
		for (int k = 0; k < 6; ++k)
			for (int lane = 0; lane < DK_LANES; ++lane) out[k * n + i + lane] = dk_lane(y[k], lane);
	}
}
