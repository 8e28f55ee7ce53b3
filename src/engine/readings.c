// What a skipper, a gauge or a yard takes from the state of an engine.
#include "engine/readings.h"
#include "plant/battery.h"

static const double kPi = 3.14159265358979323846;
static const double kZeroC = 273.15;
static const double kKnot = 1852.0 / 3600;

// [ASSUMED-820] densities at which dipped oil and vented blow-by are counted
static const double kOilDensity = 870;
static const double kBlowByDensity = 1.07;

// [ASSUMED-821] fuel or oil mist hangs: seen as far as 100 m once it is dense enough to be seen
static const double kHangingM = 100, kWhiteSeen = 0.3e-3, kBlueSeen = 0.05e-3;

// sum over the classes that are there
static dk_real mean(const dk_lane_engine *engine, dk_real sound, dk_real hit)
{
	return DK_FN(dk_over_cylinders)(engine, sound, hit);
}

void DK_FN(dk_readings_clear)(dk_real *reading)
{
#define X(id, unit, transform, floor, cap, ...) reading[DK_READING_##id] = dk_set(cap);
	DK_READING_LIST(X)
#undef X
}

void DK_FN(dk_readings_key_on)(const dk_lane_engine *engine, dk_real *reading)
{
	const dk_starting_def *starting = &engine->starting[DK_SOUND];
	const dk_real rest = DK_FN(dk_battery_rest)(starting->battery_charge, starting->battery_cells, dk_set(0));
	const dk_real supply = rest / (2.1 * starting->battery_cells);
	const dk_alternator_ports stopped = { .engine_rad_s = dk_set(0), .battery_k = engine->air_k };
	const dk_oil_ports still = { .engine_rad_s = dk_set(0), .oil_k = engine->air_k, .supply = supply };
	dk_alternator_result charging;
	dk_oil_result oil;
	dk_coolant_shown coolant;
	DK_FN(dk_alternator_run)(starting, &stopped, &charging);
	DK_FN(dk_oil_pressure)(&engine->oil, &still, &oil);
	DK_FN(dk_coolant_shown)
	(&engine->cooling, engine->air_k, engine->air_k, engine->cooling.coolant_level, supply, &coolant);

	dk_real at_12 = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
		at_12 =
		    at_12 + engine->cylinder[DK_SOUND].count * engine->share[c] * engine->starting[c].heater_watts;
	const dk_real volts = DK_FN(dk_starting_heater_supply)(starting, engine->air_k, at_12);
	dk_real watts = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		dk_heater_result heater;
		DK_FN(dk_starting_heater)(&engine->starting[c], volts, &heater);
		watts = watts + engine->cylinder[DK_SOUND].count * engine->share[c] * heater.watts;
	}
	reading[DK_READING_battery_rest] = rest;
	reading[DK_READING_preheat_power] = watts;
	reading[DK_READING_lamp_charge] = charging.lamp;
	reading[DK_READING_lamp_oil] = oil.lamp;
	reading[DK_READING_lamp_coolant] = coolant.lamp;
	reading[DK_READING_oil_fuel_share] = engine->oil.fuel_share;
}

// roughness: spread of work between cylinders, and cycles that come and go
static dk_real roughness(const dk_lane_engine *engine, const dk_running *run)
{
	const dk_real sound = run->cycle[DK_SOUND].work_j, hit = run->cycle[DK_HIT].work_j;
	const dk_mask both = (engine->share[DK_HIT] > 0) & (engine->share[DK_SOUND] > 0);
	const dk_real level = dk_max(dk_abs(mean(engine, sound, hit)), 0.05 * 1e5 * engine->swept_m3);
	const dk_real uneven = dk_choose(both, dk_abs(sound - hit) / level, dk_set(0));
	dk_real variance = run->supply.misfire * (1 - run->supply.misfire);
	for (int c = 0; c < DK_CLASSES; ++c)
		variance =
		    variance + engine->share[c] * run->cycle[c].misfire_share * (1 - run->cycle[c].misfire_share);
	return uneven + dk_sqrt(dk_max(variance, dk_set(0)));
}

