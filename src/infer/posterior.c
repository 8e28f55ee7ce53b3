// All hypotheses weighed: see posterior.h.
#include "infer/posterior.h"
#include "engine/tables.h"
#include "infer/mix.h"
#include "population/bank_pair.h"
#include "population/draw.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

static double *numbers(dk_arena *arena, int count)
{
	return dk_arena_array(arena, (size_t)count + 1, sizeof(double));
}

static double add_logs(double a, double b)
{
	if (a < b)
	{
		const double keep = a;
		a = b;
		b = keep;
	}
	return b > a - 40 ? a + log1p(exp(b - a)) : a;
}

// ---- cells

// Strata of one fault, in the order of the bank: first and count.
static int strata_of(const dk_bank *bank, int fault, int *count)
{
	int first = -1;
	*count = 0;
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		if (bank->stratum[s].fault_count != 1 || bank->stratum[s].fault[0] != fault) continue;
		if (first < 0) first = s;
		++*count;
	}
	return first;
}

static void cell_room(dk_posterior *post, dk_cell *cell, int n)
{
	const int lenses = post->optics->lens_count;
	cell->n = n;
	cell->severity = numbers(post->arena, 2 * n);
	cell->severity_weight = numbers(post->arena, n);
	cell->all = numbers(post->arena, n);
	cell->at_node = numbers(post->arena, n * post->input->bank_count);
	cell->without = numbers(post->arena, lenses * n);
	cell->alone = numbers(post->arena, lenses * n);
	cell->unsettled = dk_arena_array(post->arena, (size_t)n + 1, 1);
	cell->log_without = numbers(post->arena, lenses);
}

static void single_cell(dk_posterior *post, int stratum, double hits)
{
	const dk_stratum *from = &post->input->bank[0]->stratum[stratum];
	dk_cell *cell = &post->cell[post->cell_count++];
	cell->fault_count = from->fault_count;
	cell->fault[0] = from->fault_count ? from->fault[0] : -1;
	cell->stratum[0] = stratum;
	cell->stratum[1] = -1;
	cell->hit_count = from->hit_count;
	cell_room(post, cell, from->n);
	const int f = cell->fault[0];
	cell->weight = f < 0 ? post->prior.healthy : post->prior.single[f] * hits;
	cell->base = f < 0 ? post->prior.base_healthy : post->prior.base_single[f] * hits;
	for (int i = 0; i < from->n; ++i) cell->severity[2 * i] = from->severity ? from->severity[3 * i] : 0;
	if (f < 0)
		cell->severity_weight[0] = 1;
	else
		dk_prior_severity(post->input->catalog->fault[f].onset_kind, from->n, cell->severity_weight);
}

static void single_cells(dk_posterior *post)
{
	const dk_bank *bank = post->input->bank[0];
	single_cell(post, 0, 1);
	for (int f = 0; f < post->input->catalog->fault_count; ++f)
	{
		int count;
		const int first = strata_of(bank, f, &count);
		if (!post->possible[f]) continue;
		for (int s = first, k = 1; s < bank->stratum_count && k <= count; ++s)
		{
			if (bank->stratum[s].fault_count != 1 || bank->stratum[s].fault[0] != f) continue;
			single_cell(post, s, dk_prior_hits(k++, count));
		}
	}
	post->single_count = post->cell_count;
}

// ---- likelihood of a cell

void dk_posterior_pose(const dk_posterior *post, const dk_cell *cell, int b, int i, const dk_optics *optics,
    dk_view *const *view, dk_pose *pose)
{
	const dk_bank *bank = post->input->bank[b];
	if (cell->stratum[1] < 0)
		dk_pose_single(optics, view[cell->stratum[0]], i, pose);
	else
		dk_pose_pair(bank, optics, view[cell->stratum[0]], view[cell->stratum[1]], &cell->severity[2 * i],
		    cell->simulated ? cell->simulated[b] : NULL, i, pose);
}

