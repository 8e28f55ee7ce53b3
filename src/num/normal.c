#include "num/normal.h"
#include <math.h>

#define SQRT_HALF 0.70710678118654752440
#define PER_SQRT_2PI 0.39894228040143267794

double dk_normal_pdf(double x)
{
	return PER_SQRT_2PI * exp(-0.5 * x * x);
}

double dk_normal_cdf(double x)
{
	return 0.5 * erfc(-x * SQRT_HALF);
}

double dk_normal_tail(double x)
{
	return 0.5 * erfc(x * SQRT_HALF);
}

double dk_normal_inverse(double p)
{
	if (!(p > 0)) return -INFINITY;
	if (!(p < 1)) return INFINITY;

	// in the upper half 1 - p is exact, and the lower tail keeps its digits
	if (p > 0.5) return -dk_normal_inverse(1 - p);
	const double a = 0.147, l = log(4 * p * (1 - p)), b = 2 / (3.14159265358979323846 * a) + l / 2;
	double x = -sqrt(2 * (sqrt(b * b - l / a) - b));
	for (int i = 0; i < 4; ++i)
	{
		// Halley's step for cdf(x) = p: the second derivative is -x times the first
		const double step = (dk_normal_cdf(x) - p) / dk_normal_pdf(x);
		x -= step / (1 + 0.5 * x * step);
	}
	return x;
}
