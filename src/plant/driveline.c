#include "plant/driveline.h"
#include "plant/blend.h"

static const double kTurn = 6.2831853071795865;
static const double kWater = 1025;         // kg/m3, sea water at 15 degC [ITTC-WATER]
static const double kViscosity = 1.188e-6; // m2/s [ITTC-WATER]
static const double kGravity = 9.80665;    // m/s2
enum
{
	kSteps = 6 // solver steps: thrust meets resistance to 1e-9 in the unit test
};

// propeller turns per second below which the advance ratio is taken as it is here: there the load is
// nothing and the friction line has no meaning
static const double kSlowest = 0.25;

// Froude number where piece i of the resistance starts: 0, 0.10, 0.15 .. 0.40; the last piece has no end
static double piece_start(int i)
{
	return i ? 0.05 + 0.05 * i : 0;
}

// residuary resistance of the canoe body by Froude number: never negative, never falling
static void prepare_residuary(const dk_driveline_def *def, dk_driveline *out)
{
	dk_real row[DK_HULL_KS98_ROWS];
	const dk_hull_form hull = { .lwl_m = def->lwl_m,
		.bwl_m = def->bwl_m,
		.draught_m = def->hull_draught_m,
		.volume_m3 = def->volume_m3,
		.wetted_m2 = def->wetted_m2,
		.prismatic = def->prismatic,
		.midship = def->midship,
		.lcb = def->lcb,
		.lcf = def->lcf,
		.waterplane_m2 = DK_FN(dk_hull_waterplane_m2)(
		    def->lwl_m, def->bwl_m, def->hull_draught_m, def->volume_m3, def->midship) };
	DK_FN(dk_hull_ks98_rows)(&hull, row);

	// [ASSUMED-241] the series is cut at Froude number 0.45: beyond, the hump goes on as steep as before it
	dk_real last = dk_set(0);
	for (int i = 0; i < DK_DRIVELINE_PIECES; ++i)
	{
		const dk_real next = dk_max(row[i], last);
		out->residuary[i] = last;
		out->residuary_rise[i] = (next - last) * (1 / (piece_start(i + 1) - piece_start(i)));
		last = next;
	}
}

// resistance and its slope by speed, on one straight piece of the residuary resistance
static dk_real piece_resistance(
    const dk_driveline *drive, dk_real boat_m_s, dk_real start, dk_real value, dk_real rise, dk_real *slope)
{
	// [ITTC57] CF V^2; its slope is CF V (2 + d ln CF / d ln Re)
	dk_real power;
	const dk_real cf_v = DK_FN(dk_hull_ittc57_slope)(boat_m_s * drive->reynolds_s_m, &power) * boat_m_s;
	const dk_real residuary = value + rise * (boat_m_s * drive->froude_s_m - start);
	const dk_real friction = drive->friction_n_s2_m2 * cf_v;
	*slope = drive->total_factor * (drive->weight_n * drive->froude_s_m * rise + friction * (2 + power));
	return drive->total_factor * (drive->weight_n * residuary + friction * boat_m_s);
}

dk_real DK_FN(dk_driveline_resistance_n)(const dk_driveline *drive, dk_real boat_m_s)
{
	// the piece that the speed lies on
	const dk_real froude = boat_m_s * drive->froude_s_m;
	dk_real start = dk_set(0), value = drive->residuary[0], rise = drive->residuary_rise[0], slope;
	for (int i = 1; i < DK_DRIVELINE_PIECES; ++i)
	{
		const dk_mask past = froude > piece_start(i);
		start = dk_choose(past, dk_set(piece_start(i)), start);
		value = dk_choose(past, drive->residuary[i], value);
		rise = dk_choose(past, drive->residuary_rise[i], rise);
	}
	return piece_resistance(drive, boat_m_s, start, value, rise, &slope);
}

void DK_FN(dk_driveline_prepare)(const dk_driveline_def *def, dk_driveline *out)
{
	DK_FN(dk_propeller_b_series)(def->pitch_ratio, def->area_ratio, def->blades, &out->propeller);
	prepare_residuary(def, out);

	// [ITTC57] with [DSYHS-RE] 0.7 of the waterline
	out->weight_n = kWater * kGravity * def->volume_m3;
	out->friction_n_s2_m2 = 0.5 * kWater * def->wetted_m2;
	out->froude_s_m = 1 / dk_sqrt(kGravity * def->lwl_m);
	out->reynolds_s_m = def->lwl_m * (0.7 / kViscosity);
	out->total_factor = (1 + def->appendage_share) * (1 + def->weather_share) * (1 + def->fouling_share);

	for (int i = 0; i < DK_DRIVELINE_PIECES; ++i)
		out->node_n[i] = DK_FN(dk_driveline_resistance_n)(out, piece_start(i) / out->froude_s_m);

	// thrust that pushes the boat and torque at the shaft, per KT n^2 and KQ n^2
	const dk_real d = def->propeller_m, d4 = d * d * d * d;
	out->thrust_n_s2 = kWater * d4 * def->thrust_factor * (1 - def->thrust_deduction);
	out->torque_nm_s2 = kWater * d4 * d * def->torque_factor;
	out->speed_m = d / (1 - def->wake);
	out->pitch_ratio = def->pitch_ratio;
	out->thrust_share = 1 - def->thrust_deduction;

	out->gear_ratio = def->gear_ratio;
	out->gear_efficiency = def->gear_efficiency;
	out->rope_nm = def->rope_nm;
	out->neutral_nm = def->neutral_nm;
	out->accessory_w = def->accessory_w;
	out->unbalance = def->unbalance;
}

