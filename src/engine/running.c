// Speed, pressures and temperatures of a running engine, found together.
#include "engine/running.h"
#include "cycle/friction.h"
#include "plant/governor.h"

static const double kPi = 3.14159265358979323846;

// [ASSUMED-801] metal to gas-side wall: 70 K at 9 kW through the chamber of an 84 mm bore; area scaled.
// Twice as much: exhaust 17 K hotter at full, 0.6 % less air.
static const double kWallKelvinPerWatt = 0.0075;
static const double kWallBore = 0.084;

// [ASSUMED-802] share of the exhaust heat above the coolant that a jacketed manifold gives to it.
static const double kManifoldShare = 0.13;

// [ASSUMED-803] the gas of a cycle acts on the walls like gas this much hotter than the coolant, so heat
// falls by 1/700 a kelvin of coolant.
static const double kGasAboveCoolant = 700;

// [ASSUMED-804] share of the wall heat that reaches the coolant; the rest goes with the piston to the oil.
static const double kWallToCoolant = 0.90;

// [ASSUMED-805] change of indicated work per change of fuel that predicts the next pass: it only sets how
// fast the passes agree, not where.
static const double kMarginalEfficiency = 0.42;

// [ASSUMED-808] fuel in the gallery of a warm pump: 40 degC, at which deliveries are given
static const double kWarmGalleryK = 313.15;

// water formed by burning CH1.86, by mass of fuel: 0.93 x 18.015 / 13.887 [exact]
static const double kWaterOfFuel = 1.2064;

// swept volume of the whole engine over 4 pi: mean effective pressure to torque, four-stroke
static dk_real torque_per_pa(const dk_lane_engine *engine)
{
	return engine->swept_m3 * engine->cylinder[DK_SOUND].count / (4 * kPi);
}

// what governor and supply deliver at a speed, and the torque left over there
typedef struct balance
{
	dk_real asked_kg;
	dk_real fuel_kg[DK_CLASSES];
	dk_real friction_pa, load_nm, indicated_nm;
	dk_fuel_supply supply;
	dk_driveline_result driveline;
	dk_real left_nm;
} balance;

// fuel of each class at a speed: governor, then starvation and water, then the nozzles
static void deliver(const dk_lane_engine *engine, const dk_running_order *order, dk_real speed, balance *out)
{
	const dk_fuel_def *fuel = &engine->fuel[DK_SOUND];
	const dk_real setting = DK_FN(dk_governor_setting)(fuel, dk_set(order->lever));
	const dk_real demand = DK_FN(dk_governor_demand)(fuel, setting, speed);
	out->asked_kg = DK_FN(dk_governor_fuel)(
	    fuel, demand, speed, order->just_fired ? engine->air_k : dk_set(kWarmGalleryK));

	const dk_real per_second = engine->cylinder[DK_SOUND].count * speed / (4 * kPi);
	const dk_fuel_ports ports = { .injected_kg_s = dk_max(out->asked_kg, dk_set(1e-8)) * per_second,
		.speed_rad_s = speed,
		.outside_pa = engine->pressure_pa,
		.fuel_k = engine->air_k,
		.soak_s = dk_set(0) };
	DK_FN(dk_fuel_supply)(fuel, &ports, &out->supply);
	const dk_real arrives =
	    out->asked_kg * out->supply.delivery * out->supply.fuel_share * (1 - out->supply.misfire);
	for (int c = 0; c < DK_CLASSES; ++c) out->fuel_kg[c] = arrives * (1 - engine->fuel[c].nozzle_loss);
}

// rubbing friction: the cycle computes its own gas exchange
static dk_real friction(const dk_lane_engine *engine, dk_real speed, dk_real viscosity_ratio)
{
	const dk_cylinder_def *cylinder = &engine->cylinder[DK_SOUND];
	const dk_real constant = DK_FN(dk_friction_constant)(cylinder->indirect, cylinder->compression_ratio);
	return DK_FN(dk_friction_rubbing)(constant, speed) * DK_FN(dk_friction_cold)(viscosity_ratio) *
	       cylinder->friction_factor;
}

