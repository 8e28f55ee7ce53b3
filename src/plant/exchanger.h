#pragma once
// Heat exchangers by effectiveness and number of transfer units.
#include "num/real.h"

/// Effectiveness of one kind. calc cooler.effectiveness.
///
/// Given:   ntu     UA / Cmin, >= 0                                   [-]
///          ratio   Cmin / Cmax, 0 .. 1                               [-]
/// Returns: heat exchanged over the most that could be, 0 .. 1        [-]
/// Source:  [INCROPERA ch 11] = [KAYS-LONDON]
dk_real DK_FN(dk_exchanger_counterflow)(dk_real ntu, dk_real ratio);
dk_real DK_FN(dk_exchanger_parallel)(dk_real ntu, dk_real ratio);
dk_real DK_FN(dk_exchanger_shell)(dk_real ntu, dk_real ratio);     // one shell pass, 2, 4, .. tube passes
dk_real DK_FN(dk_exchanger_crossflow)(dk_real ntu, dk_real ratio); // both unmixed

// Conductance with dirt: 1/(1/U + Rf). Given: w_m2k clean, fouling_m2k_w. Returns: [W/(m2 K)]. Source:
// [INCROPERA eq 11.1]
dk_real DK_FN(dk_exchanger_fouled)(dk_real w_m2k, dk_real fouling_m2k_w);

// A shell-and-tube cooler at given flows.
typedef struct dk_exchanger
{
	dk_real heat_w; // from hot to cold
	dk_real hot_out_k, cold_out_k;
	dk_real effectiveness;
} dk_exchanger;
/// Given: ua_w_k, hot_w_k and cold_w_k capacity rates (> 0), hot_in_k, cold_in_k. Source: as above.
void DK_FN(dk_exchanger_shell_flow)(dk_real ua_w_k, dk_real hot_w_k, dk_real cold_w_k, dk_real hot_in_k,
    dk_real cold_in_k, dk_exchanger *out);
