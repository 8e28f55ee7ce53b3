#include "cycle/checks.h"
#include "cycle/crank.h"
#include "cycle/geometry.h"
#include "gas/species.h"
#include <math.h>

#if DK_LANES != 1
#error "checks.c is plain: build it at width 1 only"
#endif

// Temperature after an isentropic change of the volume of dry air by v1/v2 = ratio, by Newton
static double isentropic_t(const dk_gas_fit *air, double t1, double ratio)
{
	const double r = air->r_j_kgk, s1 = dk_gas_fit_entropy(air, t1);
	double t = t1 * pow(ratio, 0.35);
	for (int i = 0; i < 30; ++i)
	{
		// entropy at equal volume: s0(T) - R ln(p2/p1), p2/p1 = ratio T2/T1
		const double off = dk_gas_fit_entropy(air, t) - s1 - r * log(ratio * t / t1);
		t -= off * t / dk_gas_fit_cv(air, t);
	}
	return t;
}

dk_check_isentropic dk_cycle_isentropic(double ratio, double t1_k, double p1_pa)
{
	dk_gas_table table;
	dk_gas_table_fill(&table);
	const double t = isentropic_t(&table.air, t1_k, ratio);
	const double work = dk_gas_fit_energy(&table.air, t) - dk_gas_fit_energy(&table.air, t1_k);
	return (dk_check_isentropic){ t, p1_pa * ratio * t / t1_k, work };
}

// What the dual cycle asks of the gas, for cold air or the model's.
static double inner_energy(const dk_gas_fit *air, double t, bool cold)
{
	return cold ? 287.0 / 0.4 * t : dk_gas_fit_energy(air, t);
}

static double compressed(const dk_gas_fit *air, double t, double ratio, bool cold)
{
	return cold ? t * pow(ratio, 0.4) : isentropic_t(air, t, ratio);
}

dk_check_dual dk_cycle_dual(
    double ratio, double pressure_ratio, double cutoff, double t1_k, double p1_pa, bool cold)
{
	dk_gas_table table;
	dk_gas_table_fill(&table);
	const dk_gas_fit *air = &table.air;
	const double r = cold ? 287.0 : air->r_j_kgk;
	dk_check_dual out;
	out.t2_k = compressed(air, t1_k, ratio, cold);
	out.p2_pa = p1_pa * ratio * out.t2_k / t1_k;
	out.t3_k = out.t2_k * pressure_ratio;
	out.p3_pa = out.p2_pa * pressure_ratio;
	out.t4_k = out.t3_k * cutoff;
	out.t5_k = compressed(air, out.t4_k, cutoff / ratio, cold);
	out.p5_pa = p1_pa * out.t5_k / t1_k;

	// heat in at constant volume, then at constant pressure; out at constant volume
	const double u3 = inner_energy(air, out.t3_k, cold), u4 = inner_energy(air, out.t4_k, cold);
	const double at_volume = u3 - inner_energy(air, out.t2_k, cold);
	const double at_pressure = u4 - u3 + r * (out.t4_k - out.t3_k);
	const double lost = inner_energy(air, out.t5_k, cold) - inner_energy(air, t1_k, cold);
	out.heat_j_kg = at_volume + at_pressure;
	out.efficiency = 1 - lost / out.heat_j_kg;
	out.mep_pa = (out.heat_j_kg - lost) / (r * t1_k / p1_pa * (1 - 1 / ratio));
	return out;
}

dk_check_motored_def dk_default_motored_def(void)
{
	return (dk_check_motored_def){ .bore_m = 0.0875,
		.stroke_m = 0.110,
		.rod_m = 0.234,
		.ratio = 17.5,
		.rpm = 200,
		.ivc_deg_before_tdc = 135,
		.t1_k = 293.15,
		.p1_pa = 100e3,
		.wall_k = 293.15,
		.heat_kind = DK_HEAT_HOHENBERG,
		.leak_m2 = 0,
		.injection_deg_before_tdc = 8,
		.cetane = 50,
		.heater_rise_k = 0,
		.fineness = 1 };
}

