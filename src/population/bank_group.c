#include "population/bank_group.h"
#include "population/bank_store.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

// [contract] faults at this distance or nearer are one
static const double kOneGroup = 1.5;

// [contract] severities at which two faults are compared
static const double kSeverity[] = { 0.3, 0.5, 0.7, 0.9 };
enum
{
	SEVERITIES = sizeof kSeverity / sizeof *kSeverity,
	FINER = 8 // places looked at between two engines, either side of the nearest one
};

// ---------------------------------------------------------------- what a boat can get

static void mark(const char *id, unsigned char *present)
{
	const int reading = id ? dk_reading_find(id) : -1;
	if (reading >= 0) present[reading] = 1;
}

void dk_bank_present_for(
    const dk_catalog *catalog, const dk_installation *boat, unsigned char present[DK_READING_COUNT])
{
	memset(present, 0, DK_READING_COUNT);
	for (int s = 0; s < catalog->sign_count; ++s)
	{
		const dk_sign *sign = &catalog->sign[s];
		if (!dk_when_holds(&sign->ask_when, boat)) continue;
		for (int i = 0; i < sign->look.from_count; ++i) mark(sign->look.from[i].reading, present);
	}
	for (int c = 0; c < catalog->check_count; ++c)
	{
		const dk_check *check = &catalog->check[c];
		if (!dk_when_holds(&check->ask_when, boat)) continue;
		mark(check->reading, present);
		for (int i = 0; i < check->look.from_count; ++i) mark(check->look.from[i].reading, present);
	}
}

// ---------------------------------------------------------------- readings in units of their error

// one reading at one point
typedef struct cell
{
	int point, reading;
	double per_error; // 1 / sqrt(gauge_sd^2 + bias_sd^2 + model_sd^2)
} cell;

// every engine as a row of numbers that one unit apart is one error apart
typedef struct field
{
	int cells;
	cell *cell;
	float **stratum; // [stratum_count] -> [n][cells]
	void *store;
} field;

static int list_cells(const unsigned char *present, cell *list)
{
	int count = 0;
	for (int point = 0; point < DK_POINT_COUNT; ++point)
		for (int r = 0; r < DK_READING_COUNT; ++r)
		{
			const dk_reading_row *row = &dk_reading_info[r];
			if (!(row->points & (1u << point)) || !dk_bank_present(present, r)) continue;
			const double error = sqrt(
			    row->gauge_sd * row->gauge_sd + row->bias_sd * row->bias_sd + row->model_sd * row->model_sd);
			list[count++] = (cell){ point, r, 1 / error };
		}
	return count;
}

// a stratum at any severity; what did not settle is bridged
static void row_at(
    const dk_bank *bank, const field *field, const dk_stratum *stratum, double severity, float *row)
{
	for (int c = 0; c < field->cells; ++c)
	{
		const cell *at = &field->cell[c];
		const double t = dk_bank_at(bank, stratum, at->point, at->reading, severity);
		row[c] = (float)(dk_reading_restore(at->reading, t) * at->per_error);
	}
}

static void field_close(field *field)
{
	free(field->cell);
	free(field->stratum);
	free(field->store);
}

static bool field_open(const dk_bank *bank, const unsigned char *present, field *field)
{
	*field = (struct field){ .cell = malloc(DK_POINT_COUNT * DK_READING_COUNT * sizeof(cell)),
		.stratum = calloc((size_t)bank->stratum_count, sizeof *field->stratum) };
	size_t engines = 0;
	for (int s = 0; s < bank->stratum_count; ++s) engines += (size_t)bank->stratum[s].n;
	if (field->cell) field->cells = list_cells(present, field->cell);
	field->store = malloc((engines * (size_t)field->cells + 1) * sizeof(float));
	if (!field->cell || !field->stratum || !field->store) return field_close(field), false;
	float *at = field->store;
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		const dk_stratum *stratum = &bank->stratum[s];
		field->stratum[s] = at;
		for (int i = 0; i < stratum->n; ++i, at += field->cells)
			row_at(bank, field, stratum, stratum->severity[3 * i], at);
	}
	return true;
}

