// Times the cylinder at the width it is built for. Prints CSV, one line a point: width, point, steps,
// microseconds for one cycle of one engine (CPU time, best of nine blocks). Built at width 1 by the usual
// build; for a wide figure build it with DK_LANES=8 and the flags of that width:
//
//   cc -std=c17 -O3 -ffp-contract=off -fno-math-errno -fno-trapping-math -D_GNU_SOURCE -Isrc -DDK_LANES=8
//   -mavx512f -mavx512dq
//      -mavx512vl -mprefer-vector-width=512 bench/cycle_cost.c src/num/wide_math.c src/gas/*.c
//      src/cycle/{burn,crank,crank_grid,cylinder,delay,friction,heat,smoke,step}.c -lm
#include "cycle/cylinder.h"
#include <stdio.h>
#include <time.h>

static double cpu_us(void)
{
	struct timespec t;
	clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
	return 1e6 * (double)t.tv_sec + 1e-3 * (double)t.tv_nsec;
}

int main(void)
{
	static dk_crank_grid running, idle, crank;
	const dk_grid_def timing = dk_default_grid_def();
	dk_crank_grid_running(&timing, &running);
	dk_crank_grid_idle(&timing, &idle);
	dk_crank_grid_crank(&timing, &crank);
	dk_cylinder_def def;
#define DK_BENCH_FIELD(system, name, unit, low, standard, ...) def.name = dk_set(standard);
	DK_PARAMS_CYLINDER(DK_BENCH_FIELD)
#undef DK_BENCH_FIELD
	const dk_cylinder_ports in = DK_FN(dk_default_cylinder_ports)();
	dk_cylinder_state state;
	dk_cylinder_result out;
	dk_crank_result cranked;
	enum
	{
		BLOCK = 200,
		BLOCKS = 9
	};
	double best[3] = { 1e30, 1e30, 1e30 };
	for (int b = 0; b < BLOCKS; ++b)
	{
		for (int what = 0; what < 3; ++what)
		{
			const dk_crank_grid *grid = what == 0 ? &running : &idle;
			DK_FN(dk_cylinder_start)(&def, &in, grid, &state);
			const double from = cpu_us();
			for (int i = 0; i < BLOCK; ++i)
			{
				if (what < 2)
					DK_FN(dk_cylinder_cycle)(&def, &in, grid, &state, &out);
				else
					DK_FN(dk_cylinder_crank)(&def, &in, &crank, dk_set(0), &cranked);
			}
			const double each = (cpu_us() - from) / BLOCK / DK_LANES;
			if (each < best[what]) best[what] = each;
		}
	}
	printf("width,point,steps,us\n");
	printf("%d,running,%d,%.2f\n", DK_LANES, running.steps, best[0]);
	printf("%d,idle,%d,%.2f\n", DK_LANES, idle.steps, best[1]);
	printf("%d,crank,%d,%.2f\n", DK_LANES, crank.steps, best[2]);
	return dk_lane(out.work_j, 0) > 0 ? 0 : 1;
}
