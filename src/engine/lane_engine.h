#pragma once
// Engines side by side as the physics sees them: the def structs of every system filled from the
// parameter table, and what surrounds them. Made once a block, constant while a point is found.
#include "cycle/crank_grid.h"
#include "engine/block.h"
#include "engine/defs.h"
#include "plant/driveline.h"

// Cylinders that are equal are computed once: class 0 is sound, class 1 is hit by the k-of-n faults.
enum
{
	DK_SOUND,
	DK_HIT,
	DK_CLASSES
};

typedef struct dk_lane_engine
{
	dk_starting_def starting[DK_CLASSES];
	dk_fuel_def fuel[DK_CLASSES];
	dk_air_def air;
	dk_cylinder_def cylinder[DK_CLASSES];
	dk_exhaust_def exhaust;
	dk_cooling_def cooling;
	dk_oil_def oil;
	dk_driveline_def driveline;

	dk_real share[DK_CLASSES]; // of the cylinders, sums to 1
	bool hit;                  // any lane has hit cylinders: else class 1 is not run
	dk_real swept_m3;          // of one cylinder
	dk_real rated_rad_s;
	dk_real air_k, sea_k; // lane values: the sensitivities move them
	dk_real pressure_pa;
	dk_driveline drive; // what does not change with speed
	dk_condition condition;
} dk_lane_engine;

// Fills every field from a block's parameters and condition.
void DK_FN(dk_lane_engine_read)(const dk_block *block, dk_lane_engine *engine);

// Keeps `old` where the mask is set: how a settled lane is frozen. Structs of dk_real only; count = number of
// them.
static inline void DK_FN(dk_freeze)(dk_mask frozen, const dk_real *old, dk_real *fresh, int count)
{
	for (int i = 0; i < count; ++i) fresh[i] = dk_choose(frozen, old[i], fresh[i]);
}
