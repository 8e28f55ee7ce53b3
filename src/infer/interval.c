// The spread of each cause's share: see dk_posterior_interval in posterior.h.
#include "infer/mix.h"
#include "infer/posterior.h"
#include "num/philox.h"
#include "num/quantile.h"
#include <math.h>
#include <string.h>

enum
{
	REPLICATES = 200
};

// model error of a stratum's evidence, natural logarithm. Source: contract, Observation model
#define MODEL_ERROR 0.7

// cells below this share keep even weights on their engines: their spread is the model's [ASSUMED-710]
#define SMALL 1e-3

// (seed, faults of the cell): no other cell's draws depend on this one's
static dk_stream cell_stream(const dk_posterior *post, const dk_cell *cell, uint64_t seed)
{
	dk_stream stream = dk_stream_of((uint32_t)(seed ^ seed >> 32), "interval");
	for (int k = 0; k < cell->fault_count; ++k)
		stream.name = stream.name * 31 + dk_stream_of(0, post->input->catalog->fault[cell->fault[k]].id).name;
	stream.name = stream.name * 31 + (uint32_t)cell->hit_count;
	return stream;
}

static double unsettled_share(const dk_cell *cell)
{
	double sum = 0, all = 0;
	for (int i = 0; i < cell->n; ++i)
	{
		const double w = cell->severity_weight[i] * exp(cell->all[i] - cell->log_evidence);
		all += w;
		sum += cell->unsettled[i] ? w : 0;
	}
	return all > 0 ? sum / all : 0;
}

// The mean likelihood of one cell with other weights on its engines, over that with even ones.
// Dirichlet weights are exponential numbers over their sum; four to a block of the random stream.
static double reweighted(const dk_cell *cell, dk_stream stream, int r, const double *relative)
{
	double sum = 0, all = 0;
	const uint32_t key[2] = { stream.seed, stream.name };
	for (int i = 0; i < cell->n; i += 4)
	{
		const uint32_t counter[4] = { (uint32_t)i, (uint32_t)r, 1, 0 };
		uint32_t word[4];
		dk_philox(counter, key, word);
		for (int k = 0; k < 4 && i + k < cell->n; ++k)
		{
			const double g = -log((word[k] + 0.5) / 4294967296.0) * cell->severity_weight[i + k];
			sum += g * relative[i + k];
			all += g;
		}
	}
	return sum / all;
}

// The weight of one cell in each replicate. Pairs of which only the screen is known stay as they are.
static void replicates(
    const dk_posterior *post, const dk_cell *cell, double share, uint64_t seed, double *weight)
{
	for (int r = 0; r < REPLICATES; ++r) weight[r] = share;
	if (cell->n == 0 || !(share > 0)) return;
	const dk_stream stream = cell_stream(post, cell, seed);
	const double doubt = unsettled_share(cell);
	double *relative = dk_arena_array(post->arena, (size_t)cell->n, sizeof *relative);
	for (int i = 0; i < cell->n; ++i) relative[i] = exp(cell->all[i] - cell->log_evidence);
	for (int r = 0; r < REPLICATES; ++r)
	{
		weight[r] *= exp(MODEL_ERROR * (1 + doubt) * dk_stream_normal(stream, 0, (uint32_t)r));
		if (share > SMALL) weight[r] *= reweighted(cell, stream, r, relative);
	}
}

void dk_posterior_interval(const dk_posterior *post, uint64_t seed, double *low, double *high)
{
	const int causes = post->cause_count;
	double *sample = dk_arena_array(post->arena, (size_t)(causes + 1) * REPLICATES, sizeof *sample);
	double all[REPLICATES], weight[REPLICATES];
	int order[REPLICATES];
	const dk_stream none = dk_stream_of((uint32_t)(seed ^ seed >> 32), "none_of_these");
	for (int r = 0; r < REPLICATES; ++r)
		all[r] = post->none * exp(MODEL_ERROR * dk_stream_normal(none, 0, (uint32_t)r));
	for (int c = 0; c < post->cell_count; ++c)
	{
		replicates(post, &post->cell[c], post->share[c], seed, weight);
		for (int r = 0; r < REPLICATES; ++r)
		{
			sample[post->cell[c].cause * REPLICATES + r] += weight[r];
			all[r] += weight[r];
		}
	}
	for (int k = 0; k < causes; ++k)
	{
		low[k] = high[k] = post->cause_share[k];
		if (post->cell[post->cause_cell[k]].n == 0) continue;
		for (int r = 0; r < REPLICATES; ++r) sample[k * REPLICATES + r] /= all[r];
		low[k] = dk_quantile(&sample[k * REPLICATES], NULL, REPLICATES, 0.05, order);
		high[k] = dk_quantile(&sample[k * REPLICATES], NULL, REPLICATES, 0.95, order);
	}
}
