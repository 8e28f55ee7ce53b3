#include "cycle/step.h"

// Bounds that no charge reaches, so that a wild input stays finite.
#define DK_T_LOW 120
#define DK_T_HIGH 5000

// 1 kg of energy `at` at temperature t behind an opening: enthalpy is u + R T, gamma from cv.
static dk_port port_of(dk_real pa, dk_real t, dk_real r, dk_gas_energy at, dk_real burned)
{
	const dk_real rt = r * t;
	return (dk_port){ pa, rt, 1 / rt, at.u_j + rt, burned, dk_orifice_gas_of(1 + r / at.c_j_k) };
}

void DK_FN(dk_setting_fill)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_real extra_m3, dk_real exhaust_burned, int heat_kind, dk_setting *set)
{
	dk_gas_pair_fill(&grid->gas, in->humidity_kg_kg, &set->pair);
	const dk_gas_pair *pair = &set->pair;
	const dk_real none = dk_set(0), one = dk_set(1);
	set->geometry = dk_geometry_of(def, extra_m3);
	set->inlet_valve = dk_valve_of(def->inlet_valve_m, def->lift_share, def->valve_cd, 360 + def->ivo_deg,
	    360 + def->ivc_deg, def->inlet_leak_m2);
	set->exhaust_valve = dk_valve_of(def->exhaust_valve_m, def->lift_share, def->valve_cd, def->evo_deg,
	    def->evc_deg, def->exhaust_leak_m2);

	// what waits at the three openings
	const dk_gas_energy intake = dk_gas_energy_of(pair, one, none, in->intake_k);
	const dk_gas_energy exhaust = dk_gas_energy_of(pair, 1 - exhaust_burned, exhaust_burned, in->exhaust_k);
	const dk_gas_energy crankcase = dk_gas_energy_of(pair, one, none, in->wall_k);
	const dk_real exhaust_r = dk_gas_mr(pair, 1 - exhaust_burned, exhaust_burned);
	set->inlet = port_of(in->intake_pa, in->intake_k, pair->air_r, intake, none);
	set->exhaust = port_of(in->exhaust_pa, in->exhaust_k, exhaust_r, exhaust, exhaust_burned);
	set->crankcase = port_of(in->crankcase_pa, in->wall_k, pair->air_r, crankcase, none);

	set->s_per_deg = DK_PI / 180 / in->speed_rad_s;
	set->piston_m_s = set->geometry.piston_m_s_per_rad_s * in->speed_rad_s;
	set->speed_term = dk_pow(set->piston_m_s + 1.4, dk_set(0.8));
	set->heat_factor = def->heat_factor;
	set->wall_k = in->wall_k;
	set->bore_m = def->bore_m;
	set->ring_m2 = def->ring_leak_m2;
	set->gasket_m2 = def->gasket_leak_m2;
	set->coolant_pa = in->coolant_pa;
	set->heat_kind = heat_kind;
	set->near_t = heat_kind == DK_HEAT_WOSCHNI ? -0.53 : -0.4;
	set->near_v = heat_kind == DK_HEAT_WOSCHNI ? 0 : -0.06;
	set->latent_j_kg = dk_set(2.44e6);
	set->inlet_leaks = dk_any(def->inlet_leak_m2 > 0);
	set->exhaust_leaks = dk_any(def->exhaust_leak_m2 > 0);
	set->gasket_leaks = dk_any(def->gasket_leak_m2 > 0);
}

void DK_FN(dk_charge_close)(const dk_setting *set, dk_charge *c)
{
	c->mr = dk_gas_mr(&set->pair, c->air, c->burned);
	c->p = c->mr * c->t / c->v;
	c->c = c->air * c->each.air_c + c->burned * c->each.burned_c;
	c->area = set->geometry.fixed_m2 + set->geometry.per_m3 * c->v;
	dk_real h = dk_set(0);
	if (set->heat_kind == DK_HEAT_HOHENBERG) h = dk_heat_hohenberg_term(c->p, c->t, c->v, set->speed_term);
	if (set->heat_kind == DK_HEAT_WOSCHNI)
		h = DK_FN(dk_heat_woschni)(set->bore_m, c->p, c->t, 2.28 * set->piston_m_s);
	c->wall_w_k = set->heat_factor * h * c->area;
}

