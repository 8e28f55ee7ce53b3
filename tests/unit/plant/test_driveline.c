#include "plant/driveline.h"
#include "plant_a.h"

static const double kRated = 3000 * 0.10471975511965977, kKnot = 0.514444;

static dk_driveline_result load(dk_driveline_def def, double share)
{
	dk_driveline drive;
	dk_driveline_result out;
	dk_driveline_prepare_w1(&def, &drive);
	dk_driveline_load_w1(&drive, share * kRated, kRated, &out);
	return out;
}

static void default_propeller_takes_its_power(void **state)
{
	(void)state;
	const dk_driveline_def def = default_driveline();
	const dk_driveline_result rated = load(def, 1);
	expect_near(rated.torque_nm * kRated, 0.97 * 28e3, 0.005 * 28e3, "97 % of 28 kW at 3000, table default");

	// displacement speed of a 9 m waterline: 2.43 sqrt(L) kn at Froude number 0.40
	expect_near(rated.boat_m_s / kKnot, 2.43 * 3, 0.1 * 2.43 * 3, "[HULL-SPEED]");

	// propulsive efficiency of a yacht's drive 0.40 .. 0.55
	const double towing_w = rated.thrust_n * (1 - def.thrust_deduction) * rated.boat_m_s;
	const double overall = towing_w / (rated.torque_nm * kRated);
	assert_true(overall > 0.40 && overall < 0.55); // [PROPULSION]
}

static void thrust_meets_resistance(void **state)
{
	(void)state;
	dk_driveline_def def = default_driveline();
	for (int foul = 0; foul <= 9; foul += 3)
		for (double share = 0.1; share <= 1.2; share += 0.05)
		{
			def.fouling_share = 0.1 * foul;
			dk_driveline drive;
			dk_driveline_prepare_w1(&def, &drive);
			const dk_driveline_result out = load(def, share);
			const double drag = dk_driveline_resistance_n_w1(&drive, out.boat_m_s);
			expect_near(
			    out.thrust_n * (1 - def.thrust_deduction), drag, 1e-9 * drag, "identity: equilibrium");
			expect_near(out.shaft_w,
			    (out.torque_nm - def.accessory_w * share / kRated) * share * kRated * def.gear_efficiency,
			    1e-9 * out.shaft_w, "identity: gearbox loss");
		}
}

// the parts of the resistance by their own functions
static void resistance_is_the_sum(void **state)
{
	(void)state;
	const dk_driveline_def def = default_driveline();
	dk_driveline drive;
	dk_driveline_prepare_w1(&def, &drive);
	const dk_hull_form hull = { .lwl_m = 9,
		.bwl_m = 2.9,
		.draught_m = 0.5,
		.volume_m3 = 5.5,
		.wetted_m2 = 21,
		.waterplane_m2 = dk_hull_waterplane_m2_w1(9, 2.9, 0.5, 5.5, 0.72),
		.prismatic = 0.56,
		.lcb = 0.535,
		.lcf = 0.55 };
	dk_real row[DK_HULL_KS98_ROWS];
	dk_hull_ks98_rows_w1(&hull, row);
	for (double froude = 0.16; froude <= 0.45; froude += 0.013)
	{
		const double v = froude * sqrt(9.80665 * 9);
		const double friction = 0.5 * 1025 * v * v * 21 * dk_hull_ittc57_w1(v * 0.7 * 9 / 1.188e-6);
		const double residuary = 5.5 * 1025 * 9.80665 * fmax(dk_hull_ks98_w1(row, froude), 0);
		expect_near(dk_driveline_resistance_n_w1(&drive, v), 1.12 * 1.15 * (friction + residuary), 1e-6,
		    "identity: [ITTC57] + [KS98]");
	}
}

static void rises_with_speed(void **state)
{
	(void)state;
	const dk_driveline_def def = default_driveline();
	dk_driveline drive;
	dk_driveline_prepare_w1(&def, &drive);
	double torque = -1e-12, speed = -1e-12;
	for (double share = 0; share <= 1.2; share += 0.002)
	{
		const dk_driveline_result out = load(def, share);
		assert_true(out.torque_nm >= torque && out.boat_m_s >= speed);
		assert_true(isfinite(out.torque_nm) && isfinite(out.slip));
		torque = out.torque_nm, speed = out.boat_m_s;

		// tied up it is heavier, in neutral lighter
		if (share < 0.1) continue;
		assert_true(dk_driveline_bollard_nm_w1(&drive, share * kRated, kRated) > out.torque_nm);
	}
	assert_true(load(def, 0).torque_nm == 0 && load(def, 0).boat_m_s == 0);
	assert_true(dk_driveline_neutral_nm_w1(&drive, 0, kRated) == 0);
	assert_true(dk_driveline_neutral_nm_w1(&drive, kRated, kRated) < 0.1 * load(def, 1).torque_nm);
}

// power with the cube of speed where friction rules; published bands for real boats say 2.5 .. 3.5
static void propeller_law(void **state)
{
	(void)state;
	dk_driveline_def def = default_driveline();
	def.accessory_w = 0;
	const double low = load(def, 0.30).torque_nm * 0.30, high = load(def, 0.50).torque_nm * 0.50;
	const double power = log(high / low) / log(0.50 / 0.30);
	assert_true(power > 2.7 && power < 3.3); // [PROPELLER-LAW]
}