// One engine over all condition nodes: chances add up with the nodes' weights.
static void weigh_engine(dk_posterior *post, dk_cell *cell, int i, int draws, bool details, bool by_itself)
{
	const int lenses = post->optics->lens_count, n = cell->n;
	double *without = post->row, *alone = post->row + lenses;
	dk_verdict verdict = { .without = details ? without : NULL, .alone = by_itself ? alone : NULL };
	cell->all[i] = -INFINITY;
	for (int k = 0; k < lenses; ++k) cell->alone[k * n + i] = cell->without[k * n + i] = -INFINITY;
	for (int b = 0; b < post->input->bank_count; ++b)
	{
		const double node = post->log_node[b];
		cell->at_node[b * n + i] = -INFINITY;
		if (!(node > -INFINITY)) continue;
		dk_posterior_pose(post, cell, b, i, post->optics, post->view[b], post->pose);
		dk_weigh_pose(post->optics, post->pose, post->draws, draws, post->scratch, &verdict);
		cell->at_node[b * n + i] = node + verdict.all;
		cell->all[i] = add_logs(cell->all[i], node + verdict.all);
		cell->unsettled[i] |= verdict.unsettled;
		for (int k = 0; k < lenses; ++k)
		{
			if (by_itself) cell->alone[k * n + i] = add_logs(cell->alone[k * n + i], node + alone[k]);
			if (details) cell->without[k * n + i] = add_logs(cell->without[k * n + i], node + without[k]);
		}
	}
}

// An engine that did not settle takes the larger likelihood of its neighbours in severity.
static void borrow(const dk_posterior *post, dk_cell *cell)
{
	const int n = cell->n;
	for (int i = 0; i < n && cell->stratum[1] < 0; ++i)
	{
		if (!cell->unsettled[i]) continue;
		int below = i, above = i, from = -1;
		while (below >= 0 && cell->unsettled[below]) --below;
		while (above < n && cell->unsettled[above]) ++above;
		if (below >= 0) from = below;
		if (above < n && (from < 0 || cell->all[above] > cell->all[from])) from = above;
		if (from < 0) continue;
		cell->all[i] = cell->all[from];
		for (int b = 0; b < post->input->bank_count; ++b)
			cell->at_node[b * n + i] = cell->at_node[b * n + from];
		for (int k = 0; k < post->optics->lens_count; ++k)
		{
			cell->without[k * n + i] = cell->without[k * n + from];
			cell->alone[k * n + i] = cell->alone[k * n + from];
		}
	}
}

// ln of the mean over the engines, by severity weight.
static double mean_log(const dk_cell *cell, const double *log_value, int engines)
{
	double sum = -INFINITY, weight = 0;
	for (int i = 0; i < engines; ++i)
	{
		sum = add_logs(sum, log(cell->severity_weight[i]) + log_value[i]);
		weight += cell->severity_weight[i];
	}
	return sum - log(weight);
}

static void weigh_cell(dk_posterior *post, dk_cell *cell)
{
	for (int i = 0; i < cell->n; ++i) weigh_engine(post, cell, i, DK_DRAWS, true, cell->stratum[1] < 0);
	borrow(post, cell);
	cell->log_evidence = mean_log(cell, cell->all, cell->n);
	for (int k = 0; k < post->optics->lens_count; ++k)
		cell->log_without[k] = mean_log(cell, &cell->without[k * cell->n], cell->n);
}

// ---- pairs

typedef struct candidate
{
	int a, b; // faults
	int stratum[2];
	double promise; // ln of weight times the mean over the screen
} candidate;

static int by_promise(const void *left, const void *right)
{
	const candidate *x = left, *y = right;
	if (x->promise != y->promise) return x->promise > y->promise ? -1 : 1;
	return x->a != y->a ? x->a - y->a : x->b - y->b;
}

