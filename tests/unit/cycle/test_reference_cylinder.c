// The cylinder against a general adaptive integrator (CVODE, BDF) on the same differential equations: one
// running cycle from the same start, and one cranking cycle. The right-hand side is written out here anew;
// gas properties, flow function and correlations are the model's, so what is compared is the integration.
#include "../num/near.h"
#include "cycle/crank.h"
#include "cycle/cylinder.h"
#include "cycle/ignition.h"
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <stdbool.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#define RAD (DK_PI / 180)

// the integrated quantities; U and AIR, BURNED are without what the burn adds, a known function of the angle
enum
{
	AIR,
	BURNED,
	U,
	WORK,
	WALL,
	RING,
	POOL_AIR,
	POOL_BURNED,
	POOL_H,
	EX_KG,
	EX_BURNED,
	EX_H,
	FRESH,
	DELAY,
	STATES
};

// One case: what the cycle knows, and the burn once it is lit.
typedef struct
{
	dk_setting set;
	dk_ignition ignition;
	double speed, lhv, afr, fuel_kg, injection_start, injection_span;
	bool lit, valves;
	double ignition_deg, premixed, per_span, power, burnable, jet;
} reference;

static dk_cylinder_def default_def(void)
{
	dk_cylinder_def def;
#define DK_TEST_FIELD(system, name, unit, low, standard, ...) def.name = standard;
	DK_PARAMS_CYLINDER(DK_TEST_FIELD)
#undef DK_TEST_FIELD
	return def;
}

static double burnt(const reference *r, double deg)
{
	if (!r->lit) return 0;
	const double since = deg - r->ignition_deg;
	const double wiebe = r->premixed * dk_burn_premixed(since / DK_PREMIXED_SPAN_DEG) +
	                     (1 - r->premixed) * dk_burn_wiebe(since * r->per_span, r->power);
	const double injected = dk_clip((deg + r->injection_start) / r->injection_span, 0, 1);
	return r->burnable * fmin(wiebe, injected);
}

// the charge at an angle
static dk_charge charge_at(const reference *r, double deg, const double *y)
{
	dk_charge c;
	const double fuel = burnt(r, deg);
	c.air = y[AIR] - r->afr * fuel;
	c.burned = y[BURNED] + (1 + r->afr) * fuel;
	c.fuel = 0;
	c.u = y[U] + r->lhv * fuel;
	c.v = dk_geometry_volume(&r->set.geometry, cos(deg * RAD), sin(deg * RAD));
	c.t = dk_gas_temperature(&r->set.pair, c.air, c.burned, c.u);
	c.each = dk_gas_each_at(&r->set.pair, c.t);
	dk_charge_close_w1(&r->set, &c);
	return c;
}

// signed flow into the cylinder through a port [kg/s]; the root is rounded within 0.05 Pa of no difference
static double port_flow(
    const dk_port *port, double area, const dk_charge *c, double rt, const dk_orifice_gas *gas)
{
	const double gap = port->pa - c->p;
	const bool in = gap > 0;
	const dk_orifice_gas *from = in ? &port->gas : gas;
	const double up = in ? port->pa : c->p, z = fmin(fabs(gap) / up, from->zc);
	const double choked = fmin(1, from->zc * up / (fabs(gap) + 1e-9));
	const double g2 = area * area * up * choked * dk_orifice_bracket(from, z) / (in ? port->rt : rt);
	return sqrt(g2) * gap / sqrt(fabs(gap) + 0.05);
}

