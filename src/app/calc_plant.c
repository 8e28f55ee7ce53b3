// Calculations of the plant: propeller and hull, cables and battery, oil, exhaust, coolers, fuel.
#include "app/calc.h"
#include "plant/air.h"
#include "plant/alternator.h"
#include "plant/battery.h"
#include "plant/bearing.h"
#include "plant/cable.h"
#include "plant/coolant.h"
#include "plant/exchanger.h"
#include "plant/exhaust.h"
#include "plant/flood.h"
#include "plant/fuel.h"
#include "plant/hull.h"
#include "plant/oil.h"
#include "plant/propeller.h"
#include <math.h>

static const double kPi = 3.14159265358979323846;

static void b_series(const double *in, double *out)
{
	dk_propeller propeller;
	DK_FN(dk_propeller_b_series)(in[1], in[2], in[3], &propeller);
	double kt = DK_FN(dk_propeller_kt)(&propeller, in[0]), kq = DK_FN(dk_propeller_kq)(&propeller, in[0]);
	out[5] = 0, out[6] = 0;
	if (in[4] > 0)
	{
		DK_FN(dk_propeller_reynolds)(in[0], in[1], in[2], in[3], in[4], &out[5], &out[6]);
		kt += out[5];
		kq += out[6];
	}
	out[0] = kt;
	out[1] = kq;
	out[2] = 10 * kq;
	out[3] = DK_FN(dk_propeller_efficiency)(in[0], kt, kq);
	out[4] = propeller.zero_thrust_j;
}

static void ittc57(const double *in, double *out)
{
	out[0] = DK_FN(dk_hull_ittc57)(in[0]);
}

static dk_hull_form hull_of(const double *in)
{
	return (dk_hull_form){ .lwl_m = in[1],
		.bwl_m = in[2],
		.draught_m = in[3],
		.volume_m3 = in[4],
		.wetted_m2 = in[5],
		.waterplane_m2 = in[6],
		.prismatic = in[7],
		.midship = in[8],
		.lcb = in[9],
		.lcf = in[10] };
}

static void ks98(const double *in, double *out)
{
	const dk_hull_form hull = hull_of(in);
	double rows[DK_HULL_KS98_ROWS];
	DK_FN(dk_hull_ks98_rows)(&hull, rows);
	out[0] = DK_FN(dk_hull_ks98)(rows, in[0]);
	out[1] = out[0] * hull.volume_m3 * in[11] * 9.80665;
}

static void kk08(const double *in, double *out)
{
	const dk_hull_form hull = hull_of(in);
	out[0] = DK_FN(dk_hull_kk08)(&hull, in[0]);
	out[1] = out[0] * hull.volume_m3 * in[11] * 9.80665;
}

static void d341(const double *in, double *out)
{
	out[0] = 1e6 * DK_FN(dk_oil_d341)(in[0] * 1e-6, in[1] * 1e-6, in[2] + 273.15);
}

static const char *d341_refuse(const double *in)
{
	return in[1] >= in[0] ? "an oil is thinner at 100 degC than at 40 degC: kv100 must be less than kv40"
	                      : NULL;
}

// an area given in square millimetres is a stranded metric size, a gauge number solid copper
static void cable_drop(const double *in, double *out)
{
	const double copper_k = in[4] + 273.15;
	const double ohm = isfinite(in[1])
	                       ? DK_FN(dk_cable_stranded_ohm)(in[1] * 1e-6, in[3], copper_k)
	                       : DK_FN(dk_cable_solid_ohm)(DK_FN(dk_cable_awg_m2)(in[2]), in[3], copper_k);
	out[0] = in[0] * ohm;
	out[1] = 1e3 * ohm;
}

static const char *cable_refuse(const double *in)
{
	return isinf(in[1]) == isinf(in[2]) ? "give the size once, as area or as awg" : NULL;
}

static void battery_rest(const double *in, double *out)
{
	out[0] = DK_FN(dk_battery_rest)(in[0], in[2], in[1]);
}

static void battery_rating(const double *in, double *out)
{
	static const double kEnd[] = { 7.2, 7.5, 8.4, 9.0 };
	out[0] = 1e3 * dk_battery_ohm_from_rating(in[0], kEnd[(int)in[1]]);
}

static void bearing_flow(const double *in, double *out)
{
	out[0] = DK_FN(dk_bearing_flow)(in[0], in[1], in[2], in[3], in[4], in[5]);
}

static void bearing_petroff(const double *in, double *out)
{
	out[0] = DK_FN(dk_bearing_petroff_nm)(in[0], in[1], in[2], in[3], in[4]);
}

static void bearing_sommerfeld(const double *in, double *out)
{
	out[0] = DK_FN(dk_bearing_sommerfeld)(in[0], in[1], in[2], in[3], in[4]);
}

