// Whatever engine, fault and weather the tables allow: nothing that comes out is NaN or outside floor..cap,
// and the cycle keeps mass and energy.
#include "fleet.h"

enum
{
	kBlocks = 16,
	kWide = 8,
	kFaulty = 240
};

// one parameter somewhere in its range: evenly, or by factors where the range spans more than a hundredfold
static double anywhere(int p, double share)
{
	const dk_param_row *row = &dk_param_info[p];
	if (row->low > 0 && row->high / row->low > 100) return row->low * pow(row->high / row->low, share);
	return row->low + share * (row->high - row->low);
}

static bool is_timing(int p)
{
	return p == DK_PARAM_cylinder_ivo_deg || p == DK_PARAM_cylinder_ivc_deg ||
	       p == DK_PARAM_cylinder_evo_deg || p == DK_PARAM_cylinder_evc_deg;
}

static void expect_bounded(
    const double *reading, const unsigned char *status, int count, int point, const char *who)
{
	for (int i = 0; i < count; ++i)
	{
		assert_true(status[i] <= DK_NOT_SETTLED);
		for (int r = 0; r < DK_READING_COUNT; ++r)
		{
			const double value = reading[r * count + i];
			const dk_reading_row *row = &dk_reading_info[r];
			if (!(value >= row->floor && value <= row->cap))
				fail_msg("%s %d: %s at %s is %g, outside %g..%g", who, i, row->id, dk_point_info[point].id,
				    value, row->floor, row->cap);
		}
	}
}

// every parameter anywhere at once, engines of one batch alike in valve timing only
static void test_anywhere(void **state)
{
	(void)state;
	double param[DK_PARAM_COUNT * kWide], reading[DK_READING_COUNT * kWide];
	unsigned char status[kWide];
	const int blocks = getenv("DK_TEST_QUICK") ? 2 : kBlocks; // under sanitizers
	for (int block = 0; block < blocks; ++block)
	{
		for (int p = 0; p < DK_PARAM_COUNT; ++p)
			for (int i = 0; i < kWide; ++i)
				param[p * kWide + i] =
				    anywhere(p, even(is_timing(p) ? 10000 + block : 20000 + block * kWide + i, 50 + p));
		const dk_condition condition = { .air_k = 233 + 95 * even(block, 900),
			.sea_k = 271 + 37 * even(block, 901),
			.pressure_pa = 60e3 + 50e3 * even(block, 902),
			.humidity = even(block, 903),
			.soak_h = 1000 * even(block, 904) };
		for (int point = 0; point < DK_POINT_COUNT; ++point)
		{
			dk_batch batch = { .count = kWide,
				.param = param,
				.condition = condition,
				.point = point,
				.lever = even(block, 905),
				.reading = reading,
				.status = status };
			dk_batch_run(&batch, 0);
			expect_bounded(reading, status, kWide, point, "box");
		}
	}
}

// one parameter at an end of its range, all others as the engine was built: finds a corner by its name
static void test_corners(void **state)
{
	(void)state;
	enum
	{
		kEnds = 2 * DK_PARAM_COUNT
	};
	double *param = malloc(sizeof(double) * DK_PARAM_COUNT * kEnds);
	double *reading = malloc(sizeof(double) * DK_READING_COUNT * kEnds);
	unsigned char status[kEnds];
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
		for (int i = 0; i < kEnds; ++i)
			param[p * kEnds + i] = i / 2 == p && !is_timing(p)
			                           ? (i % 2 ? dk_param_info[p].high : dk_param_info[p].low)
			                           : ours.indirect.param[p];
	for (int point = 0; point < DK_POINT_COUNT; ++point)
	{
		dk_batch batch = { .count = kEnds,
			.param = param,
			.condition = air_sea(5, 10),
			.point = point,
			.lever = 0.53,
			.reading = reading,
			.status = status };
		dk_batch_run(&batch, 0);
		for (int i = 0; i < kEnds; ++i)
			for (int r = 0; r < DK_READING_COUNT; ++r)
			{
				const double value = reading[r * kEnds + i];
				if (!(value >= dk_reading_info[r].floor && value <= dk_reading_info[r].cap))
					fail_msg("%s at its %s: %s at %s is %g", dk_param_info[i / 2].id,
					    i % 2 ? "highest" : "lowest", dk_reading_info[r].id, dk_point_info[point].id, value);
			}
	}
	free(reading);
	free(param);
}

// broken engines of the catalogue: bounded, settled but for a few, mass and energy closed where settled
static void test_broken(void **state)
{
	(void)state;
	const int count = getenv("DK_TEST_QUICK") ? kFaulty / 6 : kFaulty;
	double *param = malloc(sizeof(double) * DK_PARAM_COUNT * (size_t)count);
	double *reading = malloc(sizeof(double) * DK_READING_COUNT * (size_t)count);
	unsigned char status[kFaulty];
	const double *base[] = { ours.indirect.param, ours.direct.param };
	for (int b = 0; b < COUNT(base); ++b)
	{
		break_at_random(base[b], count, param);
		for (int point = 0; point < DK_POINT_COUNT; ++point)
		{
			int restless = 0;
			dk_batch batch = { .count = count,
				.param = param,
				.condition = air_sea(0, 8),
				.point = point,
				.lever = 0.53,
				.reading = reading,
				.status = status };
			dk_batch_run(&batch, 0);
			expect_bounded(reading, status, count, point, "broken");
			for (int i = 0; i < count; ++i)
			{
				restless += status[i] == DK_NOT_SETTLED;
				if (status[i] != DK_REACHED ||
				    !(dk_reading_info[DK_READING_energy_residual].points & 1u << point))
					continue;
				const double energy = reading[DK_READING_energy_residual * count + i];
				const double mass = reading[DK_READING_mass_residual * count + i];
				if (!(fabs(energy) < 1e-6) || !(fabs(mass) < 1e-6))
					fail_msg("engine %d at %s: energy %g, mass %g not closed", i, dk_point_info[point].id,
					    energy, mass);
			}

			// one in twenty at most may not settle [ASSUMED-841]: the bank widens the answer for those
			if (restless * 20 > count)
				fail_msg("%d of %d engines did not settle at %s", restless, count, dk_point_info[point].id);
		}
	}
	free(reading);
	free(param);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_broken),
		cmocka_unit_test(test_corners),
		cmocka_unit_test(test_anywhere),
	};
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
