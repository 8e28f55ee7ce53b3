// One trace: see trace.h. Puts together what the other files of this room work out.
#include "infer/trace.h"
#include "engine/tables.h"
#include "infer/may.h"
#include "infer/mix.h"
#include "infer/next.h"
#include "infer/posterior.h"
#include "infer/red_rules.h"
#include "num/quantile.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

// nats from which two observations, or one against the rest, are called a conflict
#define PULL_NATS 2.0      // [ASSUMED-708]
#define MISFIT_NATS 3.0    // Source: contract, Observation model
#define PAIR_LISTED 0.0005 // pairs below this are one line [ASSUMED-702]
#define WHY_LEAST 0.005    // smaller reasons are not listed [ASSUMED-709]

dk_trace_input dk_default_trace_input(void)
{
	return (dk_trace_input){ .z_scale_air = 1, .z_scale_sea = 1, .rated_rpm = INFINITY, .seed = 1 };
}

static dk_status check_input(const dk_trace_input *in, dk_error *error)
{
	if (!in->catalog || !in->request)
		return dk_error_set(error, DK_MISSING, "a trace needs the catalogue and what was seen");
	for (int b = 0; b < in->bank_count; ++b)
	{
		const dk_bank *bank = in->bank[b];
		if (bank->fault_count != in->catalog->fault_count ||
		    bank->stratum_count != in->bank[0]->stratum_count || bank->stratum_count < 1 ||
		    bank->stratum[0].fault_count != 0)
			return dk_error_set(error, DK_CONTRADICTION, "the engines of the bank are of another catalogue");
	}
	for (int i = 0; i < in->request->observation_count; ++i)
	{
		const dk_observation *o = &in->request->observation[i];
		if (o->point < 0 || o->point >= DK_POINT_COUNT || (o->reading >= 0 && !isfinite(o->value)))
			return dk_error_field(
			    (dk_error_set(error, DK_OUT_OF_RANGE, "an observation has no point or no number"), error),
			    o->id);
	}
	for (int f = 0; f < in->catalog->fault_count && in->prior_factor; ++f)
		if (!(in->prior_factor[f] >= 0) || !isfinite(in->prior_factor[f]))
			return dk_error_range((dk_error_set(error, DK_OUT_OF_RANGE, "the factor on the prior of %s is %g",
			                           in->catalog->fault[f].id, in->prior_factor[f]),
			                          error),
			    0, 1e6, "-");
	return DK_OK;
}

// ---- groups

typedef struct grouping
{
	int count;
	int *of_fault;     // [fault_count] group, -1
	double *marginal;  // [fault_count]
	double *share;     // [group] of every cause with one of its faults
	int *first, *best; // [group] first fault by id, likeliest fault
	int *rank;         // [group] place in the order shown
} grouping;

static bool cause_has_group(const dk_posterior *post, int cause, const grouping *g, int group)
{
	const dk_cell *cell = &post->cell[post->cause_cell[cause]];
	for (int k = 0; k < cell->fault_count; ++k)
		if (g->of_fault[cell->fault[k]] == group) return true;
	return false;
}

static void number_groups(const dk_posterior *post, dk_arena *arena, grouping *g)
{
	const int n = post->input->catalog->fault_count;
	g->of_fault = dk_arena_array(arena, (size_t)n + 1, sizeof(int));
	g->first = dk_arena_array(arena, (size_t)n + 1, sizeof(int));
	g->best = dk_arena_array(arena, (size_t)n + 1, sizeof(int));
	g->rank = dk_arena_array(arena, (size_t)n + 1, sizeof(int));
	g->marginal = dk_arena_array(arena, (size_t)n + 1, sizeof(double));
	g->share = dk_arena_array(arena, (size_t)n + 1, sizeof(double));
	const int *bank = post->input->bank_count ? post->input->bank[0]->group_of_fault : NULL;
	for (int f = 0; f < n; ++f)
	{
		int found = -1;
		g->of_fault[f] = -1;
		if (!post->possible[f]) continue;
		for (int e = 0; e < f && found < 0 && bank; ++e)
			if (post->possible[e] && bank[e] >= 0 && bank[e] == bank[f]) found = g->of_fault[e];
		if (found < 0) g->first[found = g->count++] = f;
		g->of_fault[f] = found;
	}
}