// the largest difference of two engines; stops above `enough`
static float apart(const float *x, const float *y, int cells, float enough)
{
	float most = 0;
	for (int c = 0; c < cells && most <= enough; ++c) most = fmaxf(most, fabsf(x[c] - y[c]));
	return most;
}

// the same with y between two engines
static float apart_between(
    const float *x, const float *y0, const float *y1, float share, int cells, float enough)
{
	float most = 0;
	for (int c = 0; c < cells && most <= enough; ++c)
		most = fmaxf(most, fabsf(x[c] - (y0[c] + share * (y1[c] - y0[c]))));
	return most;
}

// the nearest that stratum s comes to an engine, healthy (severity 0) to worst; only what is below `best`
// counts
static float nearest(const dk_bank *bank, const field *field, const float *x, int s, float best)
{
	const int n = bank->stratum[s].n, cells = field->cells;
	const float *row = field->stratum[s];
	int at = -1;
	float least = apart(x, field->stratum[0], cells, INFINITY);
	for (int i = 0; i < n; ++i)
	{
		const float d = apart(x, row + (size_t)i * cells, cells, least);
		if (d >= least) continue;
		least = d;
		at = i;
	}

	// engines stand a step apart, so look between the nearest and its neighbours
	for (int i = at - 1; i <= at; ++i)
	{
		if (i < -1 || i + 1 >= n) continue;
		const float *y0 = i < 0 ? field->stratum[0] : row + (size_t)i * cells;
		for (int k = 1; k < FINER; ++k)
			least = fminf(
			    least, apart_between(x, y0, row + (size_t)(i + 1) * cells, (float)k / FINER, cells, least));
	}
	return fminf(least, best);
}

// how far fault f, at its worst severity and hit count, stays from anything that g can look like
static float one_way(const dk_bank *bank, const field *field, int f, int g, float enough, float *row)
{
	float most = 0;
	for (int s = 1; s < bank->stratum_count; ++s)
	{
		if (bank->stratum[s].fault[0] != f) continue;
		for (int k = 0; k < SEVERITIES && most <= enough; ++k)
		{
			row_at(bank, field, &bank->stratum[s], kSeverity[k], row);
			float least = INFINITY;
			for (int other = 1; other < bank->stratum_count; ++other)
				if (bank->stratum[other].fault[0] == g) least = nearest(bank, field, row, other, least);
			most = fmaxf(most, least);
		}
	}
	return most;
}

static float both_ways(const dk_bank *bank, const field *field, int f, int g, float enough, float *row)
{
	const float there = one_way(bank, field, f, g, enough, row);
	return there > enough ? there : fmaxf(there, one_way(bank, field, g, f, enough, row));
}

double dk_bank_distance(const dk_bank *bank, const unsigned char *present, int f, int g, double enough)
{
	field field;
	if (!field_open(bank, present, &field)) return INFINITY;
	float *row = malloc(((size_t)field.cells + 1) * sizeof *row);
	const double distance = row ? both_ways(bank, &field, f, g, (float)enough, row) : INFINITY;
	free(row);
	field_close(&field);
	return distance;
}

// ---------------------------------------------------------------- complete linkage

// the largest distance between members of two groups
static float farthest(const float *distance, const int *group, int count, int a, int b)
{
	float most = 0;
	for (int f = 0; f < count; ++f)
		for (int g = 0; g < count; ++g)
			if (group[f] == a && group[g] == b) most = fmaxf(most, distance[f * count + g]);
	return most;
}

// joins the two nearest groups, each named by its first fault; false when none are near enough
static bool join_nearest(const float *distance, int *group, int count)
{
	float least = INFINITY;
	int first = -1, second = -1;
	for (int a = 0; a < count; ++a)
		for (int b = a + 1; b < count; ++b)
		{
			if (group[a] != a || group[b] != b) continue;
			const float d = farthest(distance, group, count, a, b);
			if (d > kOneGroup || d >= least) continue;
			least = d;
			first = a;
			second = b;
		}
	if (first < 0) return false;
	for (int f = 0; f < count; ++f)
		if (group[f] == second) group[f] = first;
	return true;
}