// Rates out through rings and gasket at one state.
typedef struct dk_leak
{
	dk_real ring, gasket; // kg/s, ring < 0 when it comes back from the crankcase
} dk_leak;

// What one step changes in the charge.
typedef struct dk_change
{
	dk_real air, burned, fuel, u;
} dk_change;

// One port over one step.
typedef struct dk_pass
{
	bool used;
	dk_mask in;        // the manifold is the upstream side
	dk_real flow_area; // effective area x time
	dk_real k;         // dp/dm of the cylinder
	dk_real q0, q;     // strength at the start of the step and in use
	dk_real a, drive;  // weight of the end of the step, driving pressure but for the flow's own effect
	dk_real kg;        // mass, in positive
} dk_pass;

// The start of a step and what follows from it.
typedef struct dk_start
{
	dk_real dt, v1, per_v1, dv;
	dk_real gamma, per_rt, rt, h, burned_share, fuel_share, heat;
	dk_orifice_gas gas;
	dk_leak leak;
	dk_real p_shut; // pressure at the end were no port open
} dk_start;

// The predicted end.
typedef struct dk_end
{
	dk_real t, p, per_rt, h, burned_share;
} dk_end;

// Ring and gasket leaks at a state. Gas of the cylinder goes out; from the crankcase air comes back; the
// gasket passes gas only one way, water the other way is booked by the caller.
static inline dk_leak leaks_at(const dk_setting *set, const dk_orifice_gas *gas, dk_real p, dk_real per_rt)
{
	dk_leak leak = { dk_set(0), dk_set(0) };
	leak.ring = dk_orifice_either(set->ring_m2, p, per_rt, gas, set->crankcase.pa, set->crankcase.per_rt);
	if (set->gasket_leaks)
	{
		const dk_real low = dk_min(set->coolant_pa, p);
		leak.gasket = dk_orifice_either(set->gasket_m2, p, per_rt, gas, low, per_rt);
	}
	return leak;
}

// Strength of a port at a cylinder state: q = (mass over the step)^2/|pressure difference|, finite where the
// difference goes through zero.
static inline dk_real port_strength(
    const dk_port *port, const dk_pass *pass, dk_real p, dk_real per_rt, const dk_orifice_gas *gas)
{
	const dk_orifice_gas from = { dk_choose(pass->in, port->gas.c1, gas->c1),
		dk_choose(pass->in, port->gas.c2, gas->c2), dk_choose(pass->in, port->gas.c3, gas->c3),
		dk_choose(pass->in, port->gas.c4, gas->c4), dk_choose(pass->in, port->gas.zc, gas->zc) };
	const dk_real up = dk_choose(pass->in, port->pa, p);
	const dk_real gap = dk_abs(port->pa - p) + 1e-6;
	const dk_real per_both = 1 / (up * gap);
	const dk_real z = gap * gap * per_both;
	const dk_real choked = dk_min(from.zc * up * up * per_both, dk_set(1));
	const dk_real bracket = dk_orifice_bracket(&from, dk_min(z, from.zc));
	const dk_real from_rt = dk_choose(pass->in, port->per_rt, per_rt);
	return pass->flow_area * pass->flow_area * (up * choked * bracket * from_rt);
}

