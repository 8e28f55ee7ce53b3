#include "num/quantile.h"

// restores the heap below node i of order[0..n): the largest on top, ties the larger index
static void sift(const double *value, int *order, int i, int n)
{
	for (;;)
	{
		int top = i;
		for (int child = 2 * i + 1; child <= 2 * i + 2 && child < n; ++child)
		{
			const int a = order[child], b = order[top];
			if (value[a] > value[b] || (value[a] == value[b] && a > b)) top = child;
		}
		if (top == i) return;
		const int held = order[i];
		order[i] = order[top];
		order[top] = held;
		i = top;
	}
}

void dk_sort_order(const double *value, int n, int *order)
{
	for (int i = 0; i < n; ++i) order[i] = i;
	for (int i = n / 2 - 1; i >= 0; --i) sift(value, order, i, n);
	for (int end = n - 1; end > 0; --end)
	{
		const int held = order[0];
		order[0] = order[end];
		order[end] = held;
		sift(value, order, 0, end);
	}
}

// the same walk for sorted values and for values through an order
static double walk(const double *value, const double *weight, const int *order, int n, double p)
{
	double total = 0, before = 0;
	for (int i = 0; i < n; ++i) total += weight ? weight[i] : 1;
	const double want = p * total;
	double last = -1, last_value = 0;
	for (int i = 0; i < n; ++i)
	{
		const int k = order ? order[i] : i;
		const double w = weight ? weight[k] : 1;
		if (w <= 0) continue;
		const double middle = before + 0.5 * w;
		if (want <= middle)
		{
			if (last < 0) return value[k];
			return last_value + (value[k] - last_value) * (want - last) / (middle - last);
		}
		last = middle;
		last_value = value[k];
		before += w;
	}
	return last_value;
}

double dk_quantile_sorted(const double *value, const double *weight, int n, double p)
{
	return walk(value, weight, NULL, n, p);
}

double dk_quantile(const double *value, const double *weight, int n, double p, int *order)
{
	dk_sort_order(value, n, order);
	return walk(value, weight, order, n, p);
}