static void pair_severities(
    const dk_posterior *post, const int stratum[2], const int fault[2], int n, dk_cell *cell)
{
	double sum = 0;
	for (int i = 0; i < n; ++i)
	{
		double *s = &cell->severity[2 * i];
		dk_bank_pair_severity(post->input->bank[0], stratum[0], stratum[1], i, s);
		const dk_fault *row = post->input->catalog->fault;
		sum += cell->severity_weight[i] = dk_prior_severity_density(row[fault[0]].onset_kind, s[0]) *
		                                  dk_prior_severity_density(row[fault[1]].onset_kind, s[1]);
	}
	for (int i = 0; i < n && sum > 0; ++i) cell->severity_weight[i] /= sum;
}

static bool pair_strata(const dk_posterior *post, int a, int b, int stratum[2])
{
	int count;
	stratum[0] = strata_of(post->input->bank[0], a, &count);
	stratum[1] = strata_of(post->input->bank[0], b, &count);
	return stratum[0] >= 0 && stratum[1] >= 0 &&
	       dk_bank_can_pair(post->input->bank[0], stratum[0], stratum[1]);
}

// A first look at a pair: few engines, few draws. Adds its part to the mixture's own predictive.
static double screen(dk_posterior *post, dk_cell *try, const candidate *c)
{
	const int fault[2] = { c->a, c->b }, n = post->input->catalog->fault_count;
	memcpy(try->stratum, c->stratum, sizeof try->stratum);
	pair_severities(post, c->stratum, fault, DK_PAIR_SCREEN, try);
	for (int i = 0; i < DK_PAIR_SCREEN; ++i) weigh_engine(post, try, i, DK_DRAWS_SCREEN, false, true);
	const double base = post->prior.base_pair[c->a * n + c->b];
	for (int k = 0; k < post->optics->lens_count; ++k)
		post->predictive[k] =
		    add_logs(post->predictive[k], log(base) + mean_log(try, &try->alone[k * try->n], DK_PAIR_SCREEN));
	return mean_log(try, try->all, DK_PAIR_SCREEN);
}

static void pair_cell(dk_posterior *post, const candidate *c)
{
	const int n = post->input->catalog->fault_count, fault[2] = { c->a, c->b };
	dk_cell *cell = &post->cell[post->cell_count++];
	*cell = (dk_cell){
		.fault = { c->a, c->b, -1 }, .fault_count = 2, .stratum = { c->stratum[0], c->stratum[1] }
	};
	cell_room(post, cell, DK_BANK_SEVERITIES);
	cell->weight = post->prior.pair[c->a * n + c->b];
	cell->base = post->prior.base_pair[c->a * n + c->b];
	pair_severities(post, c->stratum, fault, cell->n, cell);
	weigh_cell(post, cell);
	++post->pairs_weighed;
}

// A pair that promises little keeps what the screen made of it: its engines are not looked at again, and each
// observation is taken to say of it what it says of the mixture.
static void light_cell(dk_posterior *post, const candidate *c)
{
	const int at = c->a * post->input->catalog->fault_count + c->b;
	dk_cell *cell = &post->cell[post->cell_count++];
	*cell = (dk_cell){
		.fault = { c->a, c->b, -1 }, .fault_count = 2, .stratum = { c->stratum[0], c->stratum[1] }
	};
	cell->log_without = numbers(post->arena, post->optics->lens_count);
	cell->weight = post->prior.pair[at];
	cell->base = post->prior.base_pair[at];
	cell->log_evidence = c->promise - log(cell->base);
	for (int k = 0; k < post->optics->lens_count; ++k)
		cell->log_without[k] = cell->log_evidence - post->predictive[k];
}

