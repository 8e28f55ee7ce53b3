#include "cycle/cylinder.h"
#include "cycle/ignition.h"
#include "cycle/smoke.h"

#define LATE_DEG 60.0 // burn after this counts as late [ASSUMED-109]
#define LAMBDA_MAX 60.0

// How the fuel of this cycle burns, known once it lights.
typedef struct dk_burning
{
	dk_real fuel_kg, afr, trapped_lambda, oxygen;
	dk_real span_ratio;      // diffusion span: of fuel, speed and mixing
	dk_real per_span, power; // Wiebe: 1/span, m + 1
	dk_real premixed, misfire, burnable_kg, delay_s;
	dk_real share;    // burnt so far, of burnable
	dk_real injected; // share injected so far
	dk_real burnt_kg, late_kg;
	dk_real jet;      // wall heat factor while it burns and expands
	dk_real water_kg; // that evaporates
} dk_burning;

// What is read off on the way.
typedef struct dk_watch
{
	dk_real peak_pa, peak_deg, rise, hottest, at_tdc, pumping, inlet_leak, exhaust_leak;
} dk_watch;

dk_cylinder_ports DK_FN(dk_default_cylinder_ports)(void)
{
	dk_cylinder_ports in;
	in.speed_rad_s = dk_set(3000 * DK_PI / 30);
	in.intake_pa = dk_set(98e3);
	in.intake_k = dk_set(300);
	in.exhaust_pa = dk_set(108e3);
	in.exhaust_k = dk_set(800);
	in.crankcase_pa = dk_set(100e3);
	in.coolant_pa = dk_set(190e3);
	in.wall_k = dk_set(430);
	in.humidity_kg_kg = dk_set(0);
	in.fuel_kg = dk_set(26e-6);
	in.injection_start_deg = dk_set(15);
	in.injection_span_deg = dk_set(22);
	in.cetane = dk_set(50);
	in.lhv_j_kg = dk_set(42.8e6);
	in.mixing = dk_set(1);
	in.heater_rise_k = dk_set(0);
	in.water_kg = dk_set(0);
	in.rated_fuel_kg = dk_set(26e-6);
	in.rated_speed_rad_s = dk_set(3000 * DK_PI / 30);
	return in;
}

void DK_FN(dk_cylinder_start)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_cylinder_state *state)
{
	dk_gas_pair pair;
	dk_gas_pair_fill(&grid->gas, in->humidity_kg_kg, &pair);
	const dk_geometry geometry = dk_geometry_of(def, dk_set(0));
	const dk_real volume = dk_geometry_volume(&geometry, grid->cos_[0], grid->sin_[0]);

	// warmed by walls and residual gas by about 25 K: only a start, the cycle forgets it
	const dk_real t = in->intake_k + 25, none = dk_set(0);
	const dk_real mass = in->intake_pa * volume / (pair.air_r * t);
	state->air_kg = 0.96 * mass;
	state->burned_kg = 0.04 * mass;
	state->fuel_kg = none;
	state->temperature_k = t;
	state->energy_j = dk_gas_energy_of(&pair, state->air_kg, state->burned_kg, t).u_j;
	state->port_air_kg = none;
	state->port_burned_kg = none;
	state->port_enthalpy_j = none;
	state->exhaust_burned = dk_set(0.7);
}

static dk_burning burning_begin(
    const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_gas_pair *pair)
{
	const dk_real none = dk_set(0);
	dk_burning b;
	b.fuel_kg = in->fuel_kg;
	b.afr = pair->air_per_fuel;
	const dk_real span = DK_FN(dk_burn_span)(def->burn_span_deg, in->fuel_kg / in->rated_fuel_kg,
	    in->speed_rad_s / in->rated_speed_rad_s, in->mixing);
	b.per_span = 1 / span;
	b.power = def->burn_form + 1;
	b.trapped_lambda = dk_set(LAMBDA_MAX);
	b.oxygen = dk_set(1);
	b.premixed = none;
	b.misfire = dk_choose(in->fuel_kg > 0, dk_set(1), none);
	b.burnable_kg = none;
	b.delay_s = none;
	b.share = none;
	b.injected = none;
	b.burnt_kg = none;
	b.late_kg = none;
	b.water_kg = none;

	// the burning jet out of a swirl or pre-chamber sweeps the walls, the more the more burns [ASSUMED-111]
	b.jet = 1 + 0.35 * def->indirect * dk_min(in->fuel_kg / in->rated_fuel_kg, dk_set(1.5));
	return b;
}