// the torque left over at a speed; work of the last cycles corrected for the change of fuel
static void weigh(const dk_lane_engine *engine, const dk_running_order *order, const dk_running *run,
    dk_real viscosity_ratio, dk_real speed, balance *out)
{
	deliver(engine, order, speed, out);
	dk_real work = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		const dk_real predicted = run->cycle[c].work_j + kMarginalEfficiency * engine->fuel[c].lhv_j_kg *
		                                                     (out->fuel_kg[c] - run->fuel_kg[c]);
		work = work + engine->share[c] * predicted;
	}
	out->indicated_nm = work * engine->cylinder[DK_SOUND].count / (4 * kPi);
	out->friction_pa = friction(engine, speed, viscosity_ratio);

	DK_FN(dk_driveline_load)(&engine->drive, speed, engine->rated_rad_s, &out->driveline);
	const dk_real neutral = DK_FN(dk_driveline_neutral_nm)(&engine->drive, speed, engine->rated_rad_s);
	out->load_nm = (order->in_gear ? out->driveline.torque_nm : neutral) + run->alternator.shaft_w / speed;
	out->left_nm = out->indicated_nm - out->friction_pa * torque_per_pa(engine) - out->load_nm;
}

// [ASSUMED-809] the slowest speed that counts as running, and a speed no governor lets it pass
static dk_real slowest(const dk_lane_engine *engine)
{
	return engine->fuel[DK_SOUND].idle_rpm * (0.5 * kPi / 30);
}
static dk_real fastest(const dk_lane_engine *engine)
{
	return 1.25 * engine->fuel[DK_SOUND].no_load_ratio * engine->rated_rad_s;
}

// halves the whole range: for the first pass, when nothing is known
static dk_real search_speed(const dk_lane_engine *engine, const dk_running_order *order,
    const dk_running *run, dk_real viscosity_ratio)
{
	dk_real low = slowest(engine), high = fastest(engine);
	for (int i = 0; i < 12; ++i)
	{
		balance at;
		const dk_real middle = 0.5 * (low + high);
		weigh(engine, order, run, viscosity_ratio, middle, &at);
		const dk_mask faster = at.left_nm > 0;
		low = dk_choose(faster, middle, low);
		high = dk_choose(faster, high, middle);
	}
	return 0.5 * (low + high);
}

// one Newton step and one with the same slope, each held to a tenth of the speed
static dk_real refine_speed(const dk_lane_engine *engine, const dk_running_order *order,
    const dk_running *run, dk_real viscosity_ratio)
{
	const dk_real low = slowest(engine), high = fastest(engine);
	dk_real speed = run->speed_rad_s;
	balance here, there;
	weigh(engine, order, run, viscosity_ratio, speed, &here);
	const dk_real step = 1e-5 * speed;
	weigh(engine, order, run, viscosity_ratio, speed + step, &there);
	const dk_real slope = dk_min((there.left_nm - here.left_nm) / step, dk_set(-1e-3));
	for (int i = 0; i < 2; ++i)
	{
		const dk_real most = 0.1 * speed;
		dk_real move = -here.left_nm / slope;
		move = dk_min(dk_max(move, -most), most);
		speed = dk_min(dk_max(speed + move, low), high);
		if (i == 0) weigh(engine, order, run, viscosity_ratio, speed, &here);
	}
	return speed;
}

// the ports of one cylinder class
static void fill_ports(const dk_lane_engine *engine, const dk_running *run, int c, dk_cylinder_ports *in)
{
	const dk_fuel_def *fuel = &engine->fuel[c];
	dk_injection injection;
	DK_FN(dk_governor_injection)(fuel, run->speed_rad_s, run->asked_kg, &injection);
	*in = (dk_cylinder_ports){
		.speed_rad_s = run->speed_rad_s,
		.intake_pa = run->air.intake_pa,
		.intake_k = run->air.intake_k,
		.exhaust_pa = engine->pressure_pa + run->exhaust.back_pa,
		.exhaust_k = run->gas_k,
		.crankcase_pa = engine->pressure_pa,
		.coolant_pa = engine->pressure_pa + engine->cooling.cap_pa,
		.wall_k = run->wall_k[c],
		.humidity_kg_kg = run->air.humidity_kg_kg,
		.fuel_kg = run->fuel_kg[c],
		.injection_start_deg = injection.start_deg,
		.injection_span_deg = injection.span_deg,
		.cetane = fuel->cetane,
		.lhv_j_kg = fuel->lhv_j_kg,
		.mixing = fuel->nozzle_mixing,
		.heater_rise_k = dk_set(0),
		.water_kg = run->cycle[c].water_in_kg + run->supply.water_kg_kg * run->fuel_kg[c],
		.rated_fuel_kg = fuel->rack_max_kg,
		.rated_speed_rad_s = engine->rated_rad_s,
	};
}

