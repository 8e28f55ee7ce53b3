#pragma once
// The chance of what was said, for many draws at once: the same sums as dk_lens_answers, dk_lens_reported and
// dk_lens_said, laid out so that the loop over draws is innermost.
#include "infer/lens.h"

enum
{
	DK_SAID_WIDTH = 32
}; // room for draws in each row

// What can be worked out before any engine is seen.
typedef struct dk_said_plan
{
	bool linear; // the chance is start + sum slope x visible: ordinal and flag rows along one side each
	double start, slope[DK_ANSWERS_MOST], least;
	double share[DK_ANSWERS_MOST];        // of each answer in what was said, report included
	double added[DK_ANSWERS_MOST], total; // miss and false report of each answer; 1 + their sum
} dk_said_plan;

dk_said_plan dk_said_plan_of(const dk_lens *lens);

/// Given:   visible     [row_count][DK_SAID_WIDTH] chance that each boundary is crossed
///          count       draws, up to DK_SAID_WIDTH
/// Returns: said[count]
void dk_said_draws(const dk_lens *lens, const dk_said_plan *plan, const double (*visible)[DK_SAID_WIDTH],
    int count, double *said);
