// Calculations of gas and cylinder: properties, textbook cycles, ignition delay, burn, heat, friction, smoke,
// power.
#include "app/calc.h"
#include "cycle/burn.h"
#include "cycle/checks.h"
#include "cycle/delay.h"
#include "cycle/friction.h"
#include "cycle/heat.h"
#include "cycle/smoke.h"
#include "gas/orifice.h"
#include "gas/species.h"
#include <math.h>

static const double kPi = 3.14159265358979323846;

static void gas_air(const double *in, double *out)
{
	const dk_gas_air_result air = dk_gas_air(in[0]);
	out[0] = air.cp, out[1] = air.gamma, out[2] = air.h, out[3] = air.s, out[4] = air.pr;
}

static void gas_species(const double *in, double *out)
{
	const dk_species which = (dk_species)(int)in[0];
	out[0] = dk_species_cp(which, in[1]);
	out[1] = dk_species_enthalpy(which, in[1]);
	out[2] = dk_species_entropy(which, in[1]);
}

static void gas_lhv(const double *in, double *out)
{
	out[0] = dk_gas_lhv(in[0], in[1], in[2], in[3]);
}

static void volume(const double *in, double *out)
{
	out[0] = dk_geometry_volume_at(in[0], in[1], in[2], in[3], in[4]);
	out[1] = 1e6 * out[0];
}

static void isentropic(const double *in, double *out)
{
	const dk_check_isentropic end = dk_cycle_isentropic(in[0], in[1], in[2]);
	out[0] = end.temperature_k, out[1] = end.pressure_pa, out[2] = end.work_j_kg,
	out[3] = end.pressure_pa / in[2];
}

static void dual(const double *in, double *out)
{
	const dk_check_dual c = dk_cycle_dual(in[0], in[1], in[2], in[3], in[4], in[5] > 0);
	const double all[] = { c.efficiency, c.mep_pa, c.t4_k, c.p3_pa, c.t2_k, c.p2_pa, c.t3_k, c.t5_k, c.p5_pa,
		c.heat_j_kg };
	for (int i = 0; i < 10; ++i) out[i] = all[i];
}

static void motored(const double *in, double *out)
{
	dk_check_motored_def def = dk_default_motored_def();
	def.bore_m = in[0], def.stroke_m = in[1], def.rod_m = in[2], def.ratio = in[3], def.rpm = in[4];
	def.ivc_deg_before_tdc = in[5], def.t1_k = in[6], def.p1_pa = in[7], def.wall_k = in[8];
	def.heat_kind = (int)in[9];
	def.leak_m2 = in[10] * 1e-6;
	def.injection_deg_before_tdc = in[11], def.cetane = in[12], def.heater_rise_k = in[13];
	const dk_check_motored run = dk_cycle_motored(&def);
	const double all[] = { run.peak_pa, run.peak_deg, run.tdc_k, run.max_k, run.exponent, run.lost_share,
		run.ignition_deg, run.ignition_margin };
	for (int i = 0; i < 8; ++i) out[i] = all[i];
}

static void wolfer(const double *in, double *out)
{
	out[0] = 1e3 * DK_FN(dk_delay_wolfer)(in[0], in[1]);
}
static void watson(const double *in, double *out)
{
	out[0] = 1e3 * DK_FN(dk_delay_watson)(in[0], in[1]);
}

static void hardenberg(const double *in, double *out)
{
	out[1] = DK_FN(dk_delay_hardenberg_deg)(in[0], in[1], in[2], in[3]);
	// crank degrees to milliseconds, where the engine speed is given
	out[0] = in[4] > 0 ? 1e3 * out[1] / (6 * in[4]) : NAN;
}

static void burn_watson(const double *in, double *out)
{
	dk_burn_watson_result burn;
	DK_FN(dk_burn_watson)(in[0], in[1], in[2], &burn);
	out[0] = burn.beta, out[1] = burn.cp1, out[2] = burn.cp2, out[3] = burn.cd1, out[4] = burn.cd2;
}

static void woschni(const double *in, double *out)
{
	double speed = in[3];
	if (speed < 0)
		speed = DK_FN(dk_heat_woschni_speed)(in[5], in[4], in[6], in[7], in[8], in[9], in[10], in[11]);
	out[0] = DK_FN(dk_heat_woschni)(in[0], in[1], in[2], speed);
	out[1] = speed;
}

