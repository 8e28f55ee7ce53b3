// 208 random broken cylinders, four running cycles and one cranking cycle each: every width gives every bit
// of the scalar answer, and nothing leaves its physical bounds.
#include "../num/lanes.h"
#include "../num/near.h"
#include "lanes_cylinder.h"
#include <stdlib.h>
#include <string.h>

static void test_widths_agree_in_every_bit(void **state)
{
	(void)state;
	const size_t size = sizeof(double) * LANES_CASES * LANES_FIELDS;
	double *one = malloc(size), *wide = malloc(size);
	void (*const run[])(double *) = { lanes_cylinder_w2, lanes_cylinder_w4, lanes_cylinder_w8 };
	lanes_cylinder_w1(one);
	for (int i = 0; i < 3; ++i)
	{
		if (!can_run_lanes(2 << i)) continue;
		memset(wide, 0, size);
		run[i](wide);
		int bad = 0;
		for (int k = 0; k < LANES_CASES * LANES_FIELDS; ++k)
		{
			if (memcmp(&one[k], &wide[k], sizeof *one) == 0) continue;
			if (bad++ < 10)
				printf("width %d case %d field %d: %.17g, scalar %.17g\n", 2 << i, k / LANES_FIELDS,
				    k % LANES_FIELDS, wide[k], one[k]);
		}
		assert_int_equal(bad, 0);
	}
	free(one);
	free(wide);
}

static void test_all_numbers_are_finite(void **state)
{
	(void)state;
	double *one = malloc(sizeof(double) * LANES_CASES * LANES_FIELDS);
	lanes_cylinder_w1(one);
	int bad = 0;
	for (int k = 0; k < LANES_CASES * LANES_FIELDS; ++k)
	{
		if (fabs(one[k]) < 1e9) continue;
		if (bad++ < 10) printf("case %d field %d: %g\n", k / LANES_FIELDS, k % LANES_FIELDS, one[k]);
	}
	free(one);
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_widths_agree_in_every_bit),
		cmocka_unit_test(test_all_numbers_are_finite),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
