// The next check: see next.h.
#include "infer/next.h"
#include "base/text.h"
#include "engine/tables.h"
#include "infer/gates.h"
#include "infer/mix.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

const double dk_place_minutes[DK_PLACE_COUNT] = { 0, 1, 3, 3, 1 };

enum
{
	BINS = 512,
	CHANCES = DK_ANSWERS_MOST
};

// Everything that the questions are worked out with.
typedef struct survey
{
	const dk_posterior *post;
	const dk_classes *classes;
	dk_arena *arena;
	dk_optics *questions;
	bool *wanted;
	dk_view ***view;     // [bank][stratum] through the questions
	int engines;         // engines with enough weight, once a node
	double *weight;      // [engines]
	int *class_of;       // [engines]
	dk_outlook *outlook; // [engines][lenses]
} survey;

// ---- which questions

static bool seen_already(const dk_trace_input *in, int check, int sign, int point, int reading)
{
	for (int i = 0; i < in->request->observation_count; ++i)
	{
		const dk_observation *o = &in->request->observation[i];
		if (o->before || o->special == DK_SPECIAL_NOT_LOOKED) continue;
		if (check >= 0 && o->kind == DK_SEEN_CHECK && o->row == check) return true;
		if (o->point != point) continue;
		if (reading >= 0 && o->reading == reading) return true;
		const int of = o->kind == DK_SEEN_SIGN    ? o->row
		               : o->kind == DK_SEEN_CHECK ? in->catalog->check[o->row].sign
		                                          : -1;
		if (sign >= 0 && of == sign) return true;
	}
	return false;
}

static bool aboard(const dk_trace_input *in, const dk_whens *when)
{
	return !in->installation || dk_when_holds(when, in->installation);
}

static void choose_questions(survey *s)
{
	const dk_trace_input *in = s->post->input;
	const dk_catalog *c = in->catalog;
	for (int i = 0; i < c->check_count; ++i)
	{
		const dk_check *check = &c->check[i];
		const int reading = check->gives == DK_GIVES_READING ? dk_reading_find(check->reading) : -1;
		bool can = s->questions->lens[i].kind != DK_LENS_NOTHING && aboard(in, &check->ask_when);
		for (int k = 0; k < in->request->cannot_count; ++k) can &= in->request->cannot[k] != i;
		s->wanted[i] = can && !seen_already(in, i, check->sign, check->point, reading);
	}
	for (int i = 0; i < c->sign_count; ++i)
	{
		const int k = c->check_count + i;
		s->wanted[k] = s->questions->lens[k].kind != DK_LENS_NOTHING && aboard(in, &c->sign[i].ask_when) &&
		               !seen_already(in, -1, i, c->sign[i].default_point, -1);
	}
}

// ---- outlooks of all engines

static int class_of_cell(const survey *s, const dk_cell *cell)
{
	if (cell->fault_count == 0) return s->classes->count - 2;
	int best = cell->fault[0];
	for (int k = 1; k < cell->fault_count; ++k)
		if (s->classes->share[cell->fault[k]] > s->classes->share[best]) best = cell->fault[k];
	return s->classes->of_fault[best];
}

static void look_at_banks(survey *s)
{
	const dk_trace_input *in = s->post->input;
	const dk_view_scale scale = { in->z_scale_air, in->z_scale_sea };
	s->view = dk_arena_array(s->arena, (size_t)in->bank_count + 1, sizeof *s->view);
	for (int b = 0; b < in->bank_count; ++b)
	{
		const dk_bank *bank = in->bank[b];
		s->view[b] = dk_arena_array(s->arena, (size_t)bank->stratum_count, sizeof **s->view);
		for (int i = 0; i < bank->stratum_count; ++i)
			if (bank->stratum[i].fault_count <= 1)
				s->view[b][i] = dk_view_of(bank, &bank->stratum[i], i ? s->view[b][0] : NULL, in->catalog,
				    s->questions, scale, s->arena);
	}
}

// Engines of one cell that count at one node; and how many of them are looked at when every step-th is: all
// of a few.
static int engines_that_count(const dk_posterior *post, int c, int b)
{
	int count = 0;
	for (int i = 0; i < post->cell[c].n; ++i) count += dk_posterior_at_node(post, c, i, b) >= DK_ENGINE_LEAST;
	return count;
}

