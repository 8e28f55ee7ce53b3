// Elementary functions in lanes: against libm, at their edges, and bit for bit between widths.
#include "lanes.h"
#include "near.h"
#include "num/philox.h"
#include "num/real.h"
#include <stdlib.h>

void lanes_wide_math_w1(const double *x, const double *positive, int n, double *out);
void lanes_wide_math_w2(const double *x, const double *positive, int n, double *out);
void lanes_wide_math_w4(const double *x, const double *positive, int n, double *out);
void lanes_wide_math_w8(const double *x, const double *positive, int n, double *out);

enum
{
	N = 400000
};

static double ulps(double got, double want)
{
	const double step = nextafter(fabs(want), INFINITY) - fabs(want);
	return fabs(got - want) / step;
}

// x evenly over -690..690 and positive over e^-600..e^600, every eighth pair near 0 and 1
static void fill(double *x, double *positive)
{
	const dk_stream stream = dk_stream_of(1, "wide_math");
	for (int i = 0; i < N; ++i)
	{
		const double u = dk_stream_uniform(stream, (uint32_t)i, 0),
		             v = dk_stream_uniform(stream, (uint32_t)i, 1);
		x[i] = i % 8 ? 1380 * (u - 0.5) : 2 * (u - 0.5);
		positive[i] = i % 8 ? exp(1200 * (v - 0.5)) : 0.5 + v;
	}
}

static void test_against_libm(void **state)
{
	(void)state;
	double *x = malloc(N * sizeof *x), *positive = malloc(N * sizeof *x), *y = malloc(6 * N * sizeof *y);
	fill(x, positive);
	lanes_wide_math_w1(x, positive, N, y);
	double worst[6] = { 0 };
	for (int i = 0; i < N; ++i)
	{
		const double want_pow = pow(positive[i], x[i] * 0.01),
		             share = 1 + fabs(x[i] * 0.01 * log(positive[i]));
		const double z = x[i] * 0.05, cdf = 0.5 * erfc(-z / sqrt(2));
		worst[0] = fmax(worst[0], ulps(y[i], exp(x[i])));
		worst[1] = fmax(worst[1], ulps(y[N + i], log(positive[i])));
		if (share < 690) worst[2] = fmax(worst[2], ulps(y[2 * N + i], want_pow) / share);
		worst[3] = fmax(worst[3], fabs(y[3 * N + i] - floor(x[i])));
		worst[4] = fmax(worst[4], fabs(y[4 * N + i] - cdf));
		worst[5] = fmax(worst[5], fabs(y[5 * N + i] - tanh(x[i])));
	}
	free(x);
	free(positive);
	free(y);
	int bad = 0;
	bad += miss_band("exp, ulp", worst[0], 0, 2, "stated in wide_math.c");
	bad += miss_band("log, ulp", worst[1], 0, 2, "stated in wide_math.c");
	bad += miss_band("pow, ulp over 1 + |y log x|", worst[2], 0, 2, "stated in wide_math.c");
	bad += miss_band("floor", worst[3], 0, 0, "exact");
	bad += miss_band("norm_cdf", worst[4], 0, 4e-15, "stated in wide_math.c");
	bad += miss_band("tanh", worst[5], 0, 4e-16, "stated in wide_math.c");
	assert_int_equal(bad, 0);
}

static void test_edges(void **state)
{
	(void)state;
	int bad = 0;
	bad += miss("exp(-1000)", dk_exp(-1000.0), 0, 0, "below -700 gives 0");
	bad += miss_share("exp(1000)", dk_exp(1000.0), exp(700), 1e-13, "held at 700");
	bad += miss("exp(0)", dk_exp(0.0), 1, 0, "identity");
	bad += miss("log(1)", dk_log(1.0), 0, 0, "identity");
	bad += miss_share("log(smallest normal)", dk_log(0x1p-1022), log(0x1p-1022), 1e-15, "libm");
	bad += miss_share("norm_cdf(-37)", dk_norm_cdf(-37.0), 0.5 * erfc(37 / sqrt(2)), 3e-13, "libm");
	bad += miss("norm_cdf(0)", dk_norm_cdf(0.0), 0.5, 4e-15, "symmetry, stated error");
	bad += miss("floor(-2)", dk_floor(-2.0), -2, 0, "exact");
	bad += miss("floor(-0.5)", dk_floor(-0.5), -1, 0, "exact");
	const double at[] = { 0, 1, 3 }, value[] = { 10, 20, 0 };
	bad += miss("ramp before", dk_ramp(-1, at, value, 3), 10, 0, "end holds");
	bad += miss("ramp inside", dk_ramp(2, at, value, 3), 10, 1e-12, "linear");
	bad += miss("ramp after", dk_ramp(9, at, value, 3), 0, 1e-12, "end holds");
	assert_int_equal(bad, 0);
}

static void test_widths_agree_in_every_bit(void **state)
{
	(void)state;
	double *x = malloc(N * sizeof *x), *positive = malloc(N * sizeof *x);
	double *one = malloc(6 * N * sizeof *x), *wide = malloc(6 * N * sizeof *x);
	void (*const run[])(const double *, const double *, int, double *) = { lanes_wide_math_w2,
		lanes_wide_math_w4, lanes_wide_math_w8 };
	fill(x, positive);
	lanes_wide_math_w1(x, positive, N, one);
	for (int i = 0; i < 3; ++i)
	{
		if (!can_run_lanes(2 << i)) continue;
		run[i](x, positive, N, wide);
		assert_memory_equal(one, wide, 6 * N * sizeof *one);
	}
	free(x);
	free(positive);
	free(one);
	free(wide);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_against_libm),
		cmocka_unit_test(test_edges),
		cmocka_unit_test(test_widths_agree_in_every_bit),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