static grouping group_causes(const dk_posterior *post, dk_arena *arena)
{
	grouping g = { 0 };
	number_groups(post, arena, &g);
	for (int k = 0; k < post->cause_count; ++k)
	{
		const dk_cell *cell = &post->cell[post->cause_cell[k]];
		for (int i = 0; i < cell->fault_count; ++i) g.marginal[cell->fault[i]] += post->cause_share[k];
		for (int group = 0; group < g.count; ++group)
			if (cause_has_group(post, k, &g, group)) g.share[group] += post->cause_share[k];
	}
	const int n = post->input->catalog->fault_count;
	for (int group = 0; group < g.count; ++group) g.best[group] = g.first[group];
	for (int f = 0; f < n; ++f)
		if (g.of_fault[f] >= 0 && g.marginal[f] > g.marginal[g.best[g.of_fault[f]]])
			g.best[g.of_fault[f]] = f;

	// place by marginal probability, ties by the first fault's id
	for (int a = 0; a < g.count; ++a)
		for (int b = 0; b < g.count; ++b)
			g.rank[a] += g.share[b] > g.share[a] || (g.share[b] == g.share[a] && b < a);
	return g;
}

static dk_classes classes_of(const dk_posterior *post, const grouping *g, dk_arena *arena)
{
	const dk_catalog *c = post->input->catalog;
	int *of_fault = dk_arena_array(arena, (size_t)c->fault_count + 1, sizeof *of_fault);
	int *of_repair = dk_arena_array(arena, (size_t)c->repair_count + 1, sizeof *of_repair);
	double *minutes = dk_arena_array(arena, (size_t)c->fault_count + 3, sizeof *minutes);
	double *efficacy = dk_arena_array(arena, (size_t)c->fault_count + 3, sizeof *efficacy);
	int count = 0;
	for (int r = 0; r < c->repair_count; ++r) of_repair[r] = -1;

	// each group names one repair, that of its likeliest fault; lines with one repair are one
	for (int f = 0; f < c->fault_count; ++f)
	{
		of_fault[f] = -1;
		if (g->of_fault[f] < 0) continue;
		const dk_fault *named = &c->fault[g->best[g->of_fault[f]]];
		if (of_repair[named->repair] < 0)
		{
			minutes[count] = fmax(named->mend_minutes, 1);
			efficacy[count] = c->repair[named->repair].efficacy;
			of_repair[named->repair] = count++;
		}
		of_fault[f] = of_repair[named->repair];
	}
	minutes[count] = minutes[count + 1] = 1;
	return (dk_classes){ .count = count + 2,
		.of_fault = of_fault,
		.share = g->marginal,
		.minutes = minutes,
		.efficacy = efficacy };
}

// ---- causes

// 5, 50 and 95 % of the severity; in a pair that of its likelier fault.
static void cause_severity(const dk_posterior *post, int cause, int which, dk_arena *arena, dk_cause *out)
{
	int room = 0, count = 0;
	for (int c = 0; c < post->cell_count; ++c) room += post->cell[c].cause == cause ? post->cell[c].n : 0;
	double *value = dk_arena_array(arena, (size_t)room + 1, sizeof *value);
	double *weight = dk_arena_array(arena, (size_t)room + 1, sizeof *weight);
	int *order = dk_arena_array(arena, (size_t)room + 1, sizeof *order);
	double doubt = 0, all = 0;
	for (int c = 0; c < post->cell_count; ++c)
		for (int i = 0; i < post->cell[c].n && post->cell[c].cause == cause; ++i)
		{
			value[count] = post->cell[c].severity[2 * i + which];
			all += weight[count] = dk_posterior_engine(post, c, i);
			doubt += post->cell[c].unsettled[i] ? weight[count] : 0;
			++count;
		}
	out->unsettled = all > 0 ? doubt / all : 0;
	out->severity_low = out->severity_mid = out->severity_high = NAN;
	if (!(all > 0)) return;
	out->severity_low = dk_quantile(value, weight, count, 0.05, order);
	out->severity_mid = dk_quantile(value, weight, count, 0.50, order);
	out->severity_high = dk_quantile(value, weight, count, 0.95, order);
}

static const char *severity_text(const dk_catalog *catalog, int fault, double severity, dk_arena *arena)
{
	char text[200];
	return dk_arena_text(arena, dk_fault_measure(&catalog->fault[fault], severity, text, sizeof text));
}

static int by_strength(const void *a, const void *b)
{
	const dk_why *x = a, *y = b;
	const double p = fabs(x->log_ratio), q = fabs(y->log_ratio);
	if (p != q) return p > q ? -1 : 1;
	return x->observation - y->observation;
}

// Reasons, strongest first; among equals in canonical order.
static void cause_reasons(const dk_posterior *post, const double *ratio, const int *place, int items,
    dk_arena *arena, dk_cause *out)
{
	dk_why *why = dk_arena_array(arena, (size_t)items + 1, sizeof *why);
	for (int i = 0; i < items; ++i)
		if (fabs(ratio[i]) >= WHY_LEAST) why[out->why_count++] = (dk_why){ place[i], ratio[i] };
	qsort(why, (size_t)out->why_count, sizeof *why, by_strength);

	// back from canonical place to the request's index
	for (int w = 0; w < out->why_count; ++w)
		for (int i = 0; i < items; ++i)
			if (place[i] == why[w].observation)
			{
				why[w].observation = i;
				break;
			}
	out->why = why;
	(void)post;
}

