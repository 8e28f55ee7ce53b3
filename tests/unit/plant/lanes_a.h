#pragma once
// Body of test_lanes_a_*.c: the systems starting, oil and driveline in DK_LANES lanes against one lane,
// bit for bit, on random values over the whole box. The including file sets DK_LANES.
// A lane struct holds nothing but dk_real, so lane i of it is an array of doubles, which is what the
// one-lane functions take for their structs.
#include "plant/alternator.h"
#include "plant/driveline.h"
#include "plant/oil.h"
#include "plant/starting.h"
#include "plant_a.h"

void dk_starting_crank_w1(const double *def, const double *in, double *out);
void dk_starting_heater_w1(const double *def, double volts, double *out);
void dk_alternator_run_w1(const double *def, const double *in, double *out);
void dk_oil_pressure_w1(const double *def, const double *in, double *out);
double dk_oil_use_w1(const double *def, const double *in);
double dk_oil_settled_k_w1(const double *def, double coolant_k, double power_w);
double dk_oil_warming_k_w1(const double *def, double start_k, double settled_k, double seconds);
double dk_oil_crankcase_pa_w1(const double *def, double kg_s, double k, double pa);
void dk_driveline_prepare_w1(const double *def, double *out);
void dk_driveline_load_w1(const double *drive, double engine_rad_s, double rated_rad_s, double *out);
double dk_driveline_vibration_m_s_w1(
    const double *drive, double engine, double rated, double gear, double rough);

enum
{
	kMost = 128
};
#define FIELDS(x) ((int)(sizeof(x) / sizeof(dk_real)))

static double random_in(uint32_t *seed, double low, double high)
{
	*seed = *seed * 1664525u + 1013904223u;
	return low + (high - low) * ((*seed >> 8) / 16777216.0);
}

// one random value a field and lane, between the two tables
static void fill(uint32_t *seed, void *lanes, const double *low, const double *high, int count)
{
	double *at = lanes;
	for (int f = 0; f < count; ++f)
		for (int i = 0; i < DK_LANES; ++i) at[f * DK_LANES + i] = random_in(seed, low[f], high[f]);
}

// lane i of a lane struct as a plain array
static const double *one(double out[kMost], const void *lanes, int count, int i)
{
	const double *at = lanes;
	for (int f = 0; f < count; ++f) out[f] = at[f * DK_LANES + i];
	return out;
}

static void same_bits(const char *what, const void *lanes, const double *want, int count, int i)
{
	const double *at = lanes;
	for (int f = 0; f < count; ++f)
		if (memcmp(&at[f * DK_LANES + i], &want[f], sizeof(double)))
			fail_msg("%s: field %d, lane %d: %.17g against %.17g", what, f, i, at[f * DK_LANES + i], want[f]);
}

#define LOW(s, n, u, low, def, high, ...) low,
#define HIGH(s, n, u, low, def, high, ...) high,

static void starting_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_STARTING(LOW) }, high[] = { DK_PARAMS_STARTING(HIGH) };
	static const double port_low[] = { 240, 0 }, port_high[] = { 320, 300 }, run_low[] = { 0, 250 },
	                    run_high[] = { 400, 320 };
	uint32_t seed = 7;
	for (int n = 0; n < 200; ++n)
	{
		dk_starting_def def;
		dk_starting_ports in;
		dk_starting_result out;
		dk_alternator_ports run;
		dk_alternator_result charge;
		dk_heater_result heat;
		fill(&seed, &def, low, high, FIELDS(def));
		fill(&seed, &in, port_low, port_high, 2);
		fill(&seed, &run, run_low, run_high, 2);
		DK_FN(dk_starting_crank)(&def, &in, &out);
		DK_FN(dk_alternator_run)(&def, &run, &charge);
		DK_FN(dk_starting_heater)(&def, in.battery_k * 0.04, &heat);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], r[kMost], got[kMost];
			one(d, &def, FIELDS(def), i), one(p, &in, 2, i), one(r, &run, 2, i);
			dk_starting_crank_w1(d, p, got);
			same_bits("crank", &out, got, FIELDS(out), i);
			dk_alternator_run_w1(d, r, got);
			same_bits("alternator", &charge, got, FIELDS(charge), i);
			dk_starting_heater_w1(d, p[0] * 0.04, got);
			same_bits("heater", &heat, got, FIELDS(heat), i);
		}
	}
}