// sums over the cylinders that the manifolds, the coolant and the sump see
static void gather_flows(const dk_lane_engine *engine, dk_running *run)
{
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	dk_real gas = dk_set(0), enthalpy = dk_set(0), air = dk_set(0), wall = dk_set(0), water = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		const dk_cylinder_result *cycle = &run->cycle[c];
		gas = gas + engine->share[c] * cycle->exhaust_kg;
		enthalpy = enthalpy + engine->share[c] * cycle->exhaust_kg * cycle->exhaust_k;
		air = air + engine->share[c] * cycle->fresh_air_kg;
		wall = wall + engine->share[c] * (cycle->wall_heat_j + cycle->port_heat_j);
		water = water + engine->share[c] * (kWaterOfFuel * cycle->fuel_burnt_kg + cycle->water_in_kg +
		                                       run->supply.water_kg_kg * run->fuel_kg[c] +
		                                       run->air.humidity_kg_kg * cycle->fresh_air_kg);
	}
	run->gas_kg_s = dk_max(gas * per_second, dk_set(1e-6));
	run->gas_k = enthalpy / dk_max(gas, dk_set(1e-12));
	run->air_kg_s = dk_max(air * per_second, dk_set(0));
	run->vapour_kg_kg = water / dk_max(gas, dk_set(1e-12));

	// [ASSUMED-806] exhaust gas holds 1100 J/(kg K)
	const dk_real above = dk_max(run->gas_k - run->coolant_k, dk_set(0));
	run->manifold_w = kManifoldShare * 1100 * run->gas_kg_s * above;
	run->elbow_k = run->gas_k - kManifoldShare * above;
	run->heat_w = kWallToCoolant * wall * per_second + run->manifold_w;
}

// air in, exhaust out
static void breathe(const dk_lane_engine *engine, const dk_running_order *order, dk_running *run)
{
	dk_real fuel = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c) fuel = fuel + engine->share[c] * run->cycle[c].fuel_burnt_kg;
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	const dk_air_ports air = {
		.outside_pa = engine->pressure_pa,
		.outside_k = engine->air_k,
		.humidity = dk_set(engine->condition.humidity),
		.air_kg_s = run->air_kg_s,
		.fuel_w = fuel * engine->fuel[DK_SOUND].lhv_j_kg * per_second,
		.block_w = DK_FN(dk_cooling_block_loss)(&engine->cooling, run->coolant_k, run->air.space_k),
		.coolant_k = run->coolant_k,
	};
	DK_FN(dk_air_intake)(&engine->air, &air, &run->air);

	const dk_exhaust_ports exhaust = {
		.gas_kg_s = run->gas_kg_s,
		.gas_k = run->elbow_k,
		.vapour_kg_kg = run->vapour_kg_kg,
		.water_kg_s = 1025 * run->flows.raw_m3_s,
		.water_k = order->just_fired ? engine->sea_k : run->settled.raw_out_k,
		.outside_pa = engine->pressure_pa,
		.outside_k = engine->air_k,
		.humidity = dk_set(engine->condition.humidity),
	};
	DK_FN(dk_exhaust_flow)(&engine->exhaust, &exhaust, &run->exhaust);
}

