#include "population/bank_pair.h"
#include "population/bank_store.h"
#include "population/draw.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

bool dk_bank_can_pair(const dk_bank *bank, int a, int b)
{
	const dk_stratum *x = &bank->stratum[a], *y = &bank->stratum[b];
	if (x->fault_count != 1 || y->fault_count != 1 || x->fault[0] == y->fault[0]) return false;
	return x->hit_count == 0 || y->hit_count == 0 || x->hit_count == y->hit_count;
}

void dk_bank_pair_severity(const dk_bank *bank, int a, int b, int i, double severity[2])
{
	const char *id_a = bank->breaking->fault[bank->stratum[a].fault[0]].id;
	const char *id_b = bank->breaking->fault[bank->stratum[b].fault[0]].id;

	// always drawn in the order of the ids, so that (a, b) and (b, a) are the same engines
	const bool turned = strcmp(id_a, id_b) > 0;
	double drawn[2];
	dk_draw_pair(bank->seed, turned ? id_b : id_a, turned ? id_a : id_b, i, drawn);
	severity[0] = drawn[turned];
	severity[1] = drawn[!turned];
}

double dk_bank_pair_at(
    const dk_bank *bank, int a, int b, int point, int reading, double severity_a, double severity_b)
{
	return dk_bank_at(bank, &bank->stratum[a], point, reading, severity_a) +
	       dk_bank_at(bank, &bank->stratum[b], point, reading, severity_b) -
	       dk_bank_at(bank, &bank->stratum[0], point, reading, 0);
}

// a pair with its arrays empty but for the severities
static dk_status pair_new(const dk_bank *bank, int a, int b, dk_stratum *out)
{
	const dk_stratum *x = &bank->stratum[a], *y = &bank->stratum[b];
	dk_stratum pair = { .fault = { x->fault[0], y->fault[0] },
		.fault_count = 2,
		.hit_count = x->hit_count > y->hit_count ? x->hit_count : y->hit_count,
		.n = DK_BANK_SEVERITIES,
		.part = { a, b } };
	void *block = calloc(1, dk_stratum_bytes(pair.n, false));
	if (!block) return DK_NO_MEMORY;
	dk_stratum_place(&pair, false, block);
	for (int i = 0; i < pair.n; ++i)
	{
		double severity[2];
		dk_bank_pair_severity(bank, a, b, i, severity);
		pair.severity[3 * i] = (float)severity[0];
		pair.severity[3 * i + 1] = (float)severity[1];
	}
	*out = pair;
	return DK_OK;
}

// the worse of the engines on both sides of a severity: not settled, then not reached, then reached
static int status_at(const dk_stratum *stratum, int point, double severity)
{
	static const int kWorse[] = { [DK_REACHED] = 0, [DK_NOT_REACHED] = 1, [DK_NOT_SETTLED] = 2 };
	int worst = DK_REACHED;
	const int low = (int)floor(severity * stratum->n - 0.5);
	for (int i = low; i <= low + 1; ++i)
	{
		if (i < 0 || i >= stratum->n) continue;
		const int status = dk_stratum_status(stratum, point, i);
		if (kWorse[status] > kWorse[worst]) worst = status;
	}
	return worst;
}

static int worse_of(int a, int b)
{
	if (a == DK_NOT_SETTLED || b == DK_NOT_SETTLED) return DK_NOT_SETTLED;
	return a == DK_NOT_REACHED || b == DK_NOT_REACHED ? DK_NOT_REACHED : DK_REACHED;
}

dk_status dk_bank_compose(const dk_bank *bank, int a, int b, dk_stratum *out)
{
	dk_stratum pair;
	const dk_status status = pair_new(bank, a, b, &pair);
	if (status != DK_OK) return status;
	for (int point = 0; point < DK_POINT_COUNT; ++point)
		for (int i = 0; i < pair.n; ++i)
		{
			const double s_a = pair.severity[3 * i], s_b = pair.severity[3 * i + 1];
			pair.status[point * pair.n + i] = (unsigned char)worse_of(
			    status_at(&bank->stratum[a], point, s_a), status_at(&bank->stratum[b], point, s_b));
			for (int r = 0; r < DK_READING_COUNT; ++r)
				pair.reading[((size_t)point * DK_READING_COUNT + r) * pair.n + i] =
				    (float)dk_reading_restore(r, dk_bank_pair_at(bank, a, b, point, r, s_a, s_b));
		}
	*out = pair;
	return DK_OK;
}

// ---------------------------------------------------------------- simulated

typedef struct pair_build
{
	const dk_bank *bank;
	dk_stratum *pair;
	dk_bench *bench; // [threads]
	int lanes;
} pair_build;

static bool simulate_one(void *context, int thread, int index)
{
	pair_build *all = context;
	long bad = 0;
	dk_bank_run(all->bank, all->pair, index, all->lanes, &all->bench[thread], &bad);
	return true;
}

dk_status dk_bank_simulate(const dk_bank *bank, int a, int b, int threads, int lanes, dk_stratum *out)
{
	dk_stratum pair;
	dk_bench bench[DK_POINT_COUNT];
	const dk_status status = pair_new(bank, a, b, &pair);
	if (status != DK_OK) return status;

	// a thread a point at most; with less memory, fewer
	int opened = 0;
	while (opened < DK_POINT_COUNT && opened < threads && dk_bench_open(&bench[opened], pair.n)) ++opened;
	if (opened > 0)
	{
		pair_build all = { .bank = bank, .pair = &pair, .bench = bench, .lanes = lanes };
		dk_jobs_run(DK_POINT_COUNT, opened, simulate_one, &all);
	}
	const bool done = opened > 0;
	while (opened > 0) dk_bench_close(&bench[--opened]);
	if (!done)
	{
		dk_stratum_free(&pair);
		return DK_NO_MEMORY;
	}
	*out = pair;
	return DK_OK;
}

void dk_stratum_free(dk_stratum *stratum)
{
	// the severities stand first in the block
	free(stratum->severity);
	stratum->severity = NULL;
}
