#include "plant/oil.h"
#include "plant/bearing.h"
#include "plant/blend.h"

static const double kTurn = 6.2831853071795865;
static const double kOrificeCd = 0.65; // feed holes and relief port, sharp edges [ORIFICE]

// ln(-ln) of the Walther line: z = ln ln(nu + 0.7), nu in mm2/s
static dk_real walther(dk_real nu_m2_s)
{
	return dk_log(dk_log(nu_m2_s * 1e6 + 0.7));
}

dk_real DK_FN(dk_oil_d341)(dk_real kv40_m2_s, dk_real kv100_m2_s, dk_real oil_k)
{
	// [D341] straight in ln ln(nu + 0.7) over ln T, through the points at 313.15 and 373.15 K
	static const double ln_313 = 5.746682308971422, ln_373 = 5.921980483577396;
	const dk_real at_40 = walther(kv40_m2_s);
	const dk_real slope = (walther(kv100_m2_s) - at_40) * (1 / (ln_373 - ln_313));
	const dk_real z = at_40 + slope * (dk_log(dk_clip(oil_k, 233, 473)) - ln_313);
	return (dk_exp(dk_exp(z)) - 0.7) * 1e-6;
}

dk_real DK_FN(dk_oil_blend)(dk_real nu_a_m2_s, dk_real nu_b_m2_s, dk_real share_b)
{
	// [REFUTAS] the two constants of the blending number fall out of a mean
	const dk_real a = dk_log(dk_log(nu_a_m2_s * 1e6 + 0.8));
	const dk_real b = dk_log(dk_log(nu_b_m2_s * 1e6 + 0.8));
	return (dk_exp(dk_exp(a + (b - a) * share_b)) - 0.8) * 1e-6;
}

dk_real DK_FN(dk_oil_viscosity)(const dk_oil_def *def, dk_real oil_k)
{
	// [ASSUMED-220] fuel of 2.7 mm2/s at 40 degC and 1.15 at 100 degC, below 2 by the same line
	const dk_real neat = DK_FN(dk_oil_d341)(def->kv40_m2_s, def->kv100_m2_s, oil_k);
	const dk_real fuel = DK_FN(dk_oil_d341)(dk_set(2.7e-6), dk_set(1.15e-6), oil_k);
	const dk_real thinned = DK_FN(dk_oil_blend)(neat, dk_max(fuel, dk_set(0.4e-6)), def->fuel_share);

	// [BRINKMAN] water stands in drops and thickens it: (1 - share)^-2.5
	const dk_real left = dk_max(1 - def->water_share, dk_set(0.5));
	return thinned / (left * left * dk_sqrt(left));
}

dk_real DK_FN(dk_oil_density)(dk_real oil_k)
{
	// [OIL-DENSITY]
	return 880 - 0.64 * (oil_k - 288.15);
}

// share of the pump volume that is oil and not air
static dk_real pump_fill(dk_real level)
{
	// [ASSUMED-221] the pick-up draws air below half level; an over-full sump is beaten to foam
	const dk_real foam = 0.25 * dk_clip((level - 1.15) * (1 / 0.85), 0, 1);
	return dk_blend_step(level, 0.42, 0.10) * (1 - foam);
}

// pressure at which a laminar leak (a p) and a sharp hole (c sqrt p) pass a flow
static dk_real balance_pa(dk_real flow_m3_s, dk_real a, dk_real c)
{
	const dk_real root = 2 * flow_m3_s / (c + dk_sqrt(c * c + 4 * a * flow_m3_s) + 1e-30);
	return root * root;
}

void DK_FN(dk_oil_pressure)(const dk_oil_def *def, const dk_oil_ports *in, dk_oil_result *out)
{
	const dk_real density = DK_FN(dk_oil_density)(in->oil_k);
	out->viscosity_m2_s = DK_FN(dk_oil_viscosity)(def, in->oil_k);
	out->fill = pump_fill(def->level);
	out->pump_m3_s = def->pump_m3_rev * in->engine_rad_s * (1 / kTurn) * out->fill;

	// bearings pass flow ~ p/mu [SHIGLEY 12-12], feed holes and a stuck relief ~ sqrt p [ORIFICE]
	const dk_real viscosity_pa_s = out->viscosity_m2_s * density;
	const dk_real laminar = DK_FN(dk_bearing_lumped_flow)(def->bearing_m3, viscosity_pa_s, dk_set(1));
	const dk_real hole = kOrificeCd * dk_sqrt(2 / density);
	const dk_real shut =
	    balance_pa(out->pump_m3_s, laminar, hole * (def->feed_m2 + def->relief_m2 * def->relief_stuck));

	// the relief valve holds its setting as long as the whole port can pass the surplus
	const dk_real open = balance_pa(out->pump_m3_s, laminar, hole * (def->feed_m2 + def->relief_m2));
	out->pressure_pa = dk_max(dk_min(shut, def->relief_pa), open);
	out->relief_m3_s =
	    dk_max(out->pump_m3_s - laminar * out->pressure_pa - hole * def->feed_m2 * dk_sqrt(out->pressure_pa),
	        dk_set(0));

	// [ASSUMED-222] the lamp switch closes over about 8 kPa either side of its setting
	out->shown_pa = out->pressure_pa * def->sender_gain;
	out->lamp = def->lamp_bulb * in->supply * dk_blend_step(def->lamp_set_pa - out->pressure_pa, 0, 8e3);
}

