// Random and low-discrepancy numbers, the normal distribution, weighted quantiles.
#include "near.h"
#include "num/normal.h"
#include "num/philox.h"
#include "num/quantile.h"
#include "num/sobol.h"
#include <stdbool.h>
#include <string.h>

static void test_philox_known_answers(void **state)
{
	(void)state;
	static const struct
	{
		uint32_t counter[4], key[2], want[4];
	} kRow[] = {
		{ { 0, 0, 0, 0 }, { 0, 0 }, { 0x6627e8d5, 0xe169c58d, 0xbc57ac4c, 0x9b00dbd8 } },
		{ { 0xffffffff, 0xffffffff, 0xffffffff, 0xffffffff }, { 0xffffffff, 0xffffffff },
		    { 0x408f276d, 0x41c83b0e, 0xa20bc7c6, 0x6d5451fd } },
		{ { 0x243f6a88, 0x85a308d3, 0x13198a2e, 0x03707344 }, { 0xa4093822, 0x299f31d0 },
		    { 0xd16cfe09, 0x94fdcceb, 0x5001e420, 0x24126ea1 } },
	};
	uint32_t out[4];
	for (int i = 0; i < COUNT(kRow); ++i)
	{
		dk_philox(kRow[i].counter, kRow[i].key, out);
		assert_memory_equal(out, kRow[i].want, sizeof out);
	}
	static const uint32_t kSeven[4] = { 0x5f6fb709, 0x0d893f64, 0x4f121f81, 0x4f730a48 };
	dk_philox_rounds(kRow[0].counter, kRow[0].key, 7, out);
	assert_memory_equal(out, kSeven, sizeof out);
}

static void test_stream_is_uniform_and_addressable(void **state)
{
	(void)state;
	const dk_stream a = dk_stream_of(1, "impeller"), b = dk_stream_of(1, "filter");
	assert_true(a.name != b.name);
	double sum = 0, square = 0, cross = 0;
	enum
	{
		N = 100000
	};
	for (uint32_t i = 0; i < N; ++i)
	{
		const double u = dk_stream_uniform(a, i, 3), v = dk_stream_uniform(a, i, 4);
		assert_true(u > 0 && u < 1);
		sum += u;
		square += u * u;
		cross += (u - 0.5) * (v - 0.5);
	}

	// five standard errors of a mean of N uniform numbers
	assert_true(fabs(sum / N - 0.5) < 5 * sqrt(1.0 / 12 / N));
	assert_true(fabs(square / N - 1.0 / 3) < 5 * sqrt(4.0 / 45 / N));
	assert_true(fabs(cross / N) < 5.0 / 12 / sqrt(N));
	assert_true(dk_stream_uniform(a, 7, 3) == dk_stream_uniform(a, 7, 3));
	assert_true(dk_stream_uniform(a, 7, 3) != dk_stream_uniform(b, 7, 3));
}

static void test_sobol_first_points(void **state)
{
	(void)state;
	static const double kWant[6][5] = {
		{ 0, 0, 0, 0, 0 },
		{ .5, .5, .5, .5, .5 },
		{ .75, .25, .25, .25, .75 },
		{ .25, .75, .75, .75, .25 },
		{ .375, .375, .625, .875, .375 },
		{ .875, .875, .125, .375, .875 },
	};
	int bad = 0;
	for (int i = 0; i < 6; ++i)
		for (int d = 0; d < 5; ++d)
			bad += miss("sobol", dk_sobol((uint32_t)i, d), kWant[i][d], 0, "[JOEKUO08] points");
	assert_int_equal(bad, 0);
}

// x^k modulo a polynomial over GF(2)
static uint32_t power_of_x(uint32_t polynomial, int degree, uint32_t k)
{
	uint32_t result = 1, base = 2;
	if (degree == 1) base = 2 ^ polynomial;
	for (; k; k >>= 1)
	{
		uint32_t next = 0;
		if (k & 1)
		{
			for (int i = 0; i < degree; ++i)
				if (base >> i & 1) next ^= result << i;
			for (int i = 2 * degree; i >= degree; --i)
				if (next >> i & 1) next ^= polynomial << (i - degree);
			result = next;
		}
		next = 0;
		for (int i = 0; i < degree; ++i)
			if (base >> i & 1) next ^= base << i;
		for (int i = 2 * degree; i >= degree; --i)
			if (next >> i & 1) next ^= polynomial << (i - degree);
		base = next;
	}
	return result;
}