static void faults_go_the_way_they_should(void **state)
{
	(void)state;
	const dk_driveline_def def = default_driveline();
	const dk_driveline_result sound = load(def, 1);
	dk_driveline_def hit = def;

	// growth: slower and heavier at the same revs, the more the worse [SCHULTZ07]
	dk_driveline_result last = sound;
	for (int i = 1; i <= 9; ++i)
	{
		hit.fouling_share = 0.1 * i;
		const dk_driveline_result out = load(hit, 1);
		expect_above(last.boat_m_s, out.boat_m_s, 0.01, "growth slows");
		expect_above(out.torque_nm, last.torque_nm, 0.1, "growth loads the engine");
		last = out;
	}

	// a rope: all its torque on the engine, little change of speed at equal revs, shaking
	hit = def, hit.rope_nm = 60;
	expect_near(
	    load(hit, 1).torque_nm - sound.torque_nm, 60 / (2.6 * 0.96), 1e-6, "identity: through the gear");
	expect_near(load(hit, 1).boat_m_s, sound.boat_m_s, 1e-9, "identity");

	// growth on the blades: thrust down, torque up: slower and heavier [PROPULSION]
	hit = def, hit.thrust_factor = 0.7, hit.torque_factor = 1.3;
	expect_above(sound.boat_m_s, load(hit, 1).boat_m_s, 0.1, "fouled blades slow");
	expect_above(load(hit, 1).torque_nm, sound.torque_nm, 5, "fouled blades load");

	// a lost propeller: no thrust, no way, hardly any load
	hit = def, hit.thrust_factor = 0, hit.torque_factor = 0;
	expect_near(load(hit, 1).boat_m_s, 0, 1e-6, "identity: no thrust, no way");
	assert_true(load(hit, 1).torque_nm < 0.05 * sound.torque_nm);

	// more pitch, more weight, more wind: heavier
	hit = def, hit.pitch_ratio += 0.05;
	expect_above(load(hit, 1).torque_nm, sound.torque_nm, 2, "pitch");
	hit = def, hit.weather_share = 0.6;
	expect_above(load(hit, 1).torque_nm, sound.torque_nm, 1, "weather");
}

static void fits_a_propeller(void **state)
{
	(void)state;
	dk_driveline_def def = default_driveline();
	double d, pitch;
	assert_true(dk_driveline_fit(&def, kRated, 0.97 * 28e3, &d, &pitch));
	expect_near(pitch, def.pitch_ratio, 0.002, "the default is the solved one");
	assert_true(d == def.propeller_m);
	for (double kw = 4; kw < 120; kw *= 1.7)
	{
		assert_true(dk_driveline_fit(&def, kRated, kw * 1e3, &d, &pitch));
		dk_driveline_def fitted = def;
		fitted.propeller_m = d, fitted.pitch_ratio = pitch;
		expect_near(load(fitted, 1).torque_nm * kRated, kw * 1e3, 0.1, "identity: fit and model are inverse");
	}
	assert_false(dk_driveline_fit(&def, kRated, 1e8, &d, &pitch));
}

static void vibration(void **state)
{
	(void)state;
	dk_driveline_def def = default_driveline();
	def.unbalance = 0.5;
	dk_driveline drive;
	dk_driveline_prepare_w1(&def, &drive);
	expect_near(dk_driveline_vibration_m_s_w1(&drive, kRated, kRated, 1, 3) * 1e3, 1.5 * 7 + 0.3, 1e-9,
	    "[ASSUMED-240]");
	expect_near(dk_driveline_vibration_m_s_w1(&drive, kRated, kRated, 0, 3) * 1e3, 1.8, 1e-9,
	    "[ASSUMED-240] neutral");
}

// any def in the box: equilibrium found, finite, rising
static void whole_box(void **state)
{
	(void)state;
	static const double kLow[] = {
#define X(s, n, u, low, def, high, ...) low,
		DK_PARAMS_DRIVELINE(X)
#undef X
	}, kHigh[] = {
#define X(s, n, u, low, def, high, ...) high,
		DK_PARAMS_DRIVELINE(X)
#undef X
	};
	enum
	{
		kCount = sizeof kLow / sizeof *kLow
	};
	uint32_t seed = 1;
	int missed = 0, total = 0;
	for (int n = 0; n < 3000; ++n)
	{
		dk_driveline_def def;
		double field[kCount];
		for (int i = 0; i < kCount; ++i)
		{
			seed = seed * 1664525u + 1013904223u;
			field[i] = kLow[i] + (kHigh[i] - kLow[i]) * ((seed >> 8) / 16777216.0);
		}
		memcpy(&def, field, sizeof def);
		dk_driveline drive;
		dk_driveline_prepare_w1(&def, &drive);
		double last = 0;
		for (double share = 0.05; share <= 1.2; share += 0.05, ++total)
		{
			dk_driveline_result out;
			dk_driveline_load_w1(&drive, share * kRated, kRated, &out);
			const double no_thrust =
			    drive.propeller.zero_thrust_j * share * kRated / (2 * M_PI * def.gear_ratio) * drive.speed_m;
			assert_true(
			    isfinite(out.torque_nm) && out.boat_m_s >= 0 && out.boat_m_s <= no_thrust * (1 + 1e-12));
			assert_true(out.torque_nm >= last * (1 - 1e-9));
			last = out.torque_nm;
			const double drag = dk_driveline_resistance_n_w1(&drive, out.boat_m_s);
			if (fabs(out.thrust_n * (1 - def.thrust_deduction) - drag) > 1e-6 * fmax(drag, 1)) ++missed;
		}
	}
	if (missed * 1000 > total) fail_msg("%d of %d not in equilibrium", missed, total);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(default_propeller_takes_its_power),
		cmocka_unit_test(thrust_meets_resistance),
		cmocka_unit_test(resistance_is_the_sum),
		cmocka_unit_test(rises_with_speed),
		cmocka_unit_test(propeller_law),
		cmocka_unit_test(faults_go_the_way_they_should),
		cmocka_unit_test(fits_a_propeller),
		cmocka_unit_test(vibration),
		cmocka_unit_test(whole_box),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