static const char *cause_id(const dk_catalog *catalog, const dk_cell *cell, dk_arena *arena)
{
	const char *id = catalog->fault[cell->fault[0]].id;
	for (int k = 1; k < cell->fault_count; ++k)
		id = dk_arena_format(arena, "%s+%s", id, catalog->fault[cell->fault[k]].id);
	return id;
}

// Group that a cause is listed under: the highest of its faults'.
static int cause_group(const dk_cell *cell, const grouping *g)
{
	int best = g->of_fault[cell->fault[0]];
	for (int k = 1; k < cell->fault_count; ++k)
	{
		const int group = g->of_fault[cell->fault[k]];
		if (g->rank[group] < g->rank[best]) best = group;
	}
	return best;
}

static int by_group(const void *a, const void *b)
{
	const dk_cause *x = a, *y = b;
	if (x->group != y->group) return x->group - y->group;
	if (x->probability != y->probability) return x->probability > y->probability ? -1 : 1;
	return strcmp(x->id, y->id);
}

static void list_causes(
    const dk_posterior *post, const grouping *g, const int *place, dk_arena *arena, dk_trace_answer *answer)
{
	const dk_trace_input *in = post->input;
	const int items = in->request->observation_count + in->request->tried_count;
	dk_cause *cause = dk_arena_array(arena, (size_t)post->cause_count + 1, sizeof *cause);
	double *low = dk_arena_array(arena, (size_t)post->cause_count + 1, sizeof *low);
	double *high = dk_arena_array(arena, (size_t)post->cause_count + 1, sizeof *high);
	double *ratio = dk_arena_array(arena, (size_t)post->cause_count * (size_t)items + 1, sizeof *ratio);
	double rest = 0;
	dk_posterior_interval(post, in->seed, low, high);
	dk_posterior_reasons(post, ratio);
	for (int k = 1; k < post->cause_count; ++k)
	{
		const dk_cell *cell = &post->cell[post->cause_cell[k]];
		if (cell->n == 0 || (cell->fault_count > 1 && post->cause_share[k] < PAIR_LISTED))
		{
			rest += post->cause_share[k];
			continue;
		}
		dk_cause *out = &cause[answer->cause_count++];
		int which = 0;
		for (int f = 1; f < cell->fault_count; ++f)
			if (g->marginal[cell->fault[f]] > g->marginal[cell->fault[which]]) which = f;
		*out = (dk_cause){ .id = cause_id(in->catalog, cell, arena),
			.fault = { -1, -1, -1 },
			.fault_count = cell->fault_count,
			.group = g->rank[cause_group(cell, g)],
			.probability = post->cause_share[k],
			.low = low[k],
			.high = high[k],
			.composed = cell->fault_count > 1 && !cell->simulated };
		memcpy(out->fault, cell->fault, (size_t)cell->fault_count * sizeof(int));
		cause_severity(post, k, which, arena, out);
		out->severity_text = severity_text(in->catalog, cell->fault[which], out->severity_mid, arena);
		cause_reasons(post, &ratio[k * items], place, items, arena, out);
	}
	if (rest > 0)
		cause[answer->cause_count++] = (dk_cause){ .id = DK_OTHER_PAIRS,
			.fault = { -1, -1, -1 },
			.group = g->count,
			.probability = rest,
			.low = NAN,
			.high = NAN,
			.severity_low = NAN,
			.severity_mid = NAN,
			.severity_high = NAN,
			.severity_text = "",
			.composed = true };
	qsort(cause, (size_t)answer->cause_count, sizeof *cause, by_group);
	if (rest > 0) cause[answer->cause_count - 1].group = -1;
	answer->cause = cause;
}

static void list_groups(const dk_posterior *post, const grouping *g, dk_arena *arena, dk_trace_answer *answer)
{
	const dk_catalog *c = post->input->catalog;
	dk_trace_group *group = dk_arena_array(arena, (size_t)g->count + 1, sizeof *group);
	for (int k = 0; k < g->count; ++k)
	{
		dk_trace_group *out = &group[g->rank[k]];
		int *fault = dk_arena_array(arena, (size_t)c->fault_count + 1, sizeof *fault);
		for (int f = 0; f < c->fault_count; ++f)
			if (g->of_fault[f] == k) fault[out->fault_count++] = f;
		out->fault = fault;
		out->id = c->fault[g->first[k]].id;
		out->repair = c->repair[c->fault[g->best[k]].repair].id;
		out->probability = g->share[k];
	}
	answer->group = group;
	answer->group_count = g->count;
	answer->marginal = g->marginal;
}

