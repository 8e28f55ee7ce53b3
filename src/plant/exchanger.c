#include "plant/exchanger.h"

dk_real DK_FN(dk_exchanger_counterflow)(dk_real ntu, dk_real ratio)
{
	// [INCROPERA eq 11.29]; near ratio 1 both parts go to 0: e = (1 - exp(-ntu d))/d by its series there, d =
	// 1 - ratio
	const dk_real d = 1.0 - ratio;
	const dk_real z = ntu * d;
	const dk_real series = ntu * (1.0 - z / 2.0 * (1.0 - z / 3.0 * (1.0 - z / 4.0)));
	const dk_real direct = (1.0 - dk_exp(-z)) / dk_choose(d > 1e-9, d, dk_set(1));
	const dk_real e = dk_choose(z < 1e-3, series, direct);
	return e / (1.0 + ratio * e);
}

dk_real DK_FN(dk_exchanger_parallel)(dk_real ntu, dk_real ratio)
{
	return (1.0 - dk_exp(-ntu * (1.0 + ratio))) / (1.0 + ratio); // [INCROPERA eq 11.28]
}

dk_real DK_FN(dk_exchanger_shell)(dk_real ntu, dk_real ratio)
{
	// [INCROPERA eq 11.30]: 2/(1 + r + s (1 + E)/(1 - E)), multiplied out by 1 - E so that ntu 0 gives 0
	const dk_real s = dk_sqrt(1.0 + ratio * ratio);
	const dk_real e = dk_exp(-ntu * s);
	return 2.0 * (1.0 - e) / ((1.0 + ratio) * (1.0 - e) + s * (1.0 + e));
}

dk_real DK_FN(dk_exchanger_crossflow)(dk_real ntu, dk_real ratio)
{
	// [INCROPERA eq 11.32]; the ratio is kept off 0, where the limit is 1 - exp(-ntu)
	const dk_real r = dk_max(ratio, dk_set(1e-6));
	const dk_real n = dk_max(ntu, dk_set(1e-12));
	const dk_real log_n = dk_log(n);
	const dk_real inner = dk_exp(-r * dk_exp(0.78 * log_n)) - 1.0;
	return 1.0 - dk_exp(dk_exp(0.22 * log_n) / r * inner);
}

dk_real DK_FN(dk_exchanger_fouled)(dk_real w_m2k, dk_real fouling_m2k_w)
{
	return 1.0 / (1.0 / w_m2k + fouling_m2k_w); // [INCROPERA eq 11.1]
}

void DK_FN(dk_exchanger_shell_flow)(
    dk_real ua_w_k, dk_real hot_w_k, dk_real cold_w_k, dk_real hot_in_k, dk_real cold_in_k, dk_exchanger *out)
{
	const dk_real least = dk_min(hot_w_k, cold_w_k);
	const dk_real most = dk_max(hot_w_k, cold_w_k);
	out->effectiveness = DK_FN(dk_exchanger_shell)(ua_w_k / least, least / most);
	out->heat_w = out->effectiveness * least * (hot_in_k - cold_in_k);
	out->hot_out_k = hot_in_k - out->heat_w / hot_w_k;
	out->cold_out_k = cold_in_k + out->heat_w / cold_w_k;
}