static void pair_cells(dk_posterior *post)
{
	const int n = post->input->catalog->fault_count;
	candidate *all = dk_arena_array(post->arena, (size_t)(n * n) + 1, sizeof *all);
	dk_cell try = { .fault = { -1, -1, -1 }, .fault_count = 2 };
	int count = 0;
	double known = -INFINITY;
	cell_room(post, &try, DK_BANK_SEVERITIES);
	for (int c = 0; c < post->cell_count; ++c)
		known = add_logs(known, log(post->cell[c].base) + post->cell[c].log_evidence);
	for (int a = 0; a < n; ++a)
		for (int b = a + 1; b < n; ++b)
		{
			candidate *c = &all[count];
			*c = (candidate){ .a = a, .b = b };
			if (!post->possible[a] || !post->possible[b] || !(post->prior.base_pair[a * n + b] > 0)) continue;
			if (!pair_strata(post, a, b, c->stratum)) continue;
			c->promise = log(post->prior.base_pair[a * n + b]) + screen(post, &try, c);
			known = add_logs(known, c->promise);
			++count;
		}
	qsort(all, (size_t)count, sizeof *all, by_promise);
	for (int i = 0; i < count; ++i)
		if (i < DK_PAIRS_WEIGHED && all[i].promise > known + log(DK_PAIR_LEAST))
			pair_cell(post, &all[i]);
		else
			light_cell(post, &all[i]);
}

// ---- the whole

static int same_faults(const dk_cell *a, const dk_cell *b)
{
	return a->fault_count == b->fault_count &&
	       !memcmp(a->fault, b->fault, (size_t)a->fault_count * sizeof(int));
}

static void name_causes(dk_posterior *post)
{
	post->cause_count = 0;
	post->cause_cell = dk_arena_array(post->arena, (size_t)post->cell_count + 1, sizeof(int));
	for (int c = 0; c < post->cell_count; ++c)
	{
		int found = -1;
		for (int k = 0; k < post->cause_count && found < 0; ++k)
			if (same_faults(&post->cell[post->cause_cell[k]], &post->cell[c])) found = k;
		if (found < 0) post->cause_cell[found = post->cause_count++] = c;
		post->cell[c].cause = found;
	}
	post->cause_share = numbers(post->arena, post->cause_count);
	post->share = numbers(post->arena, post->cell_count);
}

// A composed pair is not shown above 10 %: what it has beyond goes to the others.
static void hold_composed(dk_posterior *post, double *log_weight)
{
	for (int round = 0; round < 4; ++round)
	{
		double sum = log_weight[post->cell_count];
		for (int c = 0; c < post->cell_count; ++c) sum = add_logs(sum, log_weight[c]);
		for (int c = post->single_count; c < post->cell_count; ++c)
			if (!post->cell[c].simulated && post->cell[c].n && log_weight[c] - sum > log(DK_PAIR_SHOWN))
			{
				const double others = sum + log1p(-exp(fmin(log_weight[c] - sum, -1e-12)));
				log_weight[c] = others + log(DK_PAIR_SHOWN / (1 - DK_PAIR_SHOWN));
				sum = add_logs(others, log_weight[c]);
			}
	}
}

static void share_out(dk_posterior *post, bool hold)
{
	const int n = post->cell_count;
	double *log_weight = numbers(post->arena, n + 1), *share = numbers(post->arena, n + 1);
	for (int c = 0; c < n; ++c) log_weight[c] = log(post->cell[c].weight) + post->cell[c].log_evidence;
	log_weight[n] = log(post->prior.none) + post->log_none;
	double known = -INFINITY;
	for (int c = 0; c < n; ++c) known = add_logs(known, log_weight[c]);
	post->log_evidence = known;
	if (hold) hold_composed(post, log_weight);
	dk_mix_shares(log_weight, n + 1, share);
	for (int k = 0; k < post->cause_count; ++k) post->cause_share[k] = 0;
	for (int c = 0; c < n; ++c)
	{
		post->share[c] = share[c];
		post->cause_share[post->cell[c].cause] += share[c];
	}
	post->healthy = n ? post->cause_share[0] : 0;
	post->none = share[n];
}