static void oil_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_OIL(LOW) }, high[] = { DK_PARAMS_OIL(HIGH) };
	static const double port_low[] = { 0, 250, 0 }, port_high[] = { 400, 420, 1 };
	static const double use_low[] = { 0, 1e-4, 0, 0, -1e4 }, use_high[] = { 400, 1e-2, 40, 40, 2e4 };
	uint32_t seed = 11;
	for (int n = 0; n < 200; ++n)
	{
		dk_oil_def def;
		dk_oil_ports in;
		dk_oil_result out;
		dk_oil_use_ports use;
		fill(&seed, &def, low, high, FIELDS(def));
		fill(&seed, &in, port_low, port_high, 3);
		fill(&seed, &use, use_low, use_high, 5);
		DK_FN(dk_oil_pressure)(&def, &in, &out);
		const dk_real kg_s = DK_FN(dk_oil_use)(&def, &use);
		const dk_real settled = DK_FN(dk_oil_settled_k)(&def, in.oil_k, use.engine_rad_s * 100);
		const dk_real warm = DK_FN(dk_oil_warming_k)(&def, in.oil_k, settled, use.engine_rad_s);
		const dk_real crankcase = DK_FN(dk_oil_crankcase_pa)(&def, kg_s, in.oil_k, dk_set(101325));
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], u[kMost], got[kMost];
			one(d, &def, FIELDS(def), i), one(p, &in, 3, i), one(u, &use, 5, i);
			dk_oil_pressure_w1(d, p, got);
			same_bits("oil", &out, got, FIELDS(out), i);
			got[0] = dk_oil_use_w1(d, u);
			same_bits("oil use", &kg_s, got, 1, i);
			got[1] = dk_oil_settled_k_w1(d, p[1], u[0] * 100);
			same_bits("settled", &settled, got + 1, 1, i);
			got[2] = dk_oil_warming_k_w1(d, p[1], got[1], u[0]);
			same_bits("warming", &warm, got + 2, 1, i);
			got[3] = dk_oil_crankcase_pa_w1(d, got[0], p[1], 101325);
			same_bits("crankcase", &crankcase, got + 3, 1, i);
		}
	}
}

static void driveline_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_DRIVELINE(LOW) }, high[] = { DK_PARAMS_DRIVELINE(HIGH) };
	const double port_low[] = { 0 }, port_high[] = { 1.2 * 3000 * kRpm };
	uint32_t seed = 13;
	for (int n = 0; n < 200; ++n)
	{
		dk_driveline_def def;
		dk_driveline drive;
		dk_driveline_result out;
		dk_real speed;
		const dk_real rated = dk_set(3000 * kRpm);
		fill(&seed, &def, low, high, FIELDS(def));
		fill(&seed, &speed, port_low, port_high, 1);
		DK_FN(dk_driveline_prepare)(&def, &drive);
		DK_FN(dk_driveline_load)(&drive, speed, rated, &out);
		const dk_real shake = DK_FN(dk_driveline_vibration_m_s)(&drive, speed, rated, dk_set(1), speed * 0.1);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], prepared[kMost], got[kMost];
			one(d, &def, FIELDS(def), i);
			dk_driveline_prepare_w1(d, prepared);
			same_bits("prepare", &drive, prepared, FIELDS(drive), i);
			const double w = dk_lane(speed, i);
			dk_driveline_load_w1(prepared, w, 3000 * kRpm, got);
			same_bits("load", &out, got, FIELDS(out), i);
			got[0] = dk_driveline_vibration_m_s_w1(prepared, w, 3000 * kRpm, 1, w * 0.1);
			same_bits("vibration", &shake, got, 1, i);
		}
	}
}

static int run_lanes(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(starting_lanes),
		cmocka_unit_test(oil_lanes),
		cmocka_unit_test(driveline_lanes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