// fuel of the cycles that water slugs put out: it is not in fuel_kg, which is what may burn [kg a cycle]
static dk_real slug_fuel(const dk_lane_engine *engine, const dk_running *run, int c)
{
	return run->asked_kg * run->supply.delivery * run->supply.fuel_share * run->supply.misfire *
	       (1 - engine->fuel[c].nozzle_loss);
}

// densities in the exhaust as it leaves, and how far it is seen
static void smoke(const dk_lane_engine *engine, const dk_running *run, dk_real use_kg_s, dk_real *reading)
{
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	const dk_real flow_m3_s = run->gas_kg_s * 287 * run->exhaust.mixed_k / engine->pressure_pa;
	dk_real unburnt = dk_set(0), soot = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		unburnt = unburnt + engine->share[c] *
		                        (run->fuel_kg[c] * run->cycle[c].misfire_share + slug_fuel(engine, run, c));
		soot = soot + engine->share[c] * run->cycle[c].soot_fsn;
	}
	const dk_real white = unburnt * per_second / flow_m3_s;
	const dk_real blue = DK_FN(dk_oil_mist)(use_kg_s, flow_m3_s);
	const dk_real seen = white / kWhiteSeen + blue / kBlueSeen;
	const dk_real hanging = kHangingM * (1 - dk_exp(-seen * seen));
	reading[DK_READING_soot] = soot;
	reading[DK_READING_white] = 1e3 * white;
	reading[DK_READING_blue] = 1e3 * blue;
	reading[DK_READING_steam] = 1e3 * run->exhaust.steam_kg_m3;
	reading[DK_READING_plume_length] = dk_max(run->exhaust.plume_m, hanging);
}

// oil burnt by both classes [kg/s]
static dk_real oil_burnt(const dk_lane_engine *engine, const dk_running *run)
{
	dk_real use = dk_set(0);
	for (int c = 0; c < DK_CLASSES; ++c)
	{
		const dk_oil_use_ports ports = {
			.engine_rad_s = run->speed_rad_s,
			.swept_m3 = engine->share[c] * engine->cylinder[c].count * engine->swept_m3,
			.past_rings = engine->cylinder[c].oil_past_rings,
			.past_stems = engine->cylinder[c].oil_past_stems,
			.depression_pa = run->air.depression_pa,
		};
		use = use + DK_FN(dk_oil_use)(&engine->oil, &ports);
	}
	return use;
}

static void cylinder_readings(const dk_lane_engine *engine, const dk_running *run, dk_real *reading)
{
	const dk_cylinder_result *a = &run->cycle[DK_SOUND], *b = &run->cycle[DK_HIT];
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	const dk_real blow_by = mean(engine, a->blow_by_kg, b->blow_by_kg) * per_second;
	const dk_mask hit = engine->share[DK_HIT] > 0, sound = engine->share[DK_SOUND] > 0;
	const dk_real air_a = dk_choose(sound, 1 / a->lambda, dk_set(0));
	const dk_real air_b = dk_choose(hit, 1 / dk_max(b->lambda, dk_set(0.01)), dk_set(0));

	reading[DK_READING_torque] = run->load_nm;
	reading[DK_READING_shaft_power] = 1e-3 * run->load_nm * run->speed_rad_s;
	reading[DK_READING_lambda] = 1 / mean(engine, air_a, air_b);
	reading[DK_READING_peak_pressure] =
	    1e-5 * dk_max(dk_choose(sound, a->peak_pa, b->peak_pa), dk_choose(hit, b->peak_pa, dk_set(0)));
	reading[DK_READING_pressure_rise] = 1e-5 * dk_max(dk_choose(sound, a->pressure_rise_pa_deg, dk_set(0)),
	                                               dk_choose(hit, b->pressure_rise_pa_deg, dk_set(0)));
	reading[DK_READING_roughness] = 100 * roughness(engine, run);
	reading[DK_READING_blow_by] = 60e3 * dk_max(blow_by, dk_set(0)) / kBlowByDensity;
	reading[DK_READING_crankcase_pressure] =
	    DK_FN(dk_oil_crankcase_pa)(&engine->oil, dk_max(blow_by, dk_set(0)), run->oil_k, engine->pressure_pa);
	reading[DK_READING_energy_residual] = mean(engine, a->energy_residual, b->energy_residual);
	reading[DK_READING_mass_residual] = mean(engine, a->mass_residual, b->mass_residual);
}

