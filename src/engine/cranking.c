// Cranking: the starter's circuit against the engine's torque, then the wait for the first fire.
#include "engine/cranking.h"
#include "cycle/friction.h"
#include "plant/cooling.h"
#include "plant/governor.h"

static const double kPi = 3.14159265358979323846;

// passes in which cranking speed and compression work agree
enum
{
	kSpeedPasses = 8
};

// [ASSUMED-813] moments after the key at which the ignition margin is worked out [s]; linear in ln(margin)
// between
enum
{
	kMoments = 5
};
static const double kMoment[kMoments] = { 0.3, 2, 6, 15, 40 };

// [ASSUMED-810] the heaters' hot spot fades with this time constant once the starter takes the voltage
static const double kHeaterFadeS = 15;

// [ASSUMED-811] adapter of the compression gauge: hose and valve hold 5 cm3
static const double kAdapterM3 = 5e-6;

// [ASSUMED-812] a charge given less than this share of the start fuel no longer lights
static const double kLeastFuel = 0.25;

// slowest speed at which the cycle is worked out, when the starter can't turn the engine [rad/s]
static const double kSlowest = 3;

// the ports of one class on the starter
static void fill_ports(const dk_lane_engine *engine, const dk_cranking_order *order, int c, dk_real speed,
    dk_real wall_k, dk_real heater_rise_k, dk_cylinder_ports *in)
{
	const dk_fuel_def *fuel = &engine->fuel[c];
	dk_injection injection;
	DK_FN(dk_governor_injection)(fuel, speed, fuel->rack_max_kg, &injection);
	*in = DK_FN(dk_default_cylinder_ports)();
	in->speed_rad_s = speed;
	in->intake_pa = engine->pressure_pa;
	in->intake_k = order->intake_k;
	in->exhaust_pa = engine->pressure_pa;
	in->exhaust_k = order->metal_k;
	in->crankcase_pa = engine->pressure_pa;
	in->coolant_pa = engine->pressure_pa;
	in->wall_k = wall_k;
	in->humidity_kg_kg = dk_set(0);
	in->injection_start_deg = injection.start_deg;
	in->injection_span_deg = injection.span_deg;
	in->cetane = fuel->cetane;
	in->lhv_j_kg = fuel->lhv_j_kg;
	in->mixing = fuel->nozzle_mixing;
	in->heater_rise_k = heater_rise_k;
	in->rated_fuel_kg = fuel->rack_max_kg;
	in->rated_speed_rad_s = engine->rated_rad_s;
}

// one closed cycle of every class that is there
static void crank_cycles(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_cranking_order *order, dk_real speed, dk_real wall_k, const dk_real *heater_rise_k,
    dk_real extra_m3, dk_crank_result *out)
{
	memset(out, 0, DK_CLASSES * sizeof *out);
	for (int c = 0; c < (engine->hit ? DK_CLASSES : 1); ++c)
	{
		dk_cylinder_ports in;
		fill_ports(engine, order, c, speed, wall_k, heater_rise_k[c], &in);
		DK_FN(dk_cylinder_crank)(&engine->cylinder[c], &in, grid, extra_m3, &out[c]);
	}
}

// speed at which the starter carries friction and compression
static void find_speed(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_cranking_order *order, dk_cranking *out, dk_crank_result *cycle)
{
	const dk_cylinder_def *cylinder = &engine->cylinder[DK_SOUND];
	const dk_real cold = DK_FN(dk_friction_cold)(DK_FN(dk_oil_viscosity)(&engine->oil, order->oil_k) /
	                                             DK_FN(dk_oil_viscosity)(&engine->oil, dk_set(363.15)));
	const dk_real constant = DK_FN(dk_friction_constant)(cylinder->indirect, cylinder->compression_ratio);
	const dk_real no_heater[DK_CLASSES] = { dk_set(0), dk_set(0) };
	dk_real speed = dk_set(20);
	for (int i = 0; i < kSpeedPasses; ++i)
	{
		crank_cycles(engine, grid, order, dk_max(speed, dk_set(kSlowest)), order->metal_k, no_heater,
		    dk_set(0), cycle);
		const dk_real loop = engine->share[DK_SOUND] * cycle[DK_SOUND].loop_work_j +
		                     engine->share[DK_HIT] * cycle[DK_HIT].loop_work_j;
		const dk_real friction_pa =
		    cylinder->friction_factor * cold * DK_FN(dk_friction_rubbing)(constant, speed);
		out->torque_nm = cylinder->count / (4 * kPi) * (friction_pa * engine->swept_m3 - loop);
		const dk_starting_ports ports = { .battery_k = engine->air_k, .load_nm = out->torque_nm };
		DK_FN(dk_starting_crank)(&engine->starting[DK_SOUND], &ports, &out->circuit);
		speed = out->circuit.speed_rad_s;
	}
	out->speed_rad_s = speed;
}

