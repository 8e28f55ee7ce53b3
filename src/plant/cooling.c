#include "plant/cooling.h"
#include "plant/coolant.h"
#include "plant/exchanger.h"
#include "plant/root.h"
#include "plant/smooth.h"

static const double kTwoPi = 6.283185307179586;
static const double kSeaHeat = 3990.0; // [J/(kg K)]
static const double kSeaDensity = 1025.0;
static const double kGasConstant = 287.0;
static const double kLatent = 2.2e6; // of the water boiled out of coolant, near 110 degC [J/kg]
static const double kNeverS = 3660;  // 61 min: 'not within the hour'

// raw flow at which exchanger_w_k is given, over pump volume x rated turns [ASSUMED-352]
static const double kRawRated = 0.92;
// each side's half of the exchanger's resistance, and how its film grows with flow: tubes 0.8
// [DITTUS-BOELTER], bank of tubes at low Reynolds number 0.5 [ZUKAUSKAS] [ASSUMED-353]
static const double kFilmHalf = 0.5;
static const double kRawPower = 0.8;
// thermosiphon with a stopped pump, over the rated flow [ASSUMED-354]
static const double kThermosiphon = 0.02;
// rounding of the thermostat's ends [ASSUMED-351]
static const double kStrokeRound = 0.08;
// slip of torn vanes grows with what is lost [ASSUMED-350]
static const double kTornSlip = 3.0;
// level below which the pump begins to draw air, and at which it draws nothing else [ASSUMED-355]
static const double kPumpDry = 0.20;
static const double kPumpWet = 0.55;
// metal-to-coolant conductance: part that needs no flow; and what is left when dry [ASSUMED-356]
static const double kStillShare = 0.3;
static const double kDryShare = 0.05;
// hottest wetted wall above the coolant, over the metal's mean above it [ASSUMED-357]
static const double kHotSpot = 1.35;
// bubbles form there above this superheat; share of the passed heat that leaves by the cap as steam is the
// rest of the superheat over itself and this [ASSUMED-358]
static const double kSuperheat = 5.0;
static const double kSpotK = 1200.0;
// coolant pushed out by gas in it, over the gas's volume; and flow lost to gas [ASSUMED-359]
static const double kGasPush = 0.05;
static const double kGasBlock = 20.0;
// discharge coefficient of a leak, header above it
static const double kLeakCd = 0.62;
static const double kHeadPa = 5e3;
// metal this much over the coolant's limit is overheated too, with the coolant gone [ASSUMED-360]
static const double kMetalMargin = 45.0;
// greatest rise of settled metal over coolant [ASSUMED-361]
static const double kDryRise = 300.0;
// steps of the settled temperature: middles, then chords
enum
{
	kSettleHalves = 3,
	kSettleSteps = 9
};

dk_real DK_FN(dk_cooling_raw_flow)(const dk_cooling_def *def, dk_real speed_rad_s)
{
	const dk_real kept = 1.0 - def->vane_loss;
	const dk_real ideal = def->raw_pump_m3_rev * speed_rad_s / kTwoPi * kept;

	// ideal - slip R q^2 = q, the positive root written so that R = 0 needs no care
	const dk_real slip = def->raw_slip_m3_pa_s * (1.0 + kTornSlip * def->vane_loss);
	const dk_real under = 1.0 + 4.0 * slip * def->raw_pa_s2_m6 * ideal;
	return 2.0 * ideal / (1.0 + dk_sqrt(under));
}