// The piece of the resistance on which thrust and resistance meet, as advance ratios low .. high.
typedef struct meeting
{
	dk_real low, high; // thrust is above the resistance at low and below it at high
	dk_real start, value, rise;
	dk_real square_n; // resistance / J^2 at the end of the piece that has one
} meeting;

static meeting find_piece(const dk_driveline *drive, dk_real per_j, dk_real push_n)
{
	const dk_real zero = drive->propeller.zero_thrust_j, to_j = 1 / (drive->froude_s_m * per_j);
	dk_real node = piece_start(1) * to_j;
	meeting at = { .low = dk_set(0),
		.high = dk_min(node, zero),
		.start = dk_set(0),
		.value = drive->residuary[0],
		.rise = drive->residuary_rise[0],
		.square_n = drive->node_n[1] / (node * node) };
	for (int i = 1; i < DK_DRIVELINE_PIECES; ++i)
	{
		// thrust still above the resistance at the start of this piece: they meet here or later
		const dk_real next = piece_start(i + 1) * to_j;
		const dk_real end = i + 1 < DK_DRIVELINE_PIECES ? dk_min(next, zero) : zero;
		const dk_real thrust = push_n * DK_FN(dk_propeller_kt)(&drive->propeller, node);
		const dk_mask past = (thrust > drive->node_n[i]) & (node < zero);
		at.low = dk_choose(past, node, at.low);
		at.high = dk_choose(past, end, at.high);
		at.start = dk_choose(past, dk_set(piece_start(i)), at.start);
		at.value = dk_choose(past, drive->residuary[i], at.value);
		at.rise = dk_choose(past, drive->residuary_rise[i], at.rise);
		at.square_n = dk_choose(past, drive->node_n[i] / (node * node), at.square_n);
		node = next;
	}
	return at;
}

// advance ratio at which the thrust pushes the boat at the speed that belongs to it
static dk_real equilibrium(const dk_driveline *drive, dk_real turns_s)
{
	const dk_real per_j = turns_s * drive->speed_m, push_n = drive->thrust_n_s2 * turns_s * turns_s;
	const dk_real *kt = drive->propeller.kt;
	meeting at = find_piece(drive, per_j, push_n);

	// first guess: resistance with the square of speed, thrust straight from bollard to zero
	const dk_real bollard = push_n * kt[0], fall = bollard / drive->propeller.zero_thrust_j;
	dk_real j = 2 * bollard / (fall + dk_sqrt(fall * fall + 4 * at.square_n * bollard) + 1e-30);
	j = dk_max(dk_min(j, at.high), at.low);

	// Newton's steps; where one leaves the bracket, half of it
	for (int i = 0; i < kSteps; ++i)
	{
		dk_real slope;
		const dk_real drag = piece_resistance(drive, j * per_j, at.start, at.value, at.rise, &slope);
		const dk_real push = push_n * (kt[0] + j * (kt[1] + j * (kt[2] + j * kt[3])));
		const dk_real push_slope = push_n * (kt[1] + j * (2 * kt[2] + j * (3 * kt[3])));
		const dk_real miss = push - drag, miss_slope = push_slope - slope * per_j;
		at.low = dk_choose(miss > 0, j, at.low);
		at.high = dk_choose(miss > 0, at.high, j);
		const dk_real step = j - miss / dk_min(miss_slope, dk_set(-1e-12));
		j = dk_choose((step >= at.low) & (step <= at.high), step, 0.5 * (at.low + at.high));
	}
	return j;
}

// what belts and pumps take: torque in proportion to speed [ASSUMED-242]
static dk_real accessories_nm(const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s)
{
	return drive->accessory_w * engine_rad_s / (rated_rad_s * rated_rad_s);
}

