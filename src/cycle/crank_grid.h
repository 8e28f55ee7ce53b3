#pragma once
// The crank angles at which a cycle is computed: one fixed, non-uniform grid a point class, in plain
// double, the same for every lane. Angles are degrees after firing top dead centre: a cycle runs from
// inlet valve closing (about -138) over firing top dead centre (0) and the gas exchange (exhaust opens
// about 130, exchange top dead centre 360, inlet closes about 582) back to inlet valve closing.
#include "gas/table.h"

enum
{
	DK_GRID_MAX = 900
};

// Bits of dk_crank_grid.flags: what may happen between a node and the next.
enum
{
	DK_STEP_EXHAUST = 1, // exhaust valve may be open
	DK_STEP_INLET = 2,   // inlet valve may be open
	DK_STEP_INJECT = 4,  // fuel may be injected or wait to ignite: the delay integral is kept
	DK_STEP_BURN = 8,    // fuel may burn
	DK_STEP_PUMP = 16    // between the bottom dead centres of the gas exchange: counts as pumping work
};

typedef struct dk_crank_grid
{
	int steps;                    // nodes are 0..steps
	double deg[DK_GRID_MAX + 1];  // rising
	double cos_[DK_GRID_MAX + 1]; // of the crank angle
	double sin_[DK_GRID_MAX + 1];
	unsigned char flags[DK_GRID_MAX];
	dk_gas_table gas; // the working gases; here because every cycle needs both
} dk_crank_grid;

// What the grid has to serve. Windows, so that engines side by side may differ inside them: a lane whose
// valve opens outside its window would be wrong, one inside is only a little less exact.
typedef struct dk_grid_def
{
	double ivo_deg, ivc_deg;       // as dk_cylinder_def: after gas-exchange top dead centre
	double evo_deg, evc_deg;       // after firing top dead centre
	double spread_deg;             // engines differ by up to this much either way; 0 = all alike
	double earliest_injection_deg; // before top dead centre
	double fineness;               // 1 = as designed; 2 = twice the nodes (convergence tests)
} dk_grid_def;

// Timing of the default three_indirect engine, earliest injection 45 deg before, spread 0, fineness 1.
dk_grid_def dk_default_grid_def(void);

// Cruise, full, no load: 900 rpm and more. About 330 steps.
void dk_crank_grid_running(const dk_grid_def *def, dk_crank_grid *grid);

// Idle, from 400 rpm: as running, with a finer gas exchange. About 400 steps.
void dk_crank_grid_idle(const dk_grid_def *def, dk_crank_grid *grid);

// Cranking, 60 .. 400 rpm, closed from inlet valve closing to exhaust valve opening only. About 300 steps.
void dk_crank_grid_crank(const dk_grid_def *def, dk_crank_grid *grid);