static int rates(double deg, N_Vector at, N_Vector out, void *data)
{
	const reference *r = data;
	const double *y = N_VGetArrayPointer(at);
	double *d = N_VGetArrayPointer(out);
	const dk_charge c = charge_at(r, deg, y);
	const double m = c.air + c.burned, rt = c.mr * c.t / m, h = c.u / m + rt, share = c.burned / m;
	const dk_orifice_gas gas = dk_orifice_gas_of(1 + c.mr / c.c);
	const double s = r->set.s_per_deg;
	for (int i = 0; i < STATES; ++i) d[i] = 0;

	// slope of the volume with the crank angle
	const double a = r->set.geometry.crank_m, l = r->set.geometry.rod_m, sine = sin(deg * RAD),
	             cosine = cos(deg * RAD);
	const double dv = r->set.geometry.piston_m2 *
	                  (a * sine + a * a * sine * cosine / sqrt(l * l - a * a * sine * sine)) * RAD;
	d[WORK] = c.p * dv;
	d[WALL] = c.wall_w_k * (r->lit && !r->valves ? r->jet : 1) * (c.t - r->set.wall_k) * s;

	const double ring = s * dk_orifice_either(r->set.ring_m2, c.p, 1 / rt, &gas, r->set.crankcase.pa,
	                            r->set.crankcase.per_rt);
	d[RING] = ring;
	d[AIR] -= ring > 0 ? ring * (1 - share) : ring;
	d[BURNED] -= ring > 0 ? ring * share : 0;
	d[U] -= ring > 0 ? ring * h : ring * r->set.crankcase.h_j_kg;

	if (r->valves)
	{
		// exhaust
		const double ex =
		    s * port_flow(&r->set.exhaust, dk_valve_area(&r->set.exhaust_valve, deg), &c, rt, &gas);
		const double ex_burned = ex > 0 ? ex * r->set.exhaust.burned : ex * share;
		const double ex_h = ex > 0 ? ex * r->set.exhaust.h_j_kg : ex * h;
		d[AIR] += ex - ex_burned;
		d[BURNED] += ex_burned;
		d[U] += ex_h;
		d[EX_KG] = ex < 0 ? -ex : 0;
		d[EX_BURNED] = ex < 0 ? -ex_burned : 0;
		d[EX_H] = ex < 0 ? -ex_h : 0;

		// inlet, with the gas that waits in the port first
		const double pool = y[POOL_AIR] + y[POOL_BURNED], held = fmax(pool, 1e-12);
		dk_port port = r->set.inlet;
		const double t = dk_clip(298.15 + y[POOL_H] / (held * 1100), 200, 3000);
		port.rt += pool / (pool + 0.05 * m) * (287 * t - port.rt);
		const double in = s * port_flow(&port, dk_valve_area(&r->set.inlet_valve, deg), &c, rt, &gas);
		const bool waiting = pool > 1e-10;
		const double own_air = in < 0 ? 1 - share : waiting ? y[POOL_AIR] / held : 1;
		const double own_h = in < 0 ? h : waiting ? y[POOL_H] / held : port.h_j_kg;
		d[AIR] += in * own_air;
		d[BURNED] += in * (1 - own_air);
		d[U] += in * own_h;
		if (in < 0 || waiting)
		{
			d[POOL_AIR] = -in * own_air;
			d[POOL_BURNED] = -in * (1 - own_air);
			d[POOL_H] = -in * own_h;
		}
		else
			d[FRESH] = in;
	}
	d[U] -= d[WORK] + d[WALL];
	if (deg > -r->injection_start) d[DELAY] = s * dk_ignition_rate(&r->ignition, &c);
	return 0;
}

// Runs from one angle to another in pieces of at most 0.25 deg; keeps the highest pressure. Stops where the
// delay integral reaches 1 if asked and returns that angle.
static double run(reference *r, double *y, double from, double to, bool stop_when_lit, double *peak)
{
	SUNContext context;
	SUNContext_Create(NULL, &context);
	N_Vector v = N_VMake_Serial(STATES, y, context), scale = N_VNew_Serial(STATES, context);
	static const double kScale[STATES] = { 1e-12, 1e-12, 1e-7, 1e-7, 1e-7, 1e-13, 1e-12, 1e-12, 1e-7, 1e-12,
		1e-12, 1e-7, 1e-12, 1e-9 };
	for (int i = 0; i < STATES; ++i) N_VGetArrayPointer(scale)[i] = kScale[i];
	SUNMatrix matrix = SUNDenseMatrix(STATES, STATES, context);
	SUNLinearSolver solver = SUNLinSol_Dense(v, matrix, context);
	void *memory = CVodeCreate(CV_BDF, context);
	CVodeInit(memory, rates, from, v);
	CVodeSVtolerances(memory, 1e-8, scale);
	CVodeSetUserData(memory, r);
	CVodeSetLinearSolver(memory, solver, matrix);
	CVodeSetMaxNumSteps(memory, 2000000);
	CVodeSetMaxStep(memory, 0.5);
	CVodeSetStopTime(memory, to);
	double deg = from, before_deg = from, before = y[DELAY];
	while (deg < to - 1e-9)
	{
		const int status = CVode(memory, fmin(to, deg + 0.25), v, &deg, CV_NORMAL);
		assert_true(status >= 0);
		*peak = fmax(*peak, charge_at(r, deg, y).p);
		if (stop_when_lit && y[DELAY] >= 1) break;
		before_deg = deg;
		before = y[DELAY];
	}
	double lit = before_deg + (deg - before_deg) * (1 - before) / (y[DELAY] - before + 1e-300);
	if (stop_when_lit && y[DELAY] >= 1 && deg - before_deg > 0.002)
	{
		// back to within 0.25 deg before and on in fine pieces: the integral is close to straight there
		lit = fmin(fmax(lit, before_deg), deg);
	}
	CVodeFree(&memory);
	SUNLinSolFree(solver);
	SUNMatDestroy(matrix);
	N_VDestroy(v);
	N_VDestroy(scale);
	SUNContext_Free(&context);
	return stop_when_lit ? lit : deg;
}