// How a port is driven over a step: D = d0 + a (d1 - d0) - a k m with the pressure differences port -
// cylinder at both ends as they would be without flow. a = 1/2 (second order) where the port is slow to fill
// the cylinder, towards 1 (never overshoots) where it is fast.
static inline void port_drive(dk_pass *pass, dk_real q, dk_real d0, dk_real d1)
{
	const dk_real typical = 0.5 * (dk_abs(d0) + dk_abs(d1)) + 1e-3;
	const dk_real stiff = pass->k * dk_sqrt(q / typical);
	pass->a = (1 + stiff) / (2 + stiff);
	pass->drive = d0 + pass->a * (d1 - d0);
	pass->q = q;
}

// Mass m = sqrt(q |D|) through one port alone: the quadratic, in the form that does not cancel.
static inline dk_real port_mass(const dk_pass *pass)
{
	const dk_real twice = 2 * pass->q * dk_abs(pass->drive);
	const dk_real b = pass->q * pass->k * pass->a;
	const dk_real kg = twice / (b + dk_sqrt(b * b + 2 * twice) + 1e-300);
	return dk_choose(pass->drive < 0, -kg, kg);
}

// Both ports with the pressure that the other one makes, at given conductances m = g D.
static inline void ports_linear(dk_pass *x, dk_pass *y, dk_real gx, dk_real gy)
{
	const dk_real ax = gx * x->a, ay = gy * y->a;
	const dk_real per_det = 1 / (1 + ax * x->k + ay * y->k);
	const dk_real ex = gx * x->drive, ey = gy * y->drive;
	x->kg = (ex * (1 + ay * y->k) - ax * y->k * ey) * per_det;
	y->kg = (ey * (1 + ax * x->k) - ay * x->k * ex) * per_det;
}

// Two open ports: gas may run through the cylinder from one to the other, in a small volume more than there
// is in it, so the two flows are solved together. The square-root law gives the conductances, once improved.
static inline void ports_together(dk_pass *x, dk_pass *y)
{
	const dk_real gx = x->q / (dk_abs(port_mass(x)) + 1e-12);
	const dk_real gy = y->q / (dk_abs(port_mass(y)) + 1e-12);
	ports_linear(x, y, gx, gy);
	const dk_real dx = x->drive - x->a * (x->k * x->kg + y->k * y->kg);
	const dk_real dy = y->drive - y->a * (x->k * x->kg + y->k * y->kg);
	const dk_real better_x = dk_sqrt(x->q / (dk_abs(dx) + 1e-3)),
	              better_y = dk_sqrt(y->q / (dk_abs(dy) + 1e-3));
	ports_linear(x, y, 0.5 * (gx + better_x), 0.5 * (gy + better_y));
}

// A lane of which one port is shut takes the answer of a port alone, so that it does not hang on its
// neighbours.
static inline void ports_solve(dk_pass *inlet, dk_pass *exhaust)
{
	const dk_real in_alone = inlet->used ? port_mass(inlet) : dk_set(0);
	const dk_real ex_alone = exhaust->used ? port_mass(exhaust) : dk_set(0);
	const bool both_used = inlet->used && exhaust->used;
	if (both_used) ports_together(inlet, exhaust);
	const dk_mask both = (inlet->q > 0) & (exhaust->q > 0);
	inlet->kg = dk_choose(both, inlet->kg, in_alone);
	exhaust->kg = dk_choose(both, exhaust->kg, ex_alone);
}

// Sets up a port and what drives it by the start of the step. valve NULL: it can pass nothing in this step.
static inline dk_pass port_begin(
    const dk_port *port, const dk_valve *valve, double deg, const dk_start *s, dk_real p)
{
	const dk_real none = dk_set(0);
	dk_pass pass = { false, dk_mask_set(false), none, none, none, none, none, none, none };
	if (valve == NULL) return pass;
	pass.used = true;
	pass.in = 2 * port->pa > p + s->p_shut;
	pass.flow_area = dk_valve_area(valve, deg) * s->dt;
	pass.k = s->gamma * dk_choose(pass.in, port->rt, s->rt) * s->per_v1;
	pass.q0 = port_strength(port, &pass, p, s->per_rt, &s->gas);
	port_drive(&pass, pass.q0, port->pa - p, port->pa - s->p_shut);
	return pass;
}