static int stride(int count, int step)
{
	return count > 4 * step ? step : 1;
}

static void one_outlook(survey *s, dk_scratch *ask, dk_pose *asked, int c, int i, int b)
{
	const dk_posterior *post = s->post;
	dk_posterior_pose(post, &post->cell[c], b, i, post->optics, post->view[b], post->pose);
	dk_posterior_pose(post, &post->cell[c], b, i, s->questions, s->view[b], asked);
	dk_weigh_questions(post->optics, post->pose, s->questions, asked, post->draws, s->wanted, post->scratch,
	    ask, &s->outlook[(size_t)s->engines * (size_t)s->questions->lens_count]);
	s->weight[s->engines] = dk_posterior_at_node(post, c, i, b);
	s->class_of[s->engines++] = class_of_cell(s, &post->cell[c]);
}

// Makes room for the engines that are looked at; returns the step.
static int room_for_engines(survey *s)
{
	const dk_posterior *post = s->post;
	int count = 0, taken = 0;
	for (int c = 0; c < post->cell_count; ++c)
		for (int b = 0; b < post->input->bank_count; ++b) count += engines_that_count(post, c, b);
	const int step = 1 + count / DK_ENGINES_ASKED;
	for (int c = 0; c < post->cell_count; ++c)
		for (int b = 0; b < post->input->bank_count; ++b)
		{
			const int here = engines_that_count(post, c, b);
			taken += here / stride(here, step) + 1;
		}
	s->weight = dk_arena_array(s->arena, (size_t)taken, sizeof *s->weight);
	s->class_of = dk_arena_array(s->arena, (size_t)taken, sizeof *s->class_of);
	s->outlook =
	    dk_arena_array(s->arena, (size_t)taken * (size_t)s->questions->lens_count, sizeof *s->outlook);
	return step;
}

// All engines that count; of many, every second (third, ...) severity of a cell stands for its neighbours,
// and the cell keeps its weight.
static void outlooks(survey *s)
{
	const dk_posterior *post = s->post;
	dk_pose *asked = dk_pose_new(s->questions, s->arena);
	dk_scratch *ask = dk_scratch_new(s->questions, s->arena);
	const int step = room_for_engines(s);
	for (int c = 0; c < post->cell_count; ++c)
		for (int b = 0; b < post->input->bank_count; ++b)
		{
			double all = 0, taken = 0;
			const int first = s->engines, each = stride(engines_that_count(post, c, b), step);
			int turn = each - 1 - each / 2;
			for (int i = 0; i < post->cell[c].n; ++i)
			{
				const double w = dk_posterior_at_node(post, c, i, b);
				if (w < DK_ENGINE_LEAST) continue;
				all += w;
				if (++turn % each) continue;
				taken += w;
				one_outlook(s, ask, asked, c, i, b);
			}
			for (int e = first; e < s->engines; ++e) s->weight[e] *= all / taken;
		}
}

static const dk_outlook *outlook(const survey *s, int engine, int lens)
{
	return &s->outlook[(size_t)engine * (size_t)s->questions->lens_count + (size_t)lens];
}

// ---- bands of a reading

// Edges between the five predictive quantiles, from a histogram of what the engines would show, error
// included.
static int band_edges(const survey *s, int lens, double *edge)
{
	static const double spread[DK_ASKED] = { -1.534, 0.489, -0.157, 0.887, -0.489, 1.534, 0.157, -0.887 };
	double low = INFINITY, high = -INFINITY, total = 0, bin[BINS] = { 0 };
	for (int pass = 0; pass < 2; ++pass)
		for (int e = 0; e < s->engines; ++e)
		{
			const dk_outlook *o = outlook(s, e, lens);
			if (!o->reachable) continue;
			const double sd = o->sd;
			for (int i = 0; i < DK_ASKED; ++i)
			{
				const double x = o->value[i] + sd * spread[i];
				if (pass == 0)
				{
					low = fmin(low, x);
					high = fmax(high, x);
					continue;
				}
				const int at = high > low ? (int)((x - low) / (high - low) * BINS) : 0;
				bin[at < BINS ? at : BINS - 1] += s->weight[e];
				total += s->weight[e];
			}
		}
	int count = 0;
	double run = 0;
	for (int i = 0; i < BINS && count < DK_BANDS - 1 && total > 0; ++i)
	{
		while (count < DK_BANDS - 1 && run + bin[i] > total * (count + 1) / DK_BANDS)
		{
			const double share = (total * (count + 1) / DK_BANDS - run) / bin[i];
			edge[count++] = low + (high - low) * (i + share) / BINS;
		}
		run += bin[i];
	}
	return count;
}

