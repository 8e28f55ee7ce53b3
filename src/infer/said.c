// Chances over many draws: see said.h.
#include "infer/said.h"
#include <math.h>

// One row an answer at most, and all rows of a side on one latent, so that they never cross.
static bool rows_in_order(const dk_lens *lens)
{
	if (lens->look->several || lens->look->kind == DK_SIGN_NOMINAL || lens->row_count > DK_ANSWERS_MOST)
		return false;
	for (int r = 0; r < lens->row_count; ++r)
		for (int q = 0; q < r; ++q)
		{
			const dk_lens_row *a = &lens->row[r], *b = &lens->row[q];
			const bool side = (a->answer > lens->normal_last) == (b->answer > lens->normal_last);
			if (a->answer == b->answer) return false;
			if (side && (a->latent != b->latent || a->parameter != b->parameter || a->width != b->width ||
			                a->mode != b->mode))
				return false;
			if (!side && (a->latent != b->latent || a->parameter != b->parameter)) return false;
		}
	return true;
}

static double said_at(const dk_lens *lens, const double *visible)
{
	double chance[DK_ANSWERS_MOST];
	dk_lens_answers(lens, visible, chance);
	dk_lens_reported(lens, true, chance);
	return dk_lens_said(lens, chance);
}

// The chance is piecewise linear in what is visible; rows that never cross keep it on one piece, so its
// slopes follow from crossing the boundaries one after the other, nearest to normal first.
static void find_slopes(const dk_lens *lens, dk_said_plan *plan)
{
	double visible[DK_ANSWERS_MOST] = { 0 };
	plan->start = plan->least = said_at(lens, visible);
	for (int side = 0; side < 2; ++side)
	{
		double last = plan->start;
		for (int r = 0; r < lens->row_count; ++r) visible[r] = 0;
		const int first = side ? lens->normal_last + 1 : lens->normal_first - 1, step = side ? 1 : -1;
		for (int a = first; a >= 0 && a < lens->look->answer_count; a += step)
			for (int r = 0; r < lens->row_count; ++r)
			{
				if (lens->row[r].answer != a) continue;
				visible[r] = 1;
				const double here = said_at(lens, visible);
				plan->slope[r] = here - last;
				plan->least = fmin(plan->least, here);
				last = here;
			}
	}
}

dk_said_plan dk_said_plan_of(const dk_lens *lens)
{
	dk_said_plan plan = { .total = 1 };
	const dk_look *look = lens->look;
	for (int a = 0; a < look->answer_count; ++a)
		plan.share[a] = lens->answers >> a & 1 ? (look->answer[a].normal ? 1 : lens->report) : 0;
	plan.linear = rows_in_order(lens);
	if (plan.linear) find_slopes(lens, &plan);
	if (look->several) return plan;

	for (int a = 0; a < look->answer_count; ++a) plan.total += plan.added[a] = dk_lens_added(lens, a);
	return plan;
}

static void linear(const dk_lens *lens, const dk_said_plan *plan, const double (*visible)[DK_SAID_WIDTH],
    int count, double *said)
{
	for (int i = 0; i < count; ++i) said[i] = plan->start;
	for (int r = 0; r < lens->row_count; ++r)
		for (int i = 0; i < count; ++i) said[i] += plan->slope[r] * visible[r][i];
	for (int i = 0; i < count; ++i) said[i] = said[i] > plan->least ? said[i] : plan->least;
}

