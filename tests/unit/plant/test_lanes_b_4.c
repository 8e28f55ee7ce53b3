// Four lanes against one, where compiler and CPU have them (AVX2; the pragma is gcc's).
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#pragma GCC target("avx2")
#define DK_LANES 4
#include "lanes_b.h"

int main(void)
{
	if (!__builtin_cpu_supports("avx2")) return 77; // skipped
	return run_lanes();
}
#else
int main(void)
{
	return 77;
}
#endif
