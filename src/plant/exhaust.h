#pragma once
// Exhaust from the manifold to the stern: elbow throat, water injection, hose, lift; back pressure and
// temperatures.
#include "engine/defs.h"

// What the rest puts around it.
typedef struct dk_exhaust_ports
{
	dk_real gas_kg_s;     // exhaust gas, >= 0
	dk_real gas_k;        // at the elbow, before the water
	dk_real vapour_kg_kg; // water vapour already in the gas, over gas
	dk_real water_kg_s;   // raw water injected, >= 0
	dk_real water_k;      // its temperature, after the coolers
	dk_real outside_pa, outside_k;
	dk_real humidity; // of the outside air, relative, 0 .. 1
} dk_exhaust_ports;

// What comes of it.
typedef struct dk_exhaust_result
{
	dk_real back_pa;                             // manifold over outside: back_pressure
	dk_real elbow_pa, hose_pa, lift_pa, lock_pa; // its parts
	dk_real mixed_k;                             // gas and water in equilibrium after injection
	dk_real hose_k;          // what an infrared thermometer sees on the hose: hose_temperature
	dk_real evaporated_kg_s; // water turned to vapour (less than 0 where vapour of the gas condenses)
	dk_real outlet_vapour_kg_kg;
	dk_real steam_kg_m3; // densest cloud of droplets outside: steam
	dk_real plume_m;     // how far it is seen: plume_length
} dk_exhaust_result;

/// Solves the path for one steady point. With def->wet 0 the hose is a dry pipe at gas temperature.
/// Given:   def   every row of the exhaust system but those of the flood account (flood.h)
/// Source:  each part below; docs/model/exhaust.md
void DK_FN(dk_exhaust_flow)(const dk_exhaust_def *def, const dk_exhaust_ports *ports, dk_exhaust_result *out);

/// Pipe loss as heavy-engine installation guides print it, x 1.5 for small engines. calc
/// exhaust.back_pressure.
///
/// Given:   length_m        equivalent length                         [m]
///          gas_k           gas temperature                           [K]
///          flow_m3_s       gas flow at that temperature              [m3/s]
///          bore_m          inner diameter                            [m]
///          factor          1 as printed (Darcy f 0.016); 1.5 for small engines and rubber hose
/// Returns: pressure drop                                             [Pa]
/// Source:  [EXH-GUIDE] kPa = L S Q^2 3.6e6/D^5, L m, Q m3/min, D mm, S = 352.5/(t + 273) kg/m3
dk_real DK_FN(dk_exhaust_pipe)(
    dk_real length_m, dk_real gas_k, dk_real flow_m3_s, dk_real bore_m, dk_real factor);

/// The second printed form (a generator maker's sheet): inHg = C L R Q^2/D^5. Arithmetic check only.
/// Given:   length_ft, gas_f, flow_cfm, bore_in, constant (0.00059 .. 0.00044)
/// Returns: [inHg]
/// Source:  [EXH-SHEET]
dk_real DK_FN(dk_exhaust_pipe_sheet)(
    dk_real length_ft, dk_real gas_f, dk_real flow_cfm, dk_real bore_in, dk_real constant);

/// Absolute pressure ahead of a sharp throat that passes a given gas flow.
///
/// Given:   effective_m2    area x discharge coefficient, > 0         [m2]
///          gas_kg_s, gas_k flow and temperature ahead of it
///          down_pa         absolute pressure behind it               [Pa]
/// Returns: pressure ahead                                            [Pa]
/// Source:  isentropic orifice [HEY88 eq C.8, C.9] at gamma 1.33, turned round: p^2 = pd^2 + X^2 (1 +
/// c(X/pd)),
///          X = m sqrt(R T)/A, c from 0 to 1.2091 far past choking; the fit misses the exact drop by 0.15 %
///          at most
dk_real DK_FN(dk_exhaust_throat)(dk_real effective_m2, dk_real gas_kg_s, dk_real gas_k, dk_real down_pa);

// Water injection. calc exhaust.mix.
typedef struct dk_mix_ports
{
	dk_real gas_kg_s, gas_k;     // gas flow > 0
	dk_real vapour_kg_kg;        // water vapour already in the gas; 0 in the printed examples
	dk_real water_kg_s, water_k; // >= 0
	dk_real pressure_pa;         // absolute, in the hose
	dk_real water_j_kgk;         // specific heat: 3990 .. 4000 sea water
	dk_real evaporate;           // 1 with evaporation, 0 without
} dk_mix_ports;
typedef struct dk_mix
{
	dk_real mixed_k; // equilibrium temperature
	dk_real evaporated_kg_s;
	dk_real residual_w; // what the balance still misses
} dk_mix;
/// Source:  energy balance, gas 1100 J/(kg K), latent heat 2500 - 2.3 t kJ/kg, saturation by [ANTOINE-LOW];
///          what evaporates is limited to the water there. A fixed number of guarded steps; residual under
///          1e-6 of the gas heat.
void DK_FN(dk_exhaust_mix)(const dk_mix_ports *ports, dk_mix *out);

/// Vapour leaving the outlet into cold air. steam_kg_m3 is the densest point of the mixing line, plume_m the
/// length over which it stays above saturation.
///
/// Given:   gas_k, vapour_kg_kg   at the outlet;  outside_k, outside_pa, humidity
///          bore_m                outlet diameter                     [m]
/// Source:  straight mixing line between two moist gases [ROGERS]; a round jet thins as 5 diameters over
///          distance [RICOU]
typedef struct dk_plume
{
	dk_real steam_kg_m3, plume_m;
} dk_plume;
void DK_FN(dk_exhaust_plume)(dk_real gas_k, dk_real vapour_kg_kg, dk_real outside_k, dk_real outside_pa,
    dk_real humidity, dk_real bore_m, dk_plume *out);