static bool has_stratum(const dk_bank *bank, int fault)
{
	for (int s = 1; s < bank->stratum_count; ++s)
		if (bank->stratum[s].fault[0] == fault) return true;
	return false;
}

// faults are in order of id, so naming a group by its first fault and taking the first of equals is 'by id'
static int link_all(const dk_bank *bank, const float *distance, int *group)
{
	const int count = bank->fault_count;
	for (int f = 0; f < count; ++f) group[f] = has_stratum(bank, f) ? f : -1;
	while (join_nearest(distance, group, count))
		;
	int groups = 0;
	for (int f = 0; f < count; ++f)
	{
		// first faults come before the others of their group, which point at them still
		if (group[f] < 0) continue;
		group[f] = group[f] == f ? groups++ : group[group[f]];
	}
	return groups;
}

dk_status dk_bank_groups(const dk_bank *bank, const unsigned char *present, int *group, int *group_count)
{
	const int count = bank->fault_count;
	field field;
	if (!field_open(bank, present, &field)) return DK_NO_MEMORY;
	float *row = malloc(((size_t)field.cells + 1) * sizeof *row);
	float *distance = calloc((size_t)count * (size_t)count + 1, sizeof *distance);
	const bool room = row && distance;
	if (room)
	{
		for (int f = 0; f < count; ++f)
			for (int g = f + 1; g < count; ++g)
				distance[f * count + g] = distance[g * count + f] =
				    both_ways(bank, &field, f, g, (float)kOneGroup, row);
		*group_count = link_all(bank, distance, group);
	}
	free(row);
	free(distance);
	field_close(&field);
	return room ? DK_OK : DK_NO_MEMORY;
}

// ---------------------------------------------------------------- honesty

// the healthy engine and each fault at 0.7, at one point
static void run_faults(const dk_breaking *breaking, const double *base, const dk_condition *node, int point,
    double lever, int lanes, dk_bench *bench)
{
	const int engines = breaking->count + 1;
	for (int f = -1; f < breaking->count; ++f)
	{
		double param[DK_PARAM_COUNT];
		memcpy(param, base, sizeof param);
		const dk_broken broken = { f, 0.7, 0 };
		if (f >= 0) dk_breaking_apply(breaking, &broken, 1, param, NULL);
		for (int p = 0; p < DK_PARAM_COUNT; ++p) bench->param[(size_t)p * engines + f + 1] = param[p];
	}
	dk_batch batch = { .count = engines,
		.param = bench->param,
		.condition = *node,
		.point = point,
		.lever = lever,
		.reading = bench->reading,
		.status = bench->status };
	dk_batch_run(&batch, lanes);
}

dk_status dk_population_moves_enough(const dk_breaking *breaking, const double *base,
    const dk_condition *node, const unsigned char *present, int lanes, int *count)
{
	const int engines = breaking->count + 1;
	dk_bench bench;
	if (!dk_bench_open(&bench, engines)) return DK_NO_MEMORY;
	bool *moved = calloc((size_t)engines * DK_READING_COUNT, sizeof *moved);
	if (moved)
	{
		const double lever = dk_engine_cruise_lever(base, node);
		for (int point = 0; point < DK_POINT_COUNT; ++point)
		{
			run_faults(breaking, base, node, point, lever, lanes, &bench);
			for (int r = 0; r < DK_READING_COUNT; ++r)
			{
				const dk_reading_row *row = &dk_reading_info[r];
				if (!(row->points & (1u << point)) || !dk_bank_present(present, r)) continue;
				const double *x = &bench.reading[(size_t)r * engines];
				for (int f = 0; f < breaking->count; ++f)
					if (fabs(x[f + 1] - x[0]) > hypot(row->gauge_sd, row->bias_sd))
						moved[(size_t)f * DK_READING_COUNT + r] = true;
			}
		}
		for (int f = 0; f < breaking->count; ++f)
		{
			count[f] = 0;
			for (int r = 0; r < DK_READING_COUNT; ++r) count[f] += moved[(size_t)f * DK_READING_COUNT + r];
		}
	}
	const dk_status status = moved ? DK_OK : DK_NO_MEMORY;
	dk_bench_close(&bench);
	free(moved);
	return status;
}
