#pragma once
// Every hypothesis weighed: strata of the bank and pairs of them, each over its engines and over the
// condition nodes, with the priors, and 'none of these' beside them.
#include "infer/prior.h"
#include "infer/trace.h"
#include "infer/weigh.h"

enum
{
	DK_PAIR_SCREEN = 16,    // engines of a pair that are tried first, with 8 draws each
	DK_PAIRS_WEIGHED = 48,  // pairs that are weighed in full, at most
	DK_ENGINES_ASKED = 1000 // engines looked at for the next check, about [ASSUMED-711]
};
#define DK_PAIR_LEAST 1e-4   // share that a pair must promise to be weighed in full [ASSUMED-702]
#define DK_ENGINE_LEAST 1e-5 // share under which an engine says nothing about the next check [ASSUMED-707]
#define DK_PAIR_SHOWN 0.10   // a pair is simulated before it is shown above this. Source: contract

// Engines with one set of faults and one count of hit cylinders.
typedef struct dk_cell
{
	int fault[3], fault_count;
	int stratum[2];               // in every bank; [1] -1 for a single
	int hit_count, n;             // n 0: a pair of which only the screen's evidence is kept
	double weight;                // prior, hits and --prior included
	double base;                  // the same without --prior; over all cells and dropped pairs they sum to 1
	double *severity;             // [n][2]
	double *severity_weight;      // [n], sum 1
	double *all;                  // [n] ln likelihood
	double *at_node;              // [bank][n] ln of the part of it that each node has, node weight included
	double *without;              // [lens][n]
	double *alone;                // [lens][n], not of pairs
	unsigned char *unsettled;     // [n]
	const dk_stratum **simulated; // [bank]; NULL: composed, or a single
	double log_evidence;          // ln of the mean likelihood over its engines
	double *log_without;          // [lens]
	int cause;
} dk_cell;

typedef struct dk_posterior
{
	const dk_trace_input *input;
	dk_arena *arena;
	dk_optics *optics;
	const dk_draws *draws;
	dk_scratch *scratch;
	dk_pose *pose;
	double *row;    // [2 lenses] room for one engine
	bool *possible; // [fault_count]
	dk_prior prior;
	double *log_node; // [bank] ln of the node's weight
	dk_view ***view;  // [bank][stratum] through the observations
	dk_cell *cell;    // healthy first, then singles, then pairs
	int cell_count, single_count, pairs_weighed, pairs_simulated;
	double *predictive;   // [lens] ln q_k of the mixture
	double log_none;      // ln of none_of_these' chance of everything
	double *share;        // [cell_count] of the whole
	double none, healthy; // shares
	double log_evidence;
	int cause_count;     // 0 = healthy, then the sets of faults in order of their cells
	double *cause_share; // [cause_count]
	int *cause_cell;     // [cause_count] first cell
} dk_posterior;

// Weighs everything. NULL bank: no cells.
dk_posterior *dk_posterior_of(const dk_trace_input *input, dk_arena *arena);

// The pose of engine i of a cell in bank b, through the lenses whose views are given ([stratum]).
void dk_posterior_pose(const dk_posterior *post, const dk_cell *cell, int bank, int i,
    const dk_optics *optics, dk_view *const *view, dk_pose *pose);

// Share of engine i of a cell in the whole; and of the same at one condition node.
double dk_posterior_engine(const dk_posterior *post, int cell, int i);
double dk_posterior_at_node(const dk_posterior *post, int cell, int i, int bank);

// A reading of engine i of a cell in bank b at a point, in its own unit, with z = 0, and its status there.
double dk_posterior_reading(
    const dk_posterior *post, const dk_cell *cell, int bank, int i, int point, int reading);
int dk_posterior_status(const dk_posterior *post, const dk_cell *cell, int bank, int i, int point);

/// What each item speaks for each cause: ln of the cause's likelihood with all, less ln without this one,
/// less the same of everything else together (so that it is the change in ln odds that the item made). Given:
/// items are the observations of the request, then its tried repairs Returns: ratio[cause][items], 0 for what
/// has no factor Source:  contract, Observation model
void dk_posterior_reasons(const dk_posterior *post, double *ratio);

/// ln of the evidence without each observation, less ln of all, corrected by what an unknown fault would make
/// of it. Above 3 nats: look at it again. Given: [lens_count]
void dk_posterior_misfit(const dk_posterior *post, double *nats);

// ln P(i) P(j) / P(i, j) over healthy and the singles, each observation by itself given the engine; + pulls
// apart.
double dk_posterior_pull(const dk_posterior *post, int lens_a, int lens_b);

/// 5 to 95 % of 200 replicates: Dirichlet weights over the engines of each cell, times exp(0.7 xi) a stratum,
/// more where engines did not settle. The stream: key (seed, hash of the fault ids), counter (engine,
/// replicate). Given:   seed Returns: low[cause_count], high[cause_count] Source:  contract, Observation
/// model
void dk_posterior_interval(const dk_posterior *post, uint64_t seed, double *low, double *high);
