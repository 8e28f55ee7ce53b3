#pragma once
// The delay integral and the moment of ignition, found inside the step by linear interpolation of the
// integral: no event search. Internal to the room cycle.
#include "cycle/burn.h"
#include "cycle/delay.h"
#include "cycle/step.h"

#define DK_MARGIN_DEG 20.0 // up to where the margin counts
#define DK_NEVER_DEG 180.0 // ignition_deg of a charge that never lights

typedef struct dk_ignition
{
	dk_real start_deg; // of injection, after top dead centre
	dk_real per_delay; // 1 / (delay_factor x cetane factor)
	dk_real heater_rise_k;
	dk_real rate; // 1/delay at the last node [1/s]
	dk_real integral;
	dk_real margin;      // integral up to 20 deg, or up to ignition in a cycle that burns
	dk_real integral_20; // integral up to 20 deg
	dk_real deg;         // of ignition
	dk_mask lit, now;    // lit so far; lit in the last step
} dk_ignition;

static inline dk_real dk_ignition_rate(const dk_ignition *ig, const dk_charge *c)
{
	return ig->per_delay * dk_delay_wolfer_rate(c->p, c->t + ig->heater_rise_k);
}

static inline dk_ignition dk_ignition_begin(const dk_cylinder_def *def, const dk_cylinder_ports *in)
{
	dk_ignition ig;
	ig.start_deg = -in->injection_start_deg;
	ig.per_delay = 1 / (def->delay_factor * dk_delay_cetane(in->cetane));
	ig.heater_rise_k = in->heater_rise_k;
	ig.rate = dk_set(0);
	ig.integral = dk_set(0);
	ig.margin = dk_set(0);
	ig.integral_20 = dk_set(0);
	ig.deg = dk_set(DK_NEVER_DEG);
	ig.lit = dk_mask_set(false);
	ig.now = dk_mask_set(false);
	return ig;
}

// Carries the integral over the step that just ended at the charge's node.
static inline void dk_ignition_step(
    dk_ignition *ig, const dk_charge *c, const dk_setting *set, double from, double to, dk_mask may_light)
{
	const dk_real rate = dk_ignition_rate(ig, c);
	const dk_real begin = dk_max(ig->start_deg, dk_set(from));
	const dk_real span = dk_max(to - begin, dk_set(0));
	const dk_real before = ig->integral;
	const dk_real after = before + 0.5 * (ig->rate + rate) * (span * set->s_per_deg);
	const dk_real part = (1 - before) / dk_max(after - before, dk_set(1e-12));
	ig->now = dk_not(ig->lit) & (after >= 1) & may_light;
	ig->deg = dk_choose(ig->now, begin + span * dk_clip(part, 0, 1), ig->deg);
	ig->integral = after;
	ig->rate = rate;
	if (to <= DK_MARGIN_DEG + 1e-9)
	{
		ig->margin = dk_choose(ig->lit, ig->margin, after);
		ig->integral_20 = after;
	}
	ig->lit = ig->lit | ig->now;
}
