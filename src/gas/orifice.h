#pragma once
// Compressible flow through a valve, a leak or any short hole: steady, without heat loss.
#include "num/real.h"

// The flow function as a polynomial, one set of coefficients a gas. Below the critical pressure
//   psi^2 = 2 g/(g-1) (r^(2/g) - r^((g+1)/g)) = z (2 + c1 z + .. + c4 z^4),  z = 1 - r,
// r the pressure ratio; at and beyond the critical ratio psi^2 is that at z = zc. Fitted for
// 1.20 <= gamma <= 1.42: psi within 6.5e-6 of the exact relation.
typedef struct dk_orifice_gas
{
	dk_real c1, c2, c3, c4, zc;
} dk_orifice_gas;

static inline dk_orifice_gas dk_orifice_gas_of(dk_real gamma)
{
	const dk_real g = 1 / gamma;
	dk_orifice_gas gas;
	gas.c1 = -0.0100981610071 + g * (-2.97383803299 + g * -0.0171946973721);
	gas.c2 = 0.144588277217 + g * (-2.04241572901 + g * 2.58277495339);
	gas.c3 = -1.10235223277 + g * (2.4530069639 + g * -1.25479940586);
	gas.c4 = 0.0407155801327 + g * (-0.303507936822 + g * 0.466568551892);
	gas.zc = 0.0565699005903 + gamma * (0.471804379691 + gamma * (-0.158886329871 + gamma * 0.0240667858852));
	return gas;
}

// Greatest useful z and psi^2/z there: the polynomial above.
static inline dk_real dk_orifice_bracket(const dk_orifice_gas *gas, dk_real open)
{
	return 2 + open * (gas->c1 + open * (gas->c2 + open * (gas->c3 + open * gas->c4)));
}

/// Mass flow, signed, without valve-step limits: positive from up to down.
///
/// Given:   area_m2 effective area, discharge coefficient included; up_pa, per_up_rt (1/(R T) [kg/J]) of the
///          up side, gas taken for both ways; down_pa, per_down_rt of the other side, from which the flow
///          comes when down_pa is higher
/// Returns: kg/s
/// Source:  [HEY88 C.8] and its choked form C.9
static inline dk_real dk_orifice_either(dk_real area_m2, dk_real up_pa, dk_real per_up_rt,
    const dk_orifice_gas *gas, dk_real down_pa, dk_real per_down_rt)
{
	const dk_mask forward = up_pa >= down_pa;
	const dk_real high = dk_max(up_pa, down_pa);
	const dk_real open = dk_min(dk_abs(up_pa - down_pa) / high, gas->zc);
	const dk_real per_rt = dk_choose(forward, per_up_rt, per_down_rt);
	const dk_real flow = area_m2 * high * dk_sqrt(open * dk_orifice_bracket(gas, open) * per_rt);
	return dk_choose(forward, flow, -flow);
}

/// Mass flow one way, as the cycle computes it.
///
/// Given:   area_m2 effective area; up_pa, up_k stagnation state upstream; down_pa; gamma 1.2 .. 1.42;
/// r_j_kgk Returns: kg/s, 0 when down_pa >= up_pa
dk_real DK_FN(dk_orifice_flow)(
    dk_real area_m2, dk_real up_pa, dk_real up_k, dk_real down_pa, dk_real gamma, dk_real r_j_kgk);

/// The same by the relation itself, with powers, for any gamma > 1.
dk_real DK_FN(dk_orifice_flow_exact)(
    dk_real area_m2, dk_real up_pa, dk_real up_k, dk_real down_pa, dk_real gamma, dk_real r_j_kgk);