// ---- conflicts

static int by_nats(const void *a, const void *b)
{
	const dk_conflict *x = a, *y = b;
	return x->nats != y->nats ? (x->nats > y->nats ? -1 : 1) : 0;
}

static bool counts(const dk_lens *lens)
{
	return lens->kind == DK_LENS_GAUGE || lens->kind == DK_LENS_SIGN;
}

static void list_conflicts(const dk_posterior *post, dk_arena *arena, dk_trace_answer *answer)
{
	const dk_optics *o = post->optics;
	const int n = o->lens_count;
	dk_conflict *row = dk_arena_array(arena, (size_t)(n * n + n) + 1, sizeof *row);
	double *nats = dk_arena_array(arena, (size_t)n + 1, sizeof *nats);
	int count = 0;
	dk_posterior_misfit(post, nats);
	for (int a = 0; a < n; ++a)
	{
		if (nats[a] > MISFIT_NATS) row[count++] = (dk_conflict){ o->lens[a].observation, -1, nats[a] };
		for (int b = a + 1; b < n && counts(&o->lens[a]); ++b)
		{
			if (!counts(&o->lens[b])) continue;
			const double pull = dk_posterior_pull(post, a, b);
			if (pull > PULL_NATS)
				row[count++] = (dk_conflict){ o->lens[a].observation, o->lens[b].observation, pull };
		}
	}
	qsort(row, (size_t)count, sizeof *row, by_nats);
	answer->conflict = row;
	answer->conflict_count = count;
}

// ---- the answer

// Canonical place of each observation and tried repair, and the order for inputs[].
static int *canonical_places(const dk_posterior *post, dk_arena *arena, dk_trace_answer *answer)
{
	const dk_request *r = post->input->request;
	int *order = dk_arena_array(arena, (size_t)r->observation_count + 1, sizeof *order);
	int *place = dk_arena_array(arena, (size_t)(r->observation_count + r->tried_count) + 1, sizeof *place);
	for (int k = 0; k < post->optics->lens_count; ++k)
	{
		order[k] = post->optics->lens[k].observation;
		place[order[k]] = k;
	}

	// tried repairs: by id, then by result
	for (int a = 0; a < r->tried_count; ++a)
	{
		int before = 0;
		for (int b = 0; b < r->tried_count; ++b)
		{
			const dk_tried *x = &r->tried[a], *y = &r->tried[b];
			before +=
			    y->repair < x->repair ||
			    (y->repair == x->repair && (y->result < x->result || (y->result == x->result && b < a)));
		}
		place[r->observation_count + a] = r->observation_count + before;
	}
	answer->order = order;
	return place;
}

static double effective_engines(const dk_posterior *post, dk_arena *arena)
{
	int room = 0, count = 0;
	for (int c = 0; c < post->cell_count; ++c) room += post->cell[c].n;
	double *weight = dk_arena_array(arena, (size_t)room + 1, sizeof *weight);
	for (int c = 0; c < post->cell_count; ++c)
		for (int i = 0; i < post->cell[c].n; ++i) weight[count++] = dk_posterior_engine(post, c, i);
	return dk_mix_effective(weight, count);
}

dk_status dk_trace(const dk_trace_input *input, dk_arena *arena, dk_trace_answer *answer, dk_error *error)
{
	const dk_status status = check_input(input, error);
	if (status != DK_OK) return status;
	dk_trace_answer out = { 0 };

	// red rules need nothing but what was seen
	dk_red_rules(input->catalog, input->request, arena, &out.red);
	dk_posterior *post = dk_posterior_of(input, arena);
	const int *place = canonical_places(post, arena, &out);
	const grouping g = group_causes(post, arena);
	list_groups(post, &g, arena, &out);
	out.healthy = post->healthy;
	out.none_of_these = post->none;
	out.log_evidence = post->log_evidence;
	out.pairs_weighed = post->pairs_weighed;
	out.pairs_simulated = post->pairs_simulated;
	if (post->cell_count > 0)
	{
		list_causes(post, &g, place, arena, &out);
		list_conflicts(post, arena, &out);
		const dk_classes classes = classes_of(post, &g, arena);
		dk_may_of(post, &out.red, arena, &out.may);
		dk_next_of(post, &classes, &out.red, arena, &out);
		out.effective_engines = effective_engines(post, arena);
	}
	else
		dk_may_of(post, &out.red, arena, &out.may);
	*answer = out;
	return DK_OK;
}
