// Runs the engines of a bank: batches in threads, and sensitivities from their differences.
#include "population/bank.h"
#include "population/bank_group.h"
#include "population/bank_store.h"
#include <math.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

enum
{
	MOST_THREADS = 64,
	RUNS_A_KNOT = DK_BANK_SIDES * DK_Z_COUNT
};

// ---------------------------------------------------------------- room for a batch

bool dk_bench_open(dk_bench *bench, int engines)
{
	const size_t n = (size_t)engines;
	const size_t doubles = n * (DK_PARAM_COUNT + 2 + DK_READING_COUNT);
	*bench = (dk_bench){ .block = calloc(doubles * sizeof(double) + n, 1) };
	if (!bench->block) return false;
	bench->param = bench->block;
	bench->air_k = bench->param + n * DK_PARAM_COUNT;
	bench->sea_k = bench->air_k + n;
	bench->reading = bench->sea_k + n;
	bench->status = (unsigned char *)(bench->reading + n * DK_READING_COUNT);
	return true;
}

void dk_bench_close(dk_bench *bench)
{
	free(bench->block);
}

// ---------------------------------------------------------------- one stratum at one point

// knots that are run: a stratum of one engine has its eight at one place
static int knots_run(int n)
{
	return n == 1 ? 1 : DK_BANK_KNOTS;
}

int dk_bank_run_engines(int n, bool with_jac)
{
	return n + (with_jac ? knots_run(n) * RUNS_A_KNOT : 0);
}

// place in the batch of the engine moved by z of column `z` at a knot; the stratum's own engines come first
static int moved_engine(int n, int knot, int side, int z)
{
	return n + (knot * DK_BANK_SIDES + side) * DK_Z_COUNT + z;
}

static void put_engine(dk_bench *bench, int engines, int at, const double *param, double air_k, double sea_k)
{
	for (int p = 0; p < DK_PARAM_COUNT; ++p) bench->param[(size_t)p * engines + at] = param[p];
	bench->air_k[at] = air_k;
	bench->sea_k[at] = sea_k;
}

// the stratum's engines, then those of its knots moved by one z each
static void fill_bench(const dk_bank *bank, const dk_stratum *stratum, int engines, dk_bench *bench)
{
	double param[DK_PARAM_COUNT];
	const double air_k = bank->node.air_k, sea_k = bank->node.sea_k;
	for (int i = 0; i < stratum->n; ++i)
	{
		dk_bank_engine(bank, stratum, i, param);
		put_engine(bench, engines, i, param, air_k, sea_k);
	}
	for (int knot = 0; stratum->jac && knot < knots_run(stratum->n); ++knot)
		for (int side = 0; side < DK_BANK_SIDES; ++side)
			for (int z = 0; z < DK_Z_COUNT; ++z)
			{
				// what is unknown is unknown of the healthy engine: it moves first, then breaks
				const double step = side == 0 ? -1 : 1;
				memcpy(param, bank->base, sizeof param);
				dk_breaking_spread(param, z, step, bank->fitted);
				dk_stratum_break(bank, stratum, dk_bank_knot(stratum->n, knot), param);
				put_engine(bench, engines, moved_engine(stratum->n, knot, side, z), param,
				    air_k + (z == DK_Z_AIR_TEMPERATURE ? step * bank->air_scale_k : 0),
				    sea_k + (z == DK_Z_SEA_TEMPERATURE ? step * bank->sea_scale_k : 0));
			}
}

// an engine that gave something that is no number did not settle, and the number is held to the row's range
static long mend_readings(int point, int engines, dk_bench *bench)
{
	long bad = 0;
	for (int i = 0; i < engines; ++i)
	{
		bool good = true;
		for (int r = 0; r < DK_READING_COUNT; ++r)
		{
			double *x = &bench->reading[(size_t)r * engines + i];
			if (isfinite(*x)) continue;
			good = good && !(dk_reading_info[r].points & (1u << point));
			*x = *x < 0 ? dk_reading_info[r].floor : dk_reading_info[r].cap;
		}
		if (good) continue;
		bench->status[i] = DK_NOT_SETTLED;
		++bad;
	}
	return bad;
}

