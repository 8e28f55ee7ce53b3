#pragma once
// A made-up engine for the tests of population: smooth functions of a few parameters, no physics. It stands
// in for engine/batch.c in the test program (the linker then takes nothing from that file), so that what is
// tested is the bank and not the engine. It has a kink, a stall, an unsettled stretch and hit cylinders.
#include "engine/batch.h"
#include <math.h>
#include <stdatomic.h>
#include <string.h>

// what the tests want to know about the runs
static atomic_long stub_engines, stub_batches;
static atomic_int stub_largest;

// engines in this stretch of air leak do not settle at warm idle
#define STUB_UNSETTLED(leak) ((leak) > 4e-9 && (leak) < 4.8e-9)

dk_condition dk_default_condition(void)
{
	return (dk_condition){
		.air_k = 288.15, .sea_k = 288.15, .pressure_pa = 101325, .humidity = 0.6, .soak_h = 12
	};
}

// one engine; `p` is its parameters, `x` its readings
static int stub_run(const double *p, double air_k, double sea_k, int point, double lever, double *x)
{
	for (int r = 0; r < DK_READING_COUNT; ++r)
		x[r] = dk_reading_info[r].floor + 0.25 * fabs(dk_reading_info[r].floor);
	const double count = p[DK_PARAM_cylinder_count], hit = p[DK_PARAM_cylinder_hit_count];
	const double leak = p[DK_PARAM_fuel_air_leak_m3_pa_s];
	const double friction = p[DK_PARAM_cylinder_friction_factor];
	const double load = 1 + p[DK_PARAM_driveline_weather_share] + p[DK_PARAM_driveline_fouling_share];
	const double rings =
	    ((count - hit) * p[DK_PARAM_cylinder_ring_leak_m2] + hit * p[DK_PARAM_B_cylinder_ring_leak_m2]) /
	    count;
	const double cold = (air_k - 288.15) / 10;

	// cranking
	x[DK_READING_battery_crank] =
	    11.5 - 3 * (1 - p[DK_PARAM_starting_battery_charge]) + 0.4 * cold - 0.3 * friction;
	x[DK_READING_crank_speed] = 220 * p[DK_PARAM_starting_battery_charge] / friction + 20 * cold;
	x[DK_READING_compression_gauge] = 28 - 6 * (rings / 1e-7 - 1) / 11;
	x[DK_READING_ignition_margin] = exp(1.5 - rings / 1e-6 + 0.5 * cold - 0.2 * (friction - 1));

	// running: the governor holds the speed until the engine is short of fuel, then it falls; that is the
	// kink
	const double want = point == DK_POINT_full ? 3000 : point == DK_POINT_cruise ? 900 + 2100 * lever : 800;
	const double fuel = 1 / (1 + p[DK_PARAM_fuel_filter_fine_pa_s_m3] / 1e10);
	const double need = load * friction * (want / 3000);
	x[DK_READING_engine_speed] = want * fmin(1, fuel / need);
	x[DK_READING_fuel_pressure] = 30 - 40 * (1 - fuel);
	x[DK_READING_fuel_air_share] = 0.001 + leak * 1e7;
	x[DK_READING_boat_speed] = 7 * x[DK_READING_engine_speed] / 3000 / sqrt(load);
	x[DK_READING_oil_pressure] = 4 * exp(-0.1 * cold) * friction;
	x[DK_READING_coolant_temperature] =
	    80 + 0.5 * (sea_k - 288.15) + 30 * (1 - p[DK_PARAM_exhaust_elbow_open]);
	x[DK_READING_back_pressure] =
	    5 / (p[DK_PARAM_exhaust_elbow_open] * p[DK_PARAM_exhaust_elbow_open] + 0.05);
	x[DK_READING_intake_depression] = p[DK_PARAM_air_filter_pa_s2_kg2] / 1e6;
	x[DK_READING_crankcase_pressure] = 50 * rings / 1e-7;
	if (point == DK_POINT_warm_idle && STUB_UNSETTLED(leak))
	{
		x[DK_READING_fuel_air_share] = 0.9;
		return DK_NOT_SETTLED;
	}
	return x[DK_READING_engine_speed] < 400 ? DK_NOT_REACHED : DK_REACHED;
}