// The same with the strength averaged over the step; shut is the predicted end pressure without
// port flow.
static inline void port_again(
    const dk_port *port, dk_pass *pass, const dk_start *s, const dk_end *e, dk_real p0, dk_real shut)
{
	if (!pass->used) return;
	const dk_real q = 0.5 * (pass->q0 + port_strength(port, pass, e->p, e->per_rt, &s->gas));
	port_drive(pass, q, port->pa - p0, port->pa - shut);
}

// What leaves mixes with what comes in during the step: enthalpy and composition of the outflow are those of
// the start plus `part` of the way to the end; one half, or more where the step renews much of the charge.
// Nothing takes more than the charge has.
typedef struct dk_mix
{
	dk_real part, h, burned_share; // of the outflow by the rates of the start
	dk_real most_kg;               // that may leave through the ports
} dk_mix;

static inline dk_mix mix_of(const dk_setting *set, const dk_start *s, const dk_charge *c,
    const dk_pass *inlet, const dk_pass *exhaust)
{
	const dk_real from_inlet = dk_max(inlet->kg, dk_set(0)), from_exhaust = dk_max(exhaust->kg, dk_set(0));
	const dk_real in = from_inlet + from_exhaust;
	const dk_real held = c->air + c->burned, per_all = 1 / (held + in);
	const dk_real renewed = in / held;
	dk_mix mix;
	mix.part = (1 + renewed) / (2 + renewed);
	const dk_real h =
	    (from_inlet * (set->inlet.h_j_kg - s->h) + from_exhaust * (set->exhaust.h_j_kg - s->h)) * per_all;
	const dk_real share =
	    (from_exhaust * (set->exhaust.burned - s->burned_share) - from_inlet * s->burned_share) * per_all;
	mix.h = s->h + mix.part * h;
	mix.burned_share = s->burned_share + mix.part * share;
	mix.most_kg = 0.8 * (held + in);
	return mix;
}

// The inlet port as the cylinder sees it: while cylinder gas waits in it, that gas comes in first, hotter and
// so thinner than fresh air. Temperature of the waiting gas from its enthalpy with cp 1100 J/(kg K), R 287:
// only the flow's speed hangs on it, mass and energy do not.
static inline dk_port inlet_now(const dk_setting *set, const dk_charge *c, const dk_account *sum)
{
	dk_port port = set->inlet;
	const dk_real pool = sum->pool_air + sum->pool_burned;
	const dk_real t = 298.15 + sum->pool_h / (dk_max(pool, dk_set(1e-12)) * 1100);
	const dk_real share = pool / (pool + 0.05 * (c->air + c->burned));
	port.rt = port.rt + share * (287 * dk_clip(t, 200, 3000) - port.rt);
	port.per_rt = 1 / port.rt;
	return port;
}

// Inlet port over a step: cylinder gas pushed out waits in the port and comes back first.
static inline void inlet_change(const dk_setting *set, dk_real kg, dk_real out_h, dk_real burned_share,
    dk_account *sum, dk_change *change)
{
	const dk_real out = dk_max(-kg, dk_set(0)), in = dk_max(kg, dk_set(0));
	const dk_real pool = sum->pool_air + sum->pool_burned;
	const dk_real back = dk_min(in / dk_max(pool, dk_set(1e-12)), dk_set(1));
	const dk_real back_air = back * sum->pool_air, back_burned = back * sum->pool_burned;
	const dk_real back_h = back * sum->pool_h;
	const dk_real fresh = dk_max(in - (back_air + back_burned), dk_set(0));
	const dk_real burned = out * burned_share;
	const dk_real air = out - burned, fresh_h = fresh * set->inlet.h_j_kg, lost_h = out * out_h;

	change->air = change->air + (back_air + fresh - air);
	change->burned = change->burned + (back_burned - burned);
	change->u = change->u + (back_h + fresh_h - lost_h);
	sum->pool_air = sum->pool_air - back_air + air;
	sum->pool_burned = sum->pool_burned - back_burned + burned;
	sum->pool_h = sum->pool_h - back_h + lost_h;
	sum->inlet_kg = sum->inlet_kg + fresh;
	sum->inlet_h = sum->inlet_h + fresh_h;
	sum->inlet_out_kg = sum->inlet_out_kg + out;
}