// At ignition: how much air there is, how much was prepared during the delay, and whether it lit too late.
static inline void burning_light(dk_burning *b, const dk_cylinder_def *def, const dk_ignition *ig,
    const dk_setting *set, const dk_charge *c)
{
	const dk_real delay = (ig->deg - ig->start_deg) * set->s_per_deg;
	const dk_real lambda = dk_min(c->air / (b->afr * dk_max(b->fuel_kg, dk_set(1e-12))), dk_set(LAMBDA_MAX));
	const dk_real premixed = DK_FN(dk_burn_premixed_share)(def->premixed_share, delay);
	const dk_real misfire = DK_FN(dk_burn_misfire)(ig->deg);
	const dk_real oxygen = DK_FN(dk_burn_oxygen)(lambda);
	b->delay_s = dk_choose(ig->now, delay, b->delay_s);
	b->trapped_lambda = dk_choose(ig->now, lambda, b->trapped_lambda);
	b->oxygen = dk_choose(ig->now, oxygen, b->oxygen);
	b->premixed = dk_choose(ig->now, premixed, b->premixed);
	b->misfire = dk_choose(ig->now, misfire, b->misfire);
	b->burnable_kg = dk_choose(ig->now, b->fuel_kg * oxygen * (1 - misfire), b->burnable_kg);
}

// What the step from k on injects and burns: differences of the two shares.
static inline dk_supply burning_step(
    dk_burning *b, const dk_cylinder_ports *in, const dk_ignition *ig, const dk_charge *c, double to)
{
	dk_supply supply;
	const dk_real injected = dk_clip((to - ig->start_deg) / in->injection_span_deg, 0, 1);
	const dk_real since = to - ig->deg;
	dk_real wiebe = dk_set(0);
	if (dk_any(ig->lit))
	{
		wiebe = b->premixed * dk_burn_premixed(since * (1 / DK_PREMIXED_SPAN_DEG)) +
		        (1 - b->premixed) * dk_burn_wiebe(since * b->per_span, b->power);
	}
	const dk_real share = dk_max(dk_min(wiebe, injected), b->share);
	const dk_real wanted = b->burnable_kg * (share - b->share);
	supply.fuel_kg = b->fuel_kg * (injected - b->injected);
	supply.burnt_kg = dk_min(wanted, dk_max(c->air, dk_set(0)) / b->afr);
	supply.water_kg = dk_set(0);
	supply.heat_j = supply.burnt_kg * in->lhv_j_kg;
	supply.jet = dk_choose(ig->lit, b->jet, dk_set(1));
	b->share = share;
	b->injected = injected;
	b->burnt_kg = b->burnt_kg + supply.burnt_kg;
	if (to > LATE_DEG + 1e-9) b->late_kg = b->late_kg + supply.burnt_kg;
	return supply;
}

static void watch_step(dk_watch *w, const dk_crank_grid *grid, int k, const dk_charge *c, dk_real p0)
{
	const double to = grid->deg[k + 1], step = to - grid->deg[k];
	const dk_mask higher = c->p > w->peak_pa;
	w->peak_pa = dk_choose(higher, c->p, w->peak_pa);
	w->peak_deg = dk_choose(higher, dk_set(to), w->peak_deg);
	w->hottest = dk_max(w->hottest, c->t);
	if (grid->flags[k] & DK_STEP_BURN) w->rise = dk_max(w->rise, (c->p - p0) * (1 / step));
	if (to == 0) w->at_tdc = c->t;
}

// Liquid water evaporates evenly over the grid steps that end 20 deg before top dead centre or earlier.
static double water_part(const dk_crank_grid *grid, int k)
{
	const double until = -20;
	if (grid->deg[k + 1] > until + 1e-9) return 0;
	return (grid->deg[k + 1] - grid->deg[k]) / (until - grid->deg[0]);
}