static void hohenberg(const double *in, double *out)
{
	out[0] = DK_FN(dk_heat_hohenberg)(in[0], in[1], in[2], in[3]);
}

static void friction_mh(const double *in, double *out)
{
	static const double kConstant[] = { 75e3, 110e3, 144e3 };
	const double speed = in[1] * kPi / 30;
	if (in[3] < 3)
		out[0] = DK_FN(dk_friction_mh_constant)(kConstant[(int)in[3]], speed, in[2]);
	else
		out[0] = DK_FN(dk_friction_mh)(in[3] > 3.5, in[0], speed, in[2]);
	out[0] *= 1e-3;
}

static void friction_cf(const double *in, double *out)
{
	out[0] = 1e-5 * DK_FN(dk_friction_cf)(in[0], in[1]);
}

static void orifice(const double *in, double *out)
{
	out[0] = DK_FN(dk_orifice_flow)(in[4], in[0], in[1], in[2], in[3], in[5]);
}

static void mira(const double *in, double *out)
{
	out[0] = 1e6 * DK_FN(dk_smoke_mira)(in[0]);
}
static void alkidas(const double *in, double *out)
{
	out[0] = 1e6 * DK_FN(dk_smoke_alkidas)(in[0]);
}
static void opacity(const double *in, double *out)
{
	out[0] = DK_FN(dk_smoke_extinction)(in[0] / 100, in[1]);
}

static void dry_exhaust(const double *in, double *out)
{
	dk_gas_dry_exhaust(in[0], &out[0], &out[1]);
	out[0] *= 100;
	out[1] *= 100;
}

static void iso3046(const double *in, double *out)
{
	const dk_check_iso3046 power = dk_power_iso3046((int)in[3], in[0], in[1], in[2], in[4], in[5]);
	out[0] = power.alpha, out[1] = power.beta, out[2] = power.k;
}

static void iso15550(const double *in, double *out)
{
	const dk_check_iso15550 power = dk_power_iso15550(in[2] > 0, in[0], in[1], in[3]);
	out[0] = power.factor, out[1] = power.fa, out[2] = power.fm;
}

#define STATE                                                                                                \
	{ "pressure", "Pa", NAN, 1e3, 3e7, { 0 } },                                                              \
	{                                                                                                        \
		"temperature", "K", NAN, 200, 3500,                                                                  \
		{                                                                                                    \
			0                                                                                                \
		}                                                                                                    \
	}