// Pairs that would be shown high are simulated, those that can't be are held.
static void simulate_pairs(dk_posterior *post)
{
	const dk_trace_input *in = post->input;
	for (int round = 0; round < 3 && in->simulate_pair; ++round)
	{
		bool again = false;
		share_out(post, false);
		for (int c = post->single_count; c < post->cell_count; ++c)
		{
			dk_cell *cell = &post->cell[c];
			if (cell->simulated || post->share[c] <= DK_PAIR_SHOWN) continue;
			const dk_stratum **by_bank = dk_arena_array(post->arena, (size_t)in->bank_count, sizeof *by_bank);
			bool all = true;
			for (int b = 0; b < in->bank_count && all; ++b)
			{
				if (!(post->log_node[b] > -INFINITY)) continue;
				by_bank[b] = in->simulate_pair(in->simulate_context, b, cell->stratum[0], cell->stratum[1]);
				all = by_bank[b] && by_bank[b]->n == cell->n;
			}
			if (!all) continue;
			cell->simulated = by_bank;
			weigh_cell(post, cell);
			++post->pairs_simulated;
			again = true;
		}
		if (!again) break;
	}
	share_out(post, true);
}

static void none_of_these(dk_posterior *post)
{
	post->log_none = 0;
	for (int k = 0; k < post->optics->lens_count; ++k)
	{
		const dk_lens *lens = &post->optics->lens[k];
		if (lens->kind != DK_LENS_GAUGE && lens->kind != DK_LENS_SIGN) continue;
		post->log_none += log(0.5 * exp(post->predictive[k]) + 0.5 * lens->uniform);
	}
}

static void mixture_of_singles(dk_posterior *post)
{
	for (int k = 0; k < post->optics->lens_count; ++k)
	{
		post->predictive[k] = -INFINITY;
		for (int c = 0; c < post->cell_count; ++c)
		{
			const dk_cell *cell = &post->cell[c];
			post->predictive[k] = add_logs(
			    post->predictive[k], log(cell->base) + mean_log(cell, &cell->alone[k * cell->n], cell->n));
		}
	}
}

static void look_at_banks(dk_posterior *post)
{
	const dk_trace_input *in = post->input;
	const dk_view_scale scale = { in->z_scale_air, in->z_scale_sea };
	double sum = 0;
	for (int b = 0; b < in->bank_count; ++b) sum += in->bank_weight ? in->bank_weight[b] : 1;
	post->log_node = numbers(post->arena, in->bank_count);
	post->view = dk_arena_array(post->arena, (size_t)in->bank_count + 1, sizeof *post->view);
	for (int b = 0; b < in->bank_count; ++b)
	{
		const dk_bank *bank = in->bank[b];
		post->log_node[b] = log((in->bank_weight ? in->bank_weight[b] : 1) / sum);
		post->view[b] = dk_arena_array(post->arena, (size_t)bank->stratum_count, sizeof **post->view);
		for (int s = 0; s < bank->stratum_count; ++s)
			if (bank->stratum[s].fault_count <= 1)
				post->view[b][s] = dk_view_of(bank, &bank->stratum[s], s ? post->view[b][0] : NULL,
				    in->catalog, post->optics, scale, post->arena);
	}
}

static void what_is_possible(dk_posterior *post)
{
	const dk_trace_input *in = post->input;
	post->possible = dk_arena_array(post->arena, (size_t)in->catalog->fault_count + 1, sizeof(bool));
	for (int f = 0; f < in->catalog->fault_count; ++f)
	{
		int count = 1;
		if (in->bank_count > 0) strata_of(in->bank[0], f, &count);
		post->possible[f] =
		    count > 0 && !(in->without && in->without[f]) &&
		    (!in->installation || dk_when_holds(&in->catalog->fault[f].fitted, in->installation));
	}
}

dk_posterior *dk_posterior_of(const dk_trace_input *input, dk_arena *arena)
{
	dk_posterior *post = dk_arena_take(arena, sizeof *post);
	post->input = input;
	post->arena = arena;
	post->optics = dk_optics_of_request(input->catalog, input->request, arena);
	what_is_possible(post);
	const dk_prior_request ask = { .catalog = input->catalog,
		.request = input->request,
		.optics = post->optics,
		.possible = post->possible,
		.factor = input->prior_factor,
		.flat = input->flat_priors,
		.omit_lens = -1,
		.omit_tried = -1 };
	dk_prior_of(&ask, arena, &post->prior);
	if (input->bank_count <= 0) return post;
	post->draws = dk_draws_of(post->optics->column_count, arena);
	post->scratch = dk_scratch_new(post->optics, arena);
	post->pose = dk_pose_new(post->optics, arena);
	post->predictive = numbers(arena, post->optics->lens_count);
	post->row = numbers(arena, 2 * post->optics->lens_count);
	look_at_banks(post);
	post->cell = dk_arena_array(arena,
	    (size_t)(input->bank[0]->stratum_count + input->catalog->fault_count * input->catalog->fault_count),
	    sizeof *post->cell);
	single_cells(post);
	for (int c = 0; c < post->single_count; ++c) weigh_cell(post, &post->cell[c]);
	mixture_of_singles(post);
	pair_cells(post);
	none_of_these(post);
	name_causes(post);
	simulate_pairs(post);
	return post;
}

