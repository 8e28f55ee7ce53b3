#pragma once
// Body of test_lanes_b_*.c: fuel, air, exhaust and cooling in DK_LANES lanes against one lane, bit for bit,
// on random values over the whole box; and nothing that comes out is outside physical bounds. A lane struct
// holds nothing but dk_real, so lane i of it is an array of doubles, which is what the one-lane functions
// take for their structs.
#include "plant/air.h"
#include "plant/coolant.h"
#include "plant/cooling.h"
#include "plant/exhaust.h"
#include "plant/flood.h"
#include "plant/fuel.h"
#include "plant/governor.h"
#include "rows.h"

double dk_governor_setting_w1(const double *def, double lever);
double dk_governor_demand_w1(const double *def, double setting, double speed);
double dk_governor_fuel_w1(const double *def, double demand, double speed, double fuel_k);
void dk_governor_injection_w1(const double *def, double speed, double fuel_kg, double *out);
void dk_fuel_supply_w1(const double *def, const double *ports, double *out);
void dk_fuel_prime_w1(const double *def, const double *ports, double *out);
void dk_air_intake_w1(const double *def, const double *ports, double *out);
void dk_exhaust_flow_w1(const double *def, const double *ports, double *out);
void dk_flood_start_w1(const double *def, double *account);
void dk_flood_try_w1(double flow, double seconds, double rest, double seep, double *account);
void dk_flood_left_w1(const double *def, const double *account, double flow, double *out);
void dk_cooling_flows_w1(const double *def, const double *ports, double *out);
void dk_cooling_settle_w1(const double *def, const double *ports, const double *flows, double *out);
void dk_cooling_warm_w1(const double *def, const double *ports, const double *flows, double *out);
void dk_cooling_story_w1(const double *def, const double *ports, const double *flows, const double *start,
    double at_s, double limit_k, double *out);
void dk_cooling_soak_w1(const double *def, const double *at_stop, double level, double space_k,
    double outside_pa, double seconds, double *out);
void dk_coolant_shown_w1(
    const double *def, double coolant_k, double air_k, double level, double supply, double *out);

enum
{
	kMost = 64,
	kRounds = 150
};
#define FIELDS(x) ((int)(sizeof(x) / sizeof(dk_real)))
#define LOW(s, n, u, low, def, high, ...) low,
#define HIGH(s, n, u, low, def, high, ...) high,

static uint32_t seed_now = 17;

// a value between: even, or even in its logarithm where the range spans more than a hundredfold
static double random_in(double low, double high)
{
	seed_now = seed_now * 1664525u + 1013904223u;
	const double u = (seed_now >> 8) / 16777216.0;
	if (low > 0 && high > 100 * low) return low * pow(high / low, u);
	return low + (high - low) * u;
}

static void fill(void *lanes, const double *low, const double *high, int count)
{
	double *at = lanes;
	for (int f = 0; f < count; ++f)
		for (int i = 0; i < DK_LANES; ++i) at[f * DK_LANES + i] = random_in(low[f], high[f]);
}

// lane i of a lane struct as a plain array
static const double *one(double *out, const void *lanes, int count, int i)
{
	const double *at = lanes;
	for (int f = 0; f < count; ++f) out[f] = at[f * DK_LANES + i];
	return out;
}

static void same_bits(const char *what, const void *lanes, const double *want, int count, int i)
{
	const double *at = lanes;
	for (int f = 0; f < count; ++f)
	{
		if (memcmp(&at[f * DK_LANES + i], &want[f], sizeof(double)))
			fail_msg("%s: field %d, lane %d: %.17g against %.17g", what, f, i, at[f * DK_LANES + i], want[f]);
		if (!isfinite(want[f])) fail_msg("%s: field %d is %g", what, f, want[f]);
	}
}

static void within(const char *what, double value, double low, double high)
{
	if (!(value >= low && value <= high)) fail_msg("%s: %.9g outside %g .. %g", what, value, low, high);
}

