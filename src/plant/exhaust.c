#include "plant/exhaust.h"
#include "plant/root.h"
#include "plant/smooth.h"
#include "plant/steam.h"

static const double kGasConstant = 287.0; // exhaust gas [J/(kg K)]
static const double kGasHeat = 1100.0;    // at constant pressure [J/(kg K)]
static const double kSeaHeat = 3990.0;    // sea water [J/(kg K)]
static const double kSeaDensity = 1025.0;
static const double kGravity = 9.80665;
static const double kPi = 3.14159265358979323846;
static const double kZero = 273.15;

// sharp-edged turn and throat of an elbow: 3 kPa at rated of a 28 kW engine [ASSUMED-330]
static const double kElbowCd = 0.71;
// rubber hose against the smooth large pipe of the printed formula [EXH-SHEET]
static const double kHoseFactor = 1.5;
// water lock, gooseneck and outlet, in velocity heads of the hose [ASSUMED-331]
static const double kLockHeads = 2.0;
// rise of the gas loss with water in the hose, Lockhart-Martinelli form with C = 2 [ASSUMED-332]
static const double kWetC = 2.0;
// the same for a short throat: (dl/dg)^(1/4) + (dg/dl)^(1/4) of the densities, near 900 [CHISHOLM83]
static const double kThroatC = 5.7;
// raw-water flow at which half of the running holdup stands in the rise [m3/s] [ASSUMED-333]
static const double kHoldFlow = 3.3e-5;
// share of the hose wall left to hot gas: this over 1 + kDryRatio x water/gas [ASSUMED-334]
static const double kDryWall = 0.9;
static const double kDryRatio = 2.2;
// flow at which the holdup of the def is quoted [m3/s]
static const double kHoldRated = 6.0e-4;
// steps of the mixing balance: middles, then chords; 20 leave under 1e-6 of the gas heat
enum
{
	kMixHalves = 5,
	kMixSteps = 20
};
// pieces of the plume: shares down to 1/256, about 1300 diameters
enum
{
	kPlumeSteps = 16
};

dk_real DK_FN(dk_exhaust_pipe)(
    dk_real length_m, dk_real gas_k, dk_real flow_m3_s, dk_real bore_m, dk_real factor)
{
	const dk_real flow_m3_min = 60.0 * flow_m3_s;
	const dk_real bore_mm = 1e3 * bore_m;
	const dk_real bore_5 = bore_mm * bore_mm * bore_mm * bore_mm * bore_mm;
	const dk_real density = 352.5 / (gas_k - kZero + 273.0);
	return factor * 1e3 * length_m * density * flow_m3_min * flow_m3_min * 3.6e6 / bore_5; // [EXH-GUIDE]
}

dk_real DK_FN(dk_exhaust_pipe_sheet)(
    dk_real length_ft, dk_real gas_f, dk_real flow_cfm, dk_real bore_in, dk_real constant)
{
	const dk_real density = 41.1 / (gas_f + 460.0);
	const dk_real bore_5 = bore_in * bore_in * bore_in * bore_in * bore_in;
	return constant * length_ft * density * flow_cfm * flow_cfm / bore_5; // [EXH-SHEET]
}

dk_real DK_FN(dk_exhaust_throat)(dk_real effective_m2, dk_real gas_kg_s, dk_real gas_k, dk_real down_pa)
{
	// flow over what one downstream pressure of sonic speed would carry
	const dk_real x = gas_kg_s * dk_sqrt(kGasConstant * gas_k) / (effective_m2 * down_pa);
	const dk_real xx = x * x;

	// [HEY88 eq C.8] turned round: (p/pd)^2 - 1 = x^2 (1 + c); c fitted below choking, exact above it [HEY88
	// eq C.9]
	const dk_real below = xx * (0.3195 + 0.0285 * xx);
	const dk_real choked = 1.2091 - 1.0 / dk_max(xx, dk_set(0.5));
	const dk_real c = below + dk_smooth_step(x, dk_set(1.22), dk_set(1.32)) * (choked - below);
	return down_pa * dk_sqrt(1.0 + xx * (1.0 + c));
}

