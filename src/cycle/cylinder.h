#pragma once
// One cylinder of a four-stroke diesel over one cycle, resolved in crank angle: compression, ignition
// delay, burn, expansion, gas exchange, wall loss and leaks. Knows nothing of manifolds, governors or
// faults: its surroundings arrive as ports. One zone, two gases (humid air and burned gas), fuel not yet
// burnt as a third mass. The theory is docs/model/cycle.md.
//
// Lane structs: every field holds the value of DK_LANES engines. Pressures are absolute, masses are of one
// cylinder and one cycle, angles are degrees after firing top dead centre unless said.
#include "cycle/crank_grid.h"
#include "engine/defs.h"
#include "num/real.h"

// ---- def: dk_cylinder_def, from engine/params.def (engine/defs.h). For each class of cylinders one.

// ---- ports in: what the rest of the engine puts around it for this cycle
typedef struct dk_cylinder_ports
{
	dk_real speed_rad_s;         // 40 .. 700; crank: 4 .. 60
	dk_real intake_pa, intake_k; // at the inlet valve, after heating on the way
	dk_real exhaust_pa;          // at the exhaust valve
	dk_real exhaust_k;           // of what flows back from there; last iteration's result, or about 700
	dk_real crankcase_pa;
	dk_real coolant_pa;          // behind the head gasket
	dk_real wall_k;              // mean of the chamber walls
	dk_real humidity_kg_kg;      // water vapour per kg of dry air
	dk_real fuel_kg;             // injected this cycle; 0 = motored
	dk_real injection_start_deg; // BEFORE top dead centre
	dk_real injection_span_deg;
	dk_real cetane;        // 15 .. 70
	dk_real lhv_j_kg;      // net calorific value
	dk_real mixing;        // 1 = sound spray, more is coarser
	dk_real heater_rise_k; // added to the local temperature in the delay integral
	dk_real water_kg; // liquid water that comes in; 3 % of the charge at most evaporates, before ignition
	dk_real rated_fuel_kg;     // fuel at which burn_span_deg holds
	dk_real rated_speed_rad_s; // speed at which burn_span_deg holds
} dk_cylinder_ports;

// ---- state carried from cycle to cycle, at inlet valve closing. dk_cylinder_start fills it, every
// dk_cylinder_cycle brings it forward; it settles in about three cycles of constant ports.
typedef struct dk_cylinder_state
{
	dk_real air_kg, burned_kg; // gas in the cylinder
	dk_real fuel_kg;           // unburnt fuel left over from before
	dk_real energy_j;          // internal energy, h = 0 at 298.15 K
	dk_real temperature_k;     // belongs to energy_j
	dk_real port_air_kg;       // cylinder gas that was pushed back into the inlet port and
	dk_real port_burned_kg;    // will be drawn in first, with its enthalpy
	dk_real port_enthalpy_j;
	dk_real exhaust_burned; // burned share of the gas at the exhaust port
} dk_cylinder_state;

