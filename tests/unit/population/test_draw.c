// Severities: evenly spread for one fault, a net for two, and each fault's stream its own.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "population/draw.h"
#include <math.h>
#include <string.h>

static void test_single(void **state)
{
	(void)state;
	assert_true(dk_draw_severity(0, 64) == 1.0 / 128);
	assert_true(dk_draw_severity(63, 64) == 127.0 / 128);
	assert_true(dk_draw_severity(31, 64) == 63.0 / 128);
	assert_true(dk_draw_severity(0, 16) == 1.0 / 32);
}

// 64 points of a (0, 6, 2)-net: every box of 1/64 of the square, however it is cut in powers of two, holds
// one
static void test_net(void **state)
{
	(void)state;
	static const char *id[] = { "a.one", "b.two", "c.three", "z" };
	for (uint64_t seed = 1; seed <= 5; ++seed)
		for (int pair = 0; pair < 3; ++pair)
			for (int cut = 0; cut <= 6; ++cut)
			{
				int held[64] = { 0 };
				for (int i = 0; i < 64; ++i)
				{
					double s[2];
					dk_draw_pair(seed, id[pair], id[pair + 1], i, s);
					assert_true(s[0] > 0 && s[0] < 1 && s[1] > 0 && s[1] < 1);
					++held[(int)floor(s[0] * (1 << cut)) * (64 >> cut) + (int)floor(s[1] * (64 >> cut))];
				}
				for (int box = 0; box < 64; ++box) assert_int_equal(held[box], 1);
			}
}

// a fault's coordinate depends on itself, the seed and its place only: a new partner does not move it
static void test_streams(void **state)
{
	(void)state;
	double x[2], y[2];
	int same_seed = 0, same_fault = 0;
	for (int i = 0; i < 64; ++i)
	{
		dk_draw_pair(7, "a.one", "b.two", i, x);
		dk_draw_pair(7, "a.one", "c.three", i, y);
		assert_true(x[0] == y[0]);
		same_fault += x[1] == y[1];
		dk_draw_pair(8, "a.one", "b.two", i, y);
		same_seed += x[0] == y[0] || x[1] == y[1];
	}
	assert_int_equal(same_fault, 0);
	assert_int_equal(same_seed, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_single),
		cmocka_unit_test(test_net),
		cmocka_unit_test(test_streams),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