void DK_FN(dk_cooling_flows)(const dk_cooling_def *def, const dk_cooling_ports *ports, dk_cooling_flows *out)
{
	const dk_real rated_turns = ports->rated_rad_s / kTwoPi;
	const dk_real turns = ports->speed_rad_s / kTwoPi;

	out->raw_m3_s = DK_FN(dk_cooling_raw_flow)(def, ports->speed_rad_s);
	out->raw_head_pa = def->raw_pa_s2_m6 * out->raw_m3_s * out->raw_m3_s;
	out->raw_w_k = kSeaDensity * kSeaHeat * out->raw_m3_s + 0.01;

	// raw-side film against its value at rated flow
	const dk_real rated_raw = kRawRated * def->raw_pump_m3_rev * rated_turns;
	const dk_real ratio = dk_max(out->raw_m3_s / rated_raw, dk_set(1e-6));
	out->raw_film_k_w = kFilmHalf / def->exchanger_w_k * dk_pow(ratio, dk_set(-kRawPower));

	// a centrifugal pump moves in proportion to its speed; a stopped one leaves the thermosiphon
	out->rated_coolant_m3_s = def->coolant_pump_m3_rev * rated_turns;
	const dk_real pumped = def->coolant_pump_m3_rev * turns * (1.0 - ports->belt_slip);
	const dk_real still = kThermosiphon * out->rated_coolant_m3_s;
	const dk_real moved = dk_sqrt(pumped * pumped + still * still);

	// gas in the jacket takes the place of coolant
	const dk_real gas_m3_s = ports->gas_kg_s * kGasConstant * 360.0 / (ports->outside_pa + def->cap_pa);
	out->coolant_m3_s = moved / (1.0 + kGasBlock * gas_m3_s / moved);
}

dk_real DK_FN(dk_cooling_thermostat)(const dk_cooling_def *def, dk_real coolant_k)
{
	const dk_real stroke =
	    (coolant_k - def->thermostat_start_k) / (def->thermostat_full_k - def->thermostat_start_k);
	return def->thermostat_floor +
	       (def->thermostat_ceiling - def->thermostat_floor) * dk_soft_unit(stroke, dk_set(kStrokeRound));
}

dk_real DK_FN(dk_cooling_block_loss)(const dk_cooling_def *def, dk_real coolant_k, dk_real space_k)
{
	return def->block_w_k * (coolant_k - space_k);
}

// what does not change during a story: flows with the level's effect, properties, boiling point
typedef struct circuit
{
	dk_real coolant_m3_s, coolant_w_k; // through the engine at this level
	dk_real metal_w_k;                 // metal to coolant
	dk_real boil_k;
} circuit;

static circuit circuit_of(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_real level, dk_real boil_k)
{
	circuit c;

	// low coolant: the pump draws air and the upper walls fall dry
	const dk_real wet = dk_smooth_step(level, dk_set(kPumpDry), dk_set(kPumpWet));
	c.coolant_m3_s = flows->coolant_m3_s * (0.01 + 0.99 * wet);
	const dk_real mean_k = dk_set(355);
	c.coolant_w_k = c.coolant_m3_s * DK_FN(dk_coolant_density)(def->glycol_share, mean_k) *
	                DK_FN(dk_coolant_heat)(def->glycol_share, mean_k);

	const dk_real over_rated = c.coolant_m3_s / flows->rated_coolant_m3_s;
	const dk_real moving = kStillShare + (1.0 - kStillShare) * dk_sqrt(over_rated);
	const dk_real covered = kDryShare + (1.0 - kDryShare) * dk_smooth_step(level, dk_set(0), dk_set(0.35));
	c.metal_w_k = def->metal_w_k * moving * covered;
	c.boil_k = boil_k;
	(void)ports;
	return c;
}

// heat that the cylinders give at a coolant temperature
static dk_real heat_in(const dk_cooling_ports *ports, dk_real coolant_k)
{
	return ports->heat_w + ports->heat_slope_w_k * (coolant_k - ports->heat_at_k);
}

// heat that the exchanger takes at a coolant temperature
static dk_real exchanged(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, const circuit *c, dk_real coolant_k)
{
	// the thermostat sends its share of the flow through the shell
	const dk_real opening = DK_FN(dk_cooling_thermostat)(def, coolant_k);
	const dk_real over_rated = opening * c->coolant_m3_s / flows->rated_coolant_m3_s;
	const dk_real film = kFilmHalf / def->exchanger_w_k / dk_sqrt(dk_max(over_rated, dk_set(1e-9)));
	const dk_real ua = 1.0 / (film + flows->raw_film_k_w);

	dk_exchanger x;
	const dk_real hot = opening * c->coolant_w_k + 1e-3;
	DK_FN(dk_exchanger_shell_flow)(ua, hot, flows->raw_w_k, coolant_k, ports->sea_k, &x);
	return x.heat_w;
}

