// What may still be done: see may.h.
#include "infer/may.h"
#include "engine/tables.h"
#include "infer/gates.h"
#include "infer/red_rules.h"
#include "num/quantile.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

const char *const dk_may_crank_text[3] = { "yes", "no", "limit" };
const char *const dk_may_run_text[5] = { "stop_now", "within_minutes", "limp", "carry_on", "not_resolved" };

enum
{
	RUNNING = 3
};
static const int kRunning[RUNNING] = { DK_POINT_warm_idle, DK_POINT_cruise, DK_POINT_full };

// An engine that crosses a limit, and from which revs on.
typedef struct crossing
{
	double rpm, weight;
	int cause, limit;
	bool at_idle;
} crossing;

typedef struct survey
{
	const dk_posterior *post;
	dk_arena *arena;
	crossing *crossing;
	int count, room;
	double known; // weight of all engines looked at
} survey;

// How far beyond a limit, > 0 is beyond; NaN where the engine can't be or the limit does not apply.
static double beyond(
    const survey *s, const dk_cell *cell, int bank, int i, int point, const dk_limit *limit, int reading)
{
	if (!(limit->points >> point & 1)) return NAN;
	if (dk_posterior_status(s->post, cell, bank, i, point) == DK_NOT_REACHED) return NAN;
	if (dk_posterior_reading(s->post, cell, bank, i, point, DK_READING_engine_speed) < limit->from_rpm)
		return NAN;
	const double x = dk_posterior_reading(s->post, cell, bank, i, point, reading);
	return limit->sense == DK_SENSE_ABOVE ? x - limit->value : limit->value - x;
}

// Lowest revs at which one engine is beyond a limit, straight between the points; false when it never is.
static bool first_crossing(const survey *s, const dk_cell *cell, int bank, int i, const dk_limit *limit,
    int reading, double *rpm, bool *at_idle)
{
	double last_margin = NAN, last_rpm = 0;
	for (int p = 0; p < RUNNING; ++p)
	{
		const double margin = beyond(s, cell, bank, i, kRunning[p], limit, reading);
		if (isnan(margin)) continue;
		const double here =
		    dk_posterior_reading(s->post, cell, bank, i, kRunning[p], DK_READING_engine_speed);
		if (margin > 0)
		{
			const bool between = !isnan(last_margin);
			*rpm = between ? last_rpm + (here - last_rpm) * -last_margin / (margin - last_margin) : here;
			*at_idle = !between && p == 0;
			return true;
		}
		last_margin = margin;
		last_rpm = here;
	}
	return false;
}

static void add_crossing(survey *s, crossing one)
{
	if (s->count == s->room)
	{
		crossing *more = dk_arena_array(s->arena, (size_t)(2 * s->room + 64), sizeof *more);
		if (s->count) memcpy(more, s->crossing, (size_t)s->count * sizeof *more);
		s->crossing = more;
		s->room = 2 * s->room + 64;
	}
	s->crossing[s->count++] = one;
}

static void survey_limits(survey *s)
{
	const dk_posterior *post = s->post;
	const dk_catalog *catalog = post->input->catalog;
	for (int c = 0; c < post->cell_count; ++c)
	{
		const dk_cell *cell = &post->cell[c];
		s->known += post->share[c];
		if (post->share[c] < 1e-4) continue;
		for (int l = 0; l < catalog->limit_count; ++l)
		{
			const dk_limit *limit = &catalog->limit[l];
			const int reading = dk_reading_find(limit->reading);
			if (reading < 0 ||
			    (post->input->installation && !dk_when_holds(&limit->fitted, post->input->installation)))
				continue;
			for (int i = 0; i < cell->n; ++i)
				for (int b = 0; b < post->input->bank_count; ++b)
				{
					crossing x = {
						.cause = cell->cause, .limit = l, .weight = dk_posterior_at_node(post, c, i, b)
					};
					if (x.weight > 1e-7 && first_crossing(s, cell, b, i, limit, reading, &x.rpm, &x.at_idle))
						add_crossing(s, x);
				}
		}
	}
}

static int by_rpm(const void *a, const void *b)
{
	const crossing *x = a, *y = b;
	if (x->rpm != y->rpm) return x->rpm < y->rpm ? -1 : 1;
	if (x->limit != y->limit) return x->limit - y->limit;
	return x->cause != y->cause ? x->cause - y->cause : (x->weight > y->weight) - (x->weight < y->weight);
}

