#pragma once
// Gearbox, shaft, propeller and hull: the torque the engine feels at a speed with the boat in equilibrium,
// thrust = resistance. dk_driveline_prepare is called once an engine, dk_driveline_load as often as wanted.
#include "engine/defs.h"
#include "num/real.h"
#include "plant/hull.h"
#include "plant/propeller.h"

// straight pieces of the residuary resistance, from Froude number 0, 0.10, 0.15 .. 0.40; the last is open
enum
{
	DK_DRIVELINE_PIECES = 8
};

// What does not change with speed, worked out once. Filled by dk_driveline_prepare.
typedef struct dk_driveline
{
	dk_propeller propeller;
	dk_real residuary[DK_DRIVELINE_PIECES];      // over weight, at the start of each straight piece
	dk_real residuary_rise[DK_DRIVELINE_PIECES]; // per Froude number; never negative
	dk_real node_n[DK_DRIVELINE_PIECES];         // resistance at the start of each piece
	dk_real weight_n, friction_n_s2_m2;          // residuary = ratio x weight; friction = CF x this x V^2
	dk_real froude_s_m, reynolds_s_m;            // number per m/s
	dk_real total_factor;                        // appendages x weather x growth
	dk_real thrust_n_s2, torque_nm_s2;           // thrust and torque at the boat over KT n^2 and KQ n^2
	dk_real speed_m;                             // boat speed = J n x this
	dk_real pitch_ratio, thrust_share;           // thrust_share = 1 - thrust deduction
	dk_real gear_ratio, gear_efficiency, rope_nm, neutral_nm, accessory_w;
	dk_real unbalance;
} dk_driveline;

typedef struct dk_driveline_result
{
	dk_real torque_nm; // at the crankshaft, accessories included
	dk_real boat_m_s;  // speed through the water
	dk_real shaft_w;   // at the propeller
	dk_real thrust_n;  // of the propeller, thrust deduction not taken
	dk_real slip;      // 1 - J / pitch ratio
	dk_real advance;   // J
} dk_driveline_result;

/// Works propeller, hull and gear of one engine into the numbers above.
void DK_FN(dk_driveline_prepare)(const dk_driveline_def *def, dk_driveline *out);

/// Load in gear.
///
/// Given:   drive, engine_rad_s >= 0, rated_rad_s > 0 (scale of the accessories)
/// Returns: *out. Torque rises with speed from 0 at rest; boat speed too.
/// Source:  [OOSTERVELD75], [ITTC57] with 0.7 of the waterline, [KS98]; equilibrium by a fixed
///          number of guarded Newton steps.
/// Valid:   steady ahead running, deep water.
void DK_FN(dk_driveline_load)(
    const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s, dk_driveline_result *out);

/// Torque at the crankshaft in neutral: gearbox drag and accessories [Nm].
dk_real DK_FN(dk_driveline_neutral_nm)(const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s);

/// Torque at the crankshaft with the boat tied up, J = 0 [Nm].
dk_real DK_FN(dk_driveline_bollard_nm)(const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s);

/// Calm-water resistance with appendages, weather and growth [N] at boat_m_s >= 0.
dk_real DK_FN(dk_driveline_resistance_n)(const dk_driveline *drive, dk_real boat_m_s);

/// Vibration felt at the shaft [m/s].
///
/// Given:   drive, engine_rad_s, rated_rad_s, in_gear 0 or 1 (the propeller turns only in gear),
///          roughness (reading, %)
/// Source:  [ASSUMED-240] 1.5 mm/s at rated, x (n/nr)^2 x (1 + 12 unbalance), + 0.1 mm/s a per cent.
dk_real DK_FN(dk_driveline_vibration_m_s)(
    const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s, dk_real in_gear, dk_real roughness);

#if DK_LANES == 1
/// Chooses the pitch, and the diameter when no pitch from 0.45 to 1.2 will do, so that in gear at rated speed
/// the load takes `power_w` at the crankshaft (97 % of the plate power is usual).
///
/// Given:   def (propeller_m and pitch_ratio are the start), rated_rad_s, power_w
/// Returns: true, *propeller_m and *pitch_ratio; false and nothing written when no propeller from 0.2 to 1.5
/// m does.
bool dk_driveline_fit(const dk_driveline_def *def, double rated_rad_s, double power_w, double *propeller_m,
    double *pitch_ratio);
#endif