const dk_calc_row dk_calc_cylinder[] = {
	{ "gas.air", "dry air: heat capacity, ratio, enthalpy, entropy and relative pressure against 300 K",
	    { { "temperature", "K", NAN, 250, 3000, { 0 } } },
	    { { "cp", "J/(kg K)" }, { "gamma", "-" }, { "h", "J/kg" }, { "s", "J/(kg K)" }, { "pr", "-" } },
	    gas_air, NULL },
	{ "gas.species", "one pure gas, by mole, enthalpy over 298.15 K, entropy at 1 atm",
	    { { "name", "-", NAN, 0, 5, { "N2", "O2", "CO2", "H2O", "Ar", "CO" } },
	        { "temperature", "K", NAN, 200, 3500, { 0 } } },
	    { { "cp", "J/(mol K)" }, { "h", "J/mol" }, { "s", "J/(mol K)" } }, gas_species, NULL },
	{ "gas.lhv", "net calorific value of distillate fuel by its density at 15 degC",
	    { { "density", "kg/m3", NAN, 750, 1000, { 0 } }, { "water", "-", 0, 0, 0.1, { 0 } },
	        { "ash", "-", 0, 0, 0.1, { 0 } }, { "sulphur", "-", 0, 0, 0.1, { 0 } } },
	    { { "lhv", "J/kg" } }, gas_lhv, NULL },
	{ "geometry.volume", "cylinder volume at a crank angle after top dead centre",
	    { { "bore", "m", NAN, 0.02, 1, { 0 } }, { "stroke", "m", NAN, 0.02, 3, { 0 } },
	        { "rod", "m", NAN, 0.02, 6, { 0 } }, { "ratio", "-", NAN, 2, 40, { 0 } },
	        { "angle", "deg", NAN, -720, 720, { 0 } } },
	    { { "volume", "m3" }, { "volume_cm3", "cm3" } }, volume, NULL },
	{ "cycle.isentropic", "isentropic compression of dry air, variable heat capacity",
	    { { "ratio", "-", NAN, 1, 40, { 0 } }, { "t1", "K", NAN, 200, 600, { 0 } },
	        { "p1", "Pa", 1e5, 1e3, 1e6, { 0 } } },
	    { { "temperature", "K" }, { "pressure", "Pa" }, { "work", "J/kg" }, { "pressure_ratio", "-" } },
	    isentropic, NULL },
	{ "cycle.dual", "air-standard dual cycle; pressure_ratio 1 is the diesel cycle",
	    { { "ratio", "-", NAN, 2, 40, { 0 } }, { "pressure_ratio", "-", 1, 1, 5, { 0 } },
	        { "cutoff", "-", NAN, 1, 5, { 0 } }, { "t1", "K", NAN, 200, 600, { 0 } },
	        { "p1", "Pa", 1e5, 1e3, 1e6, { 0 } }, { "cold", "-", 0, 0, 1, { "no", "yes" } } },
	    { { "efficiency", "-" }, { "mep", "Pa" }, { "temperature_max", "K" }, { "pressure_max", "Pa" },
	        { "t2", "K" }, { "p2", "Pa" }, { "t3", "K" }, { "t5", "K" }, { "p5", "Pa" }, { "heat", "J/kg" } },
	    dual, NULL },
	{ "cycle.motored", "closed compression and expansion by the cranking cycle of the model",
	    { { "bore", "m", NAN, 0.03, 0.5, { 0 } }, { "stroke", "m", NAN, 0.03, 0.6, { 0 } },
	        { "rod", "m", NAN, 0.05, 2, { 0 } }, { "ratio", "-", NAN, 5, 30, { 0 } },
	        { "rpm", "rpm", NAN, 20, 6000, { 0 } }, { "ivc", "deg", 135, 90, 175, { 0 } },
	        { "t1", "K", 293.15, 220, 400, { 0 } }, { "p1", "Pa", 1e5, 2e4, 5e5, { 0 } },
	        { "tw", "K", 293.15, 220, 600, { 0 } },
	        { "heat", "-", 2, 0, 2, { "none", "woschni", "hohenberg" } },
	        { "leak_mm2", "-", 0, 0, 50, { 0 } }, { "injection", "deg", 8, -20, 40, { 0 } },
	        { "cetane", "-", 50, 15, 80, { 0 } }, { "heater_rise", "-", 0, 0, 500, { 0 } } },
	    { { "pressure_max", "Pa" }, { "angle", "deg" }, { "temperature_tdc", "K" },
	        { "temperature_max", "K" }, { "exponent", "-" }, { "lost_share", "-" }, { "ignition", "deg" },
	        { "ignition_margin", "-" } },
	    motored, NULL },
	{ "delay.wolfer", "ignition delay of Wolfer 1938", { STATE }, { { "delay", "ms" } }, wolfer, NULL },
	{ "delay.watson", "ignition delay of Watson 1979", { STATE }, { { "delay", "ms" } }, watson, NULL },
	{ "delay.hardenberg", "ignition delay of Hardenberg and Hase 1979, warm engines only",
	    { STATE, { "piston_speed", "m/s", NAN, 0, 30, { 0 } }, { "cetane", "-", 50, 15, 80, { 0 } },
	        { "rpm", "rpm", 0, 0, 6000, { 0 } } },
	    { { "delay", "ms" }, { "delay_deg", "deg" } }, hardenberg, NULL },
	{ "burn.watson", "split and shape of the burn by Watson, Pilley and Marzouk 1980",
	    { { "phi", "-", NAN, 0.05, 2, { 0 } }, { "delay", "ms", NAN, 0.05, 20, { 0 } },
	        { "speed", "rpm", NAN, 50, 6000, { 0 } } },
	    { { "beta", "-" }, { "cp1", "-" }, { "cp2", "-" }, { "cd1", "-" }, { "cd2", "-" } }, burn_watson,
	    NULL },
	{ "heat.woschni", "heat transfer of Woschni 1967; gas velocity given, or from piston speed and pressures",
	    { { "bore", "m", NAN, 0.02, 1, { 0 } }, STATE, { "velocity", "m/s", -1, -1, 500, { 0 } },
	        { "piston_speed", "m/s", 0, 0, 30, { 0 } }, { "c1", "-", 2.28, 0, 20, { 0 } },
	        { "c2", "-", 0, 0, 0.02, { 0 } }, { "swept", "m3", 0, 0, 1, { 0 } },
	        { "t1", "K", 300, 200, 600, { 0 } }, { "p1", "Pa", 1e5, 1e3, 1e6, { 0 } },
	        { "v1", "m3", 1, 1e-6, 1, { 0 } }, { "above_motored", "Pa", 0, 0, 3e7, { 0 } } },
	    { { "coefficient", "W/(m2 K)" }, { "velocity", "m/s" } }, woschni, NULL },
	{ "heat.hohenberg", "heat transfer of Hohenberg 1979",
	    { STATE, { "volume", "m3", NAN, 1e-6, 1, { 0 } }, { "piston_speed", "m/s", NAN, 0, 30, { 0 } } },
	    { { "coefficient", "W/(m2 K)" } }, hohenberg, NULL },
	{ "friction.mh", "motored friction of Millington and Hartles 1968",
	    { { "ratio", "-", 20, 5, 30, { 0 } }, { "speed", "rpm", NAN, 0, 6000, { 0 } },
	        { "piston_speed", "m/s", NAN, 0, 30, { 0 } },
	        { "kind", "-", 0, 0, 4,
	            { "direct", "indirect_large", "indirect_small", "direct_ratio", "indirect_ratio" } } },
	    { { "fmep", "kPa" } }, friction_mh, NULL },
	{ "friction.cf", "friction of Chen and Flynn 1965",
	    { { "pmax", "Pa", NAN, 1e5, 3e7, { 0 } }, { "piston_speed", "m/s", NAN, 0, 30, { 0 } } },
	    { { "fmep", "bar" } }, friction_cf, NULL },
	{ "flow.orifice", "compressible flow through a hole, choked or not",
	    { { "p0", "Pa", NAN, 1e3, 3e7, { 0 } }, { "t0", "K", NAN, 200, 3500, { 0 } },
	        { "pd", "Pa", NAN, 0, 3e7, { 0 } }, { "gamma", "-", 1.4, 1.2, 1.42, { 0 } },
	        { "cda", "m2", NAN, 0, 1, { 0 } }, { "r", "J/(kg K)", 287.05, 100, 600, { 0 } } },
	    { { "flow", "kg/s" } }, orifice, NULL },
	{ "smoke.mira", "soot by filter smoke number", { { "fsn", "-", NAN, 0, 10, { 0 } } },
	    { { "soot_mg_m3", "-" } }, mira, NULL },
	{ "smoke.alkidas", "soot by Bosch number", { { "bosch", "-", NAN, 0, 9.9, { 0 } } },
	    { { "soot_mg_m3", "-" } }, alkidas, NULL },
	{ "smoke.opacity", "light extinction by opacity in per cent",
	    { { "opacity", "-", NAN, 0, 99.9, { 0 } }, { "length", "m", 0.43, 0.01, 10, { 0 } } },
	    { { "extinction_per_m", "-" } }, opacity, NULL },
	{ "exhaust.dry", "dry exhaust of complete lean combustion of CH1.86, per cent by volume",
	    { { "lambda", "-", NAN, 1, 100, { 0 } } }, { { "co2", "-" }, { "o2", "-" } }, dry_exhaust, NULL },
	{ "power.iso3046", "power and fuel at another condition, ISO 3046-1",
	    { { "pressure", "Pa", NAN, 5e4, 1.2e5, { 0 } }, { "temperature", "K", NAN, 230, 340, { 0 } },
	        { "humidity", "-", 0.3, 0, 1, { 0 } },
	        { "kind", "-", 0, 0, 3, { "na_air", "na_thermal", "turbo", "turbo_cooled" } },
	        { "coolant", "K", 298, 260, 360, { 0 } }, { "efficiency", "-", 0.8, 0.5, 1, { 0 } } },
	    { { "factor", "-" }, { "fuel_factor", "-" }, { "k", "-" } }, iso3046, NULL },
	{ "power.iso15550", "power correction to the standard condition, ISO 15550; dry pressure",
	    { { "pressure", "Pa", NAN, 5e4, 1.2e5, { 0 } }, { "temperature", "K", NAN, 230, 340, { 0 } },
	        { "kind", "-", 0, 0, 1, { "na", "turbo" } }, { "qc", "-", 50, 0, 200, { 0 } } },
	    { { "factor", "-" }, { "fa", "-" }, { "fm", "-" } }, iso15550, NULL },
	{ NULL, NULL, { { 0 } }, { { 0 } }, NULL, NULL },
};