// Lowest revs at which enough weight is beyond one limit: of one cause where it can't be undone, else of all.
static double limit_rpm(const survey *s, int limit, bool idle_only)
{
	const dk_limit *row = &s->post->input->catalog->limit[limit];
	double *sum = dk_arena_array(s->arena, (size_t)s->post->cause_count + 1, sizeof *sum), all = 0;
	for (int i = 0; i < s->count; ++i)
	{
		const crossing *x = &s->crossing[i];
		if (x->limit != limit || (idle_only && !x->at_idle)) continue;
		all += x->weight;
		sum[x->cause] += x->weight;
		if (row->can_be_undone ? all > DK_MAY_SHARE * s->known : sum[x->cause] > DK_MAY_CAUSE) return x->rpm;
	}
	return INFINITY;
}

// the greatest share of the known weight that is beyond one limit that can't be undone, at any of the points
static double hurt_share(const survey *s)
{
	const dk_catalog *catalog = s->post->input->catalog;
	double most = 0;
	for (int l = 0; l < catalog->limit_count; ++l)
	{
		double sum = 0;
		if (catalog->limit[l].can_be_undone) continue;
		for (int i = 0; i < s->count; ++i)
			if (s->crossing[i].limit == l) sum += s->crossing[i].weight;
		most = fmax(most, sum);
	}
	return s->known > 0 ? most / s->known : 0;
}

// One of the minutes of one engine at given revs, straight between the points (0: at the lowest).
static double minutes_of(
    const dk_posterior *post, const dk_cell *cell, int bank, int i, int reading, double rpm)
{
	double last = NAN, last_rpm = 0, minutes = NAN;
	for (int p = 0; p < RUNNING; ++p)
	{
		if (dk_posterior_status(post, cell, bank, i, kRunning[p]) == DK_NOT_REACHED) continue;
		const double here = dk_posterior_reading(post, cell, bank, i, kRunning[p], DK_READING_engine_speed);
		const double m = dk_posterior_reading(post, cell, bank, i, kRunning[p], reading);
		if (isnan(last) || here <= rpm)
			minutes = m;
		else if (last_rpm < rpm)
			minutes = last + (m - last) * (rpm - last_rpm) / (here - last_rpm);
		last = m;
		last_rpm = here;
	}
	return minutes;
}

// minutes that are left, and what comes first then: it stops by itself, else it is too hot
typedef struct time_left
{
	double minutes; // NaN: an hour or more
	bool stops;
} time_left;

// 5 % point of the minutes until it overheats or stops by itself, at given revs (0: idle).
static time_left minutes_at(const dk_posterior *post, dk_arena *arena, double rpm)
{
	time_left out = { .minutes = NAN };
	int room = 0, count = 0;
	for (int c = 0; c < post->cell_count; ++c) room += post->cell[c].n * post->input->bank_count;
	double *value = dk_arena_array(arena, (size_t)room + 1, sizeof *value);
	double *weight = dk_arena_array(arena, (size_t)room + 1, sizeof *weight);
	bool *stops = dk_arena_array(arena, (size_t)room + 1, sizeof *stops);
	for (int c = 0; c < post->cell_count; ++c)
		for (int i = 0; i < post->cell[c].n && post->share[c] > 1e-4; ++i)
			for (int b = 0; b < post->input->bank_count; ++b)
			{
				const dk_cell *cell = &post->cell[c];
				const double hot = minutes_of(post, cell, b, i, DK_READING_minutes_to_overheat, rpm);
				const double stop = minutes_of(post, cell, b, i, DK_READING_minutes_to_stop, rpm);
				if (isnan(hot) && isnan(stop)) continue;
				value[count] = fmin(hot, stop);
				stops[count] = stop < hot;
				weight[count++] = dk_posterior_at_node(post, c, i, b);
			}
	double total = 0, early = 0, by_itself = 0;
	for (int i = 0; i < count; ++i) total += weight[i];
	if (!(total > 0)) return out;
	int *order = dk_arena_array(arena, (size_t)count, sizeof *order);
	const double minutes = dk_quantile(value, weight, count, DK_MAY_SHARE, order);
	for (int i = 0; i < count; ++i)
	{
		if (value[i] > minutes) continue;
		early += weight[i];
		if (stops[i]) by_itself += weight[i];
	}
	out.stops = 2 * by_itself > early;
	if (minutes < 60) out.minutes = minutes;
	return out;
}