// ---- reasons

// Weights of everything without one item: by cause, and of none.
static void shares_without(
    const dk_posterior *post, int lens, const dk_prior *prior, double *log_cause, double *log_none)
{
	const int n = post->input->catalog->fault_count;
	for (int k = 0; k < post->cause_count; ++k) log_cause[k] = -INFINITY;
	for (int c = 0; c < post->cell_count; ++c)
	{
		const dk_cell *cell = &post->cell[c];
		double weight = cell->weight;
		if (prior && cell->fault_count == 0)
			weight = prior->healthy;
		else if (prior)
		{
			const bool two = cell->fault_count == 2;
			const double then = two ? post->prior.pair[cell->fault[0] * n + cell->fault[1]]
			                        : post->prior.single[cell->fault[0]];
			const double now =
			    two ? prior->pair[cell->fault[0] * n + cell->fault[1]] : prior->single[cell->fault[0]];
			weight *= then > 0 ? now / then : 0;
		}
		const double log_like = prior || lens < 0 ? cell->log_evidence : cell->log_without[lens];
		log_cause[cell->cause] = add_logs(log_cause[cell->cause], log(weight) + log_like);
	}
	*log_none = log(prior ? prior->none : post->prior.none) + post->log_none;
	if (!prior && lens >= 0)
		*log_none -= log(0.5 * exp(post->predictive[lens]) + 0.5 * post->optics->lens[lens].uniform);
}

// ln odds of each cause against everything else, none of these among it. Sums from both ends, so that a cause
// that has nearly all is not lost in a difference.
static void log_odds(const double *log_cause, int count, double log_none, double *before, double *odds)
{
	double top = log_none;
	for (int k = 0; k < count; ++k) top = fmax(top, log_cause[k]);
	before[0] = exp(log_none - top);
	for (int k = 0; k < count; ++k) before[k + 1] = before[k] + exp(log_cause[k] - top);
	double after = 0;
	for (int k = count - 1; k >= 0; --k)
	{
		odds[k] = log_cause[k] - top - log(before[k] + after);
		after += exp(log_cause[k] - top);
	}
}

void dk_posterior_reasons(const dk_posterior *post, double *ratio)
{
	const dk_trace_input *in = post->input;
	const int items = in->request->observation_count + in->request->tried_count, causes = post->cause_count;
	double *all = numbers(post->arena, causes), *part = numbers(post->arena, causes), none;
	double *room = numbers(post->arena, causes + 1), *log_cause = numbers(post->arena, causes);
	shares_without(post, -1, NULL, log_cause, &none);
	log_odds(log_cause, causes, none, room, all);
	for (int i = 0; i < items * causes; ++i) ratio[i] = 0;
	for (int k = 0; k < post->optics->lens_count + in->request->tried_count; ++k)
	{
		const int tried = k - post->optics->lens_count;
		const dk_lens *lens = tried < 0 ? &post->optics->lens[k] : NULL;
		if (lens && lens->kind == DK_LENS_NOTHING) continue;
		const bool history = !lens || lens->kind == DK_LENS_SINCE || lens->kind == DK_LENS_AFTER;
		dk_prior prior;
		if (history)
		{
			const dk_prior_request ask = { .catalog = in->catalog,
				.request = in->request,
				.optics = post->optics,
				.possible = post->possible,
				.factor = in->prior_factor,
				.flat = in->flat_priors,
				.omit_lens = lens ? k : -1,
				.omit_tried = lens ? -1 : tried };
			dk_prior_of(&ask, post->arena, &prior);
		}
		shares_without(post, k, history ? &prior : NULL, log_cause, &none);
		log_odds(log_cause, causes, none, room, part);
		const int item = lens ? lens->observation : in->request->observation_count + tried;
		for (int cause = 0; cause < causes; ++cause)
			ratio[cause * items + item] = all[cause] > -INFINITY ? all[cause] - part[cause] : 0;
	}
}

