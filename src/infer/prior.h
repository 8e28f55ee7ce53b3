#pragma once
// Priors on condition that trouble was reported, and what history says about them: since when, after what,
// which repairs were tried. All multiply in when asked; no bank depends on them.
#include "catalog/observation.h"
#include "infer/lens.h"

// Shares of all. Source: contract, Priors and strata
#define DK_PRIOR_HEALTHY 0.03
#define DK_PRIOR_NONE 0.04
#define DK_PRIOR_SINGLES 0.83
#define DK_PRIOR_PAIRS 0.10

typedef struct dk_prior_request
{
	const dk_catalog *catalog;
	const dk_request *request;
	const dk_optics *optics; // of the request: since and after are among its lenses
	const bool *possible;    // [fault_count] aboard, in the bank, and not left out
	const double *factor;    // [fault_count] --prior; NULL = 1
	bool flat;               // every fault alike
	int omit_lens;           // a since or after lens that is left out; -1 = none
	int omit_tried;          // a tried repair that is left out; -1 = none
} dk_prior_request;

typedef struct dk_prior
{
	double healthy, none;
	double *single; // [fault_count]
	double *pair;   // [fault_count][fault_count], a < b
	// the same before --prior, sum 1 with healthy and none left out: what the mixture predicts with
	double base_healthy, *base_single, *base_pair;
	bool flattened;
} dk_prior;

/// Weights of every hypothesis, tried repairs and --prior included; the sum is not 1 any more.
/// Source:  contract, Priors and strata, Observation model; shares of the systems: reference/trade.md 3.1
void dk_prior_of(const dk_prior_request *request, dk_arena *arena, dk_prior *prior);

/// Weight of each of n severities (i + 1/2)/n by the kind of onset: Beta(4, 1.5) sudden, Beta(2, 3) creeping,
/// Beta(2, 2) else. Sum 1.
void dk_prior_severity(dk_onset onset, int n, double *weight);
double dk_prior_severity_density(dk_onset onset, double severity);

// Share of hit count k of 1..most: 0.7 for one cylinder, the rest even.
double dk_prior_hits(int k, int most);

// Chance of a result of trying repair `efficacy` on something it mends (fully, in part) or does not.
double dk_prior_tried(dk_result result, double efficacy, bool mends, bool in_part);