static void band_chances(
    const survey *s, const dk_outlook *o, const dk_lens *lens, const double *edge, int edges, double *chance)
{
	const dk_reading_row *info = &dk_reading_info[s->questions->latent[lens->latent].reading];
	const int reading = s->questions->latent[lens->latent].reading;
	const double from = dk_reading_transform(reading, info->span_low),
	             to = dk_reading_transform(reading, info->span_high);
	const double sd = o->sd;
	for (int a = 0; a <= edges; ++a) chance[a] = o->reachable ? 0 : 1.0 / (edges + 1);
	if (!o->reachable) return;
	for (int i = 0; i < DK_ASKED; ++i)
	{
		double last = 0;
		for (int a = 0; a <= edges; ++a)
		{
			const double upto = a < edges ? dk_draws_cdf(s->post->draws, (edge[a] - o->value[i]) / sd) : 1;
			chance[a] += (1 - DK_GROSS) * (upto - last) / DK_ASKED;
			last = upto;
		}
	}
	double last = 0;
	for (int a = 0; a <= edges; ++a)
	{
		const double upto = a < edges ? fmin(fmax((edge[a] - from) / (to - from), 0), 1) : 1;
		chance[a] += DK_GROSS * (upto - last);
		last = upto;
	}
}

static const char *band_text(const survey *s, int reading, double low, double high)
{
	char a[32], b[32];
	const char *unit = dk_reading_info[reading].unit;
	for (int figures = 3; figures <= 5; ++figures)
	{
		dk_text_number(low, figures, a, sizeof a);
		dk_text_number(high, figures, b, sizeof b);
		if (strcmp(a, b) != 0) break;
	}
	if (isnan(low) && isnan(high)) return "any";
	if (isnan(low)) return dk_arena_format(s->arena, "under %s %s", b, unit);
	if (isnan(high)) return dk_arena_format(s->arena, "%s %s or more", a, unit);
	return dk_arena_format(s->arena, "%s to %s %s", a, b, unit);
}

// ---- one question

typedef struct weighed
{
	dk_chance *answer;
	int answers;
	double bits, cost;
	double *joint, *spread; // [classes][answers]; variance of each class's mean chance
} weighed;

double dk_next_repair_cost(const dk_classes *classes, const double *share)
{
	const int repairs = classes->count - 2;
	double total = 0, left = 0, cost = 0;
	bool done[256] = { false };
	for (int k = 0; k < classes->count; ++k) total += share[k];
	if (!(total > 0)) return 0;
	left = 1 - share[repairs] / total;
	for (int step = 0; step < repairs && step < 256; ++step)
	{
		int best = -1;
		double most = -1;
		for (int k = 0; k < repairs && k < 256; ++k)
		{
			const double ratio = share[k] * classes->efficacy[k] / classes->minutes[k];
			if (!done[k] && ratio > most) most = ratio, best = k;
		}

		// when the next repair is dearer than what it can save, the yard is called
		if (best < 0 || most * DK_YARD_MINUTES < total * left) break;
		done[best] = true;
		cost += left * classes->minutes[best];
		left -= share[best] / total * classes->efficacy[best];
		if (left < 1e-12) break;
	}
	return cost + fmax(left, 0) * DK_YARD_MINUTES;
}

