// From the flat parameter table to the def structs of the systems.
#include "engine/lane_engine.h"

// parameter p of every lane
static dk_real param(const dk_block *block, int p)
{
	dk_real value;
	memcpy(&value, block->param + p * DK_LANES, sizeof value);
	return value;
}

static void read_sound(const dk_block *block, dk_lane_engine *engine)
{
#define X(system, name, ...) engine->system.name = param(block, DK_PARAM_##system##_##name);
	DK_PARAMS_AIR(X)
	DK_PARAMS_EXHAUST(X)
	DK_PARAMS_COOLING(X)
	DK_PARAMS_OIL(X)
	DK_PARAMS_DRIVELINE(X)
#undef X
#define X(system, name, ...) engine->system[DK_SOUND].name = param(block, DK_PARAM_##system##_##name);
	DK_PARAMS_STARTING(X) DK_PARAMS_FUEL(X) DK_PARAMS_CYLINDER(X)
#undef X
}

// the hit class differs in the per-class rows alone
static void read_hit(const dk_block *block, dk_lane_engine *engine)
{
	engine->starting[DK_HIT] = engine->starting[DK_SOUND];
	engine->fuel[DK_HIT] = engine->fuel[DK_SOUND];
	engine->cylinder[DK_HIT] = engine->cylinder[DK_SOUND];
#define X(system, name) engine->system[DK_HIT].name = param(block, DK_PARAM_B_##system##_##name);
	DK_PARAMS_PER_CLASS(X)
#undef X
}

void DK_FN(dk_lane_engine_read)(const dk_block *block, dk_lane_engine *engine)
{
	read_sound(block, engine);
	read_hit(block, engine);
	engine->condition = block->condition;
	memcpy(&engine->air_k, block->air_k, sizeof engine->air_k);
	memcpy(&engine->sea_k, block->sea_k, sizeof engine->sea_k);
	engine->pressure_pa = dk_set(block->condition.pressure_pa);
	DK_FN(dk_driveline_prepare)(&engine->driveline, &engine->drive);

	// shares of the two classes; a lane with no hit cylinder gives class 1 the weight zero
	const dk_cylinder_def *cylinder = &engine->cylinder[DK_SOUND];
	engine->share[DK_HIT] = dk_min(cylinder->hit_count / cylinder->count, dk_set(1));
	engine->share[DK_SOUND] = 1 - engine->share[DK_HIT];
	engine->hit = dk_any(engine->share[DK_HIT] > 0);
	engine->swept_m3 =
	    0.25 * 3.14159265358979323846 * cylinder->bore_m * cylinder->bore_m * cylinder->stroke_m;
	engine->rated_rad_s = engine->fuel[DK_SOUND].rated_rpm * (3.14159265358979323846 / 30);
}