static void may_crank(const dk_posterior *post, const dk_red *red, dk_may *may)
{
	const dk_crank_account *account = &post->input->crank;
	may->crank = DK_CRANK_LIMIT;
	may->crank_seconds = account->known ? fmax(account->seconds_left, 0) : DK_CRANK_UNKNOWN_S;
	if (account->known && account->seconds_left >= DK_CRANK_FREE_S) may->crank = DK_CRANK_YES;

	// something that stops the engine forbids the starter as well; so does a gate of cranking that was shut
	bool shut = red->rule >= 0 || may->crank_seconds <= 0;
	for (int c = 0; c < post->input->catalog->check_count && !shut; ++c)
	{
		const dk_check *check = &post->input->catalog->check[c];
		if (check->crank_seconds > 0 && check->gate_count > 0)
			for (int g = 0; g < check->gate_count; ++g)
				shut |= !strcmp(post->input->catalog->gate[check->gate[g]].id, "hydraulic_lock") &&
				        dk_gate_state_of(post->input->catalog, post->input->request, check->gate[g]) ==
				            DK_GATE_SHUT;
	}
	if (!shut) return;
	may->crank = DK_CRANK_NO;
	may->crank_seconds = 0;
}

static void because(const survey *s, const double *rpm, const dk_red *red, bool stops, dk_may *may)
{
	const dk_catalog *catalog = s->post->input->catalog;
	dk_because *row = dk_arena_array(s->arena, (size_t)catalog->limit_count + 3, sizeof *row);
	int count = 0;
	if (red->rule >= 0)
		row[count++] =
		    (dk_because){ catalog->red_rule[red->rule].id, NAN, catalog->red_rule[red->rule].source };

	// the limit that comes first, first
	double done = -INFINITY;
	for (;;)
	{
		double next = INFINITY;
		for (int l = 0; l < catalog->limit_count; ++l)
			if (rpm[l] > done && rpm[l] < next) next = rpm[l];
		if (!(next < INFINITY)) break;
		for (int l = 0; l < catalog->limit_count; ++l)
		{
			if (rpm[l] != next) continue;
			if (!may->price_of_running) may->price_of_running = catalog->limit[l].text;
			row[count++] =
			    (dk_because){ catalog->limit[l].reading, catalog->limit[l].value, catalog->limit[l].source };
		}
		done = next;
	}
	if (!isnan(may->minutes) && may->run != DK_RUN_STOP_NOW)
		row[count++] = (dk_because){ stops ? "minutes_to_stop" : "minutes_to_overheat", 60, "computed" };
	may->because = row;
	may->because_count = count;
}

void dk_may_of(const dk_posterior *post, const dk_red *red, dk_arena *arena, dk_may *may)
{
	const dk_catalog *catalog = post->input->catalog;
	survey s = { .post = post, .arena = arena };
	double *rpm = dk_arena_array(arena, (size_t)catalog->limit_count + 1, sizeof *rpm);
	bool at_idle = false;
	*may = (dk_may){
		.unknown = post->cell_count ? post->none : 1, .minutes = NAN, .max_rpm = post->input->rated_rpm
	};
	may_crank(post, red, may);
	survey_limits(&s);
	if (s.count > 0) qsort(s.crossing, (size_t)s.count, sizeof *s.crossing, by_rpm);
	for (int l = 0; l < catalog->limit_count; ++l)
	{
		rpm[l] = limit_rpm(&s, l, false);
		at_idle |= limit_rpm(&s, l, true) < INFINITY;
		may->max_rpm = fmin(may->max_rpm, rpm[l]);
	}
	may->hurt = hurt_share(&s);
	time_left left = { .minutes = NAN };
	if (post->cell_count) left = minutes_at(post, arena, 0);
	may->run = DK_RUN_CARRY_ON;
	if (may->max_rpm < post->input->rated_rpm) may->run = DK_RUN_LIMP;
	if (!isnan(left.minutes)) may->run = DK_RUN_WITHIN_MINUTES;
	if (may->unknown > DK_MAY_UNKNOWN) may->run = DK_RUN_NOT_RESOLVED;
	if (at_idle || red->rule >= 0) may->run = DK_RUN_STOP_NOW;
	if (may->run == DK_RUN_STOP_NOW) may->max_rpm = 0;
	if (may->run == DK_RUN_WITHIN_MINUTES)
		may->price_of_running = left.stops ? "no power when you need it" : "it may run too hot";
	else
		left = post->cell_count && may->run != DK_RUN_STOP_NOW ? minutes_at(post, arena, may->max_rpm)
		                                                       : (time_left){ .minutes = NAN };
	may->minutes = left.minutes;
	if (red->rule >= 0) may->price_of_running = catalog->red_rule[red->rule].reason;
	because(&s, rpm, red, left.stops, may);
}