// Exhaust port over a step.
static inline void exhaust_change(const dk_setting *set, dk_real kg, dk_real out_h, dk_real burned_share,
    dk_real fuel_share, dk_account *sum, dk_change *change)
{
	const dk_real out = dk_max(-kg, dk_set(0)), in = dk_max(kg, dk_set(0));
	const dk_real burned = out * burned_share - in * set->exhaust.burned;
	const dk_real air = (out - in) - burned;
	const dk_real h = out * out_h - in * set->exhaust.h_j_kg;
	const dk_real fuel = out * fuel_share;
	change->air = change->air - air;
	change->burned = change->burned - burned;
	change->fuel = change->fuel - fuel;
	change->u = change->u - h;
	sum->exhaust_kg = sum->exhaust_kg + (out - in);
	sum->exhaust_h = sum->exhaust_h + h;
	sum->exhaust_fuel_kg = sum->exhaust_fuel_kg + fuel;
	sum->out_kg = sum->out_kg + out;
	sum->out_burned_kg = sum->out_burned_kg + out * burned_share;
	sum->out_h = sum->out_h + out * out_h;
}

// Rings and gasket over a step, kg.
static inline void leak_change(const dk_setting *set, dk_real ring, dk_real gasket, dk_real out_h,
    dk_real burned_share, dk_account *sum, dk_change *change)
{
	const dk_real ring_out = dk_max(ring, dk_set(0)), ring_in = dk_max(-ring, dk_set(0));
	const dk_real out = ring_out + gasket;
	const dk_real burned = out * burned_share;
	const dk_real h = ring_in * set->crankcase.h_j_kg - out * out_h;
	change->air = change->air + (ring_in - (out - burned));
	change->burned = change->burned - burned;
	change->u = change->u + h;
	sum->ring_out_kg = sum->ring_out_kg + ring_out;
	sum->ring_in_kg = sum->ring_in_kg + ring_in;
	sum->gasket_kg = sum->gasket_kg + gasket;
	sum->leak_h = sum->leak_h + h;
}

// Coolant that a leaking gasket lets in while the cylinder is below coolant pressure [kg]: incompressible
// flow, water 1000 kg/m3.
static inline dk_real gasket_water(const dk_setting *set, dk_real p, dk_real dt)
{
	const dk_real below = dk_max(set->coolant_pa - p, dk_set(0));
	return set->gasket_m2 * dt * dk_sqrt(2 * 1000 * below);
}

// State at the start of step k, and the pressure at its end were no port open: (v0/v1)^gamma as a ratio of
// two straight lines, third order in the change of volume.
static inline dk_start step_begin(
    const dk_setting *set, const dk_crank_grid *grid, int k, const dk_supply *supply, const dk_charge *c)
{
	dk_start s;
	s.dt = (grid->deg[k + 1] - grid->deg[k]) * set->s_per_deg;
	s.v1 = dk_geometry_volume(&set->geometry, grid->cos_[k + 1], grid->sin_[k + 1]);
	s.per_v1 = 1 / s.v1;
	s.dv = s.v1 - c->v;
	const dk_real per_m = 1 / (c->air + c->burned);
	s.gamma = 1 + c->mr / c->c;
	s.gas = dk_orifice_gas_of(s.gamma);
	s.rt = c->mr * c->t * per_m;
	s.per_rt = 1 / s.rt;
	s.h = c->u * per_m + s.rt;
	s.burned_share = c->burned * per_m;
	s.fuel_share = c->fuel * per_m;
	s.leak = leaks_at(set, &s.gas, c->p, s.per_rt);
	s.heat = supply->jet * c->wall_w_k * (c->t - set->wall_k);
	const dk_real e = s.dv / c->v, gain = supply->heat_j - s.heat * s.dt;
	s.p_shut = c->p * (2 + (1 - s.gamma) * e) / (2 + (1 + s.gamma) * e) + (s.gamma - 1) * gain * s.per_v1;
	return s;
}

