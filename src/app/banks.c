// Condition nodes and the banks that belong to them.
#include "app/banks.h"
#include "base/hash.h"
#include "base/json.h"
#include "population/bank_pair.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double kZeroC = 273.15;

// nodes for a temperature that nobody said, 10 K apart, with their weights [ASSUMED-850]
static const double kNodeC[DK_NODES_MOST] = { 5, 15, 25 };
static const double kNodeWeight[DK_NODES_MOST] = { 0.25, 0.5, 0.25 };

// one z of the air and sea columns: half a node step, or the error of what the skipper said (contract)
static const double kUnsaidK = 5, kSaidK = 2;

dk_banks_order dk_default_banks_order(void)
{
	return (dk_banks_order){ .seed = 1, .threads = 2, .severities = DK_BANK_SEVERITIES };
}

int dk_banks_nodes(const dk_said *said, dk_condition node[DK_NODES_MOST], double weight[DK_NODES_MOST])
{
	const int count = said->air && said->sea ? 1 : DK_NODES_MOST;
	for (int i = 0; i < count; ++i)
	{
		node[i] = dk_default_condition();
		node[i].air_k = said->air ? said->air_k : kNodeC[i] + kZeroC;
		node[i].sea_k = said->sea ? said->sea_k : kNodeC[i] + kZeroC;
		if (said->pressure) node[i].pressure_pa = said->pressure_pa;
		if (said->humidity) node[i].humidity = said->humidity_share;
		if (said->soak) node[i].soak_h = said->soak_h;
		if (said->heel) node[i].heel_deg = said->heel_deg;
		weight[i] = count == 1 ? 1 : kNodeWeight[i];
	}
	return count;
}

// progress of one node within all
typedef struct share_of_progress
{
	const dk_banks_order *order;
	int node, nodes;
} share_of_progress;

static void pass_on(void *context, int done, int total)
{
	const share_of_progress *share = context;
	if (share->order->progress)
		share->order->progress(share->order->context, share->node * total + done, share->nodes * total);
}

// faults that this boat can't have, or that were left out on request; the caller frees it
static unsigned char *left_out(const dk_boat *boat, const bool *without)
{
	unsigned char *out = calloc((size_t)boat->catalog->fault_count + 1, 1);
	if (!out) return NULL;
	for (int i = 0; i < boat->catalog->fault_count; ++i)
		out[i] = !boat->fault_possible[i] || (without && without[i]);
	return out;
}

static dk_status open_nodes(const dk_boat *boat, const dk_said *said, const dk_banks_order *order,
    const unsigned char *out, dk_banks *banks, dk_error *error)
{
	dk_condition node[DK_NODES_MOST];
	const int nodes = dk_banks_nodes(said, node, banks->weight);
	for (int i = 0; i < nodes; ++i)
	{
		share_of_progress share = { order, i, nodes };
		dk_bank_request request = dk_default_bank_request();
		request.breaking = boat->breaking;
		request.left_out = out;
		request.base = boat->record.param;
		request.fitted = boat->record.fitted;
		request.node = node[i];
		request.air_scale_k = said->air ? kSaidK : kUnsaidK;
		request.sea_scale_k = said->sea ? kSaidK : kUnsaidK;
		request.severities = order->severities;
		request.seed = order->seed;
		request.model_version = dk_model_version;
		request.present = boat->present;
		request.threads = order->threads;
		request.lanes = order->lanes;
		request.progress = pass_on;
		request.context = &share;
		request.cancel = order->cancel;
		DK_TRY(dk_bank_open(&request, order->cache_folder, boat->record.id, &banks->bank[i], NULL, error));
		banks->count = i + 1;
	}
	return DK_OK;
}

