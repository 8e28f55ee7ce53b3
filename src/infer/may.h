#pragma once
// What the engine may still do: crank, run, how hard, how long, and why. Computed from the weighed engines
// held against data/limits.yaml; a red rule needs no engines.
#include "infer/posterior.h"

#define DK_MAY_CAUSE 0.01  // share at which a limit that can't be undone counts. Source: contract
#define DK_MAY_SHARE 0.05  // of the known weight, for the other limits; also the quantile of the minutes
#define DK_MAY_UNKNOWN 0.3 // unknown share above which nothing is resolved
#define DK_CRANK_UNKNOWN_S                                                                                   \
	10 // seconds when nobody has computed the account: the shortest published rule [CRANK10]
#define DK_CRANK_FREE_S 60 // seconds left above which the account does not limit [ASSUMED-703]

/// Given:   post        weighed engines, cells may be none (no bank): then run is not resolved unless a rule
/// holds
///          red         the red rule that holds, rule -1 = none
/// Returns: may, arrays in the arena
/// Source:  contract, Observation model, `may`
void dk_may_of(const dk_posterior *post, const dk_red *red, dk_arena *arena, dk_may *may);
