#pragma once
// Speed governor and rack of a mechanical injection pump: lever and speed in, fuel per cycle out. Knows
// nothing of the supply ahead of it (fuel.h) nor of what burns.
#include "engine/defs.h"

/// The speed at which the governor has just closed the rack, for a lever position.
///
/// Given:   def      reads idle_rpm, rated_rpm, no_load_ratio, droop
///          lever    0 idle .. 1 full                                 [-]
/// Returns: speed at no demand                                        [rad/s]
/// Source:  a proportional governor [BOSCH-GOV]. The set point stands above the speed to be held by the droop
///          that a healthy engine's own friction takes: 0.34 of the rack at warm idle, 0.38 at no load
///          [ASSUMED-300].
dk_real DK_FN(dk_governor_setting)(const dk_fuel_def *def, dk_real lever);

/// Share of the rack asked for: clip((setting - speed) / (droop x rated), 0, 1), rounded over 0.04.
///
/// Given:   setting_rad_s   from dk_governor_setting; speed_rad_s >= 0
/// Returns: 0 .. 1; falls with speed                                  [-]
/// Source:  [BOSCH-GOV]
dk_real DK_FN(dk_governor_demand)(const dk_fuel_def *def, dk_real setting_rad_s, dk_real speed_rad_s);

/// Fuel that the pump pushes towards one nozzle in one cycle when its inlet is full of solid fuel.
///
/// Given:   def           reads rack_max_kg, rack_slope, start_excess, plunger_leak, idle_rpm, rated_rpm,
///                        density_kg_m3
///          demand        0 .. 1                                      [-]
///          speed_rad_s   > 0                                         [rad/s]
///          fuel_k        fuel in the pump gallery                    [K]
/// Returns: mass per cycle and cylinder, >= 0                         [kg]
/// Source:  geometric delivery less leakage past the plunger in proportion to the time of a stroke
///          [BOSCH-PUMP]; density by dk_fuel_vcf against 836 kg/m3 at 15 degC and a gallery of 40 degC. The
///          start excess is in below 0.5 of the idle speed and out above 0.9 of it [ASSUMED-301].
dk_real DK_FN(dk_governor_fuel)(const dk_fuel_def *def, dk_real demand, dk_real speed_rad_s, dk_real fuel_k);

// Largest value of dk_governor_fuel at this speed: the rack stop (demand 1). [kg]
dk_real DK_FN(dk_governor_rack)(const dk_fuel_def *def, dk_real speed_rad_s, dk_real fuel_k);

/// When injection starts and how long it lasts.
///
/// Given:   def           reads injection_start_deg, injection_advance_deg, injection_span_deg, idle_rpm,
///                        rated_rpm, rack_max_kg
///          speed_rad_s   > 0;  fuel_kg per cycle and cylinder, before nozzle losses
/// Result:  start_deg     crank degrees before top dead centre; the advance is taken back linearly below
///                        rated speed, all of it at idle and below
///          span_deg      in proportion to the fuel, never under 4 degrees
/// Source:  [BOSCH-PUMP] constant plunger speed per cam degree; the advance device linear [ASSUMED-302]
typedef struct dk_injection
{
	dk_real start_deg, span_deg;
} dk_injection;
void DK_FN(dk_governor_injection)(
    const dk_fuel_def *def, dk_real speed_rad_s, dk_real fuel_kg, dk_injection *out);
