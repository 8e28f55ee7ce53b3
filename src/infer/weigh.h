#pragma once
// Weighs one virtual engine against everything that was seen: gauges first, each in closed form, then the
// signs over a fixed set of draws of what is left unknown. All of a trace's observations share that unknown
// vector z: the seven run columns, then the biases and offsets that more than one observation looks along.
#include "base/arena.h"
#include "infer/view.h"

enum
{
	DK_DRAWS = 32, // draws of z; the first 8 are a smaller balanced set
	DK_DRAWS_SCREEN = 8,
	DK_ASKED = 8, // draws kept for a question
	DK_CDF_STEPS = 4096
};

#define DK_GROSS 0.03 // chance that a reading is a gross error. Source: contract, Observation model

// Fixed for one trace: balanced draws of N(0, I) and the table of the normal distribution function.
typedef struct dk_draws
{
	int columns;
	double *z; // [columns][DK_DRAWS]
	double cdf[DK_CDF_STEPS + 2];
} dk_draws;

/// Draws that are balanced in every column (near the 32 middle quantiles, opposite pairs, variance 1) and
/// uncorrelated between the first 15 columns, little beyond; the same for every engine, stratum and request.
const dk_draws *dk_draws_of(int columns, dk_arena *arena);

// Standard normal distribution function by table, error under 5e-7; 0 and 1 beyond -8 and 8.
static inline double dk_draws_cdf(const dk_draws *draws, double x)
{
	double at = (x + 8) * (DK_CDF_STEPS / 16.0);
	at = at > 0 ? at : 0;
	at = at < DK_CDF_STEPS ? at : DK_CDF_STEPS;
	const int i = (int)at;
	return draws->cdf[i] + (at - i) * (draws->cdf[i + 1] - draws->cdf[i]);
}

// Room for one engine's sums; one a thread.
typedef struct dk_scratch dk_scratch;
dk_scratch *dk_scratch_new(const dk_optics *optics, dk_arena *arena);

// What one engine makes of the observations; natural logarithms.
typedef struct dk_verdict
{
	double all;      // ln likelihood of everything
	double *without; // [lens_count] the same without one; NULL: not wanted
	double *alone;   // [lens_count] ln predictive of each by itself, over the whole unknown; NULL: not wanted
	bool unsettled;  // a point it was looked at did not settle
} dk_verdict;

/// Given:   draws       with at least optics->column_count columns; count DK_DRAWS or DK_DRAWS_SCREEN of them
/// are used Returns: verdict->all, and the arrays that are not NULL Source:  contract, Observation model.
/// Gauge: S = h P h' + R, e = (1-eps) N(v; 0, S) + eps/span, alpha = (1-eps) N/e,
///          m += alpha K v, P += -alpha K S K' + alpha (1-alpha) K K' v^2 (moments of the two-part mixture)
void dk_weigh_pose(const dk_optics *optics, const dk_pose *pose, const dk_draws *draws, int count,
    dk_scratch *scratch, dk_verdict *verdict);

// What one engine would show at one question.
typedef struct dk_outlook
{
	bool reachable; // the engine gets to where the question is asked
	union
	{
		float chance[DK_ANSWERS_MOST]; // a sign: chance of each answer, after report
		struct
		{
			float value[DK_ASKED], sd; // a gauge: transformed values, equally likely, and their error
		};
	};
} dk_outlook;

/// What one engine would show, after what was seen.
/// Given:   seen, pose       the observations and the engine through them
///          questions, asked the questions and the same engine through those
///          wanted           [questions->lens_count] which to work out
///          scratch, ask     made for `seen` and for `questions`
/// Returns: out[questions->lens_count], where wanted
void dk_weigh_questions(const dk_optics *seen, const dk_pose *pose, const dk_optics *questions,
    const dk_pose *asked, const dk_draws *draws, const bool *wanted, dk_scratch *scratch, dk_scratch *ask,
    dk_outlook *out);
