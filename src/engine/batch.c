// Chooses the lane width, cuts a batch into blocks of that width, and copies numbers in and out.
#include "engine/batch.h"
#include "engine/block.h"
#include <math.h>
#include <string.h>

// the widths of this CPU family; DK_ONE_WIDTH (meson -Dlanes=1) leaves the wide ones out, for quick builds
#if defined(__x86_64__) && !defined(DK_ONE_WIDTH)
#define DK_HAS_WIDE 1
#endif
#if (defined(__x86_64__) || defined(__aarch64__)) && !defined(DK_ONE_WIDTH)
#define DK_HAS_PAIRS 1
#endif

// one block function a width; those that this program was not built with are missing
#define DK_DECLARE(width) void dk_block_run_w##width(dk_block *block)
DK_DECLARE(1);
#ifdef DK_HAS_PAIRS
DK_DECLARE(2);
#endif
#ifdef DK_HAS_WIDE
DK_DECLARE(4);
DK_DECLARE(8);
#endif

typedef void dk_block_fn(dk_block *block);

static dk_block_fn *block_of(int lanes)
{
	switch (lanes)
	{
	case 1: return dk_block_run_w1;
#ifdef DK_HAS_WIDE
	case 8:
		return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
		               __builtin_cpu_supports("avx512vl")
		           ? dk_block_run_w8
		           : NULL;
	case 4: return __builtin_cpu_supports("avx2") ? dk_block_run_w4 : NULL;
#endif
#ifdef DK_HAS_PAIRS
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
	return (dk_condition){
		.air_k = 288.15, .sea_k = 288.15, .pressure_pa = 101325, .humidity = 0.6, .soak_h = 12, .heel_deg = 0
	};
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

// lowest and highest value of a parameter over the batch
static void range_of(const dk_batch *batch, int param, double *low, double *high)
{
	const double *value = batch->param + (size_t)param * batch->count;
	*low = *high = value[0];
	for (int i = 1; i < batch->count; ++i)
	{
		*low = fmin(*low, value[i]);
		*high = fmax(*high, value[i]);
	}
}

// the crank grids that serve every engine of the batch: valve windows as wide as the engines differ
static void make_grids(const dk_batch *batch, dk_crank_grid *running, dk_crank_grid *crank)
{
	static const int timing[] = { DK_PARAM_cylinder_ivo_deg, DK_PARAM_cylinder_ivc_deg,
		DK_PARAM_cylinder_evo_deg, DK_PARAM_cylinder_evc_deg };
	double middle[4], spread = 0, low, high;
	for (int i = 0; i < 4; ++i)
	{
		range_of(batch, timing[i], &low, &high);
		middle[i] = 0.5 * (low + high);
		spread = fmax(spread, 0.5 * (high - low));
	}
	range_of(batch, DK_PARAM_fuel_injection_start_deg, &low, &high);
	dk_grid_def def = dk_default_grid_def();
	def.ivo_deg = middle[0], def.ivc_deg = middle[1], def.evo_deg = middle[2], def.evc_deg = middle[3];
	def.spread_deg = spread;
	def.earliest_injection_deg = fmax(def.earliest_injection_deg, high);
	if (batch->point == DK_POINT_cold_idle || batch->point == DK_POINT_warm_idle)
		dk_crank_grid_idle(&def, running);
	else
		dk_crank_grid_running(&def, running);
	dk_crank_grid_crank(&def, crank);
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
	if (batch->count <= 0) return;
	dk_crank_grid running, crank;
	make_grids(batch, &running, &crank);
	for (int first = 0; first < batch->count; first += lanes)
	{
		dk_block block = { .running = &running,
			.crank = &crank,
			.condition = batch->condition,
			.point = batch->point,
			.lever = batch->lever };
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
	dk_batch one = { .count = 1,
		.param = param,
		.condition = *condition,
		.point = DK_POINT_cruise,
		.lever = lever,
		.reading = reading,
		.status = &status };
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
