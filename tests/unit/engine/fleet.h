#pragma once
// What the tests of this room share: the fitted records of data/, one reading of one engine, and engines that
// are broken at random.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "catalog/record.h"
#include "engine/batch.h"
#include "num/philox.h"
#include "population/breaking.h"
#include "population/fit.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof *(list)))

typedef struct fleet
{
	dk_arena *arena;
	const dk_catalog *catalog;
	dk_breaking *breaking;
	dk_record indirect, direct; // three_indirect and four_direct, fitted to their plates
	dk_fitted indirect_fit, direct_fit;
} fleet;

static fleet ours;

static inline int fleet_record(const char *name, dk_record *record, dk_fitted *fitted)
{
	dk_error error;
	char text[DK_ERROR_TEXT];
	if (dk_record_find("data", name, ours.arena, record, &error) == DK_OK)
	{
		const dk_plate plate = { .rated_power_w = record->rated_power_w,
			.hot_idle_oil_pa = record->hot_idle_oil_pa,
			.given = record->given };
		if (dk_fit_plate(record->param, &plate, fitted, &error) == DK_OK) return 0;
	}
	print_error("%s\n", dk_error_text(&error, text, sizeof text));
	return -1;
}

static int fleet_open(void **state)
{
	(void)state;
	dk_error error;
	ours.arena = dk_arena_new();
	if (dk_catalog_load("data", ours.arena, &ours.catalog, &error) != DK_OK ||
	    dk_breaking_open(ours.catalog, &ours.breaking, &error) != DK_OK)
	{
		char text[DK_ERROR_TEXT];
		print_error("%s\n", dk_error_text(&error, text, sizeof text));
		return -1;
	}
	return fleet_record("three_indirect", &ours.indirect, &ours.indirect_fit) ||
	       fleet_record("four_direct", &ours.direct, &ours.direct_fit);
}

static int fleet_close(void **state)
{
	(void)state;
	dk_breaking_free(ours.breaking);
	dk_arena_free(ours.arena);
	return 0;
}

// one engine at one point
static inline unsigned char run_one(const double *param, const dk_condition *condition, int point,
    double lever, double reading[DK_READING_COUNT])
{
	unsigned char status;
	dk_batch one = { .count = 1,
		.param = param,
		.condition = *condition,
		.point = point,
		.lever = lever,
		.reading = reading,
		.status = &status };
	dk_batch_run(&one, 1);
	return status;
}

// a copy of an engine with a parameter (and its twin) moved
static inline void with(const double *param, int which, double value, double *out)
{
	if (out != param) memcpy(out, param, DK_PARAM_COUNT * sizeof *out);
	out[which] = value;
	if (dk_param_info[which].twin >= 0) out[dk_param_info[which].twin] = value;
}

static inline dk_condition air_sea(double air_c, double sea_c)
{
	dk_condition condition = dk_default_condition();
	condition.air_k = air_c + 273.15;
	condition.sea_k = sea_c + 273.15;
	return condition;
}

// an even number in 0..1 of a stream
static inline double even(uint64_t engine, uint32_t dimension)
{
	return dk_stream_uniform((dk_stream){ 20240611, 7 }, (uint32_t)engine, dimension);
}

// `count` engines [DK_PARAM_COUNT][count]: 1 to 3 faults of the catalogue at random severities in a healthy
// engine
static inline void break_at_random(const double *healthy, int count, double *param)
{
	for (int i = 0; i < count; ++i)
	{
		double engine[DK_PARAM_COUNT];
		memcpy(engine, healthy, sizeof engine);
		const int faults = 1 + (int)(3 * even(i, 0));
		for (int f = 0; f < faults; ++f)
		{
			const dk_broken broken = { .fault = (int)(ours.breaking->count * even(i, 1 + 2 * f)),
				.severity = even(i, 2 + 2 * f) };
			dk_breaking_apply(ours.breaking, &broken, 1, engine, NULL);
		}
		for (int g = DK_Z_LOAD; g <= DK_Z_FRICTION; ++g)
			dk_breaking_spread(engine, g, 4 * even(i, 20 + g) - 2, false);
		for (int p = 0; p < DK_PARAM_COUNT; ++p) param[(size_t)p * count + i] = engine[p];
	}
}