static void answer_rows(const survey *s, int lens, const double *edge, int edges, weighed *w)
{
	const dk_lens *l = &s->questions->lens[lens];
	const bool gauge = l->kind == DK_LENS_GAUGE;
	w->answers = gauge ? edges + 1 : l->look->answer_count;
	w->answer = dk_arena_array(s->arena, (size_t)w->answers, sizeof *w->answer);
	w->joint = dk_arena_array(s->arena, (size_t)(s->classes->count * w->answers), sizeof *w->joint);
	w->spread = dk_arena_array(s->arena, (size_t)(s->classes->count * w->answers), sizeof *w->spread);
	for (int a = 0; a < w->answers; ++a)
	{
		dk_chance *row = &w->answer[a];
		*row = (dk_chance){ .low = NAN, .high = NAN };
		if (!gauge)
		{
			row->id = l->look->answer[a].id;
			row->text = l->look->answer[a].text;
			continue;
		}
		const int reading = s->questions->latent[l->latent].reading;
		if (a > 0) row->low = dk_reading_restore(reading, edge[a - 1]);
		if (a < edges) row->high = dk_reading_restore(reading, edge[a]);
		row->id = dk_arena_format(s->arena, "band_%d", a + 1);
		row->text = band_text(s, reading, row->low, row->high);
	}
}

// A look with several answers at once is taken as one answer of them: each in proportion to its chance.
static void joint_of(const survey *s, int lens, const double *edge, int edges, weighed *w)
{
	const dk_lens *l = &s->questions->lens[lens];
	const int n = w->answers, k = s->classes->count;
	double chance[CHANCES];
	double *sum = dk_arena_array(s->arena, (size_t)(2 * k), sizeof *sum), *sum2 = sum + k;
	double *wwp = dk_arena_array(s->arena, (size_t)(2 * k * n), sizeof *wwp), *wwpp = wwp + k * n;
	for (int e = 0; e < s->engines; ++e)
	{
		const dk_outlook *o = outlook(s, e, lens);
		const double weight = s->weight[e];
		const int class = s->class_of[e];
		double all = 0;
		if (l->kind == DK_LENS_GAUGE)
			band_chances(s, o, l, edge, edges, chance);
		else
			for (int a = 0; a < n; ++a) chance[a] = o->chance[a];
		for (int a = 0; a < n; ++a) all += chance[a];
		sum[class] += weight;
		sum2[class] += weight * weight;
		for (int a = 0; a < n; ++a)
		{
			const double p = chance[a] / all;
			w->joint[class * n + a] += weight * p;
			wwp[class * n + a] += weight * weight * p;
			wwpp[class * n + a] += weight * weight * p * p;
		}
	}
	for (int c = 0; c < k; ++c)
		for (int a = 0; a < n; ++a)
			w->spread[c * n + a] =
			    dk_mix_spread(sum[c], w->joint[c * n + a], sum2[c], wwp[c * n + a], wwpp[c * n + a]);
}

// An unknown fault: half like the mixture, half anything, in the chances that are shown. Bits count it as
// like the mixture: a question is not worth asking because whatever it gives, odd answers would speak for the
// unknown.
static void unknown_row(const survey *s, weighed *w)
{
	const int k = s->classes->count, none = k - 1;
	double known = 0;
	for (int i = 0; i < k * w->answers; ++i) known += w->joint[i];
	for (int a = 0; a < w->answers; ++a)
	{
		double column = 0;
		for (int c = 0; c < k - 1; ++c) column += w->joint[c * w->answers + a];
		const double mixture = known > 0 ? column / known : 1.0 / w->answers;
		w->joint[none * w->answers + a] = s->post->none * mixture;
		w->answer[a].chance =
		    (column + s->post->none * (0.5 * mixture + 0.5 / w->answers)) / (known + s->post->none);
	}
}

static weighed weigh_question(const survey *s, int lens)
{
	weighed w = { 0 };
	double edge[DK_BANDS];
	const bool gauge = s->questions->lens[lens].kind == DK_LENS_GAUGE;
	const int edges = gauge ? band_edges(s, lens, edge) : 0;
	answer_rows(s, lens, edge, edges, &w);
	joint_of(s, lens, edge, edges, &w);
	unknown_row(s, &w);
	w.bits = dk_mix_bits_corrected(w.joint, w.spread, s->classes->count, w.answers);

	// what the repair will cost on average, once the answer is known
	double *share = dk_arena_array(s->arena, (size_t)s->classes->count, sizeof *share);
	for (int a = 0; a < w.answers; ++a)
	{
		for (int k = 0; k < s->classes->count; ++k) share[k] = w.joint[k * w.answers + a];
		w.cost += w.answer[a].chance * dk_next_repair_cost(s->classes, share);
	}
	return w;
}