dk_check_motored dk_cycle_motored(const dk_check_motored_def *def)
{
	dk_cylinder_def cylinder;
	memset(&cylinder, 0, sizeof cylinder);
	cylinder.bore_m = def->bore_m;
	cylinder.stroke_m = def->stroke_m;
	cylinder.rod_m = def->rod_m;
	cylinder.compression_ratio = def->ratio;
	cylinder.chamber_area_factor = 1;
	cylinder.ivc_deg = 360 - def->ivc_deg_before_tdc;
	cylinder.evo_deg = 140;
	cylinder.evc_deg = 372;
	cylinder.ring_leak_m2 = def->leak_m2;
	cylinder.heat_factor = 1;
	cylinder.delay_factor = 1;

	dk_grid_def timing = dk_default_grid_def();
	timing.ivc_deg = cylinder.ivc_deg;
	timing.evo_deg = cylinder.evo_deg;
	timing.fineness = def->fineness;
	dk_crank_grid grid;
	dk_crank_grid_crank(&timing, &grid);

	dk_cylinder_ports in = DK_FN(dk_default_cylinder_ports)();
	in.speed_rad_s = def->rpm * DK_PI / 30;
	in.intake_pa = in.exhaust_pa = in.crankcase_pa = def->p1_pa;
	in.intake_k = in.exhaust_k = def->t1_k;
	in.wall_k = def->wall_k;
	in.injection_start_deg = def->injection_deg_before_tdc;
	in.cetane = def->cetane;
	in.heater_rise_k = def->heater_rise_k;
	dk_crank_result r;
	DK_FN(dk_crank_run)(&cylinder, &in, &grid, 0, def->heat_kind, &r);
	return (dk_check_motored){ r.peak_pa, r.peak_deg, r.temperature_tdc_k, r.temperature_max_k, r.exponent,
		r.lost_share, r.loop_work_j, r.ignition_deg, r.ignition_margin, r.energy_residual };
}

double dk_geometry_volume_at(double bore_m, double stroke_m, double rod_m, double ratio, double deg)
{
	dk_cylinder_def def;
	memset(&def, 0, sizeof def);
	def.bore_m = bore_m;
	def.stroke_m = stroke_m;
	def.rod_m = rod_m;
	def.compression_ratio = ratio;
	def.chamber_area_factor = 1;
	const dk_geometry geometry = dk_geometry_of(&def, 0);
	return dk_geometry_volume(&geometry, cos(deg * DK_PI / 180), sin(deg * DK_PI / 180));
}

double dk_water_saturation_pa(double temperature_k)
{
	const double t = temperature_k - 273.15;
	return 611.21 * exp((18.678 - t / 234.5) * t / (257.14 + t));
}

dk_check_iso3046 dk_power_iso3046(
    int kind, double px_pa, double tx_k, double humidity, double tcx_k, double mechanical_efficiency)
{
	// a, m, n, q by kind
	static const double kExponent[4][4] = { { 1, 1, 0.75, 0 }, { 0, 1, 1, 0 }, { 0, 0.7, 2.0, 0 },
		{ 0, 0.7, 1.2, 1.0 } };
	const double *e = kExponent[kind];
	const double reference = 100e3 - e[0] * 0.3 * dk_water_saturation_pa(298);
	const double dry = px_pa - e[0] * humidity * dk_water_saturation_pa(tx_k);
	dk_check_iso3046 out;
	out.k = pow(dry / reference, e[1]) * pow(298 / tx_k, e[2]) * pow(298 / tcx_k, e[3]);
	out.alpha = out.k - 0.7 * (1 - out.k) * (1 / mechanical_efficiency - 1);
	out.beta = out.k / out.alpha;
	return out;
}

dk_check_iso15550 dk_power_iso15550(bool turbo, double pd_pa, double t_k, double qc)
{
	dk_check_iso15550 out;
	const double pressure = 99e3 / pd_pa, warmth = t_k / 298;
	out.fa = turbo ? pow(pressure, 0.7) * pow(warmth, 1.5) : pressure * pow(warmth, 0.7);
	out.fm = 0.036 * fmin(fmax(qc, 37.2), 65) - 1.14;
	out.factor = pow(out.fa, out.fm);
	return out;
}
