#pragma once
// Which widths this processor can run: tests compare those.
#include <stdbool.h>

static inline bool can_run_lanes(int lanes)
{
	if (lanes == 8)
		return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
		       __builtin_cpu_supports("avx512vl");
	if (lanes == 4) return __builtin_cpu_supports("avx2");
	return true;
}
