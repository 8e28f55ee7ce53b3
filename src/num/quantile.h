#pragma once
// Quantiles of weighted samples.
#include <stddef.h>

/// Quantile of values that rise. Each value stands at the middle of its share of the weight; between two
/// the quantile is linear, beyond the first and last it is their value.
///
/// Given:   value[n] rising, weight[n] >= 0 with a positive sum (NULL: all equal), n >= 1, p 0..1
double dk_quantile_sorted(const double *value, const double *weight, int n, double p);

/// The same for values in any order. order[n] is scratch; on return it sorts the values (ties by index).
double dk_quantile(const double *value, const double *weight, int n, double p, int *order);

// Fills order[n] so that value[order[i]] rises, ties by index.
void dk_sort_order(const double *value, int n, int *order);
