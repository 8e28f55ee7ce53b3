// A small bank from the real engine and the real catalogue: the same bits at any threads and lanes, and
// sound.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/hash.h"
#include "catalog/record.h"
#include "population/bank.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static dk_arena *arena;
static const dk_catalog *catalog;
static dk_record record;
static dk_breaking *breaking;
static unsigned char *left_out;

static int set_up(void **state)
{
	(void)state;
	dk_error error;
	arena = dk_arena_new();
	if (dk_catalog_load("data", arena, &catalog, &error) != DK_OK ||
	    dk_record_find("data", "three_indirect", arena, &record, &error) != DK_OK ||
	    dk_breaking_open(catalog, &breaking, &error) != DK_OK)
	{
		char text[DK_ERROR_TEXT];
		print_error("%s\n", dk_error_text(&error, text, sizeof text));
		return -1;
	}

	// one fault of a system is enough here; a whole bank takes minutes in single lanes
	left_out = dk_arena_take(arena, (size_t)breaking->count);
	for (int f = 1; f < breaking->count; ++f)
		for (int before = 0; before < f; ++before)
			if (breaking->fault[before].system == breaking->fault[f].system) left_out[f] = 1;
	return 0;
}

static int tear_down(void **state)
{
	(void)state;
	dk_breaking_free(breaking);
	dk_arena_free(arena);
	return 0;
}

static dk_bank *built(int threads, int lanes)
{
	dk_bank_request request = dk_default_bank_request();
	request.breaking = breaking;
	request.left_out = left_out;
	request.base = record.param;
	request.fitted = record.fitted;
	request.severities = 2;
	request.threads = threads;
	request.lanes = lanes;
	dk_bank *bank = NULL;
	assert_int_equal(dk_bank_build(&request, &bank, NULL), DK_OK);
	return bank;
}

static void test_same_bits(void **state)
{
	(void)state;
	dk_bank *wide = built(2, 0);
	const int lanes[] = { 1, 4 };
	for (size_t i = 0; i < sizeof lanes / sizeof *lanes; ++i)
	{
		dk_bank *other = built(i == 0 ? 1 : 3, lanes[i]);
		assert_memory_equal(other->store, wide->store, wide->bytes);
		assert_true(other->cruise_lever == wide->cruise_lever);
		dk_bank_free(other);
	}
	dk_bank_free(wide);
}

// the well engine is there at every point, and no engine gives what is no number or is out of its reading's
// range
static void test_sound(void **state)
{
	(void)state;
	dk_bank *bank = built(2, 0);
	assert_int_equal(bank->bad, 0);
	for (int point = 0; point < DK_POINT_COUNT; ++point)
		assert_int_equal(dk_stratum_status(&bank->stratum[0], point, 0), DK_REACHED);
	const double rated = record.param[DK_PARAM_fuel_rated_rpm];
	const double cruise = dk_stratum_reading(&bank->stratum[0], DK_POINT_cruise, DK_READING_engine_speed, 0);
	assert_true(fabs(cruise - 0.70 * rated) < 1e-3 * rated);
	int outside = 0;
	for (int s = 0; s < bank->stratum_count; ++s)
		for (int point = 0; point < DK_POINT_COUNT; ++point)
			for (int r = 0; r < DK_READING_COUNT; ++r)
				for (int i = 0; i < bank->stratum[s].n; ++i)
				{
					const dk_reading_row *row = &dk_reading_info[r];
					const double x = dk_stratum_reading(&bank->stratum[s], point, r, i);
					if (!(row->points & (1u << point))) continue;
					if (x >= row->floor - 1e-6 * fabs(row->floor) && x <= row->cap + 1e-6 * fabs(row->cap))
						continue;
					if (outside++ < 10)
						print_error(
						    "stratum %d engine %d %s@%s: %g\n", s, i, row->id, dk_point_info[point].id, x);
				}
	assert_int_equal(outside, 0);
	dk_bank_free(bank);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_same_bits),
		cmocka_unit_test(test_sound),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