static void reference_begin(reference *r, const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, double exhaust_burned)
{
	dk_setting_fill_w1(def, in, grid, 0, exhaust_burned, DK_HEAT_HOHENBERG, &r->set);
	r->ignition = dk_ignition_begin(def, in);
	r->speed = in->speed_rad_s;
	r->lhv = in->lhv_j_kg;
	r->afr = r->set.pair.air_per_fuel;
	r->fuel_kg = in->fuel_kg;
	r->injection_start = in->injection_start_deg;
	r->injection_span = in->injection_span_deg;
	r->lit = false;
}

// lights the reference at an angle, by the model's relations
static void reference_light(
    reference *r, const dk_cylinder_def *def, const dk_cylinder_ports *in, double deg, const double *y)
{
	const double lambda = y[AIR] / (r->afr * r->fuel_kg);
	r->ignition_deg = deg;
	r->premixed =
	    dk_burn_premixed_share_w1(def->premixed_share, (deg + r->injection_start) * r->set.s_per_deg);
	r->per_span = 1 / dk_burn_span_w1(def->burn_span_deg, in->fuel_kg / in->rated_fuel_kg,
	                      in->speed_rad_s / in->rated_speed_rad_s, in->mixing);
	r->power = def->burn_form + 1;
	r->burnable = r->fuel_kg * dk_burn_oxygen_w1(lambda) * (1 - dk_burn_misfire_w1(deg));
	r->jet = 1 + 0.35 * def->indirect * fmin(in->fuel_kg / in->rated_fuel_kg, 1.5);
	r->lit = true;
}

static int compare_running(
    const char *name, double rpm, double fuel_mg, double start, bool idle, double ring_m2)
{
	dk_cylinder_def def = default_def();
	def.ring_leak_m2 = ring_m2;
	const dk_grid_def timing = dk_default_grid_def();
	static dk_crank_grid grid;
	if (idle)
		dk_crank_grid_idle(&timing, &grid);
	else
		dk_crank_grid_running(&timing, &grid);
	dk_cylinder_ports in = dk_default_cylinder_ports_w1();
	in.speed_rad_s = rpm * DK_PI / 30;
	in.fuel_kg = fuel_mg * 1e-6;
	in.injection_start_deg = start;
	in.injection_span_deg = 22 * fuel_mg / 26;
	in.exhaust_pa = 1e5 + 8e3 * rpm * rpm / 9e6;
	dk_cylinder_state state, before;
	dk_cylinder_result model;
	dk_cylinder_start_w1(&def, &in, &grid, &state);
	for (int i = 0; i < 6; ++i)
	{
		before = state;
		dk_cylinder_cycle_w1(&def, &in, &grid, &state, &model);
	}

	reference r;
	reference_begin(&r, &def, &in, &grid, before.exhaust_burned);
	double y[STATES] = { 0 }, peak = 0;
	y[AIR] = before.air_kg;
	y[BURNED] = before.burned_kg;
	y[U] = before.energy_j;
	y[POOL_AIR] = before.port_air_kg;
	y[POOL_BURNED] = before.port_burned_kg;
	y[POOL_H] = before.port_enthalpy_j;

	// to ignition, found by running up to it once and stopping there the second time
	r.valves = false;
	double trial[STATES];
	run(&r, y, grid.deg[0], -start, false, &peak);
	memcpy(trial, y, sizeof y);
	const double lit = run(&r, trial, -start, 60, true, &peak);
	peak = 0;
	run(&r, y, -start, lit, false, &peak);
	const double off = y[DELAY] - 1;
	reference_light(&r, &def, &in, lit, y);

	// burn to the end of the burn window, then the valves
	run(&r, y, lit, def.evo_deg, false, &peak);
	r.valves = true;
	const double events[] = { 360 + def.ivo_deg, def.evc_deg, 360 + def.ivc_deg };
	double at = def.evo_deg;
	for (int i = 0; i < 3; ++i) at = run(&r, y, at, events[i], false, &peak);
	const double per = 1 / y[EX_KG];
	const double hot = dk_gas_temperature_of_enthalpy(
	    &r.set.pair, 1 - y[EX_BURNED] * per, y[EX_BURNED] * per, y[EX_H] * per);
	const double exhaust = in.wall_k + (hot - in.wall_k) * exp(-0.12);
	printf("%s: imep %.4f/%.4f bar, peak %.3f/%.3f bar, exhaust %.2f/%.2f K, air %.3f/%.3f mg, wall "
	       "%.2f/%.2f J, lit %.3f/%.3f (model/reference)\n",
	    name, model.imep_pa / 1e5, y[WORK] / r.set.geometry.swept_m3 / 1e5, model.peak_pa / 1e5, peak / 1e5,
	    model.exhaust_k, exhaust, model.fresh_air_kg * 1e6, y[FRESH] * 1e6, model.wall_heat_j, y[WALL],
	    model.ignition_deg, lit);
	int bad = miss("reference is at ignition", off, 0, 2e-3, "its own interpolation");
	bad +=
	    miss_share("imep", model.imep_pa, y[WORK] / r.set.geometry.swept_m3, 0.001, "0.1 % of the reference");
	bad += miss_share("peak", model.peak_pa, peak, 0.001, "0.1 % of the reference");
	bad += miss_share("exhaust", model.exhaust_k, exhaust, 0.001, "0.1 % of the reference");
	bad += miss_share("air", model.fresh_air_kg, y[FRESH], 0.0015, "reference");
	bad += miss("ignition", model.ignition_deg, lit, 0.05, "reference");
	return bad;
}

