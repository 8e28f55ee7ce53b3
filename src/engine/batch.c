// Chooses the lane width, cuts a batch into blocks of that width, and copies numbers in and out.
#include "engine/batch.h"
#include "engine/block.h"
#include <math.h>
#include <string.h>

// one block function a width; those that this program was not built with are missing
#define DK_DECLARE(width) void dk_block_run_w##width(dk_block *block)
DK_DECLARE(1);
#if defined(__x86_64__) || defined(__aarch64__)
DK_DECLARE(2);
#endif
#if defined(__x86_64__)
DK_DECLARE(4);
DK_DECLARE(8);
#endif

typedef void dk_block_fn(dk_block *block);

static dk_block_fn *block_of(int lanes)
{
	switch (lanes)
	{
	case 1: return dk_block_run_w1;
#if defined(__x86_64__)
	case 8: return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq")
		&& __builtin_cpu_supports("avx512vl") ? dk_block_run_w8 : NULL;
	case 4: return __builtin_cpu_supports("avx2") ? dk_block_run_w4 : NULL;
#endif
#if defined(__x86_64__) || defined(__aarch64__)
	case 2: return dk_block_run_w2;
#endif
	default: return NULL;
	}
}

int dk_batch_widest(void)
{
	for (int lanes = 8; lanes > 1; lanes /= 2)
		if (block_of(lanes)) return lanes;
	return 1;
}

dk_condition dk_default_condition(void)
{
	return (dk_condition){ .air_k = 288.15, .sea_k = 288.15, .pressure_pa = 101325, .humidity = 0.6,
		.soak_h = 12, .heel_deg = 0 };
}

// copies engines first.. into a block; lanes beyond the last engine repeat it, so that no lane holds rubbish
static void gather(const dk_batch *batch, int first, int lanes, dk_block *block)
{
	for (int lane = 0; lane < lanes; ++lane)
	{
		const int engine = first + lane < batch->count ? first + lane : batch->count - 1;
		for (int p = 0; p < DK_PARAM_COUNT; ++p)
			block->param[p * lanes + lane] = batch->param[(size_t)p * batch->count + engine];
		block->air_k[lane] = batch->air_k ? batch->air_k[engine] : batch->condition.air_k;
		block->sea_k[lane] = batch->sea_k ? batch->sea_k[engine] : batch->condition.sea_k;
	}
}

static void scatter(const dk_block *block, int first, int lanes, dk_batch *batch)
{
	for (int lane = 0; lane < lanes && first + lane < batch->count; ++lane)
	{
		for (int r = 0; r < DK_READING_COUNT; ++r)
			batch->reading[(size_t)r * batch->count + first + lane] = block->reading[r * lanes + lane];
		batch->status[first + lane] = block->status[lane];
		batch->cycles += block->cycles[lane];
	}
}

void dk_batch_run(dk_batch *batch, int lanes)
{
	dk_block_fn *run = block_of(lanes);
	if (!run)
	{
		lanes = dk_batch_widest();
		run = block_of(lanes);
	}
	batch->cycles = 0;
	for (int first = 0; first < batch->count; first += lanes)
	{
		dk_block block = { .condition = batch->condition, .point = batch->point, .lever = batch->lever };
		gather(batch, first, lanes, &block);
		run(&block);
		scatter(&block, first, lanes, batch);
	}
}

// engine speed in gear at a lever
static double speed_at(const double *param, const dk_condition *condition, double lever)
{
	double reading[DK_READING_COUNT];
	unsigned char status;
	dk_batch one = { .count = 1, .param = param, .condition = *condition, .point = DK_POINT_cruise,
		.lever = lever, .reading = reading, .status = &status };
	dk_batch_run(&one, 1);
	return status == DK_NOT_REACHED ? 0 : reading[DK_READING_engine_speed];
}

double dk_engine_lever(const double *param, const dk_condition *condition, double rpm)
{
	// the speed rises with the lever until the rack stop rules; false position with halving of the stale end
	double low = 0, high = 1;
	double low_miss = speed_at(param, condition, low) - rpm;
	double high_miss = speed_at(param, condition, high) - rpm;
	if (high_miss <= 0) return 1;
	if (low_miss >= 0) return 0;
	int side = 0;
	for (int i = 0; i < 40; ++i)
	{
		const double lever = low - low_miss * (high - low) / (high_miss - low_miss);
		const double miss = speed_at(param, condition, lever) - rpm;
		if (fabs(miss) < 1e-4 * rpm || high - low < 1e-6) return lever;
		if (miss < 0)
		{
			low = lever, low_miss = miss;
			if (side < 0) high_miss /= 2;
			side = -1;
		}
		else
		{
			high = lever, high_miss = miss;
			if (side > 0) low_miss /= 2;
			side = 1;
		}
	}
	return (low + high) / 2;
}

double dk_engine_cruise_lever(const double *param, const dk_condition *condition)
{
	return dk_engine_lever(param, condition, 0.70 * param[DK_PARAM_fuel_rated_rpm]);
}
