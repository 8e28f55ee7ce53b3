#pragma once
// The starting circuit: battery, cables, solenoid, starter motor, heaters.
// Given the torque it takes to turn the engine, how fast does it turn, and what do the meters show.
// Charging stands in alternator.h.
#include "engine/defs.h"
#include "num/real.h"

// What the rest of the boat gives the circuit.
typedef struct dk_starting_ports
{
	dk_real battery_k; // temperature of the battery, 233 .. 333 held
	dk_real load_nm;   // mean torque at the crankshaft that turns the engine: friction and compression
} dk_starting_ports;

// What one press of the key gives once it has settled. Voltages are those of the moment when the
// contacts are closed; a solenoid that chatters shows the dips.
typedef struct dk_starting_result
{
	dk_real speed_rad_s;   // of the crankshaft, 0 when it can't turn
	dk_real turns;         // 0 .. 1: 1 turns, 0 stalls; between over about 2 rad/s
	dk_real pulls;         // 0 .. 1: the solenoid pulls in at all (else: silence)
	dk_real holds;         // 0 .. 1: it stays in under the sag (else: a rattle of clicks)
	dk_real amps;          // mean current of the battery
	dk_real battery_volts; // at the posts; the lights follow it
	dk_real starter_volts; // across the motor
	dk_real drop_live;     // V, battery post to motor terminal: cable and main contacts
	dk_real drop_contact;  // V, of that in the main contacts
	dk_real drop_ground;   // V, starter body to battery post
	dk_real control_volts; // V at the solenoid coil while it pulls in
	dk_real motor_rad_s;   // shaft of the starter motor
	dk_real stall_amps;    // locked-rotor current of this circuit
} dk_starting_result;

/// Steady cranking at a given torque, closed form: linear motor with brush drop, free current and gear
/// efficiency, in series with cables and battery.
///
/// Given:   def, in
/// Returns: *out. Smooth in every argument: speed goes to 0 through a parabola 2 rad/s wide.
/// Source:  [MOTOR-LINEAR] T = k (I - I0), V = k w + I R + brush; [ASSUMED-203] coil voltages,
///          [ASSUMED-204] motor turns per engine turn.
/// Valid:   motor_k > 0. The caller iterates when the torque depends on the speed: amps and speed are
///          linear in load_nm while the engine turns.
void DK_FN(dk_starting_crank)(
    const dk_starting_def *def, const dk_starting_ports *in, dk_starting_result *out);

/// Voltage at the battery posts while it gives a steady current (heaters, house).
///
/// Given:   def, battery_k [K], amps [A], charging negative
/// Returns: voltage [V], not below 0
dk_real DK_FN(dk_starting_supply)(const dk_starting_def *def, dk_real battery_k, dk_real amps);

/// Charge taken from the battery by a try.
///
/// Given:   def, amps [A], seconds [s]
/// Returns: state of charge after it [-], not below 0. The amp-hours are amps x seconds / 3600.
dk_real DK_FN(dk_starting_charge_after)(const dk_starting_def *def, dk_real amps, dk_real seconds);

// Heaters of one cylinder class.
typedef struct dk_heater_result
{
	dk_real watts;  // electrical power of one heater
	dk_real amps;   // current of one heater
	dk_real rise_k; // local heating of the charge near its tip, steady, engine cold
} dk_heater_result;

/// Power of one heater and the local heating it gives. Per class: give the def of that class.
///
/// Given:   def, supply_volts at the battery while the heaters draw [V]
/// Returns: *out; all 0 where none is fitted (heater_watts 0) or supply is cut.
/// Source:  power goes with voltage squared [GLOW]; [ASSUMED-205] the rise goes with the power over
///          that of a full supply.
void DK_FN(dk_starting_heater)(const dk_starting_def *def, dk_real supply_volts, dk_heater_result *out);

/// How much of the supply reaches the posts while all heaters glow: fixed-point of the two above, exact.
///
/// Given:   def, battery_k [K], watts_at_12: sum of heater_watts over all cylinders [W]
/// Returns: voltage at the posts [V]
dk_real DK_FN(dk_starting_heater_supply)(const dk_starting_def *def, dk_real battery_k, dk_real watts_at_12);