// Charge at the end of the step by the rates of its start. The work carries its second-order term. The
// account is a copy: only the change is wanted here.
static inline dk_end step_predict(const dk_setting *set, const dk_start *s, const dk_charge *c,
    const dk_pass *inlet, const dk_pass *exhaust, const dk_mix *mix, const dk_change *given,
    const dk_account *sum)
{
	dk_account trial = *sum;
	dk_change change = *given;
	change.u = change.u - s->heat * s->dt - c->p * s->dv * (1 - 0.5 * s->gamma * s->dv / c->v);
	leak_change(set, s->leak.ring * s->dt, s->leak.gasket * s->dt, s->h, s->burned_share, &trial, &change);
	const dk_real most = -mix->most_kg;
	if (inlet->used) inlet_change(set, dk_max(inlet->kg, most), mix->h, mix->burned_share, &trial, &change);
	if (exhaust->used)
	{
		exhaust_change(
		    set, dk_max(exhaust->kg, most), mix->h, mix->burned_share, s->fuel_share, &trial, &change);
	}

	// one Newton step from the temperature of the start, with the gases as they are there
	const dk_real air = c->air + change.air, burned = c->burned + change.burned, u = c->u + change.u;
	const dk_real mr = dk_gas_mr(&set->pair, air, burned), per_m = 1 / (air + burned);
	dk_end e;
	e.t = dk_clip(dk_gas_newton(dk_gas_sum(&c->each, air, burned), u, c->t), DK_T_LOW, DK_T_HIGH);
	const dk_real rt = mr * e.t * per_m;
	e.p = mr * e.t * s->per_v1;
	e.per_rt = 1 / rt;
	e.h = u * per_m + rt;
	e.burned_share = burned * per_m;
	return e;
}

// Heat coefficient x area at the predicted end over that at the start: three powers as one ratio.
static inline dk_real wall_ratio(
    const dk_setting *set, const dk_start *s, const dk_charge *c, const dk_end *e)
{
	const dk_real dp = e->p - c->p, dt = e->t - c->t,
	              area = set->geometry.fixed_m2 + set->geometry.per_m3 * s->v1;
	const double a = 0.8, b = set->near_t, d = set->near_v;
	const dk_real above =
	    (2 * c->p + (1 + a) * dp) * (2 * c->t + (1 + b) * dt) * (2 * c->v + (1 + d) * s->dv);
	const dk_real below =
	    (2 * c->p + (1 - a) * dp) * (2 * c->t + (1 - b) * dt) * (2 * c->v + (1 - d) * s->dv);
	return above * area / (below * c->area);
}