// ---- what may not be done

static bool place_is(const dk_trace_input *in, const char *id)
{
	if (in->catalog->where < 0 || in->request->where < 0) return false;
	return !strcmp(in->catalog->sign[in->catalog->where].look.answer[in->request->where].id, id);
}

// Whether what was seen says that it can't be run, or that the starter turns nothing.
static bool seen_only(const dk_trace_input *in, const char *sign, const char *const *answers, int count)
{
	const int row = dk_sign_find(in->catalog, sign);
	for (int i = 0; i < in->request->observation_count && row >= 0; ++i)
	{
		const dk_observation *o = &in->request->observation[i];
		if (o->kind != DK_SEEN_SIGN || o->row != row || o->before || o->special != DK_SPECIAL_NONE) continue;
		unsigned bad = 0;
		for (int a = 0; a < count; ++a)
		{
			const int at = dk_answer_find(&in->catalog->sign[row].look, answers[a]);
			if (at >= 0) bad |= 1u << at;
		}
		if (o->answers && !(o->answers & ~bad)) return true;
	}
	return false;
}

static const char *held_by_place(const dk_trace_input *in, const dk_check *check)
{
	const bool known = in->request->where >= 0, alongside = place_is(in, "alongside");
	if (known && (check->needs & DK_NEED(alongside)) && !alongside) return "only tied up alongside";
	if (known && (check->needs & DK_NEED(under_way)) && (alongside || place_is(in, "anchor")))
		return "only under way";
	if (known && (check->needs & DK_NEED(afloat)) && !alongside && !place_is(in, "anchor"))
		return "nobody at the water in a seaway";
	if (place_is(in, "no_room") && check->minutes > DK_NO_ROOM_MINUTES)
		return "too long with no room: sail or anchor first";
	return NULL;
}

static const char *held_by_engine(const dk_trace_input *in, const dk_check *check)
{
	static const char *const no_fire[] = { "no", "dies" }, *const no_turn[] = { "none", "click", "stops_hard",
		"free" };
	const unsigned runs = DK_NEED(running) | DK_NEED(in_gear) | DK_NEED(under_way);
	const bool dead = seen_only(in, "start.fires", no_fire, 2) || seen_only(in, "crank.turns", no_turn, 4);
	if ((check->needs & runs) && dead) return "the engine does not run";
	if (check->crank_seconds > 0 && seen_only(in, "crank.turns", no_turn, 4))
		return "the starter does not turn it";
	if (check->crank_seconds > 0 && in->crank.known && check->crank_seconds > in->crank.seconds_left)
		return "not enough cranking left: drain the water lock first";
	return NULL;
}

static const char *held_by_red(const dk_trace_input *in, const dk_red *red, const dk_check *check)
{
	if (red->rule < 0) return NULL;
	const dk_red_rule *rule = &in->catalog->red_rule[red->rule];
	const unsigned turns = DK_NEED(running) | DK_NEED(in_gear) | DK_NEED(under_way) | DK_NEED(cranking);
	if (rule->concern != DK_CONCERN_ENGINE && check->place != DK_PLACE_COCKPIT) return rule->order;
	return (check->needs & turns) || check->crank_seconds > 0 ? rule->order : NULL;
}

const char *dk_next_held(const dk_trace_input *in, const dk_red *red, const dk_check *check, dk_arena *arena)
{
	int shut = -1;
	const char *why = held_by_red(in, red, check);
	if (!why && dk_gates_before(in->catalog, in->request, check, NULL, &shut) < 0)
		why =
		    in->catalog->gate[shut].blocked ? in->catalog->gate[shut].blocked : in->catalog->gate[shut].asks;
	if (!why) why = held_by_place(in, check);
	if (!why) why = held_by_engine(in, check);
	for (int t = 0; t < check->tools.count && !why && in->request->has_tools; ++t)
		if (dk_text_index(check->tools.item[t], in->request->tools.item, in->request->tools.count) < 0)
			why = dk_arena_format(arena, "needs a tool that is not aboard: %s", check->tools.item[t]);
	return why;
}

// ---- lists

