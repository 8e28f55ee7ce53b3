#pragma once
// Lenses: each observation, or question that could be asked, worked out into what of the engine it looks at.
// A latent is one transformed reading at one point; several lenses may share one. A row is one boundary of a
// sign. Nothing here depends on a bank: bank values are put through the lenses in view.h and weigh.h.
#include "base/arena.h"
#include "catalog/observation.h"
#include <stdbool.h>

typedef enum dk_latent_kind
{
	DK_LATENT_VALUE,     // t(x) of the engine
	DK_LATENT_HEALTHY,   // t(h): the same engine well, on an ordinary day (air and sea at the node's centre)
	DK_LATENT_DIFFERENCE // t(x) - t(h)
} dk_latent_kind;

typedef struct dk_latent
{
	dk_latent_kind kind;
	int reading, point;
	bool half;        // seen earlier: at half the severity
	int bias, offset; // column of its gauge's bias and its system's offset; -1: folded into the row's
	                  // width or the gauge's variance, because nothing else looks along that column
} dk_latent;

// How a boundary's x is made. LINEAR needs no way back from the transform, the others do.
typedef enum dk_lens_mode
{
	DK_MODE_LINEAR,
	DK_MODE_VALUE,
	DK_MODE_RATIO,
	DK_MODE_DIFFERENCE,
	DK_MODE_PARAMETER
} dk_lens_mode;

typedef struct dk_lens_row
{
	int answer;
	double sense; // +1 above, -1 below
	dk_lens_mode mode;
	dk_scale scale;
	double threshold; // on `scale`
	double width;
	int latent, healthy; // indices; healthy -1 unless RATIO or DIFFERENCE
	int parameter;       // index into dk_optics.parameter, -1 unless PARAMETER
	bool fold;           // the latent's folded columns widen this row
} dk_lens_row;

typedef enum dk_lens_kind
{
	DK_LENS_GAUGE,
	DK_LENS_SIGN,
	DK_LENS_SINCE,
	DK_LENS_AFTER,
	DK_LENS_NOTHING // not looked, not sure, can't, a second look at one parameter, the same said twice
} dk_lens_kind;

typedef struct dk_lens
{
	dk_lens_kind kind;
	int observation; // index into the request, -1 for a question that could be asked
	int point;
	bool before;

	// a number
	int latent;
	double value, sd; // in the reading's unit; sd of the mean of n looks

	// an answer
	const dk_look *look;
	const dk_lens_row *row;
	int row_count;
	unsigned answers; // bits; 0 with special odd
	bool odd;
	double report;                               // 1 unless volunteered
	int normal_first, normal_last, normal_count; // answers that a healthy engine gives
	int black, white, grey;                      // smoke: indices, -1 where it is no smoke sign
	bool eye_only;                               // every row is a parameter: no z, no point
	double uniform; // of an unknown fault: chance of the answer, or density of the value (per unit of t)
} dk_lens;

enum
{
	DK_Z_RUN = 7
}; // run columns; those of biases and offsets come after

typedef struct dk_optics
{
	dk_latent *latent;
	int latent_count;
	dk_lens *lens; // gauges first, canonical order
	int lens_count, gauge_count;
	int *parameter; // DK_PARAM_...
	int parameter_count;
	int column_count; // DK_Z_RUN + active biases and offsets
} dk_optics;

// The lenses of what was seen, in canonical order: the order given does not matter.
dk_optics *dk_optics_of_request(const dk_catalog *catalog, const dk_request *request, dk_arena *arena);

// The lenses of everything that could be asked: first every check in order (check_count lenses), then every
// sign. A check that gives a number is a GAUGE of value 0; where, since and after are NOTHING. All columns
// beyond the run columns are folded.
dk_optics *dk_optics_of_questions(const dk_catalog *catalog, dk_arena *arena);

// Standard deviation of an error `sd` (in the reading's unit) on the transformed scale at value x.
// Given:   reading, x, sd >= 0
// Returns: |t'(x)| sd where that is below 0.3; else the larger of 0.3 and the secant over two sd, where the
//          tangent would say that an empty reading can be anything [ASSUMED-700]
double dk_lens_spread(int reading, double x, double sd);

/// Chances of the answers of one look.
/// Given:   visible     [row_count] chance that each row's boundary is crossed, 0..1
/// Returns: chance[answer_count], sum 1, before miss and false report
/// Source:  contract, Observation model
void dk_lens_answers(const dk_lens *lens, const double *visible, double *chance);

// What miss (on a normal answer) or false report (on another) adds to the chance of one answer. Source:
// contract, Report
double dk_lens_added(const dk_lens *lens, int answer);

// The same after miss and false report. `reachable` false: every answer at its false-report rate (sum not 1).
void dk_lens_reported(const dk_lens *lens, bool reachable, double *chance);

// Chance of what was said, from the chances after report; volunteered and odd included.
double dk_lens_said(const dk_lens *lens, const double *chance);
