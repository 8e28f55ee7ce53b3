// Lane file: random broken cylinders run at this file's width; test_lanes_cylinder compares the widths.
#include "lanes_cylinder.h"
#include "cycle/cylinder.h"
#include "num/philox.h"

// Uniform between two values for a case and a field.
static double between(int which, int field, double low, double high)
{
	return low + (high - low) *
	                 dk_stream_uniform(dk_stream_of(1, "lanes_cylinder"), (uint32_t)which, (uint32_t)field);
}

// 0 in three of four cases, else on a log scale up to high.
static double sometimes(int which, int field, double high)
{
	const double u = between(which, field, 0, 1);
	return u < 0.75 ? 0 : high * (u - 0.75) * (u - 0.75) * 16;
}

static void cylinder_case(int which, int lane, dk_cylinder_def *def, dk_cylinder_ports *in)
{
#define DK_CASE_FIELD(system, name, unit, low, standard, ...) dk_put(&def->name, lane, standard);
	DK_PARAMS_CYLINDER(DK_CASE_FIELD)
#undef DK_CASE_FIELD
	dk_put(&def->compression_ratio, lane, between(which, 0, 16, 22));
	dk_put(&def->indirect, lane, which % 2);
	dk_put(&def->ring_leak_m2, lane, between(which, 1, 0, 1.2e-6));
	dk_put(&def->inlet_leak_m2, lane, sometimes(which, 2, 1e-5));
	dk_put(&def->exhaust_leak_m2, lane, sometimes(which, 3, 1e-5));
	dk_put(&def->gasket_leak_m2, lane, sometimes(which, 4, 2e-6));
	dk_put(&def->heat_factor, lane, between(which, 5, 0.8, 1.3));
	dk_put(&def->burn_span_deg, lane, between(which, 6, 55, 95));
	dk_put(&def->burn_form, lane, between(which, 7, 0.4, 1.2));
	dk_put(&def->premixed_share, lane, between(which, 8, 0.05, 0.4));
	dk_put(&def->delay_factor, lane, between(which, 9, 0.7, 1.8));

	dk_put(&in->speed_rad_s, lane, between(which, 10, 70, 330));
	dk_put(&in->intake_pa, lane, between(which, 11, 80e3, 102e3));
	dk_put(&in->intake_k, lane, between(which, 12, 260, 330));
	dk_put(&in->exhaust_pa, lane, between(which, 13, 100e3, 150e3));
	dk_put(&in->exhaust_k, lane, between(which, 14, 350, 900));
	dk_put(&in->crankcase_pa, lane, between(which, 15, 99e3, 104e3));
	dk_put(&in->coolant_pa, lane, between(which, 16, 101e3, 200e3));
	dk_put(&in->wall_k, lane, between(which, 17, 275, 480));
	dk_put(&in->humidity_kg_kg, lane, between(which, 18, 0, 0.025));
	dk_put(&in->fuel_kg, lane, which % 10 == 9 ? 0 : between(which, 19, 3e-6, 40e-6));
	dk_put(&in->injection_start_deg, lane, between(which, 20, 0, 30));
	dk_put(&in->injection_span_deg, lane, between(which, 21, 4, 30));
	dk_put(&in->cetane, lane, between(which, 22, 30, 55));
	dk_put(&in->lhv_j_kg, lane, 42.8e6);
	dk_put(&in->mixing, lane, between(which, 23, 1, 3));
	dk_put(&in->heater_rise_k, lane, sometimes(which, 24, 150));
	dk_put(&in->water_kg, lane, sometimes(which, 25, 30e-6));
	dk_put(&in->rated_fuel_kg, lane, 26e-6);
	dk_put(&in->rated_speed_rad_s, lane, 314);
}

void DK_FN(lanes_cylinder)(double *out)
{
	static dk_crank_grid grid, crank;
	const dk_grid_def timing = dk_default_grid_def();
	dk_crank_grid_idle(&timing, &grid);
	dk_crank_grid_crank(&timing, &crank);
	for (int first = 0; first < LANES_CASES; first += DK_LANES)
	{
		dk_cylinder_def def;
		dk_cylinder_ports in = DK_FN(dk_default_cylinder_ports)();
		for (int lane = 0; lane < DK_LANES; ++lane) cylinder_case(first + lane, lane, &def, &in);
		union
		{
			struct
			{
				dk_cylinder_result cycle;
				dk_cylinder_state state;
				dk_crank_result crank;
			} s;
			dk_real field[LANES_FIELDS];
		} all;
		_Static_assert(sizeof all == LANES_FIELDS * sizeof(dk_real), "LANES_FIELDS");
		DK_FN(dk_cylinder_start)(&def, &in, &grid, &all.s.state);
		for (int i = 0; i < 4; ++i) DK_FN(dk_cylinder_cycle)(&def, &in, &grid, &all.s.state, &all.s.cycle);
		in.speed_rad_s = in.speed_rad_s * 0.1;
		DK_FN(dk_cylinder_crank)(&def, &in, &crank, in.water_kg * 0.1, &all.s.crank);
		for (int lane = 0; lane < DK_LANES; ++lane)
			for (int k = 0; k < LANES_FIELDS; ++k)
				out[(first + lane) * LANES_FIELDS + k] = dk_lane(all.field[k], lane);
	}
}