static void alternator_speed(const double *in, double *out)
{
	const double speed = DK_FN(dk_alternator_speed)(in[0] * kPi / 30, in[1], in[2]);
	out[0] = speed * 30 / kPi;
	out[1] = DK_FN(dk_alternator_frequency)(speed, in[3]);
}

static void back_pressure(const double *in, double *out)
{
	out[0] = 1e-3 * DK_FN(dk_exhaust_pipe)(in[0], in[1] + 273.15, in[2] / 60, in[3] * 1e-3, in[4]);
}

static void back_pressure_sheet(const double *in, double *out)
{
	out[0] = DK_FN(dk_exhaust_pipe_sheet)(in[0], in[1], in[2], in[3], in[4]);
}

static void mix(const double *in, double *out)
{
	const dk_mix_ports ports = { .gas_kg_s = in[0],
		.gas_k = in[1] + 273.15,
		.vapour_kg_kg = 0,
		.water_kg_s = in[2],
		.water_k = in[3] + 273.15,
		.pressure_pa = in[4],
		.water_j_kgk = in[5],
		.evaporate = in[6] };
	dk_mix result;
	DK_FN(dk_exhaust_mix)(&ports, &result);
	out[0] = result.mixed_k - 273.15;
	out[1] = 1e3 * result.evaporated_kg_s;
}

static void fill(const double *in, double *out)
{
	out[0] =
	    DK_FN(dk_flood_fill)(in[0] * 1e-3, in[5] * 1e-3, in[1] * 1e-3, in[2] * 1e-3, in[3] * kPi / 30, in[4]);
}

static void effectiveness(const double *in, double *out)
{
	switch ((int)in[0])
	{
	case 0: out[0] = DK_FN(dk_exchanger_counterflow)(in[1], in[2]); break;
	case 1: out[0] = DK_FN(dk_exchanger_parallel)(in[1], in[2]); break;
	case 2: out[0] = DK_FN(dk_exchanger_shell)(in[1], in[2]); break;
	default: out[0] = DK_FN(dk_exchanger_crossflow)(in[1], in[2]); break;
	}
}

static void shell(const double *in, double *out)
{
	dk_exchanger result;
	DK_FN(dk_exchanger_shell_flow)(in[0], in[1], in[2], in[3] + 273.15, in[4] + 273.15, &result);
	out[0] = result.heat_w;
	out[1] = result.effectiveness;
	out[2] = result.hot_out_k - 273.15;
	out[3] = result.cold_out_k - 273.15;
}

static void boil(const double *in, double *out)
{
	out[0] = DK_FN(dk_coolant_boil)(in[0], 101325 + in[1]) - 273.15;
}

static void fouled(const double *in, double *out)
{
	out[0] = DK_FN(dk_exchanger_fouled)(in[0], in[1]);
}

static void vent(const double *in, double *out)
{
	out[0] = 1e4 * DK_FN(dk_air_vent_area)(in[0] * 1e3);
	out[1] = 60 * DK_FN(dk_air_vent_flow)(in[0] * 1e3);
}

static void heat_flow(const double *in, double *out)
{
	out[0] = DK_FN(dk_air_heat_flow)(in[0] * 1e3, in[1]);
}

static void vcf(const double *in, double *out)
{
	out[0] = DK_FN(dk_fuel_vcf)(in[0], in[1] + 273.15);
}

#define HULL_ARGUMENTS                                                                                       \
	{                                                                                                        \
		{ "froude", "-", NAN, 0, 0.75, { 0 } }, { "lwl", "m", 10.02, 3, 60, { 0 } },                         \
		    { "bwl", "m", 3.17, 1, 20, { 0 } }, { "tc", "m", 0.57, 0.1, 6, { 0 } },                          \
		    { "volume", "m3", 7.63, 0.3, 3000, { 0 } }, { "wetted", "m2", 25.2, 3, 2000, { 0 } },            \
		    { "waterplane", "m2", 22, 2, 2000, { 0 } }, { "cp", "-", 0.56, 0.5, 0.8, { 0 } },                \
		    { "cm", "-", 0.75, 0.5, 1, { 0 } }, { "lcb", "-", 0.535, 0.45, 0.6, { 0 } },                     \
		    { "lcf", "-", 0.55, 0.45, 0.65, { 0 } }, { "density", "kg/m3", 1025, 990, 1040, { 0 } },         \
	}