void dk_batch_run(dk_batch *batch, int lanes)
{
	// in blocks of `lanes`, as the real one
	if (lanes != 1 && lanes != 2 && lanes != 4) lanes = 8;
	double p[DK_PARAM_COUNT], x[DK_READING_COUNT];
	for (int first = 0; first < batch->count; first += lanes)
		for (int i = first; i < first + lanes && i < batch->count; ++i)
		{
			for (int k = 0; k < DK_PARAM_COUNT; ++k) p[k] = batch->param[(size_t)k * batch->count + i];
			batch->status[i] =
			    (unsigned char)stub_run(p, batch->air_k ? batch->air_k[i] : batch->condition.air_k,
			        batch->sea_k ? batch->sea_k[i] : batch->condition.sea_k, batch->point, batch->lever, x);
			for (int r = 0; r < DK_READING_COUNT; ++r) batch->reading[(size_t)r * batch->count + i] = x[r];
		}
	batch->cycles = batch->count;
	atomic_fetch_add(&stub_engines, batch->count);
	atomic_fetch_add(&stub_batches, 1);
	int largest = atomic_load(&stub_largest);
	while (batch->count > largest && !atomic_compare_exchange_weak(&stub_largest, &largest, batch->count))
		;
}

int dk_batch_widest(void)
{
	return 8;
}

double dk_engine_lever(const double *param, const dk_condition *condition, double rpm)
{
	(void)param, (void)condition;
	return (rpm - 900) / 2100;
}

double dk_engine_cruise_lever(const double *param, const dk_condition *condition)
{
	return dk_engine_lever(param, condition, 0.7 * param[DK_PARAM_fuel_rated_rpm]);
}

// ---------------------------------------------------------------- a made-up catalogue: ids of no real fault

static const dk_move kStubElbow[] = { { "exhaust.elbow_open", DK_HOW_SET, 0.05, DK_CURVE_LINEAR,
	{ "x.yaml", 3, 5 } } };
static const dk_move kStubFilter[] = { { "fuel.filter_fine_pa_s_m3", DK_HOW_TIMES, 100, DK_CURVE_LOG,
	{ "x.yaml", 4, 5 } } };
static const dk_move kStubLeak[] = { { "fuel.air_leak_m3_pa_s", DK_HOW_ADD, 8e-9, DK_CURVE_LINEAR,
	{ "x.yaml", 5, 5 } } };
static const dk_move kStubRings[] = { { "cylinder.ring_leak_m2", DK_HOW_TIMES, 12, DK_CURVE_LOG,
	{ "x.yaml", 6, 5 } } };
static const dk_move kStubFlat[] = { { "starting.battery_charge", DK_HOW_SET, 0.05, DK_CURVE_LINEAR,
	{ "x.yaml", 7, 5 } } };
static const dk_move kStubDirt[] = { { "fuel.filter_fine_pa_s_m3", DK_HOW_TIMES, 80, DK_CURVE_LOG,
	{ "x.yaml", 8, 5 } } };

#define STUB_FAULT(text, in, moves, where)                                                                   \
	{                                                                                                        \
		.id = text, .name = text, .system = DK_SYSTEM_##in, .move = moves, .move_count = 1,                  \
		.cylinders = where, .mark = {                                                                        \
			"x.yaml",                                                                                        \
			2,                                                                                               \
			3                                                                                                \
		}                                                                                                    \
	}

// in order of id; mine.dirt and zeal.filter look alike and are in two systems
static const dk_fault kStubFaults[] = {
	STUB_FAULT("bore.all", cylinder, kStubRings, DK_CYLINDERS_ALL),
	STUB_FAULT("bore.one", cylinder, kStubRings, DK_CYLINDERS_ONE),
	STUB_FAULT("bore.some", cylinder, kStubRings, DK_CYLINDERS_K),
	STUB_FAULT("elbow.shut", exhaust, kStubElbow, DK_CYLINDERS_ALL),
	STUB_FAULT("leak.air", fuel, kStubLeak, DK_CYLINDERS_ALL),
	STUB_FAULT("mine.dirt", air, kStubDirt, DK_CYLINDERS_ALL),
	STUB_FAULT("power.low", starting, kStubFlat, DK_CYLINDERS_ALL),
	STUB_FAULT("zeal.filter", fuel, kStubFilter, DK_CYLINDERS_ALL),
};
enum
{
	STUB_BORE_ALL,
	STUB_BORE_ONE,
	STUB_BORE_SOME,
	STUB_ELBOW,
	STUB_LEAK,
	STUB_DIRT,
	STUB_POWER,
	STUB_FILTER,
	STUB_FAULTS
};
static const dk_catalog kStubCatalog = { .fault = kStubFaults, .fault_count = STUB_FAULTS };