static void state_take(const dk_cylinder_state *state, const dk_setting *set, const dk_crank_grid *grid,
    dk_charge *c, dk_account *sum)
{
	c->air = state->air_kg;
	c->burned = state->burned_kg;
	c->fuel = state->fuel_kg;
	c->u = state->energy_j;
	c->t = state->temperature_k;
	c->v = dk_geometry_volume(&set->geometry, grid->cos_[0], grid->sin_[0]);
	c->each = dk_gas_each_at(&set->pair, c->t);
	DK_FN(dk_charge_close)(set, c);
	memset(sum, 0, sizeof *sum);
	sum->pool_air = state->port_air_kg;
	sum->pool_burned = state->port_burned_kg;
	sum->pool_h = state->port_enthalpy_j;
}

static void state_give(const dk_charge *c, const dk_account *sum, dk_cylinder_state *state)
{
	const dk_real out = dk_max(sum->out_kg, dk_set(1e-9));
	state->air_kg = c->air;
	state->burned_kg = c->burned;
	state->fuel_kg = c->fuel;
	state->energy_j = c->u;
	state->temperature_k = c->t;
	state->port_air_kg = sum->pool_air;
	state->port_burned_kg = sum->pool_burned;
	state->port_enthalpy_j = sum->pool_h;
	state->exhaust_burned = dk_clip(sum->out_burned_kg / out, 0, 1);
}

// Balances over the cycle, from sums that were kept apart: what is in at the end less what was in and came
// in.
static void balances(const dk_cylinder_ports *in, const dk_setting *set, const dk_cylinder_state *before,
    const dk_charge *c, const dk_account *sum, const dk_burning *b, dk_cylinder_result *out)
{
	const dk_real burn = b->burnt_kg * in->lhv_j_kg - b->water_kg * set->latent_j_kg;
	const dk_real gained = burn + sum->inlet_h + sum->leak_h - sum->work - sum->wall_heat - sum->exhaust_h;
	const dk_real held = (c->u + sum->pool_h) - (before->energy_j + before->port_enthalpy_j);
	out->energy_residual = (held - gained) / dk_max(in->fuel_kg * in->lhv_j_kg, dk_set(10));

	const dk_real ring = sum->ring_in_kg - sum->ring_out_kg;
	const dk_real came = in->fuel_kg * b->injected + b->water_kg + sum->inlet_kg + ring - sum->gasket_kg -
	                     sum->exhaust_kg - sum->exhaust_fuel_kg;
	const dk_real end = c->air + c->burned + c->fuel + sum->pool_air + sum->pool_burned;
	const dk_real begin =
	    before->air_kg + before->burned_kg + before->fuel_kg + before->port_air_kg + before->port_burned_kg;
	out->mass_residual = (end - begin - came) / out->trapped_kg;
}

// Smoke of the cycle: coarser spray, late burn and thin air darken it; a misfire leaves white, not black.
static dk_real soot_of(
    const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_burning *b, dk_real late)
{
	// one part in ten burnt late doubles the soot [ASSUMED-110]
	const dk_real quality = def->soot_factor * in->mixing * (1 + 10 * late) * (1 - b->misfire);
	return DK_FN(dk_smoke_fsn)(b->trapped_lambda, def->indirect, quality);
}

// Exhaust gas behind the port, by what goes out (gross: with backflow the net mean is ill-conditioned): a
// heat exchanger of NTU 0.12 at wall temperature [ASSUMED-112].
static void exhaust_fill(const dk_setting *set, const dk_account *sum, dk_cylinder_result *out)
{
	const dk_real scale = 1 / dk_max(sum->out_kg, dk_set(1e-9));
	const dk_real burned = sum->out_burned_kg * scale, air = 1 - burned;
	const dk_real hot = dk_gas_temperature_of_enthalpy(&set->pair, air, burned, sum->out_h * scale);
	const double kept = 0.88692043671715748; // exp(-0.12)
	const dk_real cooled = set->wall_k + (hot - set->wall_k) * kept;
	const dk_real mr = dk_gas_mr(&set->pair, air, burned);
	const dk_real h = dk_gas_energy_of(&set->pair, air, burned, cooled).u_j + mr * cooled;
	out->exhaust_k = cooled;
	out->port_heat_j = sum->exhaust_h - sum->exhaust_kg * h;
}