const dk_calc_row dk_calc_plant[] = {
	{ "propeller.b_series", "open-water thrust and torque of a Wageningen B-series propeller",
	    { { "j", "-", NAN, 0, 2, { 0 } }, { "pitch_ratio", "-", NAN, 0.4, 1.4, { 0 } },
	        { "area_ratio", "-", NAN, 0.3, 1.05, { 0 } }, { "blades", "-", NAN, 2, 7, { 0 } },
	        { "reynolds", "-", 0, 0, 1e10, { 0 } } },
	    { { "kt", "-" }, { "kq", "-" }, { "kq10", "-" }, { "eta", "-" }, { "zero_thrust_j", "-" },
	        { "delta_kt", "-" }, { "delta_kq", "-" } },
	    b_series, NULL },
	{ "hull.ittc57", "friction line of ITTC 1957", { { "reynolds", "-", NAN, 1e4, 1e11, { 0 } } },
	    { { "cf", "-" } }, ittc57, NULL },
	{ "hull.ks98", "residuary resistance of the 1998 Delft yacht series", HULL_ARGUMENTS,
	    { { "ratio", "-" }, { "resistance", "N" } }, ks98, NULL },
	{ "hull.kk08", "residuary resistance of the 2008 form of that series", HULL_ARGUMENTS,
	    { { "ratio", "-" }, { "resistance", "N" } }, kk08, NULL },
	{ "oil.d341", "viscosity by temperature from two points, ASTM D341",
	    { { "kv40", "mm2/s", NAN, 2, 1000, { 0 } }, { "kv100", "mm2/s", NAN, 1.5, 200, { 0 } },
	        { "temperature", "degC", NAN, -40, 200, { 0 } } },
	    { { "viscosity", "mm2/s" } }, d341, d341_refuse },
	{ "cable.drop", "voltage lost in a copper cable",
	    { { "current", "A", NAN, 0, 5000, { 0 } }, { "area", "mm2", INFINITY, 0.05, 500, { 0 } },
	        { "awg", "-", INFINITY, -3, 30, { 0 } }, { "length", "m", NAN, 0, 1000, { 0 } },
	        { "temperature", "degC", 20, -40, 150, { 0 } } },
	    { { "volts", "V" }, { "milliohm", "mOhm" } }, cable_drop, cable_refuse },
	{ "battery.rest", "voltage of a lead-acid battery at rest, 25 degC",
	    { { "charge", "-", NAN, 0, 1, { 0 } }, { "type", "-", 0, 0, 1, { "flooded", "agm" } },
	        { "cells", "-", 6, 1, 24, { 0 } } },
	    { { "volts", "V" } }, battery_rest, NULL },
	{ "battery.rating", "resistance at -18 degC that a cold-cranking rating implies, 12 V",
	    { { "current", "A", NAN, 1, 5000, { 0 } }, { "norm", "-", 0, 0, 3, { "sae", "en", "iec", "din" } } },
	    { { "milliohm", "mOhm" } }, battery_rating, NULL },
	{ "bearing.flow", "side flow of a bearing with a central groove",
	    { { "viscosity", "Pa s", NAN, 1e-4, 10, { 0 } }, { "pressure", "Pa", NAN, 0, 1e7, { 0 } },
	        { "radius", "m", NAN, 1e-3, 1, { 0 } }, { "clearance", "m", NAN, 1e-6, 1e-2, { 0 } },
	        { "half_length", "m", NAN, 1e-3, 1, { 0 } }, { "eccentricity", "-", 0, 0, 1, { 0 } } },
	    { { "flow", "m3/s" } }, bearing_flow, NULL },
	{ "bearing.petroff", "friction torque of a concentric bearing",
	    { { "viscosity", "Pa s", NAN, 1e-4, 10, { 0 } }, { "turns", "Hz", NAN, 0, 1000, { 0 } },
	        { "radius", "m", NAN, 1e-3, 1, { 0 } }, { "clearance", "m", NAN, 1e-6, 1e-2, { 0 } },
	        { "length", "m", NAN, 1e-3, 1, { 0 } } },
	    { { "torque", "Nm" } }, bearing_petroff, NULL },
	{ "bearing.sommerfeld", "Sommerfeld number",
	    { { "radius", "m", NAN, 1e-3, 1, { 0 } }, { "clearance", "m", NAN, 1e-6, 1e-2, { 0 } },
	        { "viscosity", "Pa s", NAN, 1e-4, 10, { 0 } }, { "turns", "Hz", NAN, 0, 1000, { 0 } },
	        { "load", "Pa", NAN, 1, 1e9, { 0 } } },
	    { { "sommerfeld", "-" } }, bearing_sommerfeld, NULL },
	{ "alternator.speed", "alternator speed and the frequency at its W terminal",
	    { { "rpm", "rpm", NAN, 0, 10000, { 0 } }, { "ratio", "-", NAN, 0.1, 10, { 0 } },
	        { "slip", "-", 0, 0, 1, { 0 } }, { "pole_pairs", "-", 6, 1, 20, { 0 } } },
	    { { "speed", "rpm" }, { "frequency", "Hz" } }, alternator_speed, NULL },
	{ "exhaust.back_pressure", "pipe loss as printed in heavy-engine installation guides (x factor)",
	    { { "length", "m", NAN, 0, 100, { 0 } }, { "temperature", "degC", NAN, -40, 1000, { 0 } },
	        { "flow", "m3/min", NAN, 0, 1000, { 0 } }, { "diameter", "mm", NAN, 5, 1000, { 0 } },
	        { "factor", "-", 1, 0.1, 10, { 0 } } },
	    { { "pressure", "kPa" } }, back_pressure, NULL },
	{ "exhaust.back_pressure_sheet", "the same from a generator maker's sheet, in its own units",
	    { { "length_ft", "-", NAN, 0, 400, { 0 } }, { "temperature_f", "-", NAN, -40, 2000, { 0 } },
	        { "flow_cfm", "-", NAN, 0, 1e5, { 0 } }, { "diameter_in", "-", NAN, 0.2, 60, { 0 } },
	        { "constant", "-", NAN, 1e-5, 1e-2, { 0 } } },
	    { { "pressure_inhg", "-" } }, back_pressure_sheet, NULL },
	{ "exhaust.mix", "exhaust gas and injected water in equilibrium",
	    { { "gas_flow", "kg/s", NAN, 1e-6, 100, { 0 } }, { "gas_temperature", "degC", NAN, 0, 1200, { 0 } },
	        { "water_flow", "kg/s", NAN, 0, 1000, { 0 } }, { "water_temperature", "degC", NAN, 0, 99, { 0 } },
	        { "pressure", "Pa", 101325, 5e4, 1e6, { 0 } }, { "cw", "J/(kg K)", 3990, 1000, 5000, { 0 } },
	        { "evaporate", "-", 1, 0, 1, { "no", "yes" } } },
	    { { "temperature", "degC" }, { "evaporated", "g/s" } }, mix, NULL },
	{ "waterlock.fill", "seconds of cranking until the water lock is full",
	    { { "volume", "l", NAN, 0.1, 500, { 0 } }, { "residual", "l", NAN, 0, 500, { 0 } },
	        { "per_rev", "l", NAN, 1e-4, 10, { 0 } }, { "rpm", "rpm", NAN, 1, 10000, { 0 } },
	        { "efficiency", "-", 1, 0.01, 1, { 0 } }, { "port", "l", 0, 0, 100, { 0 } } },
	    { { "seconds", "s" } }, fill, NULL },
	{ "cooler.effectiveness", "effectiveness of an exchanger by transfer units",
	    { { "kind", "-", NAN, 0, 3, { "counterflow", "parallel", "shell", "crossflow" } },
	        { "ntu", "-", NAN, 0, 100, { 0 } }, { "ratio", "-", NAN, 0, 1, { 0 } } },
	    { { "effectiveness", "-" } }, effectiveness, NULL },
	{ "cooler.shell", "a shell-and-tube cooler at given flows",
	    { { "ua", "W/K", NAN, 0, 1e6, { 0 } }, { "hot", "W/K", NAN, 1e-3, 1e6, { 0 } },
	        { "cold", "W/K", NAN, 1e-3, 1e6, { 0 } }, { "hot_in", "degC", NAN, -40, 300, { 0 } },
	        { "cold_in", "degC", NAN, -40, 300, { 0 } } },
	    { { "heat", "W" }, { "effectiveness", "-" }, { "hot_out", "degC" }, { "cold_out", "degC" } }, shell,
	    NULL },
	{ "cooler.fouled", "conductance of a surface with dirt on it",
	    { { "u", "W/(m2 K)", NAN, 1, 1e5, { 0 } }, { "fouling", "-", NAN, 0, 1, { 0 } } },
	    { { "u", "W/(m2 K)" } }, fouled, NULL },
	{ "coolant.boil", "boiling point of a glycol mixture under a cap (gauge pressure)",
	    { { "share", "-", NAN, 0, 0.6, { 0 } }, { "pressure", "Pa", 0, 0, 5e5, { 0 } } },
	    { { "temperature", "degC" } }, boil, NULL },
	{ "vent.area", "clear vent area and air flow of a yacht-design rule",
	    { { "power", "kW", NAN, 0, 5000, { 0 } } }, { { "area_cm2", "-" }, { "flow", "m3/min" } }, vent,
	    NULL },
	{ "vent.heat_flow", "air that carries a heat off with a given rise",
	    { { "heat", "kW", NAN, 0, 1000, { 0 } }, { "rise", "-", NAN, 0.1, 200, { 0 } } },
	    { { "flow", "m3/s" } }, heat_flow, NULL },
	{ "fuel.vcf", "volume correction of fuel against 15 degC",
	    { { "density", "kg/m3", NAN, 700, 1075, { 0 } }, { "temperature", "degC", NAN, -20, 90, { 0 } } },
	    { { "factor", "-" } }, vcf, NULL },
	{ NULL, NULL, { { 0 } }, { { 0 } }, NULL, NULL },
};