// one slope, or NAN when one of the two engines did not settle
static double slope_of(
    const dk_stratum *stratum, const dk_bench *bench, int engines, int reading, int knot, int side, int z)
{
	const int base = dk_bank_knot(stratum->n, knot), moved = moved_engine(stratum->n, knot, side, z);
	if (bench->status[base] == DK_NOT_SETTLED || bench->status[moved] == DK_NOT_SETTLED) return NAN;
	const double *x = &bench->reading[(size_t)reading * engines];
	const double difference =
	    dk_reading_transform(reading, x[moved]) - dk_reading_transform(reading, x[base]);
	return side == 0 ? -difference : difference;
}

// fills the gaps of one column: by the other side, else by the nearest knot, else 0
static void mend_column(double slope[DK_BANK_SIDES][DK_BANK_KNOTS])
{
	double mended[DK_BANK_SIDES][DK_BANK_KNOTS];
	for (int side = 0; side < DK_BANK_SIDES; ++side)
		for (int k = 0; k < DK_BANK_KNOTS; ++k)
			mended[side][k] = isnan(slope[side][k]) ? slope[!side][k] : slope[side][k];
	for (int side = 0; side < DK_BANK_SIDES; ++side)
		for (int k = 0; k < DK_BANK_KNOTS; ++k)
		{
			slope[side][k] = mended[side][k];
			for (int away = 1; isnan(slope[side][k]) && away < DK_BANK_KNOTS; ++away)
			{
				if (k >= away) slope[side][k] = mended[side][k - away];
				if (isnan(slope[side][k]) && k + away < DK_BANK_KNOTS)
					slope[side][k] = mended[side][k + away];
			}
			if (isnan(slope[side][k])) slope[side][k] = 0;
		}
}

static void store_jac(dk_stratum *stratum, int point, int engines, const dk_bench *bench)
{
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		if (!(dk_reading_info[r].points & (1u << point))) continue;
		for (int z = 0; z < DK_Z_COUNT; ++z)
		{
			double slope[DK_BANK_SIDES][DK_BANK_KNOTS];
			for (int side = 0; side < DK_BANK_SIDES; ++side)
				for (int k = 0; k < DK_BANK_KNOTS; ++k)
					slope[side][k] =
					    slope_of(stratum, bench, engines, r, k < knots_run(stratum->n) ? k : 0, side, z);
			mend_column(slope);
			for (int side = 0; side < DK_BANK_SIDES; ++side)
				for (int k = 0; k < DK_BANK_KNOTS; ++k)
					((float *)dk_stratum_jac(stratum, side, z, point, r))[k] = (float)slope[side][k];
		}
	}
}

long dk_bank_run(const dk_bank *bank, dk_stratum *stratum, int point, int lanes, dk_bench *bench, long *bad)
{
	const int engines = dk_bank_run_engines(stratum->n, stratum->jac != NULL);
	fill_bench(bank, stratum, engines, bench);
	dk_batch batch = { .count = engines,
		.param = bench->param,
		.air_k = bench->air_k,
		.sea_k = bench->sea_k,
		.condition = bank->node,
		.point = point,
		.lever = bank->cruise_lever,
		.reading = bench->reading,
		.status = bench->status };
	dk_batch_run(&batch, lanes);
	*bad += mend_readings(point, engines, bench);
	for (int i = 0; i < stratum->n; ++i)
	{
		stratum->status[(size_t)point * stratum->n + i] = bench->status[i];
		for (int r = 0; r < DK_READING_COUNT; ++r)
			stratum->reading[((size_t)point * DK_READING_COUNT + r) * stratum->n + i] =
			    (float)bench->reading[(size_t)r * engines + i];
	}
	if (stratum->jac) store_jac(stratum, point, engines, bench);
	return batch.cycles;
}

// ---------------------------------------------------------------- threads

typedef struct crew
{
	dk_job_fn *job;
	void *context;
	int count;
	atomic_int next;
	atomic_bool stop;
} crew;