// torque at the crankshaft of a propeller torque coefficient
static dk_real crank_nm(const dk_driveline *drive, dk_real turns_s, dk_real kq, dk_real *shaft_nm)
{
	// a rope drags with one torque at any speed, nothing at rest
	*shaft_nm = drive->torque_nm_s2 * turns_s * turns_s * dk_max(kq, dk_set(0)) +
	            drive->rope_nm * dk_tanh(turns_s * 2);
	return *shaft_nm / (drive->gear_ratio * drive->gear_efficiency);
}

void DK_FN(dk_driveline_load)(
    const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s, dk_driveline_result *out)
{
	// equilibrium not below a crawl: slower, the flow looks the same
	const dk_real turns_s = engine_rad_s / (kTurn * drive->gear_ratio);
	out->advance = equilibrium(drive, dk_max(turns_s, dk_set(kSlowest)));
	out->boat_m_s = out->advance * turns_s * drive->speed_m;
	out->slip = 1 - out->advance / drive->pitch_ratio;

	dk_real shaft_nm;
	const dk_real kq = DK_FN(dk_propeller_kq)(&drive->propeller, out->advance);
	out->torque_nm =
	    crank_nm(drive, turns_s, kq, &shaft_nm) + accessories_nm(drive, engine_rad_s, rated_rad_s);
	out->shaft_w = shaft_nm * kTurn * turns_s;
	out->thrust_n = drive->thrust_n_s2 / drive->thrust_share * turns_s * turns_s *
	                DK_FN(dk_propeller_kt)(&drive->propeller, out->advance);
}

dk_real DK_FN(dk_driveline_bollard_nm)(const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s)
{
	dk_real shaft_nm;
	const dk_real turns_s = engine_rad_s / (kTurn * drive->gear_ratio);
	return crank_nm(drive, turns_s, drive->propeller.kq[0], &shaft_nm) +
	       accessories_nm(drive, engine_rad_s, rated_rad_s);
}

dk_real DK_FN(dk_driveline_neutral_nm)(const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s)
{
	// [ASSUMED-243] half of the drag is there as soon as it turns, half grows with speed
	const dk_real drag =
	    drive->neutral_nm * (0.5 + 0.5 * engine_rad_s / rated_rad_s) * dk_tanh(engine_rad_s * 0.2);
	return drag + accessories_nm(drive, engine_rad_s, rated_rad_s);
}

dk_real DK_FN(dk_driveline_vibration_m_s)(
    const dk_driveline *drive, dk_real engine_rad_s, dk_real rated_rad_s, dk_real in_gear, dk_real roughness)
{
	// [ASSUMED-240]
	const dk_real part = engine_rad_s / rated_rad_s;
	const dk_real shaft = 1.5e-3 * part * part * (1 + 12 * drive->unbalance * in_gear);
	return shaft + 0.1e-3 * roughness;
}

#if DK_LANES == 1
// crankshaft power at rated speed with a trial propeller
static double power_at(dk_driveline_def def, double rated_rad_s, double diameter_m, double pitch_ratio)
{
	dk_driveline drive;
	dk_driveline_result load;
	def.propeller_m = diameter_m;
	def.pitch_ratio = pitch_ratio;
	DK_FN(dk_driveline_prepare)(&def, &drive);
	DK_FN(dk_driveline_load)(&drive, rated_rad_s, rated_rad_s, &load);
	return load.torque_nm * rated_rad_s;
}

bool dk_driveline_fit(
    const dk_driveline_def *def, double rated_rad_s, double power_w, double *propeller_m, double *pitch_ratio)
{
	// [ASSUMED-244] a yacht propeller is between these pitches; the load grows with pitch and with diameter
	static const double flat = 0.45, steep = 1.2, smallest = 0.2, largest = 1.5;
	const double diameter_m = def->propeller_m;
	const bool too_heavy = power_at(*def, rated_rad_s, diameter_m, flat) > power_w;
	const bool too_light = power_at(*def, rated_rad_s, diameter_m, steep) < power_w;
	const bool by_pitch = !too_heavy && !too_light;
	const double edge = too_heavy ? flat : steep;
	double low = by_pitch ? flat : too_heavy ? smallest : diameter_m;
	double high = by_pitch ? steep : too_heavy ? diameter_m : largest;
	if (!by_pitch && (power_at(*def, rated_rad_s, low, edge) > power_w ||
	                     power_at(*def, rated_rad_s, high, edge) < power_w))
		return false;

	for (int i = 0; i < 60; ++i)
	{
		const double middle = 0.5 * (low + high);
		const double got = by_pitch ? power_at(*def, rated_rad_s, diameter_m, middle)
		                            : power_at(*def, rated_rad_s, middle, edge);
		if (got < power_w)
			low = middle;
		else
			high = middle;
	}
	*propeller_m = by_pitch ? diameter_m : 0.5 * (low + high);
	*pitch_ratio = by_pitch ? 0.5 * (low + high) : edge;
	return true;
}
#endif
