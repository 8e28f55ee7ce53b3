#pragma once
// Low-pressure fuel supply: tank, suction pipe, primary filter, lift pump, fine filter, injection-pump
// gallery, and what goes wrong on the way: resistance, air, water, an empty tank. Steady flow; pressures are
// gauge unless they say absolute.
#include "engine/defs.h"

// What the rest of the engine puts around it.
typedef struct dk_fuel_ports
{
	dk_real injected_kg_s; // asked of the injection pump, all cylinders, > 0
	dk_real speed_rad_s;   // crankshaft, > 0
	dk_real outside_pa;    // absolute
	dk_real fuel_k;        // fuel in tank and filters: thickens when cold
	dk_real soak_s;        // since the engine last ran; counts only in dk_fuel_prime
} dk_fuel_ports;

// What the supply gives.
typedef struct dk_fuel_supply
{
	dk_real flow_m3_s;      // through the filters: injected and returned, as delivered
	dk_real vacuum_pa;      // suction below outside at the primary filter's outlet: filter_vacuum
	dk_real lift_outlet_pa; // gauge, after the lift pump
	dk_real inlet_pa;       // gauge, in the injection pump's gallery: fuel_pressure
	dk_real air_m3_s;       // air drawn in and come out of solution, at outside pressure
	dk_real air_share;      // air by volume in what reaches the filter head, 0 .. 1
	dk_real delivery;       // mass injected over mass asked for, 0 .. 1: starvation and air
	dk_real water_share;    // water by volume in what is injected, 0 .. 1
	dk_real fuel_share;     // fuel that burns, over the mass delivered, 0 .. 1
	dk_real water_kg_kg;    // water injected per kilogram of burning fuel
	dk_real misfire;        // share of cycles lost to water slugs, 0 .. 1
	dk_real stop_s;         // seconds until the tank is empty or the collected air reaches the pump;
	                        // 3660 (61 min) when not within the hour
} dk_fuel_supply;

/// Solves the line for one steady point.
///
/// Given:   def     every supply row of the fuel system
/// Result:  out     all fields
/// Source:  Darcy resistance of filters, flow = (1 + return_ratio) x injected; head of fuel rho g h; delivery
///          = clip((inlet + 35 kPa)/10 kPa), solved together with the flow that it leaves (closed form);
///          dissolved air by Henry's law below -35 kPa (ASSUMED-303 to 314). See docs/model/fuel.md.
/// Valid:   0 < injected_kg_s; speed to 700 rad/s.
void DK_FN(dk_fuel_supply)(const dk_fuel_def *def, const dk_fuel_ports *ports, dk_fuel_supply *out);

// What air that crept in at rest does to the first cranking.
typedef struct dk_fuel_prime
{
	dk_real air_m3;   // air standing in pipe and filters after the soak
	dk_real seconds;  // cranking until solid fuel is back at the pump, 0 .. 120
	dk_real delivery; // share of the asked fuel injected over the first ten seconds of cranking, 0 .. 1
} dk_fuel_prime;

/// Given:   ports   speed_rad_s the cranking speed, soak_s the time at rest
/// Source:  inflow = leak x static suction x time, saturating at 0.3 L [ASSUMED-309]; the lift pump moves its
///          free flow in proportion to speed. No leak or a tank above the pump: air 0, delivery 1.
void DK_FN(dk_fuel_prime)(const dk_fuel_def *def, const dk_fuel_ports *ports, dk_fuel_prime *out);

/// Volume correction of fuel against 15 degC: density at the temperature over density at 15 degC. calc
/// fuel.vcf.
///
/// Given:   density_15_kg_m3   700 .. 1075;  fuel_k temperature [K]
/// Returns: factor                                                    [-]
/// Source:  [D1250] exp(-a d (1 + 0.8 a d)), d = T - 15; a = K0/rho^2 + K1/rho, products: 186.9696 and
///          0.48618 from 838.3 kg/m3, 594.5418 and 0 below
/// Valid:   787.5 .. 1075 kg/m3 (lighter is continued), -20 .. 90 degC
dk_real DK_FN(dk_fuel_vcf)(dk_real density_15_kg_m3, dk_real fuel_k);

// Density of this engine's fuel at a temperature. [kg/m3]
dk_real DK_FN(dk_fuel_density)(const dk_fuel_def *def, dk_real fuel_k);
