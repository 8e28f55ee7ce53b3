#pragma once
// The banks a trace stands on: one for each condition node, from the cache or built. Where the skipper says
// the air and the sea, there is one node, there; what he does not say is a weighted set of three.
#include "app/boat.h"
#include "catalog/observation.h"
#include "population/bank.h"
#include "population/bank_file.h"
#include <jansson.h>
#include <pthread.h>

enum
{
	DK_NODES_MOST = 3
};

// A pair of faults that was simulated for one of the banks; kept, for the same pair is asked for again. All
// are kept: an answer must not depend on what was asked before.
typedef struct dk_kept_pair
{
	int bank, a, b; // strata of that bank
	dk_stratum stratum;
	struct dk_kept_pair *next;
} dk_kept_pair;

typedef struct dk_banks
{
	dk_bank *bank[DK_NODES_MOST];
	double weight[DK_NODES_MOST];
	int count;
	bool air_said, sea_said;
	int threads, lanes;
	pthread_mutex_t lock; // over the kept pairs
	dk_kept_pair *pair;   // newest first
} dk_banks;

// How the banks are made.
typedef struct dk_banks_order
{
	const char *cache_folder; // NULL = not kept
	uint64_t seed;
	int threads, lanes, severities;
	const bool *without; // [fault_count] left out of the bank; NULL = none
	void (*progress)(void *context, int done, int total);
	void *context;
	const atomic_bool *cancel;
} dk_banks_order;

dk_banks_order dk_default_banks_order(void);

// The condition of each node and its weight, for what was said. Returns the number of nodes.
int dk_banks_nodes(const dk_said *said, dk_condition node[DK_NODES_MOST], double weight[DK_NODES_MOST]);

// Opens or builds them all. Progress counts over all nodes together.
dk_status dk_banks_open(
    const dk_boat *boat, const dk_said *said, const dk_banks_order *order, dk_banks **out, dk_error *error);
void dk_banks_close(dk_banks *banks);

// The same banks with the faults' moves exchanged within each system, for scoring; a view that `banks` must
// outlive. NULL = no memory.
dk_banks *dk_banks_exchanged(const dk_banks *banks);

// For dk_trace_input.simulate_pair: context is a dk_banks, a and b are strata of one fault each of that bank.
// NULL when the two can't be in one engine, or memory ran out.
const dk_stratum *dk_banks_pair(void *context, int bank, int a, int b);

// One hash over all banks, and the nodes as `inputs` shows them.
uint64_t dk_banks_hash(const dk_banks *banks);
json_t *dk_json_banks(const dk_banks *banks);
