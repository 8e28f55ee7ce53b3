#pragma once
// Charging: alternator, its belt, the charge lamp and a rev counter fed by it.
#include "engine/defs.h"
#include "num/real.h"

typedef struct dk_alternator_ports
{
	dk_real engine_rad_s; // engine speed; 0 = stopped, key on
	dk_real battery_k;    // temperature of the battery
} dk_alternator_ports;

typedef struct dk_alternator_result
{
	dk_real speed_rad_s;   // of the alternator
	dk_real frequency_hz;  // at the W terminal
	dk_real capacity_amps; // what it could give at this speed
	dk_real amps;          // what it gives
	dk_real volts;         // at the battery posts
	dk_real shaft_w;       // power taken from the belt
	dk_real lamp;          // charge lamp, brightness 0 .. 1
	dk_real tacho_rad_s;   // engine speed that the rev counter shows
} dk_alternator_result;

/// Speed of the alternator.
///
/// Given:   engine_rad_s, ratio (alternator turns per engine turn), slip 0 .. 1
/// Returns: speed [rad/s]
/// Source:  [BELT] n = n_engine x ratio x (1 - slip).
dk_real DK_FN(dk_alternator_speed)(dk_real engine_rad_s, dk_real ratio, dk_real slip);

/// Frequency at the W terminal: pole pairs x turns per second [Hz].
dk_real DK_FN(dk_alternator_frequency)(dk_real alternator_rad_s, dk_real pole_pairs);

/// What the alternator gives at an engine speed, and what the panel shows.
///
/// Given:   def, in
/// Returns: *out
/// Source:  [ALTERNATOR] I = Imax (1 - exp(-(n - n0)/nk)), efficiency 0.55; current taken by
///          [ASSUMED-206] house + 72 A x (1 - charge); lamp and excitation [ASSUMED-207].
/// Valid:   engine_rad_s >= 0.
void DK_FN(dk_alternator_run)(
    const dk_starting_def *def, const dk_alternator_ports *in, dk_alternator_result *out);
