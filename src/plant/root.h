#pragma once
// Root of a falling function between two ends, in lanes: a fixed number of guarded chord steps
// (regula falsi with the end weights of Anderson and Bjorck [ANDERSON73]). The caller owns the loop and the
// function; this keeps the bracket.
#include "num/real.h"

typedef struct dk_bracket
{
	dk_real low, high;       // the root lies between; function > 0 at low, <= 0 at high
	dk_real at_low, at_high; // its values there (weights: an end that stays is weighed down)
	dk_real last;            // 1: the last trial replaced low, -1: high, 0: none yet
} dk_bracket;

static inline dk_bracket DK_FN(dk_bracket_of)(dk_real low, dk_real at_low, dk_real high, dk_real at_high)
{
	return (dk_bracket){ low, high, at_low, at_high, dk_set(0) };
}

// Where to look next: the chord's zero. With `halve` the middle, for the first steps of a strongly curved
// function.
static inline dk_real DK_FN(dk_bracket_trial)(const dk_bracket *b, bool halve)
{
	if (halve) return 0.5 * (b->low + b->high);
	const dk_real gap = dk_min(b->at_high - b->at_low, dk_set(-1e-300));
	const dk_real chord = (b->low * b->at_high - b->high * b->at_low) / gap;
	return dk_min(dk_max(chord, b->low), b->high);
}

// Takes the function's value at the trial.
static inline void DK_FN(dk_bracket_put)(dk_bracket *b, dk_real trial, dk_real at)
{
	const dk_mask left = at > 0.0;

	// the weight of an end that stays for a second time falls, so that chords do not creep
	const dk_real from_low = 1.0 - at / dk_max(b->at_low, dk_set(1e-300));
	const dk_real from_high = 1.0 - at / dk_min(b->at_high, dk_set(-1e-300));
	const dk_real down_high = dk_choose(from_low > 0.0, from_low, dk_set(0.5));
	const dk_real down_low = dk_choose(from_high > 0.0, from_high, dk_set(0.5));
	const dk_real keep_high = dk_choose(b->last > 0.0, down_high, dk_set(1));
	const dk_real keep_low = dk_choose(b->last < 0.0, down_low, dk_set(1));

	b->at_high = dk_choose(left, b->at_high * keep_high, at);
	b->at_low = dk_choose(left, at, b->at_low * keep_low);
	b->low = dk_choose(left, trial, b->low);
	b->high = dk_choose(left, b->high, trial);
	b->last = dk_choose(left, dk_set(1), dk_set(-1));
}

#define dk_bracket_of DK_FN(dk_bracket_of)
#define dk_bracket_trial DK_FN(dk_bracket_trial)
#define dk_bracket_put DK_FN(dk_bracket_put)