// coolant, metal, walls and oil at the heat of the last cycles
static void warm(const dk_lane_engine *engine, const dk_running_order *order, dk_running *run)
{
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	dk_real gas = dk_set(0), drawn = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		gas = gas + engine->share[c] * run->cycle[c].gasket_kg;
		drawn = drawn + engine->share[c] * run->cycle[c].water_in_kg;
	}
	run->cooling = (dk_cooling_ports){
		.speed_rad_s = run->speed_rad_s,
		.rated_rad_s = engine->rated_rad_s,
		.belt_slip = engine->starting[DK_SOUND].belt_slip,
		.sea_k = engine->sea_k,
		.space_k = run->air.space_k,
		.outside_pa = engine->pressure_pa,
		.heat_w = run->heat_w,
		.heat_at_k = run->coolant_k,
		.heat_slope_w_k = -run->heat_w / kGasAboveCoolant,
		.gas_kg_s = gas * per_second,
		.drawn_kg_s = drawn * per_second,
	};
	DK_FN(dk_cooling_flows)(&engine->cooling, &run->cooling, &run->flows);
	DK_FN(dk_cooling_settle)(&engine->cooling, &run->cooling, &run->flows, &run->settled);

	const dk_real friction_w = run->friction_pa * torque_per_pa(engine) * run->speed_rad_s;
	const dk_real power_w = friction_w + dk_max(run->load_nm, dk_set(0)) * run->speed_rad_s;
	const dk_real oil_settled = DK_FN(dk_oil_settled_k)(&engine->oil, run->settled.coolant_k, power_w);
	if (order->just_fired)
	{
		// [ASSUMED-807] in the first 20 s the metal keeps 0.7 of its heat and the coolant has 0.2 of that
		// rise
		const dk_real rise = 0.7 * 20 * run->heat_w / engine->cooling.metal_j_k;
		run->metal_k = engine->air_k + rise;
		run->coolant_k = engine->air_k + 0.2 * rise;
		run->oil_k = DK_FN(dk_oil_warming_k)(&engine->oil, engine->air_k, oil_settled, dk_set(20));
	}
	else
	{
		run->metal_k = run->settled.metal_k;
		run->coolant_k = run->settled.coolant_k;
		run->oil_k = oil_settled;
	}
	const dk_real bore = engine->cylinder[DK_SOUND].bore_m / kWallBore;
	for (int c = 0; c < DK_CLASSES; ++c)
		run->wall_k[c] = run->metal_k + kWallKelvinPerWatt / (bore * bore) * run->cycle[c].wall_heat_j *
		                                    run->speed_rad_s / (4 * kPi);
}

// everything once: speed, cycles, flows, temperatures
static void pass(const dk_lane_engine *engine, const dk_crank_grid *grid, const dk_running_order *order,
    int turn, dk_running *run)
{
	// speed at which torque and load agree, by what the last cycles gave per fuel
	const dk_real nu90 = DK_FN(dk_oil_viscosity)(&engine->oil, dk_set(363.15));
	const dk_oil_ports oil = { .engine_rad_s = run->speed_rad_s, .oil_k = run->oil_k, .supply = dk_set(1) };
	DK_FN(dk_oil_pressure)(&engine->oil, &oil, &run->oil);
	const dk_real ratio = run->oil.viscosity_m2_s / nu90;
	run->speed_rad_s =
	    turn == 0 ? search_speed(engine, order, run, ratio) : refine_speed(engine, order, run, ratio);

	balance at;
	weigh(engine, order, run, ratio, run->speed_rad_s, &at);
	run->asked_kg = at.asked_kg;
	run->friction_pa = at.friction_pa;
	run->load_nm = at.load_nm;
	run->indicated_nm = at.indicated_nm;
	run->supply = at.supply;
	run->driveline = at.driveline;
	for (int c = 0; c < DK_CLASSES; ++c) run->fuel_kg[c] = at.fuel_kg[c];

	// the hit cylinders are run where there are any; their share is 0 in the other lanes
	for (int c = 0; c < (engine->hit ? DK_CLASSES : 1); ++c)
	{
		dk_cylinder_ports in;
		fill_ports(engine, run, c, &in);
		DK_FN(dk_cylinder_cycle)(&engine->cylinder[c], &in, grid, &run->state[c], &run->cycle[c]);
	}
	gather_flows(engine, run);
	warm(engine, order, run);
	breathe(engine, order, run);
	const dk_alternator_ports charging = { .engine_rad_s = run->speed_rad_s, .battery_k = engine->air_k };
	DK_FN(dk_alternator_run)(&engine->starting[DK_SOUND], &charging, &run->alternator);
}

