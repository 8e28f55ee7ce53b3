// 200 engines broken at random: every reading, status and count of cycles is the same at every lane width,
// bit for bit, and does not depend on who else is in the batch.
#include "fleet.h"

enum
{
	kEngines = 200,
	kAlone = 12
};

static const double kLever = 0.5323; // about the cruise lever of three_indirect at 15 degC

typedef struct fleet_run
{
	double reading[DK_READING_COUNT * kEngines];
	unsigned char status[kEngines];
	long cycles;
} fleet_run;

static void run_lanes(
    const double *param, const dk_condition *condition, int point, int lanes, fleet_run *out)
{
	dk_batch batch = { .count = kEngines,
		.param = param,
		.condition = *condition,
		.point = point,
		.lever = kLever,
		.reading = out->reading,
		.status = out->status };
	dk_batch_run(&batch, lanes);
	out->cycles = batch.cycles;
}

// the first reading that differs, by name
static void expect_same(const fleet_run *one, const fleet_run *other, int point, int lanes)
{
	for (int r = 0; r < DK_READING_COUNT; ++r)
		for (int i = 0; i < kEngines; ++i)
			if (memcmp(&one->reading[r * kEngines + i], &other->reading[r * kEngines + i], sizeof(double)))
				fail_msg("%s at %s, engine %d: %.17g at 1 lane, %.17g at %d", dk_reading_info[r].id,
				    dk_point_info[point].id, i, one->reading[r * kEngines + i],
				    other->reading[r * kEngines + i], lanes);
	assert_memory_equal(one->status, other->status, kEngines);
	assert_int_equal(one->cycles, other->cycles);
}

static void test_widths(void **state)
{
	(void)state;
	assert_true(dk_batch_widest() > 1);
	double *param = malloc(sizeof(double) * DK_PARAM_COUNT * kEngines);
	fleet_run *scalar = malloc(sizeof *scalar), *wide = malloc(sizeof *wide);
	break_at_random(ours.indirect.param, kEngines, param);
	for (int point = 0; point < DK_POINT_COUNT; ++point)
	{
		const dk_condition condition = air_sea(point % 2 ? 3 : 15, 12);
		run_lanes(param, &condition, point, 1, scalar);
		for (int lanes = 2; lanes <= dk_batch_widest(); lanes *= 2)
		{
			run_lanes(param, &condition, point, lanes, wide);
			expect_same(scalar, wide, point, lanes);
		}
	}
	free(wide);
	free(scalar);
	free(param);
}

// an engine alone gives what it gives among 199 others
static void test_mates(void **state)
{
	(void)state;
	double *param = malloc(sizeof(double) * DK_PARAM_COUNT * kEngines);
	fleet_run *all = malloc(sizeof *all);
	break_at_random(ours.indirect.param, kEngines, param);
	const dk_condition condition = air_sea(15, 15);
	const int points[] = { DK_POINT_cold_crank, DK_POINT_cold_idle, DK_POINT_full };
	for (int k = 0; k < COUNT(points); ++k)
	{
		run_lanes(param, &condition, points[k], 0, all);
		for (int i = 0; i < kEngines; i += kEngines / kAlone)
		{
			double engine[DK_PARAM_COUNT], reading[DK_READING_COUNT];
			for (int p = 0; p < DK_PARAM_COUNT; ++p) engine[p] = param[p * kEngines + i];
			const unsigned char status = run_one(engine, &condition, points[k], kLever, reading);
			assert_int_equal(status, all->status[i]);
			for (int r = 0; r < DK_READING_COUNT; ++r)
				if (memcmp(&reading[r], &all->reading[r * kEngines + i], sizeof(double)))
					fail_msg("%s at %s: engine %d alone %.17g, among others %.17g", dk_reading_info[r].id,
					    dk_point_info[points[k]].id, i, reading[r], all->reading[r * kEngines + i]);
		}
	}
	free(all);
	free(param);
}

// air and sea of the lanes move what those of the condition move
static void test_lane_temperatures(void **state)
{
	(void)state;
	enum
	{
		kTwo = 2
	};
	double param[DK_PARAM_COUNT * kTwo], reading[DK_READING_COUNT * kTwo], alone[DK_READING_COUNT];
	const double air_k[kTwo] = { 278.15, 298.15 }, sea_k[kTwo] = { 280.15, 290.15 };
	unsigned char status[kTwo];
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
		for (int i = 0; i < kTwo; ++i) param[p * kTwo + i] = ours.indirect.param[p];
	dk_batch batch = { .count = kTwo,
		.param = param,
		.air_k = air_k,
		.sea_k = sea_k,
		.condition = dk_default_condition(),
		.point = DK_POINT_cruise,
		.lever = kLever,
		.reading = reading,
		.status = status };
	dk_batch_run(&batch, 0);
	for (int i = 0; i < kTwo; ++i)
	{
		const dk_condition condition = air_sea(air_k[i] - 273.15, sea_k[i] - 273.15);
		run_one(ours.indirect.param, &condition, DK_POINT_cruise, kLever, alone);
		for (int r = 0; r < DK_READING_COUNT; ++r) assert_true(alone[r] == reading[r * kTwo + i]);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_widths),
		cmocka_unit_test(test_mates),
		cmocka_unit_test(test_lane_temperatures),
	};
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