// ---- result out: what the cycle gave
typedef struct dk_cylinder_result
{
	dk_real work_j;         // on the piston over 720 deg, gas exchange included, friction not
	dk_real pumping_work_j; // its part between the bottom dead centres of the gas exchange; loss < 0
	dk_real peak_pa, peak_deg;
	dk_real pressure_rise_pa_deg; // steepest between injection and burn end
	dk_real temperature_max_k;    // bulk mean
	dk_real compression_k;        // bulk mean at top dead centre
	dk_real wall_heat_j;          // lost to the walls
	dk_real trapped_kg;           // gas at inlet valve closing
	dk_real fresh_air_kg;         // humid air taken in, net of what was pushed back
	dk_real exhaust_kg;           // net through the exhaust valve, leak included
	dk_real exhaust_k;   // enthalpy mean of what goes out, behind the exhaust port, which has cooled it
	dk_real port_heat_j; // what the port took: to the coolant, over and above wall_heat_j
	dk_real blow_by_kg;  // past the rings to the crankcase, net
	dk_real gasket_kg;   // cylinder gas to the coolant
	dk_real water_in_kg; // coolant that the gasket lets in; not put into this cycle: give it back as water_kg
	dk_real inlet_leak_kg;   // out through the closed inlet valve, net
	dk_real exhaust_leak_kg; // out through the closed exhaust valve, net (part of exhaust_kg)
	dk_real fuel_burnt_kg;
	dk_real burnt_share;     // of the fuel injected, 0 .. 1; 1 when none was injected
	dk_real misfire_share;   // 0 .. 1, smooth, from late ignition
	dk_real ignition_deg;    // 180 when the charge never lights
	dk_real ignition_margin; // integral of dt/delay up to ignition, or to 20 deg after when it stays out
	dk_real delay_s;         // injection start to ignition
	dk_real lambda;          // fresh air over that needed by the fuel injected; 60 at most
	dk_real soot_fsn;        // filter smoke number 0 .. 10
	dk_real late_burn;       // share of the burnt fuel that burnt after 60 deg after top dead centre
	dk_real imep_pa;         // work_j over swept volume
	dk_real energy_residual; // balance over the cycle, over max(fuel energy, 10 J)
	dk_real mass_residual;   // balance over the cycle, over trapped mass
} dk_cylinder_result;

// A warm three_indirect at full load: 3000 rpm, 26 mg, wall 430 K, intake 300 K 98 kPa, exhaust 108 kPa.
dk_cylinder_ports DK_FN(dk_default_cylinder_ports)(void);

/// Charge of the first cycle: intake gas with 4 % burned gas at inlet valve closing.
void DK_FN(dk_cylinder_start)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_cylinder_state *state);

/// One full cycle, 720 deg from inlet valve closing on.
///
/// Given:   def, in, grid (dk_crank_grid_running or _idle)
/// Changed: state, from one inlet valve closing to the next
/// Returns: out, all fields
/// Source:  first law and mass balances in conservative form; wall heat [HOHENBERG79], delay [WOLFER38],
///          burn Wiebe [WIEBE56], flow [HEY88 C.8].
/// Valid:   grid made for this engine's timing; 400 .. 6000 rpm; any fuel from 0 to lambda 0.6.
/// Cost:    about one pass of the grid; call it again with the state carried until it settles.
void DK_FN(dk_cylinder_cycle)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_cylinder_state *state, dk_cylinder_result *out);

// ---- cranking: one closed cycle from inlet valve closing (cylinder at intake pressure) to exhaust opening
typedef struct dk_crank_result
{
	dk_real loop_work_j; // closed cycle, compression and expansion; costs torque: negative
	dk_real peak_pa, peak_deg;
	dk_real temperature_max_k; // bulk mean
	dk_real temperature_tdc_k;
	dk_real wall_heat_j;
	dk_real trapped_kg; // at inlet valve closing
	dk_real lost_share; // of it, gone by 60 deg after top dead centre
	dk_real blow_by_kg, gasket_kg, water_in_kg, inlet_leak_kg, exhaust_leak_kg;
	dk_real exponent;        // polytropic, inlet valve closing to top dead centre
	dk_real ignition_margin; // integral of dt/delay from injection start to 20 deg after; lights at 1
	dk_real ignition_deg;    // 180 when the charge does not light
	dk_real burnt_share;     // of the fuel, were it injected: 0 no fire, smooth between
	dk_real energy_residual, mass_residual; // as in a cycle, over 10 J and trapped mass
} dk_crank_result;

/// Compression and expansion without burn at cranking speed. Fuel cools nothing and burns nothing here:
/// the ignition margin and burnt_share say what it would do.
///
/// Given:   def, in (fuel_kg ignored), grid (dk_crank_grid_crank),
///          extra_m3 added to the clearance volume: a compression gauge's adapter; 0 = none
/// Returns: out, all fields
/// Valid:   20 .. 600 rpm
void DK_FN(dk_cylinder_crank)(const dk_cylinder_def *def, const dk_cylinder_ports *in,
    const dk_crank_grid *grid, dk_real extra_m3, dk_crank_result *out);
