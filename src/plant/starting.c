#include "plant/starting.h"
#include "plant/battery.h"
#include "plant/blend.h"

// [ASSUMED-203] solenoid of a 12 V system: pull-in and holding winding together 0.4 ohm (30 A), the
// holding winding alone 1.2 ohm (10 A); both need 7 V at the coil, give or take 0.35 V
static const double kPullOhm = 0.4, kHoldOhm = 1.2, kCoilVolts = 7, kCoilWidth = 0.35;

// [ASSUMED-204] turns of the motor shaft per turn of the engine: ring gear and pinion
static const double kMotorRatio = 11;

// half-width of the parabola between turning and stalled: narrower than any useful cranking speed
static const double kStallWidth = 1;

// share of a 12 V system: the coil ratings above go with the number of cells
static dk_real of_twelve(const dk_starting_def *def)
{
	return def->battery_cells * (1.0 / 6);
}

void DK_FN(dk_starting_crank)(
    const dk_starting_def *def, const dk_starting_ports *in, dk_starting_result *out)
{
	const dk_real battery_ohm = DK_FN(dk_battery_ohm)(def->battery_ohm, def->battery_charge, in->battery_k);
	const dk_real emf = DK_FN(dk_battery_rest)(def->battery_charge, def->battery_cells, dk_set(0));
	const dk_real live_ohm = def->cable_live_ohm + def->contact_ohm;
	const dk_real total_ohm = battery_ohm + live_ohm + def->cable_ground_ohm + def->motor_ohm;

	// [MOTOR-LINEAR] the torque asks for a current, what is left of the voltage gives the speed
	const dk_real drive = dk_max(emf - def->brush_volts, dk_set(0));
	const dk_real asked = def->free_amps + in->load_nm / (def->motor_k * def->gear_efficiency);
	const dk_real unstalled = (drive - asked * total_ohm) / def->motor_k;
	const dk_real turning = dk_blend_plus(unstalled, kStallWidth);

	// the current that this speed leaves: `asked` while it turns, the locked-rotor current when it can't
	const dk_real closed_amps = dk_max((drive - def->motor_k * turning) / total_ohm, dk_set(0));
	const dk_real sagged = emf - closed_amps * battery_ohm;

	// [ASSUMED-203] coil voltage as it pulls in, motor still dead, and as it holds against the sag
	const dk_real cells = of_twelve(def);
	const dk_real pull_ohm = kPullOhm * cells, hold_ohm = kHoldOhm * cells;
	const dk_real pull_volts = emf * pull_ohm / (pull_ohm + def->control_ohm + battery_ohm);
	const dk_real hold_volts = sagged * hold_ohm / (hold_ohm + def->control_ohm);
	out->pulls = dk_blend_step(pull_volts / cells, kCoilVolts, kCoilWidth);
	out->holds = dk_blend_step(hold_volts / cells, kCoilVolts, kCoilWidth);

	const dk_real engaged = out->pulls * out->holds;
	out->turns = dk_clip(unstalled * (0.5 / kStallWidth) + 0.5, 0, 1) * engaged;
	out->speed_rad_s = turning * engaged;
	out->motor_rad_s = kMotorRatio * out->speed_rad_s;
	out->amps = closed_amps * engaged;

	// what meters show while the contacts are closed; nothing flows when the solenoid stays out
	const dk_real seen_amps = closed_amps * out->pulls;
	out->battery_volts = emf - seen_amps * battery_ohm;
	out->drop_live = seen_amps * live_ohm;
	out->drop_contact = seen_amps * def->contact_ohm;
	out->drop_ground = seen_amps * def->cable_ground_ohm;
	out->starter_volts = out->pulls * (emf - closed_amps * (battery_ohm + live_ohm + def->cable_ground_ohm));
	out->control_volts = out->battery_volts * pull_ohm / (pull_ohm + def->control_ohm);
	out->stall_amps = drive / total_ohm;
}

dk_real DK_FN(dk_starting_supply)(const dk_starting_def *def, dk_real battery_k, dk_real amps)
{
	const dk_real ohm = DK_FN(dk_battery_ohm)(def->battery_ohm, def->battery_charge, battery_k);
	const dk_real emf = DK_FN(dk_battery_rest)(def->battery_charge, def->battery_cells, dk_set(0));
	return dk_max(emf - amps * ohm, dk_set(0));
}

dk_real DK_FN(dk_starting_charge_after)(const dk_starting_def *def, dk_real amps, dk_real seconds)
{
	const dk_real spent_ah = amps * seconds * (1.0 / 3600);
	return dk_max(def->battery_charge - spent_ah / def->battery_capacity_ah, dk_set(0));
}

void DK_FN(dk_starting_heater)(const dk_starting_def *def, dk_real supply_volts, dk_heater_result *out)
{
	// [GLOW] a resistor: power with the square of the voltage over the 12 V (or 24 V) of its rating
	const dk_real share = supply_volts * def->heater_supply / (12 * of_twelve(def));
	const dk_real power_share = share * share;
	out->watts = def->heater_watts * power_share;
	out->amps = out->watts / dk_max(supply_volts, dk_set(1));

	// [ASSUMED-205] the rise is that of a full supply times the power share; none fitted, no rise
	const dk_real fitted = dk_clip(def->heater_watts, 0, 1);
	out->rise_k = def->heater_rise_k * power_share * fitted;
}

dk_real DK_FN(dk_starting_heater_supply)(const dk_starting_def *def, dk_real battery_k, dk_real watts_at_12)
{
	// all heaters as one conductance behind the battery's resistance: a voltage divider
	const dk_real rated_volts = 12 * of_twelve(def);
	const dk_real siemens =
	    watts_at_12 * def->heater_supply * def->heater_supply / (rated_volts * rated_volts);
	const dk_real ohm = DK_FN(dk_battery_ohm)(def->battery_ohm, def->battery_charge, battery_k);
	return DK_FN(dk_battery_rest)(def->battery_charge, def->battery_cells, dk_set(0)) / (1 + ohm * siemens);
}
