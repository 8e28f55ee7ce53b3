// 200 random broken engines at every operating point: each number of lanes gives every bit of what one lane
// gives.
#include "base/arena.h"
#include "catalog/catalog.h"
#include "catalog/record.h"
#include "engine/batch.h"
#include "num/philox.h"
#include "population/breaking.h"
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum
{
	ENGINES = 200
};

static double param[DK_PARAM_COUNT * ENGINES], air_k[ENGINES], sea_k[ENGINES];
static double one[DK_READING_COUNT * ENGINES], wide[DK_READING_COUNT * ENGINES];
static unsigned char one_status[ENGINES], wide_status[ENGINES];

// up to three random faults of random severity each, in random weather
static int set_up(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog;
	dk_record record;
	dk_breaking *breaking = NULL;
	if (dk_catalog_load("data", arena, &catalog, NULL) != DK_OK) return -1;
	if (dk_record_find("data", "three_indirect", arena, &record, NULL) != DK_OK) return -1;
	if (dk_breaking_open(catalog, &breaking, NULL) != DK_OK) return -1;
	for (int e = 0; e < ENGINES; ++e)
	{
		const dk_stream stream = dk_stream_of(7, "identity_lanes");
		double engine[DK_PARAM_COUNT];
		dk_broken broken[3];
		int count = 0;
		memcpy(engine, record.param, sizeof engine);
		for (int k = 0; k < 3; ++k)
		{
			const int fault =
			    (int)(dk_stream_uniform(stream, (uint32_t)e, (uint32_t)(2 * k)) * breaking->count);
			const double severity = dk_stream_uniform(stream, (uint32_t)e, (uint32_t)(2 * k + 1));
			bool again = false;
			for (int i = 0; i < count; ++i) again |= broken[i].fault == fault;
			if (!again && (k == 0 || severity > 0.5)) broken[count++] = (dk_broken){ fault, severity, 0 };
		}
		if (dk_breaking_apply(breaking, broken, count, engine, NULL) != DK_OK) return -1;
		for (int p = 0; p < DK_PARAM_COUNT; ++p) param[p * ENGINES + e] = engine[p];
		air_k[e] = 258 + 50 * dk_stream_uniform(stream, (uint32_t)e, 10);
		sea_k[e] = 273 + 30 * dk_stream_uniform(stream, (uint32_t)e, 11);
	}
	dk_breaking_free(breaking);
	dk_arena_free(arena);
	return 0;
}

static void run(int point, int lanes, double *reading, unsigned char *status)
{
	dk_batch batch = { .count = ENGINES,
		.param = param,
		.air_k = air_k,
		.sea_k = sea_k,
		.condition = dk_default_condition(),
		.point = point,
		.lever = 0.55,
		.reading = reading,
		.status = status };
	dk_batch_run(&batch, lanes);
}

static void test_every_width_gives_every_bit(void **state)
{
	(void)state;
	int compared = 0;
	for (int point = 0; point < DK_POINT_COUNT; ++point)
	{
		run(point, 1, one, one_status);
		for (int lanes = 2; lanes <= dk_batch_widest(); lanes *= 2)
		{
			int bad = 0;
			run(point, lanes, wide, wide_status);
			for (int i = 0; i < DK_READING_COUNT * ENGINES; ++i)
			{
				if (!memcmp(&one[i], &wide[i], sizeof one[i])) continue;
				if (bad++ == 0)
					print_message("# %s, %d lanes, %s: %.17g and %.17g\n", dk_point_info[point].id, lanes,
					    dk_reading_info[i / ENGINES].id, one[i], wide[i]);
			}
			assert_int_equal(bad, 0);
			assert_memory_equal(one_status, wide_status, sizeof one_status);
			++compared;
		}
	}
	assert_true(compared > 0 || dk_batch_widest() == 1);
}

// a batch in another order gives the same engines
static void test_neighbours_do_not_matter(void **state)
{
	(void)state;
	static double turned[DK_PARAM_COUNT * ENGINES], air[ENGINES], sea[ENGINES];
	for (int e = 0; e < ENGINES; ++e)
	{
		const int other = ENGINES - 1 - e;
		for (int p = 0; p < DK_PARAM_COUNT; ++p) turned[p * ENGINES + other] = param[p * ENGINES + e];
		air[other] = air_k[e], sea[other] = sea_k[e];
	}
	run(DK_POINT_full, 0, one, one_status);
	dk_batch batch = { .count = ENGINES,
		.param = turned,
		.air_k = air,
		.sea_k = sea,
		.condition = dk_default_condition(),
		.point = DK_POINT_full,
		.lever = 0.55,
		.reading = wide,
		.status = wide_status };
	dk_batch_run(&batch, 0);
	int bad = 0;
	for (int r = 0; r < DK_READING_COUNT; ++r)
		for (int e = 0; e < ENGINES; ++e)
			bad += memcmp(&one[r * ENGINES + e], &wide[r * ENGINES + ENGINES - 1 - e], sizeof *one) != 0;
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_every_width_gives_every_bit),
		cmocka_unit_test(test_neighbours_do_not_matter),
	};
	return cmocka_run_group_tests(tests, set_up, NULL);
}
