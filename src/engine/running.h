#pragma once
// An engine that runs: the speed at which governor, engine and load agree, with every system in step.
// Outer order: governor and load speed -> air and exhaust pressures -> cylinder cycle -> wall, coolant and
// oil temperatures; repeated until each moves less than 1e-5 of its scale.
#include "cycle/cylinder.h"
#include "engine/lane_engine.h"
#include "plant/air.h"
#include "plant/alternator.h"
#include "plant/coolant.h"
#include "plant/cooling.h"
#include "plant/exhaust.h"
#include "plant/fuel.h"
#include "plant/oil.h"

// What a point asks for. Lane code, but the same for every lane.
typedef struct dk_running_order
{
	double lever; // 0 .. 1
	bool in_gear;
	bool just_fired; // 20 s after the first fire from cold: coolant, metal and oil are still cold
	double settle;   // relative step at which a lane is settled: 1e-5; 1e-8 in identity tests
} dk_running_order;

// Everything that is known of the running engine. Fields of dk_real and structs of them only: a settled
// lane is frozen by copying.
typedef struct dk_running
{
	dk_real speed_rad_s;
	dk_real wall_k[DK_CLASSES];
	dk_real fuel_kg[DK_CLASSES]; // injected per cycle and cylinder
	dk_real asked_kg;            // by the governor, before starvation and nozzle loss
	dk_real friction_pa;         // friction mean effective pressure
	dk_real load_nm;             // at the crank: propeller or neutral, accessories, alternator
	dk_real indicated_nm;
	dk_real oil_k;
	dk_real coolant_k, metal_k;
	dk_real heat_w;          // to the coolant
	dk_real manifold_w;      // its part that the jacketed manifold takes from the gas
	dk_real gas_kg_s, gas_k; // exhaust at the valves
	dk_real elbow_k;         // and after the manifold
	dk_real vapour_kg_kg;    // water vapour in the gas
	dk_real air_kg_s;
	dk_cylinder_state state[DK_CLASSES];
	dk_cylinder_result cycle[DK_CLASSES];
	dk_fuel_supply supply;
	dk_air_result air;
	dk_exhaust_result exhaust;
	dk_cooling_ports cooling;
	dk_cooling_flows flows;
	dk_cooling_settled settled;
	dk_oil_result oil;
	dk_alternator_result alternator;
	dk_driveline_result driveline;
} dk_running;

// Passes until a lane gives up and says so.
enum
{
	DK_RUNNING_PASSES = 60
};

/// Finds the running point.
///
/// Given:   engine, grid (idle or running), order
/// Returns: *run; status and cycles of each lane: DK_NOT_REACHED when the engine stalls, DK_NOT_SETTLED when
///          something still moved after DK_RUNNING_PASSES.
void DK_FN(dk_running_find)(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_running_order *order, dk_running *run, unsigned char *status, long *cycles);

// Mean of a per-class number over the cylinders.
static inline dk_real DK_FN(dk_over_cylinders)(const dk_lane_engine *engine, dk_real sound, dk_real hit)
{
	return engine->share[DK_SOUND] * sound + engine->share[DK_HIT] * hit;
}
