#include "plant/flood.h"
#include "plant/smooth.h"

static const double kTwoPi = 6.283185307179586;

// what draining leaves in corners, over the residual [ASSUMED-345]
static const double kLeft = 0.1;
// spread of the pumped volume, over itself: pump sheets differ by so much [ASSUMED-344]
static const double kPumpSpread = 0.15;
// one in twenty of a normal distribution lies below the mean by this many standard deviations
static const double kFivePercent = 1.6448536;
static const double kMostS = 600;

void DK_FN(dk_flood_start)(const dk_exhaust_def *def, dk_flood_account *account)
{
	account->water_m3 = def->lock_residual_m3;
	account->spread_m3 = def->lock_spread_m3;
	account->cranked_s = dk_set(0);
}

void DK_FN(dk_flood_drained)(const dk_exhaust_def *def, dk_flood_account *account)
{
	account->water_m3 = kLeft * def->lock_residual_m3;
	account->spread_m3 = kLeft * def->lock_spread_m3;
	account->cranked_s = dk_set(0);
}

void DK_FN(dk_flood_try)(
    dk_real water_m3_s, dk_real seconds, dk_real rest_s, dk_real seep_m3_s, dk_flood_account *account)
{
	const dk_real pumped = water_m3_s * seconds;
	const dk_real seeped = seep_m3_s * rest_s;
	account->water_m3 = account->water_m3 + pumped + seeped;

	// what is not known of one pump is not known of each try alike: its spread adds, then joins the rest in
	// squares
	const dk_real added = kPumpSpread * (pumped + seeped);
	account->spread_m3 = dk_sqrt(account->spread_m3 * account->spread_m3 + added * added);
	account->cranked_s = account->cranked_s + seconds;
}

void DK_FN(dk_flood_left)(
    const dk_exhaust_def *def, const dk_flood_account *account, dk_real water_m3_s, dk_flood_left *out)
{
	const dk_real room = def->lock_m3 + def->port_m3 - account->water_m3;
	const dk_real low_room = room - kFivePercent * account->spread_m3;

	// a dry exhaust takes no water: its limit is the manual's
	const dk_real flow = def->wet * water_m3_s + 1e-9;
	out->seconds = dk_clip(dk_soft_plus(room, dk_set(1e-5)) / flow, 0, kMostS);
	out->low_seconds = dk_clip(dk_soft_plus(low_room, dk_set(1e-5)) / flow, 0, kMostS);

	const dk_real manual = dk_max(def->manual_crank_s - account->cranked_s, dk_set(0));
	out->advice_s = dk_min(manual, out->low_seconds / 3.0);
}

dk_real DK_FN(dk_flood_fill)(dk_real volume_m3, dk_real port_m3, dk_real residual_m3, dk_real per_rev_m3,
    dk_real speed_rad_s, dk_real efficiency)
{
	return (volume_m3 + port_m3 - residual_m3) / (per_rev_m3 * speed_rad_s / kTwoPi * efficiency);
}