static void nominal(const dk_lens *lens, const dk_said_plan *plan, const double (*visible)[DK_SAID_WIDTH],
    int count, double *said)
{
	const dk_look *look = lens->look;
	double reach[DK_ANSWERS_MOST][DK_SAID_WIDTH], none[DK_SAID_WIDTH], sum[DK_SAID_WIDTH];
	bool has[DK_ANSWERS_MOST] = { false };
	for (int r = 0; r < lens->row_count; ++r)
	{
		const int a = lens->row[r].answer;
		for (int i = 0; i < count; ++i) reach[a][i] = has[a] ? reach[a][i] * visible[r][i] : visible[r][i];
		has[a] = true;
	}
	double share_normal = 0, start = 0;
	for (int a = 0; a < look->answer_count; ++a)
	{
		start += plan->share[a] * plan->added[a];
		if (look->answer[a].normal) share_normal += plan->share[a] / lens->normal_count;
	}
	for (int i = 0; i < count; ++i) none[i] = 1, sum[i] = 0;
	for (int a = 0; a < look->answer_count; ++a)
		for (int i = 0; i < count && has[a] && !look->answer[a].normal; ++i) none[i] *= 1 - reach[a][i];
	if (lens->grey >= 0 && has[lens->black] && has[lens->white])
	{
		has[lens->grey] = true;
		for (int i = 0; i < count; ++i)
		{
			reach[lens->grey][i] = reach[lens->black][i] * reach[lens->white][i];
			reach[lens->black][i] -= reach[lens->grey][i];
			reach[lens->white][i] -= reach[lens->grey][i];
		}
	}
	for (int i = 0; i < count; ++i) said[i] = 0;
	for (int a = 0; a < look->answer_count; ++a)
		for (int i = 0; i < count && has[a] && !look->answer[a].normal; ++i)
		{
			sum[i] += reach[a][i];
			said[i] += plan->share[a] * reach[a][i];
		}
	for (int i = 0; i < count; ++i)
	{
		const double odd = sum[i] > 0 ? (1 - none[i]) * said[i] / sum[i] : 0;
		said[i] = (start + share_normal * none[i] + odd) / plan->total;
	}
}

// Ordinal rows that may cross each other: as in lens.c, for each draw.
static void ordinal(const dk_lens *lens, const dk_said_plan *plan, const double (*visible)[DK_SAID_WIDTH],
    int count, double *said)
{
	const dk_look *look = lens->look;
	double reach[DK_ANSWERS_MOST][DK_SAID_WIDTH], normal[DK_SAID_WIDTH], beyond[DK_SAID_WIDTH],
	    all[DK_SAID_WIDTH];
	bool has[DK_ANSWERS_MOST] = { false };
	for (int r = 0; r < lens->row_count; ++r)
	{
		const int a = lens->row[r].answer;
		for (int i = 0; i < count; ++i) reach[a][i] = has[a] ? reach[a][i] * visible[r][i] : visible[r][i];
		has[a] = true;
	}
	double start = 0, share_normal = 0;
	for (int a = 0; a < look->answer_count; ++a)
	{
		start += plan->share[a] * plan->added[a];
		if (look->answer[a].normal) share_normal += plan->share[a] / lens->normal_count;
	}
	for (int i = 0; i < count; ++i) normal[i] = 1, said[i] = all[i] = 0;
	for (int side = 0; side < 2; ++side)
	{
		const int end = side ? look->answer_count - 1 : 0, step = side ? -1 : 1;
		const int stop = side ? lens->normal_last : lens->normal_first;
		for (int i = 0; i < count; ++i) beyond[i] = 0;
		for (int a = end; a != stop; a += step)
			for (int i = 0; i < count && has[a]; ++i)
			{
				const double here = reach[a][i] > beyond[i] ? reach[a][i] : beyond[i];
				said[i] += plan->share[a] * (here - beyond[i]);
				beyond[i] = here;
			}
		for (int i = 0; i < count; ++i) normal[i] -= beyond[i], all[i] += beyond[i];
	}
	for (int i = 0; i < count; ++i)
	{
		const double well = normal[i] > 0 ? normal[i] : 0;
		said[i] = (start + (share_normal * well + said[i]) / (well + all[i])) / plan->total;
	}
}

void dk_said_draws(const dk_lens *lens, const dk_said_plan *plan, const double (*visible)[DK_SAID_WIDTH],
    int count, double *said)
{
	if (plan->linear)
		linear(lens, plan, visible, count, said);
	else if (lens->look->kind == DK_SIGN_NOMINAL && !lens->odd && !lens->look->several)
		nominal(lens, plan, visible, count, said);
	else if (!lens->odd && !lens->look->several)
		ordinal(lens, plan, visible, count, said);
	else
		for (int i = 0; i < count; ++i)
		{
			double one[64];
			for (int r = 0; r < lens->row_count && r < 64; ++r) one[r] = visible[r][i];
			said[i] = said_at(lens, one);
		}
}
