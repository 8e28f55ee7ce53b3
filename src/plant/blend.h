#pragma once
// Two smooth pieces that stand in for a branch, used by starting, oil and driveline.
#include "num/real.h"

/// max(x, 0) with a parabola between -width and width; exact outside. width > 0.
static inline dk_real dk_blend_plus(dk_real x, double width)
{
	const dk_real near = dk_clip(x, -width, width) + width;
	return near * near * (0.25 / width) + dk_max(x - width, dk_set(0));
}

/// 0 well below `at`, 1 well above; 0.12 and 0.88 at `at` -/+ width.
static inline dk_real dk_blend_step(dk_real x, double at, double width)
{
	return 0.5 + 0.5 * dk_tanh((x - at) * (1 / width));
}