// heaters before the key is turned on: power of all, local rise per class
static void preheat(const dk_lane_engine *engine, const dk_cranking_order *order, dk_cranking *out,
    dk_real *rise_k, dk_real *watts)
{
	const dk_real count = engine->cylinder[DK_SOUND].count;
	dk_real at_12 = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
		at_12 = at_12 + count * engine->share[c] * engine->starting[c].heater_watts;
	const dk_real volts = DK_FN(dk_starting_heater_supply)(&engine->starting[DK_SOUND], engine->air_k, at_12);

	out->heater_watts = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		dk_heater_result heater;
		DK_FN(dk_starting_heater)(&engine->starting[c], volts, &heater);
		out->heater_watts = out->heater_watts + count * engine->share[c] * heater.watts;
		const dk_mask used = order->preheat_s > 0;
		rise_k[c] = dk_choose(used, heater.rise_k, dk_set(0));
		watts[c] = dk_choose(used, heater.watts, dk_set(0));
	}
}

// chamber wall some time after the key: first order towards what cycle heat and heater would hold
static dk_real wall_at(const dk_lane_engine *engine, const dk_cranking_order *order, dk_real cycle_w,
    dk_real heater_w, double after_s)
{
	const dk_cylinder_def *cylinder = &engine->cylinder[DK_SOUND];
	const dk_real conductance = cylinder->wall_c_j_k / cylinder->wall_time_s;
	const dk_real by_heater = heater_w * (1 - dk_exp(-order->preheat_s / cylinder->wall_time_s));
	const dk_real fade = dk_exp(-dk_set(after_s) / cylinder->wall_time_s);
	return order->metal_k + (by_heater * fade + cycle_w * (1 - fade)) / conductance;
}

// fuel that arrives while cranking: start excess, starvation, air crept in, water
static dk_real crank_fuel(const dk_lane_engine *engine, const dk_cranking_order *order, dk_cranking *out)
{
	const dk_fuel_def *fuel = &engine->fuel[DK_SOUND];
	const dk_real speed = dk_max(out->speed_rad_s, dk_set(kSlowest));
	const dk_real asked = DK_FN(dk_governor_rack)(fuel, speed, engine->air_k);
	const dk_fuel_ports ports = {
		.injected_kg_s = dk_max(asked, dk_set(1e-8)) * engine->cylinder[DK_SOUND].count * speed / (4 * kPi),
		.speed_rad_s = speed,
		.outside_pa = engine->pressure_pa,
		.fuel_k = engine->air_k,
		.soak_s = order->soak_s,
	};
	dk_fuel_supply supply;
	dk_fuel_prime prime;
	DK_FN(dk_fuel_supply)(fuel, &ports, &supply);
	DK_FN(dk_fuel_prime)(fuel, &ports, &prime);
	out->air_share = 1 - (1 - supply.air_share) * prime.delivery;
	out->prime_s = prime.seconds;
	return asked * supply.delivery * prime.delivery * supply.fuel_share * (1 - supply.misfire);
}

// first crossing of margin 1, linear in ln(margin) between the moments, plus the cycle in which it happens
static dk_real first_fire(const dk_real *margin, dk_real speed)
{
	dk_real fire = dk_set(120);
	for (int i = kMoments - 1; i > 0; --i)
	{
		const dk_real a = dk_log(margin[i - 1]), b = dk_log(margin[i]);
		const dk_mask crosses = (a < 0) & (b >= 0);
		const dk_real at = dk_clip(-a / dk_max(b - a, dk_set(1e-12)), 0, 1);
		fire = dk_choose(crosses, kMoment[i - 1] + at * (kMoment[i] - kMoment[i - 1]), fire);
	}
	fire = dk_choose(margin[0] >= 1, dk_set(kMoment[0]), fire);
	const dk_real cycle_s = 4 * kPi / dk_max(speed, dk_set(1));
	return dk_choose(fire < 120, dk_min(fire + cycle_s, dk_set(119)), fire);
}