dk_status dk_banks_open(
    const dk_boat *boat, const dk_said *said, const dk_banks_order *order, dk_banks **out, dk_error *error)
{
	dk_banks *banks = calloc(1, sizeof *banks);
	if (!banks) return dk_error_set(error, DK_NO_MEMORY, "no memory for the banks");
	pthread_mutex_init(&banks->lock, NULL);
	banks->air_said = said->air;
	banks->sea_said = said->sea;
	banks->threads = order->threads;
	banks->lanes = order->lanes;
	unsigned char *without = left_out(boat, order->without);
	const dk_status status = without ? open_nodes(boat, said, order, without, banks, error)
	                                 : dk_error_set(error, DK_NO_MEMORY, "no memory for the banks");
	free(without);
	if (status != DK_OK)
	{
		dk_banks_close(banks);
		return status;
	}
	*out = banks;
	return DK_OK;
}

dk_banks *dk_banks_exchanged(const dk_banks *banks)
{
	dk_banks *view = calloc(1, sizeof *view);
	if (!view) return NULL;
	pthread_mutex_init(&view->lock, NULL);
	view->air_said = banks->air_said;
	view->sea_said = banks->sea_said;
	view->threads = banks->threads;
	view->lanes = banks->lanes;
	for (int i = 0; i < banks->count; ++i)
	{
		view->weight[i] = banks->weight[i];
		view->bank[i] = dk_bank_exchanged(banks->bank[i]);
		if (!view->bank[i])
		{
			dk_banks_close(view);
			return NULL;
		}
		view->count = i + 1;
	}
	return view;
}

void dk_banks_close(dk_banks *banks)
{
	if (!banks) return;
	for (dk_kept_pair *kept = banks->pair, *next; kept; kept = next)
	{
		next = kept->next;
		dk_stratum_free(&kept->stratum);
		free(kept);
	}
	for (int i = 0; i < DK_NODES_MOST; ++i) dk_bank_free(banks->bank[i]);
	pthread_mutex_destroy(&banks->lock);
	free(banks);
}

// runs a pair and keeps it; NULL when it can't be. The lock is held.
static const dk_stratum *simulate(dk_banks *banks, int bank, int a, int b)
{
	if (!dk_bank_can_pair(banks->bank[bank], a, b)) return NULL;
	dk_kept_pair *kept = calloc(1, sizeof *kept);
	if (!kept) return NULL;
	if (dk_bank_simulate(banks->bank[bank], a, b, banks->threads, banks->lanes, &kept->stratum) != DK_OK)
	{
		free(kept);
		return NULL;
	}
	kept->bank = bank;
	kept->a = a;
	kept->b = b;
	kept->next = banks->pair;
	banks->pair = kept;
	return &kept->stratum;
}

const dk_stratum *dk_banks_pair(void *context, int bank, int a, int b)
{
	dk_banks *banks = context;
	const dk_stratum *found = NULL;
	pthread_mutex_lock(&banks->lock);
	for (const dk_kept_pair *kept = banks->pair; kept && !found; kept = kept->next)
		if (kept->bank == bank && kept->a == a && kept->b == b) found = &kept->stratum;
	if (!found) found = simulate(banks, bank, a, b);
	pthread_mutex_unlock(&banks->lock);
	return found;
}

uint64_t dk_banks_hash(const dk_banks *banks)
{
	uint64_t hash = 0;
	for (int i = 0; i < banks->count; ++i) hash = hash * 1099511628211ULL ^ banks->bank[i]->hash;
	return hash;
}

json_t *dk_json_banks(const dk_banks *banks)
{
	json_t *out = json_array();
	for (int i = 0; i < banks->count; ++i)
	{
		json_t *row = json_object();
		json_object_set_new(row, "id", dk_json_text("condition"));
		json_object_set_new(row, "air_degc", dk_json_number(banks->bank[i]->node.air_k - kZeroC));
		json_object_set_new(row, "sea_degc", dk_json_number(banks->bank[i]->node.sea_k - kZeroC));
		json_object_set_new(row, "air_said", json_boolean(banks->air_said));
		json_object_set_new(row, "sea_said", json_boolean(banks->sea_said));
		json_object_set_new(row, "weight", dk_json_number(banks->weight[i]));
		json_array_append_new(out, row);
	}
	return out;
}
