#pragma once
// The closed forms and published runs that `calc` answers, in plain double. Where the model has the
// relation, these call the model's own code at width 1; the rest are relations to check it against.
#include <stdbool.h>

/// Isentropic compression of dry air with the model's variable heat capacity.
/// Given: ratio v1/v2 > 1, t1_k, p1_pa. Returns: out. Source: second law with the polynomials of
/// gas/species.h.
typedef struct dk_check_isentropic
{
	double temperature_k, pressure_pa, work_j_kg; // work put in, u2 - u1
} dk_check_isentropic;
dk_check_isentropic dk_cycle_isentropic(double ratio, double t1_k, double p1_pa);

/// Air-standard dual cycle; cutoff only (pressure_ratio 1) is the diesel cycle.
/// Given: ratio, pressure_ratio p3/p2, cutoff V4/V3, t1_k, p1_pa; cold: gamma 1.4 and R 287 J/(kg K), else
///        variable heat capacity. Source: first and second law.
typedef struct dk_check_dual
{
	double t2_k, p2_pa, t3_k, p3_pa, t4_k, t5_k, p5_pa, efficiency, mep_pa, heat_j_kg;
} dk_check_dual;
dk_check_dual dk_cycle_dual(
    double ratio, double pressure_ratio, double cutoff, double t1_k, double p1_pa, bool cold);

/// Motored compression and expansion by the cranking cycle of the model.
typedef struct dk_check_motored_def
{
	double bore_m, stroke_m, rod_m, ratio, rpm;
	double ivc_deg_before_tdc; // start of compression, 135
	double t1_k, p1_pa, wall_k;
	int heat_kind;  // DK_HEAT_NONE, DK_HEAT_WOSCHNI, DK_HEAT_HOHENBERG
	double leak_m2; // to p1
	double injection_deg_before_tdc, cetane, heater_rise_k; // for the delay integral
	double fineness;                                        // of the grid, 1
} dk_check_motored_def;
typedef struct dk_check_motored
{
	double peak_pa, peak_deg, tdc_k, max_k, exponent, lost_share, work_j;
	double ignition_deg, ignition_margin; // as dk_crank_result
	double energy_residual;
} dk_check_motored;
dk_check_motored_def dk_default_motored_def(void); // 4.F engine at 200 rpm, 293.15 K, Hohenberg, no leak
dk_check_motored dk_cycle_motored(const dk_check_motored_def *def);

/// Cylinder volume [m3] at an angle after top dead centre, by the model's slider crank.
double dk_geometry_volume_at(double bore_m, double stroke_m, double rod_m, double ratio, double deg);

/// Power adjustment of ISO 3046-1. Given: kind below; ambient px_pa, tx_k, humidity 0..1 (relative); charge
/// coolant tcx_k; mechanical efficiency (0.80). Reference 100 kPa, 298 K, 30 %, 298 K.
/// Returns: alpha power over reference power, beta fuel per power over reference, k indicated power ratio.
/// Source: [ISO3046] clause 10; exponents as commonly printed.
enum
{
	DK_POWER_NA_AIR,      // natural aspiration, limited by excess air
	DK_POWER_NA_THERMAL,  // natural aspiration, limited thermally
	DK_POWER_TURBO,       // turbocharged, no charge cooler
	DK_POWER_TURBO_COOLED // turbocharged, charge cooler
};
typedef struct dk_check_iso3046
{
	double alpha, beta, k;
} dk_check_iso3046;
dk_check_iso3046 dk_power_iso3046(
    int kind, double px_pa, double tx_k, double humidity, double tcx_k, double mechanical_efficiency);

/// Power correction of ISO 15550 / ISO 1585: alpha_c = fa^fm.
/// Given: turbo or not; dry pressure pd_pa, intake t_k; q_c specific fuel, mg/(L cycle) over boost ratio.
/// Returns: factor (held to 0.9 .. 1.1 in the standard; here as computed), fa, fm.
/// Source: [ISO15550]
typedef struct dk_check_iso15550
{
	double factor, fa, fm;
} dk_check_iso15550;
dk_check_iso15550 dk_power_iso15550(bool turbo, double pd_pa, double t_k, double qc);

/// Saturation pressure of water [Pa], 273 .. 330 K: 611.21 exp((18.678 - t/234.5) t/(257.14 + t)), t in degC.
/// Source: [BUCK81] with its 1996 constants; within 0.2 % of the steam tables at 25, 35, 45 degC.
double dk_water_saturation_pa(double temperature_k);