// heat that leaves as steam from bubbles at the hottest walls
static dk_real spot_loss(const circuit *c, dk_real coolant_k, dk_real metal_k)
{
	const dk_real spot = coolant_k + kHotSpot * (metal_k - coolant_k);
	const dk_real over = dk_soft_plus(spot - c->boil_k - kSuperheat, dk_set(3));
	return c->metal_w_k * dk_max(metal_k - coolant_k, dk_set(0)) * over / (over + kSpotK);
}

// the metal's settled temperature over a coolant temperature; a dry jacket holds it under 300 K more, as hot
// metal takes less heat [ASSUMED-361]
static dk_real metal_over(const circuit *c, dk_real coolant_k, dk_real in_w)
{
	const dk_real rise = in_w / c->metal_w_k;
	const dk_real over = rise * rise / (kDryRise * kDryRise);
	return coolant_k + rise / dk_sqrt(dk_sqrt(1.0 + over * over));
}

static dk_real boil_of(const dk_cooling_def *def, const dk_cooling_ports *ports)
{
	return DK_FN(dk_coolant_boil)(def->glycol_share, ports->outside_pa + def->cap_pa);
}

// heat in less heat out of a settled engine at a trial coolant temperature
static dk_real settle_balance(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, const circuit *c, dk_real coolant_k)
{
	const dk_real in = heat_in(ports, coolant_k);
	const dk_real metal_k = metal_over(c, coolant_k, in);
	return in - exchanged(def, ports, flows, c, coolant_k) - spot_loss(c, coolant_k, metal_k) -
	       DK_FN(dk_cooling_block_loss)(def, coolant_k, ports->space_k);
}

void DK_FN(dk_cooling_settle)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_cooling_settled *out)
{
	const circuit c = circuit_of(def, ports, flows, def->coolant_level, boil_of(def, ports));

	// the balance falls with temperature; if it is not met at boiling, boiling holds
	const dk_real cold = dk_min(ports->sea_k, ports->space_k) - 30.0;
	const dk_real at_boil = settle_balance(def, ports, flows, &c, c.boil_k);
	dk_bracket b = dk_bracket_of(cold, settle_balance(def, ports, flows, &c, cold), c.boil_k, at_boil);
	for (int i = 0; i < kSettleSteps; ++i)
	{
		const dk_real trial = dk_bracket_trial(&b, i < kSettleHalves);
		dk_bracket_put(&b, trial, settle_balance(def, ports, flows, &c, trial));
	}
	const dk_mask boils = at_boil > 0.0;
	out->coolant_k = dk_choose(boils, c.boil_k, dk_bracket_trial(&b, false));

	// everything else at that temperature
	const dk_real in = heat_in(ports, out->coolant_k);
	out->boil_k = c.boil_k;
	out->metal_k = metal_over(&c, out->coolant_k, in);
	out->opening = DK_FN(dk_cooling_thermostat)(def, out->coolant_k);
	out->exchanger_w = exchanged(def, ports, flows, &c, out->coolant_k);
	out->raw_out_k = ports->sea_k + out->exchanger_w / flows->raw_w_k;
	out->block_w = DK_FN(dk_cooling_block_loss)(def, out->coolant_k, ports->space_k);
	out->boil_w = dk_choose(boils, at_boil, dk_set(0)) + spot_loss(&c, out->coolant_k, out->metal_k);
	out->residual_w = in - out->exchanger_w - out->block_w - out->boil_w;
}

void DK_FN(dk_cooling_warm)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_cooling_start *out)
{
	const circuit c = circuit_of(def, ports, flows, def->coolant_level, dk_set(400));
	out->coolant_k = def->thermostat_start_k;
	out->metal_k = metal_over(&c, out->coolant_k, heat_in(ports, out->coolant_k));
}

// the running state of a story
typedef struct story_state
{
	dk_real coolant_k, metal_k, level;
	dk_real lost_m3;
	dk_real in_j, out_j, stored_j;
} story_state;