dk_real DK_FN(dk_oil_settled_k)(const dk_oil_def *def, dk_real coolant_k, dk_real power_w)
{
	// [ASSUMED-223] half the oil, 20 % more rise: less wetted sump wall
	const dk_real low = 1 - dk_clip(def->level, 0, 1);
	return coolant_k + def->heat_k_kw * power_w * 1e-3 * (1 + 0.4 * low);
}

dk_real DK_FN(dk_oil_warming_k)(const dk_oil_def *def, dk_real start_k, dk_real settled_k, dk_real seconds)
{
	// [ASSUMED-224] 2 % of the power leaves through the sump: with the rise per kW that is its W/K
	const dk_real passage_w_k = 20 / dk_max(def->heat_k_kw, dk_set(0.02));
	const dk_real heat_j_k = def->sump_m3 * dk_max(def->level, dk_set(0.1)) * 860 * 1950;
	return settled_k + (start_k - settled_k) * dk_exp(-seconds * passage_w_k / heat_j_k);
}

dk_real DK_FN(dk_oil_use)(const dk_oil_def *def, const dk_oil_use_ports *in)
{
	// [ASSUMED-225] 0.3 g/kWh at rated load, four fifths past the rings, one fifth past the stems at 2 kPa
	const dk_real rings = 3.97e-6 * in->swept_m3 * in->engine_rad_s * in->past_rings;
	const dk_real stems = 1.56e-7 * in->swept_m3 * dk_max(in->depression_pa, dk_set(0)) * in->past_stems;

	// the crank dips into an over-full sump and wets the bores
	const dk_real dips = 1 + 3 * dk_clip(def->level - 1.1, 0, 0.9);
	return rings * dips + stems;
}

dk_real DK_FN(dk_oil_mist)(dk_real use_kg_s, dk_real exhaust_m3_s)
{
	// [ASSUMED-226]
	return 0.3 * use_kg_s / dk_max(exhaust_m3_s, dk_set(1e-5));
}

dk_real DK_FN(dk_oil_crankcase_pa)(
    const dk_oil_def *def, dk_real blow_by_kg_s, dk_real crankcase_k, dk_real ambient_pa)
{
	// [ORIFICE] incompressible, gas taken as air; [ASSUMED-227] discharge coefficient 0.6 for pipe and baffle
	const dk_real area_m2 = 0.6 * 0.78539816339744831 * def->breather_m * def->breather_m;
	const dk_real density = ambient_pa / (287.05 * crankcase_k);
	const dk_real mass_m2_s = blow_by_kg_s / area_m2;
	return mass_m2_s * mass_m2_s / (2 * density);
}

#if DK_LANES == 1
bool dk_oil_fit(const dk_oil_def *def, double engine_rad_s, double oil_k, double idle_pa, double *bearing_m3)
{
	// what feed holes and stuck relief do not take at that pressure goes through the bearings
	const double density = DK_FN(dk_oil_density)(oil_k);
	const double viscosity_pa_s = DK_FN(dk_oil_viscosity)(def, oil_k) * density;
	const double pump_m3_s = def->pump_m3_rev * engine_rad_s / kTurn * pump_fill(def->level);
	const double holes_m3_s =
	    kOrificeCd * dk_sqrt(2 * idle_pa / density) * (def->feed_m2 + def->relief_m2 * def->relief_stuck);
	const double left_m3_s = pump_m3_s - holes_m3_s;
	if (!(left_m3_s > 0) || idle_pa > def->relief_pa || !(idle_pa > 0)) return false;
	*bearing_m3 = left_m3_s * viscosity_pa_s / idle_pa;
	return true;
}
#endif