static void fuel_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_FUEL(LOW) }, high[] = { DK_PARAMS_FUEL(HIGH) };
	static const double port_low[] = { 1e-8, 5, 6e4, 250, 0 }, port_high[] = { 0.05, 600, 1.1e5, 340, 1e7 };
	static const double run_low[] = { 0, 0, 1e-6 }, run_high[] = { 1, 600, 1e-4 };
	for (int n = 0; n < kRounds; ++n)
	{
		dk_fuel_def def;
		dk_fuel_ports ports;
		dk_fuel_supply supply;
		dk_fuel_prime prime;
		dk_injection injection;
		dk_real run[3];
		fill(&def, low, high, FIELDS(def));
		fill(&ports, port_low, port_high, FIELDS(ports));
		fill(run, run_low, run_high, 3);
		DK_FN(dk_fuel_supply)(&def, &ports, &supply);
		DK_FN(dk_fuel_prime)(&def, &ports, &prime);
		DK_FN(dk_governor_injection)(&def, run[1], run[2], &injection);
		const dk_real setting = DK_FN(dk_governor_setting)(&def, run[0]);
		const dk_real demand = DK_FN(dk_governor_demand)(&def, setting, run[1]);
		const dk_real fuel = DK_FN(dk_governor_fuel)(&def, demand, run[1], ports.fuel_k);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], got[kMost];
			one(d, &def, FIELDS(def), i), one(p, &ports, FIELDS(ports), i);
			dk_fuel_supply_w1(d, p, got);
			same_bits("supply", &supply, got, FIELDS(supply), i);
			within("delivery", dk_lane(supply.delivery, i), 0, 1);
			within("air share", dk_lane(supply.air_share, i), 0, 1);
			within("stop", dk_lane(supply.stop_s, i), 0, 3660);
			within("inlet", dk_lane(supply.inlet_pa, i), -1.05e5, 5e5);
			dk_fuel_prime_w1(d, p, got);
			same_bits("prime", &prime, got, FIELDS(prime), i);
			within("prime", dk_lane(prime.delivery, i), 0, 1);
			dk_governor_injection_w1(d, dk_lane(run[1], i), dk_lane(run[2], i), got);
			same_bits("injection", &injection, got, FIELDS(injection), i);
			got[0] = dk_governor_setting_w1(d, dk_lane(run[0], i));
			got[1] = dk_governor_demand_w1(d, got[0], dk_lane(run[1], i));
			got[2] = dk_governor_fuel_w1(d, got[1], dk_lane(run[1], i), p[3]);
			same_bits("setting", &setting, got, 1, i);
			same_bits("demand", &demand, got + 1, 1, i);
			same_bits("fuel", &fuel, got + 2, 1, i);
			within("demand", got[1], 0, 1);
			within("fuel", got[2], 0, 5e-3);
		}
	}
}

static void air_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_AIR(LOW) }, high[] = { DK_PARAMS_AIR(HIGH) };
	static const double port_low[] = { 6e4, 250, 0, 0, 0, 0, 260 },
	                    port_high[] = { 1.1e5, 320, 1, 0.5, 3e5, 2e3, 400 };
	for (int n = 0; n < kRounds; ++n)
	{
		dk_air_def def;
		dk_air_ports ports;
		dk_air_result out;
		fill(&def, low, high, FIELDS(def));
		fill(&ports, port_low, port_high, FIELDS(ports));
		DK_FN(dk_air_intake)(&def, &ports, &out);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], got[kMost];
			one(d, &def, FIELDS(def), i), one(p, &ports, FIELDS(ports), i);
			dk_air_intake_w1(d, p, got);
			same_bits("air", &out, got, FIELDS(out), i);
			within("intake over outside", got[2] / p[0], 0.159, 1);
		}
	}
}

static void exhaust_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_EXHAUST(LOW) }, high[] = { DK_PARAMS_EXHAUST(HIGH) };
	static const double port_low[] = { 0, 300, 0, 0, 271, 6e4, 250, 0 };
	static const double port_high[] = { 0.3, 1100, 0.12, 2, 360, 1.1e5, 320, 1 };
	static const double try_low[] = { 0, 0, 0, 0 }, try_high[] = { 2e-4, 60, 3600, 1e-5 };
	for (int n = 0; n < kRounds; ++n)
	{
		dk_exhaust_def def;
		dk_exhaust_ports ports;
		dk_exhaust_result out;
		dk_flood_account account;
		dk_flood_left left;
		dk_real tries[4];
		fill(&def, low, high, FIELDS(def));
		fill(&ports, port_low, port_high, FIELDS(ports));
		fill(tries, try_low, try_high, 4);
		DK_FN(dk_exhaust_flow)(&def, &ports, &out);
		DK_FN(dk_flood_start)(&def, &account);
		DK_FN(dk_flood_try)(tries[0], tries[1], tries[2], tries[3], &account);
		DK_FN(dk_flood_left)(&def, &account, tries[0], &left);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], t[4], got[kMost], book[kMost];
			one(d, &def, FIELDS(def), i), one(p, &ports, FIELDS(ports), i), one(t, tries, 4, i);
			dk_exhaust_flow_w1(d, p, got);
			same_bits("exhaust", &out, got, FIELDS(out), i);
			within("back pressure", dk_lane(out.back_pa, i), 0, INFINITY);
			within("mixed", dk_lane(out.mixed_k, i), 240, 1100);
			within("hose", dk_lane(out.hose_k, i), 240, 1100);
			dk_flood_start_w1(d, book);
			dk_flood_try_w1(t[0], t[1], t[2], t[3], book);
			same_bits("account", &account, book, FIELDS(account), i);
			dk_flood_left_w1(d, book, t[0], got);
			same_bits("left", &left, got, FIELDS(left), i);
			within("seconds", got[0], 0, 600);
			within("low seconds", got[1], 0, got[0]);
		}
	}
}