// Whether an answer of this check would move a class that is above the ladder's share.
static bool tests_class(const survey *s, const weighed *w, int class)
{
	double share = 0, total = 0;
	for (int k = 0; k < s->classes->count; ++k)
		for (int a = 0; a < w->answers; ++a)
		{
			total += w->joint[k * w->answers + a];
			if (k == class) share += w->joint[k * w->answers + a];
		}
	if (!(share > DK_LADDER_SHARE * total)) return false;
	for (int a = 0; a < w->answers; ++a)
	{
		const double after = w->joint[class * w->answers + a] / (w->answer[a].chance * total);
		if (w->answer[a].chance > 0.05 && fabs(after - share / total) > 0.05) return true;
	}
	return false;
}

static bool ladder_holds(const survey *s, const dk_next *row, const weighed *w, int count)
{
	for (int i = 0; i < count; ++i)
	{
		if (row[i].held_back || row[i].minutes >= DK_LADDER_MINUTES) continue;
		if (s->post->input->catalog->check[row[i].check].removes) continue;
		for (int k = 0; k < s->classes->count - 2; ++k)
			if (tests_class(s, &w[i], k)) return true;
	}
	return false;
}

static int by_worth(const void *a, const void *b)
{
	const dk_next *x = a, *y = b;
	if ((x->held_back != NULL) != (y->held_back != NULL)) return x->held_back ? 1 : -1;
	if (x->bits_per_minute != y->bits_per_minute) return x->bits_per_minute > y->bits_per_minute ? -1 : 1;
	return x->check - y->check;
}

static int by_asking(const void *a, const void *b)
{
	const dk_ask *x = a, *y = b;
	if (x->bits != y->bits) return x->bits > y->bits ? -1 : 1;
	return x->sign - y->sign;
}

static void shared_cover(const survey *s, dk_next *row)
{
	const dk_catalog *c = s->post->input->catalog;
	const char *cover = c->check[row->check].opens;
	int *other = dk_arena_array(s->arena, (size_t)c->check_count + 1, sizeof *other);
	for (int i = 0; i < c->check_count && cover; ++i)
		if (i != row->check && s->wanted[i] && c->check[i].opens && !strcmp(c->check[i].opens, cover))
			other[row->shares_count++] = i;
	row->shares_cover_with = other;
}

// points that are not asked of a hurt engine
static bool at_full(int point)
{
	return point == DK_POINT_full || point == DK_POINT_no_load;
}

static dk_next next_row(const survey *s, int check, const weighed *w, const dk_red *red, bool hurt)
{
	const dk_trace_input *in = s->post->input;
	const dk_check *c = &in->catalog->check[check];
	const double trip = (in->place_minutes ? in->place_minutes : dk_place_minutes)[c->place];
	int *ask = dk_arena_array(s->arena, (size_t)c->gate_count + 1, sizeof *ask);
	dk_next row = {
		.check = check, .point = c->point, .bits = w->bits, .answer = w->answer, .answer_count = w->answers
	};
	const int gates = dk_gates_before(in->catalog, in->request, c, ask, NULL);
	row.gate = ask;
	row.gate_count = gates > 0 ? gates : 0;

	// a gate is a question; the starter rests after it was used
	const double waiting = row.gate_count * DK_ASK_MINUTES + c->crank_seconds * DK_CRANK_REST / 60;
	row.minutes = fmax(c->minutes + c->undo_minutes + trip + waiting, DK_ASK_MINUTES);
	row.bits_per_minute = row.bits / row.minutes;
	row.expected_cost = row.minutes + w->cost;
	row.held_back = dk_next_held(in, red, c, s->arena);
	if (!row.held_back && hurt && at_full(c->point))
		row.held_back = "the engine may be hurt: nothing at full speed";
	shared_cover(s, &row);
	return row;
}

// information about one class against all others
static double bits_about(const survey *s, const weighed *w, int class, dk_arena *arena)
{
	double *two = dk_arena_array(arena, (size_t)(2 * w->answers), sizeof *two);
	for (int k = 0; k < s->classes->count; ++k)
		for (int a = 0; a < w->answers; ++a)
			two[(k != class) * w->answers + a] += w->joint[k * w->answers + a];
	return dk_mix_bits(two, 2, w->answers);
}