// what the balance of gas, water and vapour misses at a trial temperature, and the water evaporated there
static dk_real mix_balance(const dk_mix_ports *p, dk_real trial_k, dk_real *evaporated)
{
	const dk_real t = trial_k - kZero;
	const dk_real want = p->gas_kg_s * (DK_FN(dk_steam_saturated)(trial_k, p->pressure_pa) - p->vapour_kg_kg);
	*evaporated = p->evaporate * dk_smooth_min(want, p->water_kg_s, 0.002 * p->water_kg_s);
	const dk_real latent = 1e3 * (2500.0 - 2.3 * t);
	return p->gas_kg_s * kGasHeat * (p->gas_k - trial_k) -
	       p->water_kg_s * p->water_j_kgk * (trial_k - p->water_k) - *evaporated * latent;
}

void DK_FN(dk_exhaust_mix)(const dk_mix_ports *ports, dk_mix *out)
{
	// the balance falls with temperature; its root lies between a cold end, where vapour would condense,
	// and a hot one
	dk_real vapour;
	const dk_real low = dk_min(ports->water_k, ports->gas_k) - 60.0;
	const dk_real high = dk_max(ports->water_k, ports->gas_k) + 300.0;
	dk_bracket b =
	    dk_bracket_of(low, mix_balance(ports, low, &vapour), high, mix_balance(ports, high, &vapour));
	for (int i = 0; i < kMixSteps; ++i)
	{
		const dk_real trial = dk_bracket_trial(&b, i < kMixHalves);
		dk_bracket_put(&b, trial, mix_balance(ports, trial, &vapour));
	}
	out->mixed_k = dk_bracket_trial(&b, false);
	out->residual_w = mix_balance(ports, out->mixed_k, &out->evaporated_kg_s);
}

// density of water droplets that a mixture of exhaust (share) and outside air would hold; below 0 when not
// saturated
static dk_real droplets(
    dk_real share, dk_real gas_k, dk_real vapour, dk_real air_k, dk_real air_pa, dk_real air_vapour)
{
	const dk_real mixed_k = air_k + share * (gas_k - air_k);
	const dk_real held = DK_FN(dk_steam_saturated)(mixed_k, air_pa);
	const dk_real there = air_vapour + share * (vapour - air_vapour); // [ROGERS]
	return (there - held) * air_pa / (kGasConstant * mixed_k);
}

void DK_FN(dk_exhaust_plume)(dk_real gas_k, dk_real vapour_kg_kg, dk_real outside_k, dk_real outside_pa,
    dk_real humidity, dk_real bore_m, dk_plume *out)
{
	const dk_real air_vapour = DK_FN(dk_steam_in_air)(outside_k, outside_pa, humidity);

	// along the jet: exhaust share 1 at the outlet, then 5 diameters over distance [RICOU]
	dk_real here = droplets(dk_set(1), gas_k, vapour_kg_kg, outside_k, outside_pa, air_vapour);
	dk_real densest = dk_max(here, dk_set(0));
	dk_real length = dk_set(0);
	double share = 1;
	double from = 0;
	for (int i = 0; i < kPlumeSteps; ++i)
	{
		share *= 0.70710678118654752;
		const double to = 5.0 / share;
		const dk_real there = droplets(dk_set(share), gas_k, vapour_kg_kg, outside_k, outside_pa, air_vapour);
		densest = dk_max(densest, there);

		// the part of this piece in which the line is above saturation
		const dk_real above = dk_max(here, dk_set(0)) + dk_max(there, dk_set(0));
		const dk_real all = dk_abs(here) + dk_abs(there) + 1e-12;
		length = length + (to - from) * bore_m * above / all;
		here = there;
		from = to;
	}
	out->steam_kg_m3 = densest;
	out->plume_m = length;
}

