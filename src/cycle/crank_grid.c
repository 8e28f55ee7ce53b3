#include "cycle/crank_grid.h"
#include <assert.h>
#include <math.h>

#define PI 3.14159265358979323846

// A stretch of the grid: from the end of the one before to `to`, in equal steps of at most `step`.
typedef struct stretch
{
	double to, step;
} stretch;

dk_grid_def dk_default_grid_def(void)
{
	return (dk_grid_def){ .ivo_deg = -14,
		.ivc_deg = 222,
		.evo_deg = 130,
		.evc_deg = 372,
		.spread_deg = 0,
		.earliest_injection_deg = 45,
		.fineness = 1 };
}

static unsigned char flags_between(const dk_grid_def *def, double from, double to)
{
	const double tiny = 1e-9, spread = def->spread_deg;
	unsigned char flags = 0;
	if (to > def->evo_deg - spread + tiny && from < def->evc_deg + spread - tiny) flags |= DK_STEP_EXHAUST;
	if (to > 360 + def->ivo_deg - spread + tiny) flags |= DK_STEP_INLET;
	if (from >= -def->earliest_injection_deg - tiny && to <= 60 + tiny) flags |= DK_STEP_INJECT;
	if (from >= -def->earliest_injection_deg - tiny && to <= def->evo_deg - spread + tiny)
		flags |= DK_STEP_BURN;
	if (from >= 180 - tiny && to <= 540 + tiny) flags |= DK_STEP_PUMP;
	return flags;
}

static void build(const dk_grid_def *def, double from, const stretch *parts, int count, dk_crank_grid *grid)
{
	int n = 0;
	grid->deg[0] = from;
	for (int i = 0; i < count; ++i)
	{
		const double span = parts[i].to - grid->deg[n];
		if (span <= 1e-9) continue;
		const int steps = (int)ceil(span / parts[i].step * def->fineness - 1e-9);
		assert(n + steps <= DK_GRID_MAX);
		const double begin = grid->deg[n];
		for (int k = 1; k <= steps; ++k)
			grid->deg[n + k] = k == steps ? parts[i].to : begin + span * k / steps;
		n += steps;
	}
	grid->steps = n;
	for (int k = 0; k <= n; ++k)
	{
		grid->cos_[k] = cos(grid->deg[k] * PI / 180);
		grid->sin_[k] = sin(grid->deg[k] * PI / 180);
		if (k < n) grid->flags[k] = flags_between(def, grid->deg[k], grid->deg[k + 1]);
	}
	dk_gas_table_fill(&grid->gas);
}

// Nodes fall on valve events, dead centres and 20, 60 deg, where something is read off.
static void build_full(const dk_grid_def *def, double exchange, dk_crank_grid *grid)
{
	const double from = def->ivc_deg - 360 + def->spread_deg;
	const double evo = def->evo_deg - def->spread_deg;
	const double overlap_from = fmax(360 + def->ivo_deg - def->spread_deg, 181);
	const double overlap_to = fmax(def->evc_deg + def->spread_deg, overlap_from + 1);
	const stretch parts[] = {
		{ fmin(-60, -def->earliest_injection_deg), 4 },
		{ -def->earliest_injection_deg, 3 },
		{ -20, 1.25 },
		{ 0, 0.5 },
		{ 20, 0.5 },
		{ 40, 1 },
		{ 60, 2 },
		{ fmax(evo, 61), 4 },
		{ 180, 2 },
		{ overlap_from, 1.5 * exchange },
		{ 360, exchange },
		{ overlap_to, exchange },
		{ 540, 1.5 * exchange },
		{ from + 720, exchange },
	};
	build(def, from, parts, (int)(sizeof parts / sizeof parts[0]), grid);
}

void dk_crank_grid_running(const dk_grid_def *def, dk_crank_grid *grid)
{
	build_full(def, 2.5, grid);
}

void dk_crank_grid_idle(const dk_grid_def *def, dk_crank_grid *grid)
{
	build_full(def, 2, grid);
}

void dk_crank_grid_crank(const dk_grid_def *def, dk_crank_grid *grid)
{
	const double from = def->ivc_deg - 360 + def->spread_deg;
	const stretch parts[] = {
		{ -60, 2 },
		{ -30, 1 },
		{ -10, 0.5 },
		{ 0, 0.25 },
		{ 4, 0.25 },
		{ 20, 0.5 },
		{ 60, 1 },
		{ def->evo_deg - def->spread_deg, 2 },
	};
	build(def, from, parts, (int)(sizeof parts / sizeof parts[0]), grid);
	for (int k = 0; k < grid->steps; ++k) grid->flags[k] &= DK_STEP_INJECT;
}
