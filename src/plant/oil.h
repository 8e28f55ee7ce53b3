#pragma once
// Lubrication: viscosity of the oil in use, pressure in the gallery, what gauge and lamp show, sump
// temperature, what is burnt, and the pressure in the crankcase.
// Pressures here are gauge pressures where the name says so.
#include "engine/defs.h"
#include "num/real.h"

/// Walther line of ASTM D341: kinematic viscosity by temperature from two known points.
///
/// Given:   kv40_m2_s, kv100_m2_s, oil_k                             [m2/s, m2/s, K]
/// Returns: kinematic viscosity                                      [m2/s]
/// Source:  [D341] log10 log10(nu + 0.7) = A - B log10 T, nu in mm2/s.
/// Valid:   nu above 2 mm2/s; oil_k held to 233 .. 473. Below about -10 degC it underestimates
///          multigrades.
dk_real DK_FN(dk_oil_d341)(dk_real kv40_m2_s, dk_real kv100_m2_s, dk_real oil_k);

/// Kinematic viscosity of a mixture at one temperature.
///
/// Given:   nu_a_m2_s, nu_b_m2_s, share_b by mass 0 .. 1
/// Returns: [m2/s]
/// Source:  [REFUTAS] VBN = 14.534 ln ln(nu + 0.8) + 10.975, added by mass.
/// Valid:   both above 0.25 mm2/s.
dk_real DK_FN(dk_oil_blend)(dk_real nu_a_m2_s, dk_real nu_b_m2_s, dk_real share_b);

/// Kinematic viscosity of the oil in use: grade, fuel and water in it.
///
/// Given:   def, oil_k [K]
/// Returns: [m2/s]
/// Source:  [D341], [REFUTAS] with the fuel's own line [ASSUMED-220], water as drops [BRINKMAN].
dk_real DK_FN(dk_oil_viscosity)(const dk_oil_def *def, dk_real oil_k);

/// Density of the oil [kg/m3] at oil_k [K]. Source: [OIL-DENSITY] 880 at 15 degC, -0.64 per kelvin.
dk_real DK_FN(dk_oil_density)(dk_real oil_k);

typedef struct dk_oil_ports
{
	dk_real engine_rad_s;
	dk_real oil_k;  // in the sump and the gallery
	dk_real supply; // 0 .. 1: share of the normal voltage that feeds the lamp
} dk_oil_ports;

typedef struct dk_oil_result
{
	dk_real viscosity_m2_s; // of the oil in use
	dk_real fill;           // share of the pump volume that is oil
	dk_real pump_m3_s;      // pump delivery
	dk_real pressure_pa;    // gallery, gauge
	dk_real shown_pa;       // what the panel gauge shows, gauge
	dk_real lamp;           // oil lamp, brightness 0 .. 1
	dk_real relief_m3_s;    // back to the sump through the relief valve
} dk_oil_result;

/// Gallery pressure: pump delivery against bearings (laminar), feed holes (turbulent) and the relief valve.
///
/// Given:   def, in
/// Returns: *out, closed form. Rises with speed and viscosity up to the relief setting.
/// Source:  [SHIGLEY 12-12] bearing flow ~ p/mu; feed holes and relief port as sharp orifices;
///          [ASSUMED-221] pick-up draws air below half level, [ASSUMED-222] widths of the lamp switch.
void DK_FN(dk_oil_pressure)(const dk_oil_def *def, const dk_oil_ports *in, dk_oil_result *out);

/// Oil temperature once the engine has settled at a load.
///
/// Given:   def, coolant_k [K], power_w: shaft power and friction power [W]
/// Returns: [K]. A low sump runs hotter [ASSUMED-223].
dk_real DK_FN(dk_oil_settled_k)(const dk_oil_def *def, dk_real coolant_k, dk_real power_w);

/// Oil temperature some time after a change of state: first-order, the sump volume sets the time.
///
/// Given:   def, start_k [K], settled_k [K], seconds [s]
/// Returns: [K]
/// Source:  lumped sump; [ASSUMED-224] heat passage from oil to block.
dk_real DK_FN(dk_oil_warming_k)(const dk_oil_def *def, dk_real start_k, dk_real settled_k, dk_real seconds);

// One cylinder class.
typedef struct dk_oil_use_ports
{
	dk_real engine_rad_s;
	dk_real swept_m3;      // of all cylinders of the class
	dk_real past_rings;    // cylinder.oil_past_rings of the class; 1 = sound
	dk_real past_stems;    // cylinder.oil_past_stems of the class; 1 = sound
	dk_real depression_pa; // ambient less intake port pressure; negative with boost
} dk_oil_use_ports;

/// Oil that leaves the sump past rings and valve stems of one class.
///
/// Given:   def, in
/// Returns: mass flow [kg/s]
/// Source:  [ASSUMED-225] 0.3 g/kWh for a sound engine at rated load, rings ~ speed x swept volume,
///          stems ~ the suction in the port; an over-full sump throws more.
dk_real DK_FN(dk_oil_use)(const dk_oil_def *def, const dk_oil_use_ports *in);

/// Oil mist in the exhaust, what makes smoke blue.
///
/// Given:   use_kg_s, exhaust_m3_s at the outlet
/// Returns: [kg/m3]. Source: [ASSUMED-226] 30 % of the oil leaves unburnt.
dk_real DK_FN(dk_oil_mist)(dk_real use_kg_s, dk_real exhaust_m3_s);

/// Pressure in the crankcase above the engine space, from blow-by through the breather.
///
/// Given:   def, blow_by_kg_s, crankcase_k [K], ambient_pa (absolute)
/// Returns: [Pa], gauge
/// Source:  sharp orifice, incompressible; [ASSUMED-227] discharge coefficient.
/// Valid:   up to about 20 kPa.
dk_real DK_FN(dk_oil_crankcase_pa)(
    const dk_oil_def *def, dk_real blow_by_kg_s, dk_real crankcase_k, dk_real ambient_pa);

#if DK_LANES == 1
/// Finds bearing_m3 so that the gallery shows `idle_pa` (gauge) at `engine_rad_s` with oil at `oil_k`.
///
/// Given:   def (all else set), the three numbers
/// Returns: true and *bearing_m3; false and nothing written when feed holes and relief leak alone pass
///          more than the pump gives, or idle_pa is above the relief setting.
bool dk_oil_fit(const dk_oil_def *def, double engine_rad_s, double oil_k, double idle_pa, double *bearing_m3);
#endif
