#include "cycle/crank.h"
#include "cycle/ignition.h"

void DK_FN(dk_crank_run)(const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_crank_grid *grid,
    dk_real extra_m3, int heat_kind, dk_crank_result *out)
{
	dk_setting set;
	const dk_real none = dk_set(0);
	DK_FN(dk_setting_fill)(def, in, grid, extra_m3, none, heat_kind, &set);

	// at inlet valve closing the cylinder holds intake gas
	dk_charge c;
	c.v = dk_geometry_volume(&set.geometry, grid->cos_[0], grid->sin_[0]);
	c.air = in->intake_pa * c.v / set.inlet.rt;
	c.burned = none;
	c.fuel = none;
	c.t = in->intake_k;
	c.each = dk_gas_each_at(&set.pair, c.t);
	c.u = dk_gas_sum(&c.each, c.air, c.burned).u_j;
	const dk_real u0 = c.u;
	DK_FN(dk_charge_close)(&set, &c);
	dk_account sum;
	memset(&sum, 0, sizeof sum);
	const dk_supply supply = { none, none, none, none, dk_set(1) };
	dk_ignition ig = dk_ignition_begin(def, in);
	const dk_real p0 = c.p, v0 = c.v;
	out->trapped_kg = c.air;
	out->peak_pa = c.p;
	out->peak_deg = dk_set(grid->deg[0]);
	out->temperature_max_k = c.t;
	out->temperature_tdc_k = c.t;
	out->exponent = none;
	out->lost_share = none;

	for (int k = 0; k < grid->steps; ++k)
	{
		const double from = grid->deg[k], to = grid->deg[k + 1];
		DK_FN(dk_step)(&set, grid, k, &supply, &c, &sum);
		if (grid->flags[k] & DK_STEP_INJECT) dk_ignition_step(&ig, &c, &set, from, to, dk_mask_set(true));
		const dk_mask higher = c.p > out->peak_pa;
		out->peak_pa = dk_choose(higher, c.p, out->peak_pa);
		out->peak_deg = dk_choose(higher, dk_set(to), out->peak_deg);
		out->temperature_max_k = dk_max(out->temperature_max_k, c.t);
		if (to == 0)
		{
			out->temperature_tdc_k = c.t;
			out->exponent = dk_log(c.p / p0) / dk_log(v0 / c.v);
		}
		if (to <= 60 + 1e-9) out->lost_share = 1 - (c.air + c.burned) / out->trapped_kg;
	}
	out->loop_work_j = sum.work;
	out->wall_heat_j = sum.wall_heat;
	out->blow_by_kg = sum.ring_out_kg - sum.ring_in_kg;
	out->gasket_kg = sum.gasket_kg;
	out->water_in_kg = sum.water_in_kg;
	out->inlet_leak_kg = sum.inlet_out_kg - sum.inlet_kg;
	out->exhaust_leak_kg = sum.exhaust_kg;
	out->ignition_margin = ig.integral_20;
	out->ignition_deg = ig.deg;
	out->burnt_share = 1 - DK_FN(dk_burn_misfire)(ig.deg);
	const dk_real gained = sum.inlet_h + sum.leak_h - sum.work - sum.wall_heat - sum.exhaust_h;
	out->energy_residual = (c.u + sum.pool_h - u0 - gained) / 10;
	const dk_real came = sum.inlet_kg + sum.ring_in_kg - sum.ring_out_kg - sum.gasket_kg - sum.exhaust_kg;
	const dk_real held = c.air + c.burned + sum.pool_air + sum.pool_burned - out->trapped_kg;
	out->mass_residual = (held - came) / out->trapped_kg;
}

void DK_FN(dk_cylinder_crank)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_real extra_m3, dk_crank_result *out)
{
	DK_FN(dk_crank_run)(def, in, grid, extra_m3, DK_HEAT_HOHENBERG, out);
}