static void result_fill(const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_setting *set,
    const dk_account *sum, const dk_burning *b, const dk_ignition *ig, const dk_watch *w,
    dk_cylinder_result *out)
{
	const dk_real none = dk_set(0), one = dk_set(1);
	const dk_mask fuelled = in->fuel_kg > 0;
	out->work_j = sum->work;
	out->pumping_work_j = w->pumping;
	out->peak_pa = w->peak_pa;
	out->peak_deg = w->peak_deg;
	out->pressure_rise_pa_deg = w->rise;
	out->temperature_max_k = w->hottest;
	out->compression_k = w->at_tdc;
	out->wall_heat_j = sum->wall_heat;
	out->fresh_air_kg = sum->inlet_kg;
	out->exhaust_kg = sum->exhaust_kg;
	exhaust_fill(set, sum, out);
	out->blow_by_kg = sum->ring_out_kg - sum->ring_in_kg;
	out->gasket_kg = sum->gasket_kg;
	out->water_in_kg = sum->water_in_kg;
	out->inlet_leak_kg = w->inlet_leak;
	out->exhaust_leak_kg = w->exhaust_leak;
	out->fuel_burnt_kg = b->burnt_kg;
	out->burnt_share = dk_choose(fuelled, b->burnt_kg / dk_max(in->fuel_kg, dk_set(1e-12)), one);
	out->misfire_share = b->misfire;
	out->ignition_deg = ig->deg;
	out->ignition_margin = ig->margin;
	out->delay_s = b->delay_s;
	const dk_real need = b->afr * dk_max(in->fuel_kg, dk_set(1e-12));
	out->lambda = dk_min(dk_max(sum->inlet_kg, none) / need, dk_set(LAMBDA_MAX));
	out->late_burn = b->late_kg / dk_max(b->burnt_kg, dk_set(1e-12));
	out->soot_fsn = dk_choose(fuelled, soot_of(def, in, b, out->late_burn), none);
	out->imep_pa = sum->work / set->geometry.swept_m3;
}

void DK_FN(dk_cylinder_cycle)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_cylinder_state *state, dk_cylinder_result *out)
{
	dk_setting set;
	dk_charge c;
	dk_account sum;
	const dk_cylinder_state before = *state;
	const dk_real none = dk_set(0);
	DK_FN(dk_setting_fill)(def, in, grid, none, before.exhaust_burned, DK_HEAT_HOHENBERG, &set);
	state_take(&before, &set, grid, &c, &sum);
	dk_ignition ig = dk_ignition_begin(def, in);
	dk_burning b = burning_begin(def, in, &set.pair);
	dk_watch w = { c.p, dk_set(grid->deg[0]), none, c.t, c.t, none, none, none };
	const dk_mask fuelled = in->fuel_kg > 0;
	out->trapped_kg = c.air + c.burned;

	// more water than that stays liquid and is no part of the gas [ASSUMED-114]
	b.water_kg = dk_min(in->water_kg, 0.03 * out->trapped_kg);

	for (int k = 0; k < grid->steps; ++k)
	{
		const int flags = grid->flags[k];
		const double from = grid->deg[k], to = grid->deg[k + 1];
		dk_supply supply = { none, none, none, none, dk_set(1) };
		if (flags & (DK_STEP_INJECT | DK_STEP_BURN)) supply = burning_step(&b, in, &ig, &c, to);
		supply.water_kg = b.water_kg * water_part(grid, k);
		supply.heat_j = supply.heat_j - supply.water_kg * set.latent_j_kg;

		const dk_real p0 = c.p, work0 = sum.work, pool0 = sum.inlet_out_kg, exhaust0 = sum.exhaust_kg;
		DK_FN(dk_step)(&set, grid, k, &supply, &c, &sum);
		watch_step(&w, grid, k, &c, p0);
		if (flags & DK_STEP_PUMP) w.pumping = w.pumping + (sum.work - work0);
		if (!(flags & DK_STEP_INLET)) w.inlet_leak = w.inlet_leak + (sum.inlet_out_kg - pool0);
		if (!(flags & DK_STEP_EXHAUST)) w.exhaust_leak = w.exhaust_leak + (sum.exhaust_kg - exhaust0);
		if ((flags & DK_STEP_INJECT) && dk_any(dk_not(ig.lit)))
		{
			dk_ignition_step(&ig, &c, &set, from, to, fuelled);
			if (dk_any(ig.now)) burning_light(&b, def, &ig, &set, &c);
		}
	}
	result_fill(def, in, &set, &sum, &b, &ig, &w, out);
	balances(in, &set, &before, &c, &sum, &b, out);
	state_give(&c, &sum, state);
}