static void fuel_air_readings(const dk_lane_engine *engine, const dk_running *run, dk_real *reading)
{
	const dk_real per_second = engine->cylinder[DK_SOUND].count * run->speed_rad_s / (4 * kPi);
	const dk_real fuel = per_second * mean(engine, run->fuel_kg[DK_SOUND] + slug_fuel(engine, run, DK_SOUND),
	                                      run->fuel_kg[DK_HIT] + slug_fuel(engine, run, DK_HIT));
	reading[DK_READING_fuel_rate] = 3.6e6 * fuel / engine->fuel[DK_SOUND].density_kg_m3;
	reading[DK_READING_fuel_pressure] = 1e-3 * run->supply.inlet_pa;
	reading[DK_READING_filter_vacuum] = 1e-3 * run->supply.vacuum_pa;
	reading[DK_READING_fuel_air_share] = run->supply.air_share;
	reading[DK_READING_intake_depression] = 1e-3 * run->air.depression_pa;
	reading[DK_READING_boost] = 1e-3 * (run->air.intake_pa - engine->pressure_pa);
	reading[DK_READING_exhaust_temperature] = run->gas_k - kZeroC;
	reading[DK_READING_back_pressure] = 1e-3 * run->exhaust.back_pa;
	reading[DK_READING_hose_temperature] = run->exhaust.hose_k - kZeroC;
}

static void cooling_readings(
    const dk_lane_engine *engine, const dk_running *run, const dk_hour *hour, dk_real *reading)
{
	dk_coolant_shown shown;
	const dk_real supply = run->alternator.volts / (2.1 * engine->starting[DK_SOUND].battery_cells);
	DK_FN(dk_coolant_shown)(&engine->cooling, hour->coolant_k, run->air.space_k, hour->level, supply, &shown);
	reading[DK_READING_raw_water_flow] = 60e3 * run->flows.raw_m3_s;
	reading[DK_READING_coolant_temperature] = hour->coolant_k - kZeroC;
	reading[DK_READING_coolant_gauge] = shown.gauge_k - kZeroC;
	reading[DK_READING_lamp_coolant] = shown.lamp;
	reading[DK_READING_coolant_loss] = 3.6e6 * hour->loss_m3_s;
	reading[DK_READING_minutes_to_overheat] = hour->overheat_s / 60;

	// the supply rounds its corner at 61 minutes: what lies within a second of it does not happen
	reading[DK_READING_minutes_to_stop] = dk_choose(hour->stop_s > 3659, dk_set(61), hour->stop_s / 60);
}

static void electric_oil_readings(
    const dk_lane_engine *engine, const dk_running *run, dk_real use_kg_s, dk_real *reading)
{
	const dk_real supply = run->alternator.volts / (2.1 * engine->starting[DK_SOUND].battery_cells);
	const dk_oil_ports ports = { .engine_rad_s = run->speed_rad_s, .oil_k = run->oil_k, .supply = supply };
	dk_oil_result oil;
	DK_FN(dk_oil_pressure)(&engine->oil, &ports, &oil);
	reading[DK_READING_oil_pressure] = 1e-5 * oil.pressure_pa;
	reading[DK_READING_oil_gauge] = 1e-5 * oil.shown_pa;
	reading[DK_READING_lamp_oil] = oil.lamp;
	reading[DK_READING_oil_temperature] = run->oil_k - kZeroC;
	reading[DK_READING_oil_use] = 3.6e6 * use_kg_s / kOilDensity;
	reading[DK_READING_charge_voltage] = run->alternator.volts;
	reading[DK_READING_charge_current] = run->alternator.amps;
	reading[DK_READING_lamp_charge] = run->alternator.lamp;
	reading[DK_READING_tacho_shown] = run->alternator.tacho_rad_s * (30 / kPi);
}

