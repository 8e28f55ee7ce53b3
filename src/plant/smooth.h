#pragma once
// Steps and limits without corners, so that a small change of a parameter never makes a jump in a
// reading. Each is monotone in its argument; `width` is in the unit of the argument and > 0.
#include "num/real.h"

// 0 below `from`, 1 above `to`, a cubic between with level ends. from < to.
static inline dk_real DK_FN(dk_smooth_step)(dk_real x, dk_real from, dk_real to)
{
	const dk_real t = dk_clip((x - from) / (to - from), 0, 1);
	return t * t * (3.0 - 2.0 * t);
}

// The greater of two, rounded over about `width`; above max(a, b) by width/2 where they are equal.
static inline dk_real DK_FN(dk_smooth_max)(dk_real a, dk_real b, dk_real width)
{
	const dk_real gap = a - b;
	return 0.5 * (a + b + dk_sqrt(gap * gap + width * width));
}

// The lesser of two, rounded likewise; below min(a, b) by width/2 where they are equal.
static inline dk_real DK_FN(dk_smooth_min)(dk_real a, dk_real b, dk_real width)
{
	const dk_real gap = a - b;
	return 0.5 * (a + b - dk_sqrt(gap * gap + width * width));
}

// x where x is well above 0, 0 where it is well below.
static inline dk_real DK_FN(dk_soft_plus)(dk_real x, dk_real width)
{
	return 0.5 * (x + dk_sqrt(x * x + width * width));
}

// x between 0 and 1, held there with rounded ends; `width` well below 1. Always inside 0 .. 1; at the ends
// themselves it is off by width/2.
static inline dk_real DK_FN(dk_soft_unit)(dk_real x, dk_real width)
{
	const dk_real up = x - 1.0;
	const dk_real square = width * width;
	return 0.5 * (1.0 + dk_sqrt(x * x + square) - dk_sqrt(up * up + square));
}

#define dk_smooth_step DK_FN(dk_smooth_step)
#define dk_smooth_max DK_FN(dk_smooth_max)
#define dk_smooth_min DK_FN(dk_smooth_min)
#define dk_soft_plus DK_FN(dk_soft_plus)
#define dk_soft_unit DK_FN(dk_soft_unit)