static void test_running_cycles(void **state)
{
	(void)state;
	int bad = 0;
	bad += compare_running("3000 rpm 26 mg", 3000, 26, 15, false, 1e-7);
	bad += compare_running("2100 rpm 14 mg", 2100, 14, 14, false, 1e-7);
	bad += compare_running("2100 rpm 14 mg worn", 2100, 14, 14, false, 1.2e-6);
	bad += compare_running("900 rpm 8 mg", 900, 8, 12, false, 1e-7);
	bad += compare_running("800 rpm 8 mg idle", 800, 8, 12, true, 1e-7);
	bad += compare_running("400 rpm 8 mg idle", 400, 8, 10, true, 1e-7);
	assert_int_equal(bad, 0);
}

static int compare_cranking(const char *name, double rpm, double kelvin, double ring_m2)
{
	dk_cylinder_def def = default_def();
	def.ring_leak_m2 = ring_m2;
	const dk_grid_def timing = dk_default_grid_def();
	static dk_crank_grid grid;
	dk_crank_grid_crank(&timing, &grid);
	dk_cylinder_ports in = dk_default_cylinder_ports_w1();
	in.speed_rad_s = rpm * DK_PI / 30;
	in.intake_pa = 100e3;
	in.intake_k = in.wall_k = kelvin;
	in.injection_start_deg = 8;
	dk_crank_result model;
	dk_cylinder_crank_w1(&def, &in, &grid, 0, &model);

	reference r;
	reference_begin(&r, &def, &in, &grid, 0);
	r.valves = false;
	double y[STATES] = { 0 }, peak = 0;
	y[AIR] = model.trapped_kg;
	y[U] = dk_gas_energy_of(&r.set.pair, y[AIR], 0, kelvin).u_j;
	run(&r, y, grid.deg[0], -8, false, &peak);
	run(&r, y, -8, 0, false, &peak);
	const double tdc = charge_at(&r, 0, y).t;
	run(&r, y, 0, 20, false, &peak);
	const double margin = y[DELAY];
	run(&r, y, 20, def.evo_deg, false, &peak);
	printf("%s: peak %.3f/%.3f bar, dead centre %.2f/%.2f K, work %.3f/%.3f J, margin %.4f/%.4f "
	       "(model/reference)\n",
	    name, model.peak_pa / 1e5, peak / 1e5, model.temperature_tdc_k, tdc, model.loop_work_j, y[WORK],
	    model.ignition_margin, margin);
	int bad = miss_share("peak", model.peak_pa, peak, 0.001, "0.1 % of the reference");
	bad += miss("dead centre", model.temperature_tdc_k, tdc, 0.3, "reference");
	bad += miss_share("loop work", model.loop_work_j, y[WORK], 0.003, "reference");
	bad += miss_share("margin", model.ignition_margin, margin, 0.004, "0.3 K at 4650 K activation");
	bad += miss_share("blow-by", model.blow_by_kg, y[RING], 0.002, "reference");
	return bad;
}

static void test_cranking_cycles(void **state)
{
	(void)state;
	int bad = 0;
	bad += compare_cranking("200 rpm 293 K", 200, 293.15, 1e-7);
	bad += compare_cranking("100 rpm 263 K", 100, 263.15, 1e-7);
	bad += compare_cranking("60 rpm 263 K worn", 60, 263.15, 1.2e-6);
	bad += compare_cranking("300 rpm 330 K", 300, 330, 3e-7);
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_running_cycles),
		cmocka_unit_test(test_cranking_cycles),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