// coolant lost without boiling: leak, gas, what the cylinders draw [m3/s]
static dk_real seeping(
    const dk_cooling_def *def, const dk_cooling_ports *ports, dk_real coolant_k, dk_real density)
{
	// the circuit comes under the cap's pressure as it warms
	const dk_real gauge_pa = kHeadPa + def->cap_pa * dk_smooth_step(coolant_k, dk_set(300), dk_set(365));
	const dk_real leak = kLeakCd * def->coolant_leak_m2 * dk_sqrt(2.0 * gauge_pa / density);
	const dk_real gas =
	    kGasPush * ports->gas_kg_s * kGasConstant * coolant_k / (ports->outside_pa + gauge_pa);
	return leak + gas + ports->drawn_kg_s / density;
}

// one linearly implicit step of both masses
static void story_step(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_real boil_k, double step_s, story_state *s)
{
	const circuit c = circuit_of(def, ports, flows, s->level, boil_k);
	const dk_real density = DK_FN(dk_coolant_density)(def->glycol_share, s->coolant_k);
	const dk_real specific = DK_FN(dk_coolant_heat)(def->glycol_share, s->coolant_k);
	const dk_real mass_j_k = density * specific * def->coolant_m3 * dk_max(s->level, dk_set(0.05));

	// fluxes now (hot metal takes less heat [ASSUMED-361]), and how they change with the coolant's
	// temperature
	const dk_real cool = 1.0 - dk_smooth_step(s->metal_k, dk_set(480), dk_set(900));
	const dk_real in = cool * heat_in(ports, s->coolant_k);
	const dk_real slope_in = cool * ports->heat_slope_w_k;
	const dk_real passed = c.metal_w_k * (s->metal_k - s->coolant_k);
	const dk_real taken = exchanged(def, ports, flows, &c, s->coolant_k);
	const dk_real taken_up = exchanged(def, ports, flows, &c, s->coolant_k + 0.25);
	const dk_real slope = dk_max((taken_up - taken) * 4.0, dk_set(0)) + def->block_w_k;
	const dk_real spot = spot_loss(&c, s->coolant_k, s->metal_k);
	const dk_real away = taken + spot + DK_FN(dk_cooling_block_loss)(def, s->coolant_k, ports->space_k);

	// (Cm/dt + G) dm - (G + h') dc = in - passed;  -G dm + (Cc/dt + G + slope) dc = passed - away
	const dk_real a = def->metal_j_k / step_s + c.metal_w_k;
	const dk_real d = mass_j_k / step_s + c.metal_w_k + slope;
	const dk_real up = c.metal_w_k + slope_in;
	const dk_real metal_net = in - passed;
	const dk_real coolant_net = passed - away;
	const dk_real det = a * d - up * c.metal_w_k;
	const dk_real dm = (d * metal_net + up * coolant_net) / det;
	const dk_real dc = (a * coolant_net + c.metal_w_k * metal_net) / det;

	// boiling holds the coolant: what is over leaves as steam
	const dk_real to = s->coolant_k + dc;
	const dk_real held = dk_min(to, dk_max(boil_k, s->coolant_k));
	const dk_real gone_j = mass_j_k * (to - held);

	// heat book: as linearised, so that it closes exactly
	s->in_j = s->in_j + step_s * (in + slope_in * dc);
	s->out_j = s->out_j + step_s * (away + slope * dc) + gone_j;
	s->stored_j = s->stored_j + def->metal_j_k * dm + mass_j_k * (held - s->coolant_k);

	// coolant book
	const dk_real there = def->coolant_m3 * s->level;
	const dk_real seep = seeping(def, ports, s->coolant_k, density);
	const dk_real wanted = step_s * (seep + spot / (kLatent * density)) + gone_j / (kLatent * density);
	const dk_real lost = there * wanted / (there + wanted + 1e-12);
	s->lost_m3 = s->lost_m3 + lost;
	s->level = dk_max(there - lost, dk_set(0)) / def->coolant_m3;
	s->coolant_k = held;
	s->metal_k = s->metal_k + dm;
}