// pressure losses behind the elbow: hose, a collapse in it, lock and rise
static void hose_losses(
    const dk_exhaust_def *def, const dk_exhaust_ports *ports, dk_real mixed_k, dk_exhaust_result *out)
{
	const dk_real gas = ports->gas_kg_s;
	const dk_real bore = dk_sqrt(def->hose_m2 * 4.0 / kPi);
	const dk_real density = ports->outside_pa / (kGasConstant * mixed_k);
	const dk_real flow = gas / density;

	// water in the hose: gas loss x (1 + C X), X the ratio of what each alone would lose [LM49]
	const dk_real x = ports->water_kg_s / (gas + 1e-9) * dk_sqrt(density / kSeaDensity);
	const dk_real wet = 1.0 + kWetC * def->wet * x / (1.0 + 0.25 * x);
	const dk_real pipe = DK_FN(dk_exhaust_pipe)(def->hose_length_m, mixed_k, flow, bore, dk_set(kHoseFactor));

	// a collapse is a short throat: contraction by Weisbach, then a sudden widening [BORDA]; water and gas
	// pass it together [CHISHOLM83]
	const dk_real open = def->hose_open;
	const dk_real contraction = 0.62 + 0.38 * open * open * open;
	const dk_real widening = 1.0 / (open * contraction) - 1.0;
	const dk_real speed = flow / def->hose_m2;
	const dk_real head = 0.5 * density * speed * speed;
	const dk_real both = 1.0 + def->wet * x * (kThroatC + x);
	out->hose_pa = wet * pipe + both * widening * widening * head;
	out->lock_pa = wet * kLockHeads * head;

	// water carried up the rise; without water there is none to carry
	const dk_real water_m3_s = ports->water_kg_s / kSeaDensity;
	const dk_real standing =
	    def->holdup * water_m3_s / (water_m3_s + kHoldFlow) * (1.0 + kHoldFlow / kHoldRated);
	out->lift_pa = def->wet * kSeaDensity * kGravity * def->lift_m * standing;
}

void DK_FN(dk_exhaust_flow)(const dk_exhaust_def *def, const dk_exhaust_ports *ports, dk_exhaust_result *out)
{
	// temperatures first: they need no pressure closer than outside
	const dk_real water = def->wet * ports->water_kg_s;
	const dk_mix_ports at = { ports->gas_kg_s + 1e-6, ports->gas_k, ports->vapour_kg_kg, water,
		ports->water_k, ports->outside_pa + 2e3, dk_set(kSeaHeat), dk_set(1) };
	dk_mix mix;
	DK_FN(dk_exhaust_mix)(&at, &mix);
	out->mixed_k = mix.mixed_k;
	out->evaporated_kg_s = mix.evaporated_kg_s;
	out->outlet_vapour_kg_kg = ports->vapour_kg_kg + mix.evaporated_kg_s / at.gas_kg_s;

	// where no water runs along it the hose wall takes the gas's temperature
	const dk_real dry = kDryWall / (1.0 + kDryRatio * water / at.gas_kg_s);
	out->hose_k = out->mixed_k + dry * (ports->gas_k - out->mixed_k);

	// pressures from the outlet back to the manifold
	hose_losses(def, ports, out->mixed_k, out);
	const dk_real behind = ports->outside_pa + out->hose_pa + out->lock_pa + out->lift_pa;
	const dk_real throat = kElbowCd * def->elbow_m2 * def->elbow_open;
	const dk_real ahead = DK_FN(dk_exhaust_throat)(throat, ports->gas_kg_s, ports->gas_k, behind);
	out->elbow_pa = ahead - behind;
	out->back_pa = ahead - ports->outside_pa;

	dk_plume plume;
	const dk_real bore = dk_sqrt(def->hose_m2 * 4.0 / kPi);
	DK_FN(dk_exhaust_plume)
	(out->mixed_k, out->outlet_vapour_kg_kg, ports->outside_k, ports->outside_pa, ports->humidity, bore,
	    &plume);
	out->steam_kg_m3 = plume.steam_kg_m3;
	out->plume_m = plume.plume_m;
}
