// Times the engines of a bank and a whole build, and prints CSV. One line a point, one for the build.
//
//   bank [--data FOLDER] [--engine NAME] [--threads N] [--lanes N] [--severities N] [--repeat N]
//
// Columns: what, engines, seconds (best of the repeats), us_per_engine, cycles_per_engine, not_settled,
// not_reached, megabytes. Seconds are wall time; the machine's name and state belong beside them.
#include "population/bank.h"
#include "catalog/catalog.h"
#include "catalog/record.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

typedef struct options
{
	const char *data, *engine;
	int threads, lanes, severities, repeat;
} options;

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int complain(const dk_error *error)
{
	char text[DK_ERROR_TEXT];
	fprintf(stderr, "%s\n", dk_error_text(error, text, sizeof text));
	return 1;
}

static bool read_options(int count, char **word, options *out)
{
	*out = (options){ "data", "three_indirect", 1, 0, DK_BANK_SEVERITIES, 3 };
	for (int i = 1; i < count; i += 2)
	{
		if (i + 1 >= count) return false;
		const char *value = word[i + 1];
		if (!strcmp(word[i], "--data"))
			out->data = value;
		else if (!strcmp(word[i], "--engine"))
			out->engine = value;
		else if (!strcmp(word[i], "--threads"))
			out->threads = (int)strtol(value, NULL, 10);
		else if (!strcmp(word[i], "--lanes"))
			out->lanes = (int)strtol(value, NULL, 10);
		else if (!strcmp(word[i], "--severities"))
			out->severities = (int)strtol(value, NULL, 10);
		else if (!strcmp(word[i], "--repeat"))
			out->repeat = (int)strtol(value, NULL, 10);
		else
			return false;
	}
	return out->repeat > 0;
}

// every fault at eight severities in one batch, as the bank has them
static int bench_points(const dk_breaking *breaking, const double *base, const options *options)
{
	const int engines = breaking->count * DK_BANK_KNOTS;
	double *param = malloc((size_t)engines * DK_PARAM_COUNT * sizeof *param);
	double *reading = malloc((size_t)engines * DK_READING_COUNT * sizeof *reading);
	unsigned char *status = malloc((size_t)engines);
	if (!param || !reading || !status) return 1;
	for (int i = 0; i < engines; ++i)
	{
		double one[DK_PARAM_COUNT];
		memcpy(one, base, sizeof one);
		const dk_broken broken = { i / DK_BANK_KNOTS, (i % DK_BANK_KNOTS + 0.5) / DK_BANK_KNOTS, 0 };
		dk_breaking_apply(breaking, &broken, 1, one, NULL);
		for (int p = 0; p < DK_PARAM_COUNT; ++p) param[(size_t)p * engines + i] = one[p];
	}
	const dk_condition node = dk_default_condition();
	const double lever = dk_engine_cruise_lever(base, &node);
	for (int point = 0; point < DK_POINT_COUNT; ++point)
	{
		dk_batch batch = { .count = engines,
			.param = param,
			.condition = node,
			.point = point,
			.lever = lever,
			.reading = reading,
			.status = status };
		double best = INFINITY;
		for (int k = 0; k <= options->repeat; ++k)
		{
			// the first run warms the caches and is not counted
			const double start = now();
			dk_batch_run(&batch, options->lanes);
			if (k > 0) best = fmin(best, now() - start);
		}
		int unsettled = 0, unreached = 0;
		for (int i = 0; i < engines; ++i)
		{
			unsettled += status[i] == DK_NOT_SETTLED;
			unreached += status[i] == DK_NOT_REACHED;
		}
		printf("%s,%d,%.4f,%.2f,%.2f,%d,%d,\n", dk_point_info[point].id, engines, best, 1e6 * best / engines,
		    (double)batch.cycles / engines, unsettled, unreached);
	}
	free(param);
	free(reading);
	free(status);
	return 0;
}

static int bench_build(const dk_bank_request *request, const options *options, dk_error *error)
{
	double best = INFINITY;
	dk_bank *bank = NULL;
	for (int k = 0; k < options->repeat; ++k)
	{
		dk_bank_free(bank);
		const double start = now();
		if (dk_bank_build(request, &bank, error) != DK_OK) return complain(error);
		best = fmin(best, now() - start);
	}
	int unsettled = 0, unreached = 0;
	for (int s = 0; s < bank->stratum_count; ++s)
		for (int i = 0; i < bank->stratum[s].n * DK_POINT_COUNT; ++i)
		{
			unsettled += bank->stratum[s].status[i] == DK_NOT_SETTLED;
			unreached += bank->stratum[s].status[i] == DK_NOT_REACHED;
		}
	const int engines = dk_bank_engines(request);
	printf("bank,%d,%.4f,%.2f,%.2f,%d,%d,%.2f\n", engines, best, 1e6 * best / engines,
	    (double)bank->cycles / engines, unsettled, unreached, 1e-6 * (double)bank->bytes);
	struct rusage use;
	getrusage(RUSAGE_SELF, &use);
	printf("process,,,,,,,%.2f\n", 1.024e-3 * (double)use.ru_maxrss);
	fprintf(stderr, "%d strata, %d groups of %d faults, %ld engines gave no number\n", bank->stratum_count,
	    bank->group_count, bank->fault_count, bank->bad);
	dk_bank_free(bank);
	return 0;
}

int main(int count, char **word)
{
	options options;
	if (!read_options(count, word, &options))
	{
		fprintf(stderr,
		    "bank [--data FOLDER] [--engine NAME] [--threads N] [--lanes N] [--severities N] [--repeat N]\n");
		return 2;
	}
	dk_error error;
	dk_record record;
	const dk_catalog *catalog;
	dk_arena *arena = dk_arena_new();
	dk_breaking *breaking = NULL;
	dk_bank_request request = dk_default_bank_request();
	int bad = 1;
	if (dk_catalog_load(options.data, arena, &catalog, &error) != DK_OK ||
	    dk_record_find(options.data, options.engine, arena, &record, &error) != DK_OK ||
	    dk_breaking_open(catalog, &breaking, &error) != DK_OK)
		complain(&error);
	else
	{
		request.breaking = breaking;
		request.base = record.param;
		request.fitted = record.fitted;
		request.severities = options.severities;
		request.threads = options.threads;
		request.lanes = options.lanes;
		request.model_version = "bench";
		printf("what,engines,seconds,us_per_engine,cycles_per_engine,not_settled,not_reached,megabytes\n");
		bad = bench_points(breaking, record.param, &options) || bench_build(&request, &options, &error);
	}
	dk_breaking_free(breaking);
	dk_arena_free(arena);
	return bad;
}
