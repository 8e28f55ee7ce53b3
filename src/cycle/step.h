#pragma once
// One step of a cylinder between two nodes of a crank grid: internal to the room cycle. Shared by the
// full cycle and the cranking cycle, so both integrate the same equations.
//
// The step is Heun's, in conservative form: masses and internal energy change by what the step's work,
// heat and flows carry, each summed up from the same numbers, so the balances close to rounding. What
// burns in a step is a difference of the burn function. The flow through a valve is implicit in the pressure
// difference (theta method, dk_port_flow), so no pressure overshoots at any speed or valve area.
#include "cycle/cylinder.h"
#include "cycle/geometry.h"
#include "cycle/heat.h"
#include "cycle/valve.h"
#include "gas/orifice.h"
#include "gas/properties.h"

// A manifold at the far side of a valve.
typedef struct dk_port
{
	dk_real pa, rt, per_rt, h_j_kg,
	    burned; // pressure, R T and 1/(R T), enthalpy, burned share of what flows in
	dk_orifice_gas gas;
} dk_port;

// What stays as it is over one cycle.
typedef struct dk_setting
{
	dk_gas_pair pair;
	dk_geometry geometry;
	dk_valve inlet_valve, exhaust_valve;
	dk_port inlet, exhaust, crankcase;
	dk_real s_per_deg, piston_m_s;
	dk_real speed_term; // of the heat correlation
	dk_real heat_factor, wall_k, bore_m;
	dk_real ring_m2, gasket_m2, coolant_pa;
	dk_real latent_j_kg;   // of water, from liquid at 298.15 K
	int heat_kind;         // DK_HEAT_...
	double near_t, near_v; // exponents of T and V in its correlation; that of p is 0.8 in both
	bool inlet_leaks, exhaust_leaks, gasket_leaks; // in any lane
} dk_setting;

// The charge at a node.
typedef struct dk_charge
{
	dk_real air, burned, fuel; // kg
	dk_real u, t, p, v;
	dk_real mr, c;          // mass x R, mass x cv
	dk_gas_each each;       // the two gases at t
	dk_real area, wall_w_k; // wall area, heat coefficient x area
} dk_charge;

// What one step adds, given before it starts.
typedef struct dk_supply
{
	dk_real fuel_kg, burnt_kg, water_kg;
	dk_real heat_j; // burn heat less the latent heat of the water
	dk_real jet;    // factor on the wall heat
} dk_supply;

// Sums over the cycle, each by the step's own numbers. Flows are signed: in positive for the ports.
typedef struct dk_account
{
	dk_real work, wall_heat, burn_heat;
	dk_real ring_out_kg, ring_in_kg, gasket_kg, water_in_kg, leak_h; // leak_h: enthalpy in, net
	dk_real inlet_kg, inlet_h;                                       // fresh gas drawn in
	dk_real inlet_out_kg;                                            // pushed into the inlet port
	dk_real exhaust_kg, exhaust_h;                                   // out, net
	dk_real out_kg, out_burned_kg, out_h;                            // out of the exhaust, gross
	dk_real exhaust_fuel_kg;
	dk_real pool_air, pool_burned, pool_h; // cylinder gas waiting in the inlet port
} dk_account;

void DK_FN(dk_setting_fill)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_real extra_m3, dk_real exhaust_burned, int heat_kind, dk_setting *set);

// Pressure, wall area and conductance of a charge whose masses, energy, temperature and volume are known.
void DK_FN(dk_charge_close)(const dk_setting *set, dk_charge *charge);

// From node k to k + 1. flags as in the grid. Changes charge and account.
void DK_FN(dk_step)(const dk_setting *set, const dk_crank_grid *grid, int k, const dk_supply *supply,
    dk_charge *charge, dk_account *sum);
