// Weighted mixtures: see mix.h.
#include "infer/mix.h"
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

// rounding of the sums in a mutual information; below, a check tells nothing
#define SMALLEST 1e-9

double dk_mix_shares(const double *log_weight, int count, double *share)
{
	double top = -INFINITY;
	for (int i = 0; i < count; ++i) top = fmax(top, log_weight[i]);
	if (!(top > -INFINITY))
	{
		for (int i = 0; i < count; ++i) share[i] = 0;
		return -INFINITY;
	}
	double sum = 0;
	for (int i = 0; i < count; ++i) sum += share[i] = exp(log_weight[i] - top);
	for (int i = 0; i < count; ++i) share[i] /= sum;
	return top + log(sum);
}

double dk_mix_bits(const double *joint, int classes, int answers)
{
	double total = 0;
	for (int i = 0; i < classes * answers; ++i) total += joint[i];
	if (!(total > 0)) return 0;

	// I = sum p ln p - sum over rows r ln r - sum over columns c ln c, in nats
	double sum = 0;
	for (int k = 0; k < classes; ++k)
	{
		double row = 0;
		for (int a = 0; a < answers; ++a)
		{
			const double p = joint[k * answers + a] / total;
			row += p;
			if (p > 0) sum += p * log(p);
		}
		if (row > 0) sum -= row * log(row);
	}
	for (int a = 0; a < answers; ++a)
	{
		double column = 0;
		for (int k = 0; k < classes; ++k) column += joint[k * answers + a] / total;
		if (column > 0) sum -= column * log(column);
	}
	return fmax(sum / M_LN2, 0);
}

double dk_mix_spread(double w, double wp, double ww, double wwp, double wwpp)
{
	if (!(w > 0)) return 0;
	const double mean = wp / w, squares = wwpp - 2 * mean * wwp + mean * mean * ww;
	return fmax(squares, 0) / (w * w) / fmax(1 - ww / (w * w), 0.5);
}

double dk_mix_bits_corrected(const double *joint, const double *spread, int classes, int answers)
{
	double total = 0, bias = 0;
	for (int i = 0; i < classes * answers; ++i) total += joint[i];
	if (!(total > 0)) return 0;
	for (int a = 0; a < answers; ++a)
	{
		double column = 0, shared = 0;
		for (int k = 0; k < classes; ++k) column += joint[k * answers + a] / total;
		for (int k = 0; k < classes; ++k)
		{
			double class = 0;
			for (int b = 0; b < answers; ++b) class += joint[k * answers + b] / total;
			const double here = joint[k * answers + a] / total;
			if (!(here > 0)) continue;

			// share of the class x Var / (2 x chance in the class)
			bias += class * class * spread[k * answers + a] / (2 * here);
			shared += class * class * spread[k * answers + a];
		}
		if (column > 0) bias -= shared / (2 * column);
	}
	const double bits = dk_mix_bits(joint, classes, answers) - fmax(bias, 0) / M_LN2;
	return bits > SMALLEST ? bits : 0;
}

double dk_mix_effective(const double *weight, int count)
{
	double sum = 0, square = 0;
	for (int i = 0; i < count; ++i)
	{
		sum += weight[i];
		square += weight[i] * weight[i];
	}
	return square > 0 ? sum * sum / square : 0;
}

double dk_mix_weigh(const dk_mix_states *net, const int *seen, double *share)
{
	for (int s = 0; s < net->states; ++s)
	{
		share[s] = log(net->prior[s]);
		for (int c = 0; c < net->checks; ++c)
			if (seen[c] >= 0) share[s] += log(net->chance[c][s * net->answers[c] + seen[c]]);
	}
	return exp(dk_mix_shares(share, net->states, share));
}

double dk_mix_state_bits(
    const dk_mix_states *net, const double *share, int check, const int *class_of, int classes)
{
	const int answers = net->answers[check];
	double *joint = calloc((size_t)classes * (size_t)answers, sizeof *joint);
	for (int s = 0; s < net->states; ++s)
		for (int a = 0; a < answers; ++a)
			joint[class_of[s] * answers + a] += share[s] * net->chance[check][s * answers + a];
	const double bits = dk_mix_bits(joint, classes, answers);
	free(joint);
	return bits;
}
