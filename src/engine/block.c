// One block of engines at one operating point.
#include "engine/readings.h"

// [ASSUMED-830] heaters are used for this long before a cold start
static const double kPreheatS = 20;

// [ASSUMED-831] air in the manifold of an engine stopped ten minutes ago takes a third of the rise to the
// metal
static const double kHotIntake = 1.0 / 3;

// settled when nothing moves more than this share of its scale
static const double kSettle = 1e-5;

// a running point and its first hour
static void run_point(const dk_block *block, const dk_lane_engine *engine, const dk_running_order *order,
    dk_running *run, dk_hour *hour, unsigned char *status, long *cycles)
{
	DK_FN(dk_running_find)(engine, block->running, order, run, status, cycles);

	dk_cooling_start start = { .coolant_k = engine->air_k, .metal_k = engine->air_k };
	if (!order->just_fired) DK_FN(dk_cooling_warm)(&engine->cooling, &run->cooling, &run->flows, &start);
	dk_cooling_story story;
	DK_FN(dk_cooling_story)
	(&engine->cooling, &run->cooling, &run->flows, &start, 20, engine->cooling.lamp_set_k, &story);
	*hour = (dk_hour){
		.coolant_k = order->just_fired ? story.coolant_at_k : story.coolant_end_k,
		.loss_m3_s = story.lost_m3 / 3600,
		.level = order->just_fired ? engine->cooling.coolant_level : story.level_end,
		.overheat_s = story.overheat_s,
		.stop_s = run->supply.stop_s,
		.raw_out_k = story.raw_out_k,
	};
}

static void run_running(dk_block *block, const dk_lane_engine *engine, dk_real *reading)
{
	dk_running_order order = { .lever = 0, .settle = kSettle };
	switch (block->point)
	{
	case DK_POINT_cold_idle: order.just_fired = true; break;
	case DK_POINT_cruise: order.in_gear = true, order.lever = block->lever; break;
	case DK_POINT_full: order.in_gear = true, order.lever = 1; break;
	case DK_POINT_no_load: order.lever = 1; break;
	default: break;
	}
	dk_running run;
	dk_hour hour;
	run_point(block, engine, &order, &run, &hour, block->status, block->cycles);
	DK_FN(dk_readings_running)(engine, &run, &hour, &order, reading);
}

// the first cranking of the day
static void run_cold_crank(dk_block *block, const dk_lane_engine *engine, dk_real *reading)
{
	const dk_cranking_order order = {
		.metal_k = engine->air_k,
		.oil_k = engine->air_k,
		.intake_k = engine->air_k,
		.soak_s = dk_set(3600 * block->condition.soak_h),
		.preheat_s = dk_set(kPreheatS),
	};
	dk_cranking crank;
	DK_FN(dk_cranking_find)(engine, block->crank, &order, &crank, block->status, block->cycles);
	DK_FN(dk_readings_cranking)(engine, &crank, engine->air_k, engine->air_k, reading);
}

// an hour of cruise, ten minutes at rest, then the key; an engine that can't cruise is taken as warmed up all
// the same
static void run_stopped_hot(dk_block *block, const dk_lane_engine *engine, dk_real *reading)
{
	const dk_running_order cruise = { .lever = block->lever, .in_gear = true, .settle = kSettle };
	unsigned char before[DK_LANES];
	dk_running run;
	dk_hour hour;
	run_point(block, engine, &cruise, &run, &hour, before, block->cycles);

	const dk_cooling_start at_stop = { .coolant_k = hour.coolant_k, .metal_k = run.settled.metal_k };
	dk_cooling_start now;
	DK_FN(dk_cooling_soak)
	(&engine->cooling, &at_stop, hour.level, run.air.space_k, engine->pressure_pa, dk_set(600), &now);
	const dk_real oil_k = DK_FN(dk_oil_warming_k)(&engine->oil, run.oil_k, now.metal_k, dk_set(600));
	const dk_cranking_order order = {
		.metal_k = now.metal_k,
		.oil_k = oil_k,
		.intake_k = run.air.space_k + kHotIntake * (now.metal_k - run.air.space_k),
		.soak_s = dk_set(600),
		.preheat_s = dk_set(0),
	};
	dk_cranking crank;
	DK_FN(dk_cranking_find)(engine, block->crank, &order, &crank, block->status, block->cycles);
	DK_FN(dk_readings_cranking)(engine, &crank, now.coolant_k, oil_k, reading);
}

void DK_FN(dk_block_run)(dk_block *block);
void DK_FN(dk_block_run)(dk_block *block)
{
	dk_lane_engine engine;
	dk_real reading[DK_READING_COUNT];
	DK_FN(dk_lane_engine_read)(block, &engine);
	DK_FN(dk_readings_clear)(reading);
	switch (block->point)
	{
	case DK_POINT_key_on: DK_FN(dk_readings_key_on)(&engine, reading); break;
	case DK_POINT_cold_crank: run_cold_crank(block, &engine, reading); break;
	case DK_POINT_stopped_hot: run_stopped_hot(block, &engine, reading); break;
	default: run_running(block, &engine, reading); break;
	}
	DK_FN(dk_readings_bound)(reading);
	memcpy(block->reading, reading, sizeof reading);
}
