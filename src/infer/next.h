#pragma once
// What to look at next: the information each check and each question would give about what to repair, per
// minute with the trip to get there; gates first; nothing that a red rule, the place, a tool or the ladder of
// money forbids.
#include "infer/posterior.h"

#define DK_ASK_MINUTES (10.0 / 60) // a question. Source: contract
#define DK_CRANK_REST 3.0          // seconds of rest a second of starter asks for [BCV30] 10 s on, 30 s off
#define DK_BANDS 5                 // bands of a reading, between predictive quantiles. Source: contract
// weight beyond a limit that can't be undone, from which nothing is asked at full speed [ASSUMED-713]
#define DK_HURT_SHARE 0.25
#define DK_CONFIRM_SHARE                                                                                     \
	0.75 // a repair with more of what is known is looked at before it is made [ASSUMED-712]
#define DK_LADDER_SHARE 0.05 // an untested cause above this keeps big removals back. Source: catalogue
#define DK_LADDER_MINUTES 15 // when its test costs less than this
#define DK_YARD_MINUTES 480  // what an unknown fault costs, in minutes of the skipper's day [ASSUMED-705]
#define DK_NO_ROOM_MINUTES 3 // longest check with no room to drift [ASSUMED-706]

// What is to be told apart: one class a repair of the groups, then healthy, then none of these.
typedef struct dk_classes
{
	int count;              // repairs in use + 2
	const int *of_fault;    // [fault_count] class, -1 for an impossible fault
	const double *share;    // [fault_count] marginal, by which a pair is counted to one of its faults
	const double *minutes;  // [count] of the repair
	const double *efficacy; // [count]
} dk_classes;

// Trip there and back when nobody has set it, minutes: cockpit, engine face, back, aft, outlet. [ASSUMED-704]
extern const double dk_place_minutes[DK_PLACE_COUNT];

/// Lists checks and questions.
/// Returns: next[] and ask[] of the answer; both in order of bits per minute, held-back checks last
/// Source:  contract, Observation model: bits of a check
void dk_next_of(const dk_posterior *post, const dk_classes *classes, const dk_red *red, dk_arena *arena,
    dk_trace_answer *answer);

/// Expected minutes of repairing by the order of chance over cost, then the yard.
/// Given:   share [count] of each class, the last two healthy and none of these
/// Source:  [KADANE77] p/c order is optimal for one fault and independent repairs
double dk_next_repair_cost(const dk_classes *classes, const double *share);

// Why a check may not be done now, in words; NULL when it may. `runs`: the engine can be run and cranked.
const char *dk_next_held(
    const dk_trace_input *input, const dk_red *red, const dk_check *check, dk_arena *arena);
