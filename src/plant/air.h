#pragma once
// Combustion air on its way to the inlet valve: outside, vent, engine space, filter, manifold.
#include "engine/defs.h"

// What the rest puts around it.
typedef struct dk_air_ports
{
	dk_real outside_pa, outside_k; // absolute
	dk_real humidity;              // relative, 0 .. 1
	dk_real air_kg_s;              // drawn by the engine, wet, >= 0
	dk_real fuel_w;                // fuel burnt, as heat
	dk_real block_w;               // heat from the block to the space (dk_cooling_block_loss)
	dk_real coolant_k;             // warms the manifold
} dk_air_ports;

// What the air is at each place.
typedef struct dk_air_result
{
	dk_real space_pa, space_k;   // engine space
	dk_real intake_pa, intake_k; // at the inlet valve
	dk_real depression_pa;       // outside less intake: intake_depression
	dk_real humidity_kg_kg;      // water over dry air
} dk_air_result;

/// Given:   def   every row of the air system
/// Source:  vent as an orifice (Bernoulli with a discharge coefficient) [HEY88 app C]; space heat balance:
///          radiated share of the fuel energy and block loss, carried off by the air drawn and through the
///          walls; filter drop with flow squared over density. Drops that would pass 0.6 of the pressure bend
///          off below it (w / (1 + w / 0.6 p)) [ASSUMED-320].
/// Valid:   any flow; pressures stay above 0.16 of outside.
void DK_FN(dk_air_intake)(const dk_air_def *def, const dk_air_ports *ports, dk_air_result *out);

/// Natural-vent area that a yacht-design rule asks for. calc vent.area.
///
/// Given:   power_w   shaft power                                     [W]
/// Returns: clear area                                                [m2]
/// Source:  [GERR] hp/3.3 square inches (2.62 cm2/kW); makers publish 5 .. 9 cm2/kW: a band, not a limit
dk_real DK_FN(dk_air_vent_area)(dk_real power_w);

// Air flow that the same rule asks for: 2.75 cubic feet a minute and hp. [m3/s]
dk_real DK_FN(dk_air_vent_flow)(dk_real power_w);

/// Air that a four-stroke draws, at intake density.
/// Given: displacement_m3, speed_rad_s, filling (volumetric efficiency). Returns: [m3/s]
dk_real DK_FN(dk_air_drawn)(dk_real displacement_m3, dk_real speed_rad_s, dk_real filling);

// Air flow that carries a heat off with a given rise. Given: heat_w, rise_k, density 1.15 kg/m3, cp 1005.
// Returns: [m3/s]
dk_real DK_FN(dk_air_heat_flow)(dk_real heat_w, dk_real rise_k);