typedef struct hand
{
	crew *crew;
	int number;
	pthread_t thread;
} hand;

static void *work(void *argument)
{
	const hand *me = argument;
	crew *all = me->crew;
	while (!atomic_load(&all->stop))
	{
		const int index = atomic_fetch_add(&all->next, 1);
		if (index >= all->count) break;
		if (!all->job(all->context, me->number, index)) atomic_store(&all->stop, true);
	}
	return NULL;
}

bool dk_jobs_run(int count, int threads, dk_job_fn *job, void *context)
{
	crew all = { .job = job, .context = context, .count = count };
	hand hands[MOST_THREADS];
	int started = 0;
	if (threads > MOST_THREADS) threads = MOST_THREADS;

	// a thread that can't be had leaves its share to the others
	for (int t = 1; t < threads && t < count; ++t)
	{
		hands[t] = (hand){ .crew = &all, .number = t };
		if (pthread_create(&hands[t].thread, NULL, work, &hands[t])) break;
		started = t;
	}
	hands[0] = (hand){ .crew = &all };
	work(&hands[0]);
	for (int t = 1; t <= started; ++t) pthread_join(hands[t].thread, NULL);
	return !atomic_load(&all.stop);
}

// ---------------------------------------------------------------- the whole bank

typedef struct build
{
	const dk_bank_request *request;
	dk_bank *bank;
	dk_bench *bench;      // [threads]
	pthread_mutex_t lock; // over done, cycles, bad and the caller's progress
	int done, total;
	long cycles, bad;
} build;

// one stratum at one point
static bool build_one(void *context, int thread, int index)
{
	build *all = context;
	const dk_bank_request *request = all->request;
	if (request->cancel && atomic_load(request->cancel)) return false;
	dk_stratum *stratum = &all->bank->stratum[index / DK_POINT_COUNT];
	long bad = 0;
	const long cycles =
	    dk_bank_run(all->bank, stratum, index % DK_POINT_COUNT, request->lanes, &all->bench[thread], &bad);
	pthread_mutex_lock(&all->lock);
	all->done += dk_bank_run_engines(stratum->n, true);
	all->cycles += cycles;
	all->bad += bad;
	if (request->progress) request->progress(request->context, all->done, all->total);
	pthread_mutex_unlock(&all->lock);
	return true;
}

static dk_status build_all(const dk_bank_request *request, dk_bank *bank, dk_error *error)
{
	dk_bench bench[MOST_THREADS];
	int opened = 0;
	while (opened < request->threads &&
	       dk_bench_open(&bench[opened], dk_bank_run_engines(request->severities, true)))
		++opened;
	dk_status status = opened > 0 ? DK_OK : DK_NO_MEMORY;
	if (opened > 0)
	{
		build all = { .request = request,
			.bank = bank,
			.bench = bench,
			.lock = PTHREAD_MUTEX_INITIALIZER,
			.total = dk_bank_engines(request) };
		if (!dk_jobs_run(bank->stratum_count * DK_POINT_COUNT, opened, build_one, &all))
			status = DK_CANCELLED;
		bank->cycles = all.cycles;
		bank->bad = all.bad;
	}
	while (opened > 0) dk_bench_close(&bench[--opened]);
	if (status == DK_NO_MEMORY) dk_error_set(error, status, "no memory to run the engines");
	if (status == DK_CANCELLED) dk_error_set(error, status, "the bank was stopped before it was finished");
	return status;
}

dk_status dk_bank_build(const dk_bank_request *request, dk_bank **out, dk_error *error)
{
	dk_bank *bank;
	dk_status status = dk_bank_lay_out(request, &bank, error);
	if (status != DK_OK) return status;
	bank->cruise_lever = dk_engine_cruise_lever(bank->base, &bank->node);
	status = build_all(request, bank, error);
	if (status == DK_OK)
	{
		status = dk_bank_groups(bank, request->present, bank->group_of_fault, &bank->group_count);
		if (status != DK_OK) dk_error_set(error, status, "no memory for the groups of faults");
	}
	if (status != DK_OK)
		dk_bank_free(bank);
	else
		*out = bank;
	return status;
}
