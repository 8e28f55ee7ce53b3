#pragma once
// Cooling: raw-water pump against its circuit, coolant pump, thermostat, exchanger; the temperature that
// settles, and the story of the first hour: warm-up, boiling, level, overheating. Two masses: the metal
// round the cylinders, which takes their heat, and the coolant.
//
// Order of calls: dk_cooling_flows once a pass (speed changes), dk_cooling_settle in the outer iteration,
//          and once at the end dk_cooling_story (a running point) or dk_cooling_soak (after a stop).
#include "engine/defs.h"

// What the rest puts around it.
typedef struct dk_cooling_ports
{
	dk_real speed_rad_s; // crankshaft, >= 0
	dk_real rated_rad_s; // speed at which exchanger_w_k is given
	dk_real belt_slip;   // of the coolant pump's belt, 0 .. 1
	dk_real sea_k;       // raw water at the inlet
	dk_real space_k;     // engine space
	dk_real outside_pa;  // absolute
	dk_real heat_w;      // from the cylinders (and what the manifold adds) when the coolant is at heat_at_k
	dk_real heat_at_k;
	dk_real heat_slope_w_k; // change of that heat per kelvin of coolant, <= 0
	dk_real gas_kg_s;       // gas blown into the coolant, >= 0
	dk_real drawn_kg_s;     // coolant drawn into the cylinders, >= 0
} dk_cooling_ports;

// Flows, filled by dk_cooling_flows; no temperature in them.
typedef struct dk_cooling_flows
{
	dk_real raw_m3_s;           // raw_water_flow
	dk_real raw_head_pa;        // what the raw-water pump works against
	dk_real raw_w_k;            // capacity rate of the raw water
	dk_real coolant_m3_s;       // through the engine, at full level
	dk_real raw_film_k_w;       // raw-side part of the exchanger's resistance at this flow
	dk_real rated_coolant_m3_s; // coolant flow at rated speed with a sound belt
} dk_cooling_flows;
void DK_FN(dk_cooling_flows)(const dk_cooling_def *def, const dk_cooling_ports *ports, dk_cooling_flows *out);

/// Raw-water flow alone, for cranking (flood.h) and a bucket.
///
/// Given:   def   reads raw_pump_m3_rev, vane_loss, raw_slip_m3_pa_s, raw_pa_s2_m6;  speed_rad_s >= 0
/// Returns: flow                                                      [m3/s]
/// Source:  volume x turns x (1 - vane loss) less slip in proportion to head, head = resistance x flow
///          squared; the quadratic has one positive root (slip linear in head [ASSUMED-350])
dk_real DK_FN(dk_cooling_raw_flow)(const dk_cooling_def *def, dk_real speed_rad_s);

// Thermostat opening: floor .. ceiling over start .. full. Given: coolant_k. Returns: share of the flow that
// goes to the exchanger. Source: wax capsule, stroke in proportion to temperature with soft ends
// [ASSUMED-351]
dk_real DK_FN(dk_cooling_thermostat)(const dk_cooling_def *def, dk_real coolant_k);

// Heat given to the engine space by the block. [W]
dk_real DK_FN(dk_cooling_block_loss)(const dk_cooling_def *def, dk_real coolant_k, dk_real space_k);

// The temperature at which heat in and heat out agree, at the level of the def. Held at boiling when they
// cannot.
typedef struct dk_cooling_settled
{
	dk_real coolant_k;   // engine outlet
	dk_real metal_k;     // mean of the metal round the cylinders
	dk_real boil_k;      // boiling temperature under the cap
	dk_real opening;     // thermostat
	dk_real raw_out_k;   // raw water after the exchanger: exhaust.h's water_k
	dk_real exchanger_w; // to the raw water
	dk_real block_w;     // to the engine space
	dk_real boil_w;      // that boils coolant off; 0 unless at boiling
	dk_real residual_w;  // heat in less all heat out: 0 to the solver's step
} dk_cooling_settled;
void DK_FN(dk_cooling_settle)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_cooling_settled *out);

// Where a story starts.
typedef struct dk_cooling_start
{
	dk_real coolant_k, metal_k; // cold start: air temperature both; warm: dk_cooling_warm
} dk_cooling_start;
// The state of an engine that was warm and well: coolant where its thermostat has just started to open,
// metal above it by the heat it passes.
void DK_FN(dk_cooling_warm)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, dk_cooling_start *out);

// One hour from the start on.
typedef struct dk_cooling_story
{
	dk_real coolant_at_k;  // at at_s
	dk_real coolant_end_k; // at the end of the hour: coolant_temperature of a settled point
	dk_real metal_end_k;
	dk_real level_end;   // coolant there over coolant when full
	dk_real lost_m3;     // coolant lost in the hour: coolant_loss is lost_m3 per hour
	dk_real overheat_s;  // first crossing of limit_k (of limit_k + 45 K by the metal), 0 .. 3600; else 3660
	dk_real raw_out_k;   // at the end
	dk_real exchanger_w; // at the end
	dk_real residual_j;  // heat in less heat out less heat stored over the hour
	dk_real heat_in_j;   // scale of it
} dk_cooling_story;
/// Given:   at_s      time of the extra reading, 0 .. 3600 (20 for cold_idle)
///          limit_k   overheating limit of the coolant (data/limits.yaml), crossed upwards
/// Source:  heat balance of two masses, linearly implicit steps of 1 s growing to 60 s, first order;
///          conserves heat exactly. Boiling holds the coolant at boil_k and takes level;
///          docs/model/cooling.md
void DK_FN(dk_cooling_story)(const dk_cooling_def *def, const dk_cooling_ports *ports,
    const dk_cooling_flows *flows, const dk_cooling_start *start, double at_s, dk_real limit_k,
    dk_cooling_story *out);

/// After a stop: no pump, no fire; metal and coolant even out and lose heat to the space.
/// Given: the state at the stop, level, seconds. Result: the state then (never above boiling).
void DK_FN(dk_cooling_soak)(const dk_cooling_def *def, const dk_cooling_start *at_stop, dk_real level,
    dk_real space_k, dk_real outside_pa, dk_real seconds, dk_cooling_start *out);