void dk_posterior_misfit(const dk_posterior *post, double *nats)
{
	for (int k = 0; k < post->optics->lens_count; ++k)
	{
		const dk_lens *lens = &post->optics->lens[k];
		nats[k] = 0;
		if (lens->kind != DK_LENS_GAUGE && lens->kind != DK_LENS_SIGN) continue;
		double without = -INFINITY;
		for (int c = 0; c < post->cell_count; ++c)
			without = add_logs(without, log(post->cell[c].weight) + post->cell[c].log_without[k]);
		nats[k] = without - post->log_evidence + log(lens->uniform);
	}
}

double dk_posterior_pull(const dk_posterior *post, int a, int b)
{
	double both = -INFINITY, one = -INFINITY, other = -INFINITY;
	for (int c = 0; c < post->single_count; ++c)
	{
		const dk_cell *cell = &post->cell[c];
		for (int i = 0; i < cell->n; ++i)
		{
			const double w = log(cell->base) + log(cell->severity_weight[i]);
			const double x = cell->alone[a * cell->n + i], y = cell->alone[b * cell->n + i];
			one = add_logs(one, w + x);
			other = add_logs(other, w + y);
			both = add_logs(both, w + x + y);
		}
	}
	double total = -INFINITY;
	for (int c = 0; c < post->single_count; ++c) total = add_logs(total, log(post->cell[c].base));
	return one + other - both - total;
}

double dk_posterior_engine(const dk_posterior *post, int cell, int i)
{
	const dk_cell *c = &post->cell[cell];
	return post->share[cell] * c->severity_weight[i] * exp(c->all[i] - c->log_evidence);
}

double dk_posterior_at_node(const dk_posterior *post, int cell, int i, int bank)
{
	const dk_cell *c = &post->cell[cell];
	return post->share[cell] * c->severity_weight[i] * exp(c->at_node[bank * c->n + i] - c->log_evidence);
}

double dk_posterior_reading(
    const dk_posterior *post, const dk_cell *cell, int b, int i, int point, int reading)
{
	const dk_bank *bank = post->input->bank[b];
	if (cell->stratum[1] < 0) return dk_stratum_reading(&bank->stratum[cell->stratum[0]], point, reading, i);
	if (cell->simulated) return dk_stratum_reading(cell->simulated[b], point, reading, i);
	return dk_reading_restore(reading, dk_bank_pair_at(bank, cell->stratum[0], cell->stratum[1], point,
	                                       reading, cell->severity[2 * i], cell->severity[2 * i + 1]));
}

int dk_posterior_status(const dk_posterior *post, const dk_cell *cell, int b, int i, int point)
{
	const dk_bank *bank = post->input->bank[b];
	if (cell->stratum[1] < 0) return dk_stratum_status(&bank->stratum[cell->stratum[0]], point, i);
	if (cell->simulated) return dk_stratum_status(cell->simulated[b], point, i);
	int worst = DK_REACHED;
	for (int k = 0; k < 2; ++k)
	{
		const dk_stratum *one = &bank->stratum[cell->stratum[k]];
		const int near = (int)fmin(cell->severity[2 * i + k] * one->n, one->n - 1);
		const int status = dk_stratum_status(one, point, near);
		if (status == DK_NOT_REACHED || worst == DK_NOT_REACHED)
			worst = DK_NOT_REACHED;
		else if (status == DK_NOT_SETTLED)
			worst = status;
	}
	return worst;
}
