#pragma once
// An engine on the starter: how fast it turns, what the charge reaches, whether and when it fires, what a
// compression gauge would show, and how long until the wet exhaust floods it.
#include "cycle/cylinder.h"
#include "engine/lane_engine.h"
#include "plant/flood.h"
#include "plant/fuel.h"
#include "plant/oil.h"
#include "plant/starting.h"

// The state the engine is found in.
typedef struct dk_cranking_order
{
	dk_real metal_k, oil_k; // block and sump
	dk_real intake_k;       // air at the inlet valve
	dk_real soak_s;         // since it last ran
	dk_real preheat_s;      // heaters on before cranking; 0 = the engine is hot and they are not used
} dk_cranking_order;

typedef struct dk_cranking
{
	dk_real speed_rad_s; // crankshaft; 0 when it can't turn
	dk_real torque_nm;   // mean, friction and compression loop
	dk_starting_result circuit;
	dk_real heater_watts;         // electrical power of all heaters while they glow
	dk_real ignition_margin;      // largest over the first half minute, best class
	dk_real seconds_to_fire;      // 120 when it does not
	dk_real charge_k;             // bulk maximum, of the sound class where there is one
	dk_real gauge_pa[DK_CLASSES]; // peak that a compression gauge holds, absolute
	dk_real white_kg_m3;          // unburnt fuel in what it breathes out before it fires
	dk_real fuel_kg;              // injected per cycle and cylinder
	dk_real air_share;            // air in the fuel
	dk_real prime_s;              // cranking until solid fuel is back at the pump
	dk_real raw_m3_s;             // raw water pumped into the exhaust
	dk_flood_left flood;
	dk_real oil_pa, lamp_oil; // while cranking
} dk_cranking;

/// Finds cranking speed, ignition and flood margin of one long press of the key.
///
/// Given:   engine, grid (crank), order
/// Returns: *out, and the status and cycles of each lane: DK_NOT_REACHED when it does not turn
/// Source:  torque = (friction + closed loop work) Vd/4 pi; ignition [WOLFER38] as an integral; the chamber
///          wall as one node, C dT/dt = cycle heat + heater - G (T - block). docs/model/engine.md
void DK_FN(dk_cranking_find)(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_cranking_order *order, dk_cranking *out, unsigned char *status, long *cycles);
