// Two lanes against one; every x86-64 and aarch64 has two.
#define DK_LANES 2
#include "lanes_b.h"

int main(void)
{
	return run_lanes();
}
