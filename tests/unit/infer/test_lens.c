// Answers from what is visible: the contract's forms, one by one.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "engine/tables.h"
#include "infer/lens.h"
#include "infer/said.h"
#include "num/philox.h"
#include "toy_catalogue.h"
#include <math.h>
#include <string.h>

static dk_lens lens_of(dk_arena *arena, const dk_catalog *catalog, const char *text)
{
	dk_request request = dk_default_request();
	toy_say(&request, text, catalog, arena);
	return dk_optics_of_request(catalog, &request, arena)->lens[0];
}

static void close_to(double got, double want, double within)
{
	if (fabs(got - want) > within) fail_msg("want %.9f got %.9f", want, got);
}

// none = product of (1 - v); grey = black x white, taken from both; colours share the rest in proportion.
static void test_smoke(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = toy_catalogue(arena);
	const dk_lens lens = lens_of(arena, catalog, "ssmoke.colour@full=grey");
	const double visible[3] = { 0.5, 0.4, 0.1 }; // black, white, steam
	double chance[DK_ANSWERS_MOST];
	dk_lens_answers(&lens, visible, chance);
	const double none = 0.5 * 0.6 * 0.9, grey = 0.5 * 0.4, sum = 0.5 + 0.4 - grey + 0.1;
	const char *const id[] = { "none", "black", "white", "grey", "steam" };
	const double want[] = { none, (1 - none) * (0.5 - grey) / sum, (1 - none) * (0.4 - grey) / sum,
		(1 - none) * grey / sum, (1 - none) * 0.1 / sum };
	for (int i = 0; i < 5; ++i) close_to(chance[dk_answer_find(lens.look, id[i])], want[i], 1e-12);
	dk_arena_free(arena);
}

// A boundary gives the chance of its answer or one further from normal.
static void test_ordinal(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = toy_catalogue(arena);
	const dk_lens lens = lens_of(arena, catalog, "scrank.turns=slow");
	const double visible[2] = { 0.2, 0.7 }; // none, slow or less
	double chance[DK_ANSWERS_MOST];
	dk_lens_answers(&lens, visible, chance);
	close_to(chance[0], 0.2, 1e-12);
	close_to(chance[1], 0.5, 1e-12);
	close_to(chance[2], 0.3, 1e-12);
	close_to(chance[3], 0, 1e-12);

	// miss to normal, false to the others, renormalised
	dk_lens_reported(&lens, true, chance);
	const double total = 1 + 0.05 + 3 * 0.02;
	close_to(chance[1], (0.5 + 0.02) / total, 1e-12);
	close_to(chance[2], (0.3 + 0.05) / total, 1e-12);
	dk_lens_reported(&lens, false, chance);
	for (int a = 0; a < 4; ++a) close_to(chance[a], 0.02, 1e-12);
	dk_arena_free(arena);
}

static void test_said(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = toy_catalogue(arena);
	const double chance[4] = { 0.1, 0.4, 0.45, 0.05 };
	dk_lens lens = lens_of(arena, catalog, "scrank.turns=slow,none");
	close_to(dk_lens_said(&lens, chance), 0.5, 1e-12);
	close_to(lens.uniform, 0.5, 1e-12);
	lens = lens_of(arena, catalog, "scrank.turns=odd");
	close_to(dk_lens_said(&lens, chance), 0.5 * 0.55 + 0.25, 1e-12);
	close_to(lens.uniform, 0.5 * 0.75 + 0.25, 1e-12);

	// volunteered: only what is not normal is seldom said unasked
	dk_request request = dk_default_request();
	toy_say(&request, "scrank.turns=slow,normal", catalog, arena);
	dk_observation seen = request.observation[0];
	seen.volunteered = true;
	request.observation = &seen;
	lens = dk_optics_of_request(catalog, &request, arena)->lens[0];
	close_to(dk_lens_said(&lens, chance), 0.5 * 0.4 + 0.45, 1e-12);
	close_to(lens.uniform, 0.5 * 0.25 + 0.25, 1e-12);
	dk_arena_free(arena);
}

