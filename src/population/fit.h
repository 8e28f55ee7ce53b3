#pragma once
// Fits an engine to what its plate and manual say: the figures of the model that no plate carries are solved
// from those that it does. Readings of a well day narrow it later.
#include "base/error.h"
#include "engine/batch.h"

// What plate and manual give besides the parameters. 0 = not given.
typedef struct dk_plate
{
	double rated_power_w;   // at the crankshaft, at fuel.rated_rpm
	double hot_idle_oil_pa; // gauge
	const unsigned char
	    *given; // [DK_PARAM_COUNT] 1 where the record gives the value: it is then left as it is
} dk_plate;

// What the fit found; residuals are said, not hidden.
typedef struct dk_fitted
{
	bool rack, propeller, bearing; // solved (else given, or not enough on the plate)
	double rack_kg, propeller_m, pitch_ratio, bearing_m3;
	double power_residual_w; // power at rated speed and full rack less the plate's
} dk_fitted;

/// Solves the rack stop for the rated power, the propeller for 97 % of it at rated speed, and the bearing
/// conductance for the hot idle oil pressure.
///
/// Given:   param       [DK_PARAM_COUNT] from the record; what was solved is written back
///          plate
/// Returns: DK_OK and *fitted; DK_OUT_OF_RANGE when no rack stop, propeller or bearing in the table's range
///          does it: the sentence names the field of the plate, and nothing is written.
/// Source:  full rack and load agree at rated speed; [ASSUMED-840] oil at 95 degC at hot idle
dk_status dk_fit_plate(double *param, const dk_plate *plate, dk_fitted *fitted, dk_error *error);