// The step itself, with rates averaged over both ends.
static inline void step_correct(const dk_setting *set, const dk_start *s, const dk_end *e,
    const dk_supply *supply, const dk_pass *inlet, const dk_pass *exhaust, const dk_mix *mix,
    const dk_change *given, dk_charge *c, dk_account *sum)
{
	const dk_leak leak = leaks_at(set, &s->gas, e->p, e->per_rt);
	const dk_real heat = supply->jet * c->wall_w_k * wall_ratio(set, s, c, e) * (e->t - set->wall_k);

	// work by the trapezoid with its end correction, dp/dV = -gamma p/V: fourth order where little but the
	// volume changes
	const dk_real bend = s->gamma * (1.0 / 12) * s->dv * (c->p / c->v - e->p * s->per_v1);
	const dk_real wall = 0.5 * s->dt * (s->heat + heat), work = (0.5 * (c->p + e->p) - bend) * s->dv;
	const dk_real h = s->h + mix->part * (e->h - s->h);
	const dk_real share = s->burned_share + mix->part * (e->burned_share - s->burned_share);
	const dk_real half = 0.5 * s->dt;
	dk_change change = *given;
	change.u = change.u - wall - work;
	leak_change(set, half * (s->leak.ring + leak.ring), half * (s->leak.gasket + leak.gasket), h, share, sum,
	    &change);
	const dk_real most = -mix->most_kg;
	if (inlet->used) inlet_change(set, dk_max(inlet->kg, most), h, share, sum, &change);
	if (exhaust->used) exhaust_change(set, dk_max(exhaust->kg, most), h, share, s->fuel_share, sum, &change);
	if (set->gasket_leaks) sum->water_in_kg = sum->water_in_kg + gasket_water(set, c->p, s->dt);

	c->air = c->air + change.air;
	c->burned = c->burned + change.burned;
	c->fuel = c->fuel + change.fuel;
	c->u = c->u + change.u;
	sum->work = sum->work + work;
	sum->wall_heat = sum->wall_heat + wall;
	sum->burn_heat = sum->burn_heat + supply->heat_j;
}

void DK_FN(dk_step)(const dk_setting *set, const dk_crank_grid *grid, int k, const dk_supply *supply,
    dk_charge *c, dk_account *sum)
{
	const int flags = grid->flags[k];
	const bool use_inlet = (flags & DK_STEP_INLET) != 0 || set->inlet_leaks;
	const bool use_exhaust = (flags & DK_STEP_EXHAUST) != 0 || set->exhaust_leaks;
	const double middle = 0.5 * (grid->deg[k] + grid->deg[k + 1]);
	const dk_real afr = set->pair.air_per_fuel;
	const dk_change given = { -afr * supply->burnt_kg, (1 + afr) * supply->burnt_kg + supply->water_kg,
		supply->fuel_kg - supply->burnt_kg, supply->heat_j };

	const dk_start s = step_begin(set, grid, k, supply, c);
	dk_port manifold = set->inlet;
	if (use_inlet) manifold = inlet_now(set, c, sum);
	dk_pass inlet = port_begin(&manifold, use_inlet ? &set->inlet_valve : NULL, middle, &s, c->p);
	dk_pass exhaust = port_begin(&set->exhaust, use_exhaust ? &set->exhaust_valve : NULL, middle, &s, c->p);
	ports_solve(&inlet, &exhaust);
	const dk_mix mix = mix_of(set, &s, c, &inlet, &exhaust);
	const dk_end e = step_predict(set, &s, c, &inlet, &exhaust, &mix, &given, sum);

	// the same again with the predicted end
	const dk_real in_p = inlet.k * inlet.kg, ex_p = exhaust.k * exhaust.kg;
	port_again(&manifold, &inlet, &s, &e, c->p, e.p - in_p - ex_p);
	port_again(&set->exhaust, &exhaust, &s, &e, c->p, e.p - in_p - ex_p);
	ports_solve(&inlet, &exhaust);
	step_correct(set, &s, &e, supply, &inlet, &exhaust, &mix, &given, c, sum);

	// temperature of the new energy, and the gases there (shifted from e.t, where they were evaluated)
	c->v = s.v1;
	c->each = dk_gas_each_at(&set->pair, e.t);
	c->t = dk_clip(dk_gas_newton(dk_gas_sum(&c->each, c->air, c->burned), c->u, e.t), DK_T_LOW, DK_T_HIGH);
	c->each.air_u = c->each.air_u + c->each.air_c * (c->t - e.t);
	c->each.burned_u = c->each.burned_u + c->each.burned_c * (c->t - e.t);
	DK_FN(dk_charge_close)(set, c);
}
