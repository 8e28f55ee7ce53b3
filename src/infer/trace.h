#pragma once
// One trace: what was seen, measured and tried goes in; ranked causes, the next checks and questions, red
// rules and what the engine may still do come out. Stateless and pure: the same input gives the same bytes,
// whatever the order of the observations. Works without a bank too: then only red rules, groups and may
// answer. All strings and arrays of the answer live in the arena, or in the catalogue.
#include "base/arena.h"
#include "base/status.h"
#include "catalog/observation.h"
#include "population/bank.h"
#include <stdbool.h>
#include <stdint.h>

// ---- what goes in

// What the cranking account says (app computes it with the plant's flood functions, over all tries).
typedef struct dk_crank_account
{
	bool known; // false: nobody has computed it; crank is then 'limit' at the shortest published figure
	double
	    seconds_left; // the smaller of the manual's figure and one third of the lower (5 %) computed time [s]
	const char *source; // where the figure comes from, in words
} dk_crank_account;

// Gives a simulated pair (dk_bank_simulate) of two single-fault strata of bank number `bank`, or NULL when it
// can't. Called only for pairs that would be shown above 10 %. The stratum must outlive the call of
// dk_trace; the caller keeps it (and should cache it: the same pair is asked for again at the next answer).
typedef const dk_stratum *dk_pair_simulate(void *context, int bank, int stratum_a, int stratum_b);

// Start from dk_default_trace_input(); fill catalog, request and, if there is one, banks.
typedef struct dk_trace_input
{
	const dk_catalog *catalog;
	const dk_request *request; // where, engine, air, sea, observations, tools aboard, what can't be done

	const dk_bank *const *bank;      // condition nodes of this engine, all with the same strata
	const double *bank_weight;       // [bank_count], prior weight of each node; NULL = even
	int bank_count;                  // 0: no bank yet
	double z_scale_air, z_scale_sea; // multiply the bank's air and sea columns: 1 where the skipper did not
	                                 // say (half a node step), 2 K over half a node step where he did

	const dk_installation *installation; // what is aboard: drops faults, signs and checks; NULL = everything
	const double *prior_factor;          // [fault_count] --prior; NULL = 1
	const bool *without;                 // [fault_count] --without; NULL = none
	bool flat_priors;                    // --flat-priors: every fault alike

	const double *place_minutes; // [DK_PLACE_COUNT] trip there and back; NULL = the table of infer/next.h
	dk_crank_account crank;
	double rated_rpm; // for max_rpm and limp

	dk_pair_simulate *simulate_pair; // NULL: pairs stay composed and are held at 10 %
	void *simulate_context;
	uint64_t seed;             // of the replicates behind low..high
	int next_limit, ask_limit; // how many checks and questions are listed; 0 = all with an effect
} dk_trace_input;

dk_trace_input dk_default_trace_input(void);

// ---- what comes out

typedef struct dk_why
{
	int observation;  // index into request->observation; from observation_count on: into request->tried
	double log_ratio; // nats, + speaks for the cause
} dk_why;

// One hypothesis: a fault, or two or three at once. Causes are ordered by the rank of their group. The last
// one may be DK_OTHER_PAIRS: what is left for all pairs that are too unlikely to be listed (fault_count 0,
// low and high NaN).
#define DK_OTHER_PAIRS "other_pairs"
typedef struct dk_cause
{
	const char *id;                // "a" or "a+b", ids in order
	int fault[3], fault_count;     // indices into the catalogue
	int group;                     // index into answer->group
	double probability, low, high; // low..high 90 %
	double severity_low, severity_mid,
	    severity_high;         // 5, 50, 95 % of the first fault's severity (pairs: the mean)
	const char *severity_text; // in the part's own measure
	const dk_why *why;         // by |log_ratio|, largest first
	int why_count;
	bool composed;    // a pair that was not simulated
	double unsettled; // share of its weight from engines that did not settle
} dk_cause;

// Faults that can't be told apart from here; most groups hold one fault.
typedef struct dk_trace_group
{
	const char *id;   // of its first fault
	const int *fault; // indices
	int fault_count;
	const char *repair; // of its likeliest fault
	double probability; // marginal: of every cause that holds one of its faults
} dk_trace_group;

typedef struct dk_chance
{
	const char *id, *text;
	double chance;    // of this answer, before it is given
	double low, high; // a band of a reading, in its unit; NaN where open, and for signs
} dk_chance;

typedef struct dk_ask
{
	int sign, point; // DK_POINT_...
	const dk_chance *answer;
	int answer_count;
	double bits, bits_per_minute;
} dk_ask;

typedef struct dk_next
{
	int check, point;
	double bits, bits_per_minute, expected_cost, minutes; // cost and minutes in minutes; the trip is in both
	const dk_chance *answer; // of a reading: the five bands between predictive quantiles
	int answer_count;
	const int *gate; // gates that stand before it and are not answered yet
	int gate_count;
	const int *shares_cover_with; // other checks under the same cover
	int shares_count;
	const char *held_back; // NULL: may be done now; else why not (a red rule, the place, a tool, the ladder)
} dk_next;

typedef struct dk_red
{
	int rule;          // index into the catalogue, -1 = none holds
	const char *order; // what to do, for this place
	const char *const *then;
	int then_count;
	const int *waiting; // other rules that hold too
	int waiting_count;
} dk_red;

typedef enum dk_may_crank
{
	DK_CRANK_YES,
	DK_CRANK_NO,
	DK_CRANK_LIMIT
} dk_may_crank;
typedef enum dk_may_run
{
	DK_RUN_STOP_NOW,
	DK_RUN_WITHIN_MINUTES,
	DK_RUN_LIMP,
	DK_RUN_CARRY_ON,
	DK_RUN_NOT_RESOLVED
} dk_may_run;
extern const char *const dk_may_crank_text[3];
extern const char *const dk_may_run_text[5];

typedef struct dk_because
{
	const char *reading; // id, or the id of a red rule
	double limit;        // in the reading's unit; NaN where there is none
	const char *source;
} dk_because;

typedef struct dk_may
{
	dk_may_crank crank;
	double crank_seconds;
	dk_may_run run;
	double minutes; // NaN: more than an hour
	double max_rpm;
	double unknown; // share of none_of_these
	double hurt; // share of the known weight beyond a limit that can't be undone, somewhere up to full ahead
	const char *price_of_running;
	const dk_because *because;
	int because_count;
} dk_may;

typedef struct dk_conflict
{
	int a, b; // observations; b = -1: a reading that stands alone against the rest
	double nats;
} dk_conflict;

typedef struct dk_trace_answer
{
	const dk_cause *cause;
	int cause_count;
	const dk_trace_group *group; // by marginal probability
	int group_count;
	const double *marginal;        // [fault_count]
	double healthy, none_of_these; // sum of causes + healthy + none_of_these = 1
	const dk_ask *ask;
	int ask_count;
	const dk_next *next;
	int next_count;
	dk_red red;
	dk_may may;
	const dk_conflict *conflict;
	int conflict_count;
	const int *order;         // [observation_count] canonical order of the observations, for inputs[]
	double log_evidence;      // of all observations, natural log
	double effective_engines; // of the whole bank
	int pairs_weighed, pairs_simulated;
} dk_trace_answer;

// Given:   input as above
// Returns: DK_OK and the answer; or a status, with the error filled and the answer untouched: an observation
//          of an id, point, answer or unit that the catalogue does not know, or a reading out of its range.
dk_status dk_trace(const dk_trace_input *input, dk_arena *arena, dk_trace_answer *answer, dk_error *error);