// Look before you mend: when one repair holds most of what is known, the check that would tell most about
// that repair comes first, if it takes no longer than the repair itself. Bits per minute alone would there
// send him to some quick look at something else. Returns its row, -1 when no repair leads so far.
static int confirming(const survey *s, const dk_next *row, const weighed *w, int count)
{
	int lead = 0, best = -1;
	double known = 0, most = 0;
	double *share = dk_arena_array(s->arena, (size_t)s->classes->count, sizeof *share);
	for (int e = 0; e < s->engines; ++e)
	{
		share[s->class_of[e]] += s->weight[e];
		known += s->weight[e];
	}
	for (int k = 0; k < s->classes->count - 2; ++k)
		if (share[k] > share[lead]) lead = k;
	if (!(share[lead] > DK_CONFIRM_SHARE * known)) return -1;
	for (int i = 0; i < count; ++i)
	{
		const double about = bits_about(s, &w[i], lead, s->arena);
		if (row[i].held_back || row[i].minutes > s->classes->minutes[lead] || about <= most) continue;
		most = about;
		best = i;
	}
	return best;
}

static void list_checks(const survey *s, const dk_red *red, dk_trace_answer *answer)
{
	const dk_catalog *c = s->post->input->catalog;
	dk_next *row = dk_arena_array(s->arena, (size_t)c->check_count + 1, sizeof *row);
	weighed *w = dk_arena_array(s->arena, (size_t)c->check_count + 1, sizeof *w);
	const bool hurt = red->rule >= 0 || answer->may.hurt > DK_HURT_SHARE;
	int count = 0;
	for (int i = 0; i < c->check_count; ++i)
	{
		if (!s->wanted[i]) continue;
		w[count] = weigh_question(s, i);
		row[count] = next_row(s, i, &w[count], red, hurt);
		++count;
	}
	if (ladder_holds(s, row, w, count))
		for (int i = 0; i < count; ++i)
			if (c->check[row[i].check].removes && !row[i].held_back)
				row[i].held_back = "first what costs minutes: a quick check is still open";
	const int sure = confirming(s, row, w, count);
	const int check = sure < 0 ? -1 : row[sure].check;
	qsort(row, (size_t)count, sizeof *row, by_worth);
	for (int i = 1; i < count; ++i)
		if (row[i].check == check)
		{
			const dk_next chosen = row[i];
			memmove(&row[1], &row[0], (size_t)i * sizeof *row);
			row[0] = chosen;
			break;
		}
	const int limit = s->post->input->next_limit;
	answer->next = row;
	answer->next_count = limit > 0 && limit < count ? limit : count;
}

static void list_questions(const survey *s, dk_trace_answer *answer)
{
	const dk_catalog *c = s->post->input->catalog;
	dk_ask *row = dk_arena_array(s->arena, (size_t)c->sign_count + 1, sizeof *row);
	const bool hurt = answer->red.rule >= 0 || answer->may.hurt > DK_HURT_SHARE;
	int count = 0;
	for (int i = 0; i < c->sign_count; ++i)
	{
		if (!s->wanted[c->check_count + i] || (hurt && at_full(c->sign[i].default_point))) continue;
		const weighed w = weigh_question(s, c->check_count + i);
		row[count++] = (dk_ask){ .sign = i,
			.point = c->sign[i].default_point,
			.answer = w.answer,
			.answer_count = w.answers,
			.bits = w.bits,
			.bits_per_minute = w.bits / DK_ASK_MINUTES };
	}
	qsort(row, (size_t)count, sizeof *row, by_asking);
	const int limit = s->post->input->ask_limit;
	answer->ask = row;
	answer->ask_count = limit > 0 && limit < count ? limit : count;
}

void dk_next_of(const dk_posterior *post, const dk_classes *classes, const dk_red *red, dk_arena *arena,
    dk_trace_answer *answer)
{
	if (post->cell_count == 0) return;
	survey s = { .post = post, .classes = classes, .arena = arena };
	s.questions = dk_optics_of_questions(post->input->catalog, arena);
	s.wanted = dk_arena_array(arena, (size_t)s.questions->lens_count + 1, sizeof *s.wanted);
	choose_questions(&s);
	look_at_banks(&s);
	outlooks(&s);
	list_checks(&s, red, answer);
	list_questions(&s, answer);
}