// the charge over the first forty seconds; the best class decides when the engine fires
static void find_fire(const dk_lane_engine *engine, const dk_crank_grid *grid, const dk_cranking_order *order,
    const dk_crank_result *cold, dk_cranking *out)
{
	dk_real rise_k[DK_CLASSES], watts[DK_CLASSES], margin[kMoments];
	preheat(engine, order, out, rise_k, watts);
	out->fuel_kg = crank_fuel(engine, order, out);
	const dk_real speed = dk_max(out->speed_rad_s, dk_set(kSlowest));
	const dk_real start = DK_FN(dk_governor_rack)(&engine->fuel[DK_SOUND], speed, dk_set(313.15));
	dk_real unburnt = dk_set(0);

	// the sound class stands for the engine, but where every cylinder is hit there is none
	const dk_mask some_sound = engine->share[DK_SOUND] > 0;
	for (int i = 0; i < kMoments; ++i)
	{
		dk_crank_result cycle[DK_CLASSES];
		dk_real rise[DK_CLASSES];
		for (int c = 0; c < DK_CLASSES; ++c) rise[c] = rise_k[c] * dk_exp(dk_set(-kMoment[i] / kHeaterFadeS));
		const dk_real cycle_w =
		    dk_choose(some_sound, cold[DK_SOUND].wall_heat_j, cold[DK_HIT].wall_heat_j) * speed / (4 * kPi);
		const dk_real heater_w = dk_choose(some_sound, watts[DK_SOUND], watts[DK_HIT]);
		const dk_real wall = wall_at(engine, order, cycle_w, heater_w, kMoment[i]);
		crank_cycles(engine, grid, order, speed, wall, rise, dk_set(0), cycle);

		margin[i] = dk_set(1e-3);
		for (int c = 0; c < DK_CLASSES; ++c)
		{
			const dk_real given = out->fuel_kg * (1 - engine->fuel[c].nozzle_loss);
			const dk_real enough = dk_clip(given / (kLeastFuel * start), 0, 1);
			const dk_real here = cycle[c].ignition_margin * enough * out->circuit.turns;
			margin[i] = dk_max(margin[i], dk_choose(engine->share[c] > 0, here, dk_set(0)));
			if (i == 0) unburnt = unburnt + engine->share[c] * given * (1 - cycle[c].burnt_share * enough);
		}
		if (i == 0)
			out->charge_k =
			    dk_choose(some_sound, cycle[DK_SOUND].temperature_max_k, cycle[DK_HIT].temperature_max_k);
	}
	out->ignition_margin = margin[0];
	for (int i = 1; i < kMoments; ++i) out->ignition_margin = dk_max(out->ignition_margin, margin[i]);

	// solid fuel has to come back first
	const dk_real fire = first_fire(margin, speed);
	out->seconds_to_fire = dk_choose(fire < 120, dk_min(fire + out->prime_s, dk_set(120)), fire);

	// what leaves is about the trapped mass at 330 K
	const dk_real trapped = dk_choose(some_sound, cold[DK_SOUND].trapped_kg, cold[DK_HIT].trapped_kg);
	const dk_real breath = trapped * 287 * 330 / engine->pressure_pa;
	out->white_kg_m3 = out->circuit.turns * unburnt / breath;
}

// peak that a gauge would hold, heaters out, adapter on
static void find_compression(
    const dk_lane_engine *engine, const dk_crank_grid *grid, const dk_cranking_order *order, dk_cranking *out)
{
	dk_crank_result cycle[DK_CLASSES];
	const dk_real no_heater[DK_CLASSES] = { dk_set(0), dk_set(0) };
	const dk_real speed = dk_max(out->speed_rad_s, dk_set(kSlowest));
	crank_cycles(engine, grid, order, speed, order->metal_k, no_heater, dk_set(kAdapterM3), cycle);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		const dk_real peak = dk_choose(engine->share[c] > 0, cycle[c].peak_pa, dk_set(0));
		out->gauge_pa[c] =
		    engine->pressure_pa + out->circuit.turns * dk_max(peak - engine->pressure_pa, dk_set(0));
	}
}

void DK_FN(dk_cranking_find)(const dk_lane_engine *engine, const dk_crank_grid *grid,
    const dk_cranking_order *order, dk_cranking *out, unsigned char *status, long *cycles)
{
	memset(out, 0, sizeof *out);
	dk_crank_result cycle[DK_CLASSES];
	find_speed(engine, grid, order, out, cycle);
	find_fire(engine, grid, order, cycle, out);
	find_compression(engine, grid, order, out);

	const dk_oil_ports oil = { .engine_rad_s = out->speed_rad_s,
		.oil_k = order->oil_k,
		.supply = out->circuit.battery_volts / (2 * engine->starting[DK_SOUND].battery_cells) };
	dk_oil_result pressure;
	DK_FN(dk_oil_pressure)(&engine->oil, &oil, &pressure);
	out->oil_pa = pressure.pressure_pa;
	out->lamp_oil = pressure.lamp;

	// the account of a boat at first sight: what the water lock holds after a run
	dk_flood_account account;
	DK_FN(dk_flood_start)(&engine->exhaust, &account);
	out->raw_m3_s = DK_FN(dk_cooling_raw_flow)(&engine->cooling, out->speed_rad_s);
	DK_FN(dk_flood_left)(&engine->exhaust, &account, out->raw_m3_s, &out->flood);

	for (int lane = 0; lane < DK_LANES; ++lane)
	{
		status[lane] = dk_lane(out->circuit.turns, lane) < 0.5 ? DK_NOT_REACHED : DK_REACHED;
		cycles[lane] +=
		    (kSpeedPasses + kMoments + 1) * (dk_lane(engine->share[DK_HIT], lane) > 0 ? DK_CLASSES : 1);
	}
}