// steps of a story: fine at first, where a lost raw-water flow shows, coarse when all has settled
static const struct
{
	int count;
	double step_s;
} kStory[] = { { 40, 0.5 }, { 40, 1 }, { 30, 3 }, { 30, 10 }, { 29, 30 }, { 38, 60 } };

void DK_FN(dk_cooling_story)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, const dk_cooling_start *start, double at_s, dk_real limit_k,
    dk_cooling_story *out)
{
	const dk_real boil_k = boil_of(def, ports);
	const dk_real zero = dk_set(0);
	story_state s = { start->coolant_k, start->metal_k, def->coolant_level, zero, zero, zero, zero };
	dk_real hottest = dk_max(s.coolant_k, s.metal_k - kMetalMargin);
	dk_real overheat = dk_choose(hottest > limit_k, zero, dk_set(kNeverS));
	out->coolant_at_k = s.coolant_k;
	double time = 0;
	for (size_t k = 0; k < sizeof kStory / sizeof kStory[0]; ++k)
	{
		for (int i = 0; i < kStory[k].count; ++i)
		{
			const double step = kStory[k].step_s;
			const dk_real before = s.coolant_k;
			story_step(def, ports, flows, boil_k, step, &s);

			// inside the step all goes straight: crossing of the limit, and the extra reading
			const dk_real hotter = dk_max(s.coolant_k, s.metal_k - kMetalMargin);
			const dk_mask crossed = (hottest <= limit_k) & (hotter > limit_k) & (overheat > 3600.0);
			const dk_real part = (limit_k - hottest) / dk_choose(crossed, hotter - hottest, dk_set(1));
			overheat = dk_choose(crossed, time + step * part, overheat);
			hottest = hotter;
			if (at_s > time && at_s <= time + step)
				out->coolant_at_k = before + (s.coolant_k - before) * ((at_s - time) / step);
			time += step;
		}
	}
	out->coolant_end_k = s.coolant_k;
	out->metal_end_k = s.metal_k;
	out->level_end = s.level;
	out->lost_m3 = s.lost_m3;
	out->overheat_s = overheat;

	// the raw water at the end, with the level then
	const circuit c = circuit_of(def, ports, flows, s.level, boil_k);
	out->exchanger_w = exchanged(def, ports, flows, &c, s.coolant_k);
	out->raw_out_k = ports->sea_k + out->exchanger_w / flows->raw_w_k;
	out->residual_j = s.in_j - s.out_j - s.stored_j;
	out->heat_in_j = s.in_j;
}

void DK_FN(dk_cooling_soak)(const dk_cooling_def *def, const dk_cooling_start *at_stop, dk_real level,
    dk_real space_k, dk_real outside_pa, dk_real seconds, dk_cooling_start *out)
{
	const dk_real specific = DK_FN(dk_coolant_density)(def->glycol_share, at_stop->coolant_k) *
	                         DK_FN(dk_coolant_heat)(def->glycol_share, at_stop->coolant_k);
	const dk_real coolant_j_k = specific * def->coolant_m3 * dk_max(level, dk_set(0.05));
	const dk_real all_j_k = coolant_j_k + def->metal_j_k;

	// the two even out through still coolant; their mean falls to the space's temperature through the block
	const dk_real still = kStillShare * def->metal_w_k * all_j_k / (coolant_j_k * def->metal_j_k);
	const dk_real gap = (at_stop->metal_k - at_stop->coolant_k) * dk_exp(-still * seconds);
	const dk_real mean = (coolant_j_k * at_stop->coolant_k + def->metal_j_k * at_stop->metal_k) / all_j_k;
	const dk_real later = space_k + (mean - space_k) * dk_exp(-def->block_w_k / all_j_k * seconds);

	const dk_real boil_k = DK_FN(dk_coolant_boil)(def->glycol_share, outside_pa + def->cap_pa);
	out->coolant_k = dk_min(later - gap * def->metal_j_k / all_j_k, boil_k);
	out->metal_k = later + gap * coolant_j_k / all_j_k;
}