// The sums over many draws are the same as one by one.
static void test_many_draws(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = toy_catalogue(arena);
	static const char *const text[] = { "ssmoke.colour@full=grey", "ssmoke.colour@full=black,none",
		"scrank.turns=slow", "scrank.turns=odd", "srpm.full=low", "sgauge.coolant=normal", "srun.dies=yes",
		"delbow.look=worn" };
	const dk_stream stream = dk_stream_of(3, "draws");
	for (size_t k = 0; k < sizeof text / sizeof *text; ++k)
	{
		const dk_lens lens = lens_of(arena, catalog, text[k]);
		const dk_said_plan plan = dk_said_plan_of(&lens);
		double visible[16][DK_SAID_WIDTH] = { 0 }, said[DK_SAID_WIDTH];
		for (int i = 0; i < DK_SAID_WIDTH; ++i)
		{
			// boundaries of one side keep their order, as one width gives it
			double x = dk_stream_uniform(stream, (uint32_t)i, (uint32_t)k),
			       y = x * dk_stream_uniform(stream, (uint32_t)i, 99);
			const bool nominal = lens.look->kind == DK_SIGN_NOMINAL,
			           both_ways =
			               lens.normal_first > 0 && lens.row[0].sense != lens.row[lens.row_count - 1].sense;
			for (int r = 0; r < lens.row_count; ++r)
				visible[r][i] = nominal     ? dk_stream_uniform(stream, (uint32_t)i, (uint32_t)(200 + r))
				                : both_ways ? (r ? (1 - x) * 0.9 : y)
				                : strcmp(lens.look->answer[lens.row[r].answer].id, "worn") &&
				                        strcmp(lens.look->answer[lens.row[r].answer].id, "slow")
				                    ? y
				                    : x;
		}
		dk_said_draws(&lens, &plan, (const double(*)[DK_SAID_WIDTH])visible, DK_SAID_WIDTH, said);
		for (int i = 0; i < DK_SAID_WIDTH; ++i)
		{
			double one[16], chance[DK_ANSWERS_MOST];
			for (int r = 0; r < lens.row_count; ++r) one[r] = visible[r][i];
			dk_lens_answers(&lens, one, chance);
			dk_lens_reported(&lens, true, chance);
			if (fabs(said[i] - dk_lens_said(&lens, chance)) > 1e-12)
				fail_msg("%s draw %d: %.6f %.6f", text[k], i, said[i], dk_lens_said(&lens, chance));
		}
	}
	dk_arena_free(arena);
}

// Errors on the transformed scale: the tangent where it holds, and no more than what two of them do where it
// does not.
static void test_spread(void **unused)
{
	(void)unused;
	close_to(dk_lens_spread(DK_READING_coolant_gauge, 80, 2.5), 2.5, 1e-12);
	close_to(dk_lens_spread(DK_READING_oil_pressure, 4, 0.2), 0.05, 1e-12);
	const double floor = dk_reading_info[DK_READING_raw_water_flow].floor;
	close_to(dk_lens_spread(DK_READING_raw_water_flow, floor, 1),
	    fmin(1 / floor, fmax(0.3, 0.5 * log((floor + 2) / floor))), 1e-12);
	assert_true(dk_lens_spread(DK_READING_lamp_oil, 0.001, 0.05) < 3);
	for (double x = floor; x < 40; x *= 1.1) // no step where one form takes over
		assert_true(fabs(dk_lens_spread(DK_READING_raw_water_flow, x * 1.0001, 1) /
		                     dk_lens_spread(DK_READING_raw_water_flow, x, 1) -
		                 1) < 2e-3);
}

// The same twice is once; a second look at one part is not another part.
static void test_said_once(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = toy_catalogue(arena);
	dk_request request = dk_default_request();
	toy_say(&request, "scrank.turns=slow", catalog, arena);
	toy_say(&request, "scrank.turns=slow", catalog, arena);
	toy_say(&request, "delbow.look=bad", catalog, arena);
	toy_say(&request, "delbow.look=worn", catalog, arena);
	const dk_optics *optics = dk_optics_of_request(catalog, &request, arena);
	int signs = 0;
	for (int k = 0; k < optics->lens_count; ++k) signs += optics->lens[k].kind == DK_LENS_SIGN;
	assert_int_equal(optics->lens_count, 4);
	assert_int_equal(signs, 2);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_smoke), cmocka_unit_test(test_ordinal),
		cmocka_unit_test(test_said), cmocka_unit_test(test_many_draws), cmocka_unit_test(test_spread),
		cmocka_unit_test(test_said_once) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
