#include "gas/orifice.h"

dk_real DK_FN(dk_orifice_flow)(
    dk_real area_m2, dk_real up_pa, dk_real up_k, dk_real down_pa, dk_real gamma, dk_real r_j_kgk)
{
	const dk_orifice_gas gas = dk_orifice_gas_of(gamma);
	const dk_real low = dk_min(down_pa, up_pa);
	const dk_real per_rt = 1 / (r_j_kgk * up_k);
	return dk_orifice_either(area_m2, up_pa, per_rt, &gas, low, per_rt);
}

dk_real DK_FN(dk_orifice_flow_exact)(
    dk_real area_m2, dk_real up_pa, dk_real up_k, dk_real down_pa, dk_real gamma, dk_real r_j_kgk)
{
	// below the critical ratio the throat is sonic and the downstream pressure no longer counts
	const dk_real critical = dk_pow(2 / (gamma + 1), gamma / (gamma - 1));
	const dk_real ratio = dk_min(dk_max(down_pa / up_pa, critical), dk_set(1));

	// [HEY88 C.8]; at the critical ratio it is C.9
	const dk_real flow_ratio = dk_pow(ratio, 1 / gamma);
	const dk_real expansion = 2 * gamma / (gamma - 1) * (1 - ratio / flow_ratio);
	return area_m2 * up_pa * flow_ratio * dk_sqrt(dk_max(expansion, dk_set(0)) / (r_j_kgk * up_k));
}