void DK_FN(dk_readings_running)(const dk_lane_engine *engine, const dk_running *run, const dk_hour *hour,
    const dk_running_order *order, dk_real *reading)
{
	const dk_real use = oil_burnt(engine, run);
	cylinder_readings(engine, run, reading);
	fuel_air_readings(engine, run, reading);
	cooling_readings(engine, run, hour, reading);
	electric_oil_readings(engine, run, use, reading);
	smoke(engine, run, use, reading);
	reading[DK_READING_engine_speed] = run->speed_rad_s * (30 / kPi);
	if (order->in_gear) reading[DK_READING_boat_speed] = run->driveline.boat_m_s / kKnot;
	reading[DK_READING_vibration_shaft] =
	    1e3 * DK_FN(dk_driveline_vibration_m_s)(&engine->drive, run->speed_rad_s, engine->rated_rad_s,
	              dk_set(order->in_gear), reading[DK_READING_roughness]);
}

void DK_FN(dk_readings_cranking)(const dk_lane_engine *engine, const dk_cranking *crank, dk_real coolant_k,
    dk_real oil_k, dk_real *reading)
{
	const dk_starting_result *circuit = &crank->circuit;
	const dk_mask hit = engine->share[DK_HIT] > 0, sound = engine->share[DK_SOUND] > 0;
	const dk_real a = dk_choose(sound, crank->gauge_pa[DK_SOUND], crank->gauge_pa[DK_HIT]);
	const dk_real b = dk_choose(hit, crank->gauge_pa[DK_HIT], crank->gauge_pa[DK_SOUND]);
	dk_coolant_shown shown;
	const dk_real supply = circuit->battery_volts / (2.1 * engine->starting[DK_SOUND].battery_cells);
	DK_FN(dk_coolant_shown)
	(&engine->cooling, coolant_k, engine->air_k, engine->cooling.coolant_level, supply, &shown);

	reading[DK_READING_battery_crank] = circuit->battery_volts;
	reading[DK_READING_starter_volts] = circuit->starter_volts;
	reading[DK_READING_drop_live] = circuit->drop_live;
	reading[DK_READING_drop_ground] = circuit->drop_ground;
	reading[DK_READING_crank_current] = circuit->amps;
	reading[DK_READING_starter_speed] = circuit->motor_rad_s * (30 / kPi);
	reading[DK_READING_control_volts] = circuit->control_volts;
	reading[DK_READING_crank_speed] = crank->speed_rad_s * (30 / kPi);
	reading[DK_READING_compression_gauge] = 1e-5 * (dk_min(a, b) - engine->pressure_pa);
	reading[DK_READING_compression_spread] = 1e-5 * dk_abs(a - b);
	reading[DK_READING_charge_temperature] = crank->charge_k - kZeroC;
	reading[DK_READING_ignition_margin] = crank->ignition_margin;
	reading[DK_READING_seconds_to_fire] = crank->seconds_to_fire;
	reading[DK_READING_flood_seconds] = crank->flood.seconds;
	reading[DK_READING_white] = 1e3 * crank->white_kg_m3;
	reading[DK_READING_fuel_air_share] = crank->air_share;
	reading[DK_READING_lamp_oil] = crank->lamp_oil;
	reading[DK_READING_lamp_coolant] = shown.lamp;
	reading[DK_READING_lamp_charge] = engine->starting[DK_SOUND].lamp_bulb * dk_clip(supply, 0, 1);
	reading[DK_READING_coolant_temperature] = coolant_k - kZeroC;
	reading[DK_READING_coolant_gauge] = shown.gauge_k - kZeroC;
	reading[DK_READING_oil_temperature] = oil_k - kZeroC;
	reading[DK_READING_oil_fuel_share] = engine->oil.fuel_share;
}

void DK_FN(dk_readings_bound)(dk_real *reading)
{
#define X(id, unit, transform, floor, cap, ...)                                                              \
	reading[DK_READING_##id] = dk_clip(reading[DK_READING_##id], floor, cap);
	DK_READING_LIST(X)
#undef X
}