static void test_sobol_polynomials_are_primitive(void **state)
{
	(void)state;
	for (int d = 1; d < DK_SOBOL_DIMENSIONS; ++d)
	{
		const int s = dk_sobol_degree(d);
		const uint32_t p = dk_sobol_polynomial(d), order = (1u << s) - 1;
		assert_int_equal(power_of_x(p, s, order), 1);
		for (uint32_t k = 1; k < order; ++k)
			if (order % k == 0) assert_int_not_equal(power_of_x(p, s, k), 1);
		for (int e = 1; e < d; ++e) assert_int_not_equal(dk_sobol_polynomial(e), p);
	}
}

static void test_sobol_fills_every_interval_once(void **state)
{
	(void)state;

	// 256 points put one into each 256th of every axis
	for (int d = 0; d < DK_SOBOL_DIMENSIONS; ++d)
	{
		bool seen[256] = { false };
		for (uint32_t i = 0; i < 256; ++i)
		{
			const int at = (int)(256 * dk_sobol(i, d));
			assert_false(seen[at]);
			seen[at] = true;
		}
	}
}

static void test_normal(void **state)
{
	(void)state;
	static const struct
	{
		double p, x;
	} kRow[] = {
		{ 0.975, 1.959963984540054 },
		{ 0.95, 1.6448536269514722 },
		{ 0.5, 0 },
		{ 1e-9, -5.997807015007686 },
		{ 0.99, 2.3263478740408408 },
	};
	int bad = 0;
	for (int i = 0; i < COUNT(kRow); ++i)
		bad += miss(
		    "normal_inverse", dk_normal_inverse(kRow[i].p), kRow[i].x, 1e-13, "printed tables, 16 digits");

	// the distribution function is rounded to 1.1e-16 near 1: that much is lost on the way back
	for (double x = -37; x < 8; x += 0.0317)
	{
		const double within = 1e-12 * (1 + fabs(x)) + (x > 0 ? 2e-16 / dk_normal_pdf(x) : 0);
		bad += miss("inverse of cdf", dk_normal_inverse(dk_normal_cdf(x)), x, within, "identity");
	}
	bad += miss("tail", dk_normal_tail(1) + dk_normal_cdf(1), 1, 1e-15, "identity");
	bad += miss("pdf", dk_normal_pdf(0), 0.3989422804014327, 1e-16, "1/sqrt(2 pi)");
	assert_true(isinf(dk_normal_inverse(0)) && isinf(dk_normal_inverse(1)));
	assert_int_equal(bad, 0);
}

static void test_quantile(void **state)
{
	(void)state;
	const double value[] = { 5, 1, 3, 2, 4 }, weight[] = { 1, 1, 1, 1, 6 };
	int order[5], bad = 0;
	bad += miss("median", dk_quantile(value, NULL, 5, 0.5, order), 3, 1e-12, "middle of five");
	assert_int_equal(order[0], 1);
	assert_int_equal(order[4], 0);
	bad += miss("lowest", dk_quantile(value, NULL, 5, 0, order), 1, 0, "end holds");
	bad += miss("highest", dk_quantile(value, NULL, 5, 1, order), 5, 0, "end holds");
	bad += miss("between", dk_quantile(value, NULL, 5, 0.2, order), 1.5, 1e-12, "linear between middles");

	// weights rising by value: 1 1 1 6 1 of 10; the middle of the heavy one is at 0.6
	bad += miss("weighted", dk_quantile(value, weight, 5, 0.6, order), 4, 1e-12, "by hand");
	bad += miss("weighted between", dk_quantile(value, weight, 5, 0.425, order), 3.5, 1e-12, "by hand");
	const double sorted[] = { 1, 2, 4 };
	const double none[] = { 0, 2, 0 };
	bad += miss("sorted", dk_quantile_sorted(sorted, none, 3, 0.9), 2, 0, "only one has weight");
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_philox_known_answers),
		cmocka_unit_test(test_stream_is_uniform_and_addressable),
		cmocka_unit_test(test_sobol_first_points),
		cmocka_unit_test(test_sobol_polynomials_are_primitive),
		cmocka_unit_test(test_sobol_fills_every_interval_once),
		cmocka_unit_test(test_normal),
		cmocka_unit_test(test_quantile),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
