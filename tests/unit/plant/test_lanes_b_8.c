// Eight lanes against one, where compiler and CPU have them (AVX-512; the pragma is gcc's).
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#pragma GCC target("avx512f,avx512dq,avx512vl")
#define DK_LANES 8
#include "lanes_b.h"

int main(void)
{
	if (!__builtin_cpu_supports("avx512dq")) return 77; // skipped
	return run_lanes();
}
#else
int main(void)
{
	return 77;
}
#endif
