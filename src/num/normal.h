#pragma once
// The standard normal distribution in plain double, and logs and odds around it.

// Density, distribution function (full relative accuracy in the lower tail) and upper tail.
double dk_normal_pdf(double x);
double dk_normal_cdf(double x);
double dk_normal_tail(double x);

/// Inverse distribution function. Given: 0 < p < 1 (0 and 1 give -inf, +inf). Error below 1e-14 relative to 1
/// + |x|. Source: Halley steps on dk_normal_cdf from a start after [WINITZKI08] (about 2e-3 off).
double dk_normal_inverse(double p);
