// Two ways to say one engine agree: cylinders that are 'hit' by nothing are sound ones, all hit is all sound
// with that part, and faults of severity 0 are no faults.
#include "../unit/engine/fleet.h"

static const double kLever = 0.53;

// readings agree to the settle of the running points: 1e-5 of their scales, carried through
static void expect_near(const double *a, const double *b, int point, const char *what)
{
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		const dk_reading_row *row = &dk_reading_info[r];
		if (!(row->points & 1u << point) || !strcmp(row->id, "energy_residual") ||
		    !strcmp(row->id, "mass_residual"))
			continue;
		const double far = fabs(dk_reading_transform(r, a[r]) - dk_reading_transform(r, b[r]));
		const double error = row->gauge_sd * dk_reading_slope(r, b[r]);
		if (!(far <= 0.01 * error))
			fail_msg("%s, %s at %s: %.9g and %.9g", what, row->id, dk_point_info[point].id, a[r], b[r]);
	}
}

// hit by nothing
static void test_hit_by_nothing(void **state)
{
	(void)state;
	const double *base[] = { ours.indirect.param, ours.direct.param };
	const dk_condition condition = air_sea(10, 12);
	for (int i = 0; i < COUNT(base); ++i)
		for (int point = 0; point < DK_POINT_COUNT; ++point)
		{
			double engine[DK_PARAM_COUNT], sound[DK_READING_COUNT], hit[DK_READING_COUNT];
			memcpy(engine, base[i], sizeof engine);
			run_one(engine, &condition, point, kLever, sound);
			for (int k = 1; k <= engine[DK_PARAM_cylinder_count]; ++k)
			{
				engine[DK_PARAM_cylinder_hit_count] = k;
				run_one(engine, &condition, point, kLever, hit);
				expect_near(hit, sound, point, "hit by nothing");
			}
		}
}

// every per-class parameter, in all cylinders as hit ones and as sound ones
static void test_all_hit(void **state)
{
	(void)state;
	static const struct
	{
		int parameter;
		double value;
	} kMoved[] = {
		{ DK_PARAM_starting_heater_watts, 40 },
		{ DK_PARAM_fuel_nozzle_loss, 0.2 },
		{ DK_PARAM_fuel_nozzle_mixing, 1.5 },
		{ DK_PARAM_cylinder_ring_leak_m2, 4e-7 },
		{ DK_PARAM_cylinder_oil_past_rings, 4 },
		{ DK_PARAM_cylinder_oil_past_stems, 4 },
		{ DK_PARAM_cylinder_inlet_leak_m2, 5e-7 },
		{ DK_PARAM_cylinder_exhaust_leak_m2, 5e-7 },
		{ DK_PARAM_cylinder_gasket_leak_m2, 2e-8 },
	};
	const dk_condition condition = air_sea(10, 12);
	int twins = 0;
	for (int p = 0; p < DK_PARAM_COUNT; ++p) twins += dk_param_info[p].twin >= 0;
	assert_int_equal(COUNT(kMoved) * 2, twins);
	for (int i = 0; i < COUNT(kMoved); ++i)
		for (int point = 0; point < DK_POINT_COUNT; ++point)
		{
			double all[DK_PARAM_COUNT], hit[DK_PARAM_COUNT], a[DK_READING_COUNT], b[DK_READING_COUNT];
			with(ours.indirect.param, kMoved[i].parameter, kMoved[i].value, all);
			memcpy(hit, ours.indirect.param, sizeof hit);
			hit[dk_param_info[kMoved[i].parameter].twin] = kMoved[i].value;
			hit[DK_PARAM_cylinder_hit_count] = hit[DK_PARAM_cylinder_count];
			assert_int_equal(
			    run_one(all, &condition, point, kLever, a), run_one(hit, &condition, point, kLever, b));
			expect_near(b, a, point, dk_param_info[kMoved[i].parameter].id);
		}
}

// one hit cylinder of three lies between none and all, where the whole engine is a sum of its cylinders
static void test_between(void **state)
{
	(void)state;
	const dk_condition condition = air_sea(15, 15);
	double blow_by[4];
	for (int k = 0; k < 4; ++k)
	{
		double engine[DK_PARAM_COUNT], reading[DK_READING_COUNT];
		memcpy(engine, ours.indirect.param, sizeof engine);
		engine[DK_PARAM_B_cylinder_ring_leak_m2] = 8e-7;
		engine[DK_PARAM_cylinder_hit_count] = k;
		assert_int_equal(run_one(engine, &condition, DK_POINT_cruise, kLever, reading), DK_REACHED);
		blow_by[k] = reading[DK_READING_blow_by];
		if (k) assert_true(blow_by[k] > blow_by[k - 1]);
	}
	for (int k = 1; k < 3; ++k)
	{
		const double straight = blow_by[0] + k * (blow_by[3] - blow_by[0]) / 3;
		assert_true(fabs(blow_by[k] / straight - 1) < 0.03);
	}
}

static void test_severity_none(void **state)
{
	(void)state;
	for (int f = 0; f < ours.breaking->count; ++f)
	{
		double engine[DK_PARAM_COUNT];
		dk_error error;
		const dk_broken broken = { .fault = f, .severity = 0 };
		memcpy(engine, ours.indirect.param, sizeof engine);
		assert_int_equal(dk_breaking_apply(ours.breaking, &broken, 1, engine, &error), DK_OK);
		engine[DK_PARAM_cylinder_hit_count] = ours.indirect.param[DK_PARAM_cylinder_hit_count];
		assert_memory_equal(engine, ours.indirect.param, sizeof engine);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_hit_by_nothing),
		cmocka_unit_test(test_all_hit),
		cmocka_unit_test(test_between),
		cmocka_unit_test(test_severity_none),
	};
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