// a plausible engine at half fuel to start from
static void begin(
    const dk_lane_engine *engine, const dk_crank_grid *grid, const dk_running_order *order, dk_running *run)
{
	memset(run, 0, sizeof *run);
	run->speed_rad_s = 0.5 * (slowest(engine) + engine->rated_rad_s);
	run->coolant_k = order->just_fired ? engine->air_k : dk_set(358);
	run->metal_k = run->coolant_k;
	run->oil_k = order->just_fired ? engine->air_k : dk_set(365);
	run->gas_k = dk_set(600);
	run->air.space_k = engine->air_k;
	run->air.intake_pa = engine->pressure_pa;
	run->air.intake_k = engine->air_k + 10;
	run->exhaust.back_pa = dk_set(2000);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		run->wall_k[c] = run->metal_k + 40;
		run->fuel_kg[c] = 0.5 * engine->fuel[c].rack_max_kg;
		run->cycle[c].work_j = 0.40 * engine->fuel[c].lhv_j_kg * run->fuel_kg[c];
		dk_cylinder_ports in;
		fill_ports(engine, run, c, &in);
		DK_FN(dk_cylinder_start)(&engine->cylinder[c], &in, grid, &run->state[c]);
	}
}

// the largest step of this pass, each over its scale
static dk_real moved(const dk_lane_engine *engine, const dk_running *was, const dk_running *is)
{
	dk_real most = dk_abs(is->speed_rad_s - was->speed_rad_s) / engine->rated_rad_s;
	most = dk_max(most, dk_abs(is->air.intake_pa - was->air.intake_pa) / 1e5);
	most = dk_max(most, dk_abs(is->exhaust.back_pa - was->exhaust.back_pa) / 1e5);
	most = dk_max(most, dk_abs(is->coolant_k - was->coolant_k) / 100);
	most = dk_max(most, dk_abs(is->oil_k - was->oil_k) / 100);
	most = dk_max(most, dk_abs(is->gas_k - was->gas_k) / 500);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		const dk_real wall = dk_abs(is->wall_k[c] - was->wall_k[c]) / 100;
		const dk_real work = dk_abs(is->cycle[c].work_j - was->cycle[c].work_j) / (engine->swept_m3 * 1e6);
		most = dk_max(most, dk_choose(engine->share[c] > 0, dk_max(wall, work), dk_set(0)));
	}
	return most;
}

void DK_FN(dk_running_find)(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_running_order *order, dk_running *run, unsigned char *status, long *cycles)
{
	begin(engine, grid, order, run);
	dk_mask frozen = dk_mask_set(false);
	long spent[DK_LANES] = { 0 };
	for (int turn = 0; turn < DK_RUNNING_PASSES && !dk_all(frozen); ++turn)
	{
		dk_running next = *run;
		pass(engine, grid, order, turn, &next);
		DK_FN(dk_freeze)(frozen, (const dk_real *)run, (dk_real *)&next, sizeof next / sizeof(dk_real));
		for (int lane = 0; lane < DK_LANES; ++lane)
			if (!dk_mask_lane(frozen, lane))
				spent[lane] += dk_lane(engine->share[DK_HIT], lane) > 0 ? DK_CLASSES : 1;
		if (turn > 2) frozen = frozen | (moved(engine, run, &next) < order->settle);
		*run = next;
	}

	// at the slowest speed and still short of torque: it has stalled
	const dk_mask stalled = run->speed_rad_s < 1.1 * slowest(engine);
	for (int lane = 0; lane < DK_LANES; ++lane)
	{
		status[lane] = dk_mask_lane(stalled, lane)  ? DK_NOT_REACHED
		               : dk_mask_lane(frozen, lane) ? DK_REACHED
		                                            : DK_NOT_SETTLED;
		cycles[lane] += spent[lane];
	}
}
