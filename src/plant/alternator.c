#include "plant/alternator.h"
#include "plant/blend.h"
#include "plant/starting.h"

static const double kTurn = 6.2831853071795865; // rad
static const double kCutIn = 1000 / 60.0;       // turns/s where output starts [ALTERNATOR]
static const double kSpread = 1700 / 60.0;      // turns/s over which it grows [ASSUMED-208]
static const double kEfficiency = 0.55;         // [ALTERNATOR] 50 .. 65 %
static const double kUsualSlip = 0.02;          // the rev counter was set with this [ASSUMED-209]

dk_real DK_FN(dk_alternator_speed)(dk_real engine_rad_s, dk_real ratio, dk_real slip)
{
	return engine_rad_s * ratio * (1 - slip);
}

dk_real DK_FN(dk_alternator_frequency)(dk_real alternator_rad_s, dk_real pole_pairs)
{
	return alternator_rad_s * (1 / kTurn) * pole_pairs;
}

void DK_FN(dk_alternator_run)(
    const dk_starting_def *def, const dk_alternator_ports *in, dk_alternator_result *out)
{
	out->speed_rad_s = DK_FN(dk_alternator_speed)(in->engine_rad_s, def->alternator_ratio, def->belt_slip);
	const dk_real turns_s = out->speed_rad_s * (1 / kTurn);

	// [ALTERNATOR] output curve; [ASSUMED-206] an empty battery takes 0.8 A per Ah, a full one nothing
	const dk_real above = dk_max(turns_s - kCutIn, dk_set(0));
	out->capacity_amps = def->alternator_amps * (1 - dk_exp(above * (-1 / kSpread)));
	const dk_real wanted = def->house_amps + 0.8 * def->battery_capacity_ah * (1 - def->battery_charge);
	out->amps = dk_min(out->capacity_amps, wanted);

	// the regulator holds its voltage while there is enough; with nothing coming the battery feeds the boat
	const dk_real met = out->amps / dk_max(wanted, dk_set(0.1));
	const dk_real idle_volts = DK_FN(dk_starting_supply)(def, in->battery_k, def->house_amps);
	out->volts = idle_volts + dk_max(def->alternator_volts - idle_volts, dk_set(0)) * dk_min(met, dk_set(1));
	out->shaft_w = out->volts * out->amps * (1 / kEfficiency);

	// [ASSUMED-207] below about 900 turns a minute it does not excite: lamp lit, no signal at W
	const dk_real excited = dk_blend_step(turns_s, 15, 2.5);
	const dk_real supply = dk_clip(out->volts / (2 * def->battery_cells), 0, 1);
	out->lamp = def->lamp_bulb * supply * (1 - excited);
	out->frequency_hz = DK_FN(dk_alternator_frequency)(out->speed_rad_s, def->alternator_poles) * excited;

	// a counter fed by the W terminal was set for these poles, this ratio and the usual slip
	const dk_real counted =
	    out->frequency_hz * kTurn / (def->alternator_poles * def->alternator_ratio * (1 - kUsualSlip));
	out->tacho_rad_s = in->engine_rad_s + (counted - in->engine_rad_s) * def->tacho_from_alternator;
}