static void cooling_lanes(void **state)
{
	(void)state;
	static const double low[] = { DK_PARAMS_COOLING(LOW) }, high[] = { DK_PARAMS_COOLING(HIGH) };
	static const double port_low[] = { 0, 50, 0, 271, 260, 6e4, 0, 300, -100, 0, 0 };
	static const double port_high[] = { 600, 600, 1, 308, 340, 1.1e5, 1e5, 380, 0, 1e-4, 1e-3 };
	for (int n = 0; n < kRounds; ++n)
	{
		dk_cooling_def def;
		dk_cooling_ports ports;
		dk_cooling_flows flows;
		dk_cooling_settled settled;
		dk_cooling_start start, after;
		dk_cooling_story story;
		dk_coolant_shown shown;
		fill(&def, low, high, FIELDS(def));
		fill(&ports, port_low, port_high, FIELDS(ports));

		// a thermostat whose full opening is above its start, as any record must have
		def.thermostat_full_k = dk_max(def.thermostat_full_k, def.thermostat_start_k + 5.0);
		DK_FN(dk_cooling_flows)(&def, &ports, &flows);
		DK_FN(dk_cooling_settle)(&def, &ports, &flows, &settled);
		DK_FN(dk_cooling_warm)(&def, &ports, &flows, &start);
		DK_FN(dk_cooling_story)(&def, &ports, &flows, &start, 20, dk_set(371.15), &story);
		DK_FN(dk_cooling_soak)
		(&def, &start, def.coolant_level, ports.space_k, ports.outside_pa, dk_set(600), &after);
		DK_FN(dk_coolant_shown)(&def, settled.coolant_k, ports.space_k, story.level_end, dk_set(1), &shown);
		for (int i = 0; i < DK_LANES; ++i)
		{
			double d[kMost], p[kMost], f[kMost], got[kMost], s[kMost];
			one(d, &def, FIELDS(def), i), one(p, &ports, FIELDS(ports), i);
			dk_cooling_flows_w1(d, p, f);
			same_bits("flows", &flows, f, FIELDS(flows), i);
			dk_cooling_settle_w1(d, p, f, got);
			same_bits("settled", &settled, got, FIELDS(settled), i);
			dk_cooling_warm_w1(d, p, f, s);
			same_bits("warm", &start, s, FIELDS(start), i);
			dk_cooling_story_w1(d, p, f, s, 20, 371.15, got);
			same_bits("story", &story, got, FIELDS(story), i);
			dk_cooling_soak_w1(d, s, dk_lane(def.coolant_level, i), p[4], p[5], 600, got);
			same_bits("soak", &after, got, FIELDS(after), i);
			dk_coolant_shown_w1(d, dk_lane(settled.coolant_k, i), p[4], dk_lane(story.level_end, i), 1, got);
			same_bits("shown", &shown, got, FIELDS(shown), i);
			within("settled coolant", dk_lane(settled.coolant_k, i), 230, 450);
			within("story coolant", dk_lane(story.coolant_end_k, i), 200, 450);
			within("settled metal", dk_lane(settled.metal_k, i), 230, 760);
			within("story metal", dk_lane(story.metal_end_k, i), 230, 1000);
			within("level", dk_lane(story.level_end, i), 0, 1);
			within("overheat", dk_lane(story.overheat_s, i), 0, 3660);
			within("raw out", dk_lane(settled.raw_out_k, i), 220, 450);
		}
	}
}

static int run_lanes(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(fuel_lanes),
		cmocka_unit_test(air_lanes),
		cmocka_unit_test(exhaust_lanes),
		cmocka_unit_test(cooling_lanes),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
