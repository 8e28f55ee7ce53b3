// One engine against the observations: see weigh.h.
#include "infer/weigh.h"
#include "engine/tables.h"
#include "infer/said.h"
#include "num/normal.h"
#include <math.h>
#include <string.h>

enum
{
	ROWS_MOST = 64
};

// no product of chances falls under this
#define LEAST 1e-300

// Eight draws at a time; rows of draws are arrays of these.
typedef double eight __attribute__((vector_size(64), aligned(16)));
typedef long long eight_bits __attribute__((vector_size(64), aligned(16)));
static inline eight *row_of(double *x)
{
	return (eight *)(void *)x;
}
static inline const eight *const_row(const double *x)
{
	return (const eight *)(const void *)x;
}

struct dk_scratch
{
	int columns;
	int gauged, *column;                    // the columns that a gauge looks along; the others stay N(0, 1)
	double *m, *p, *h, *gain, *root, *over; // [D], [D][D], [D], [D], [D][D], [D] over the gauged columns
	double *z;                              // [D][DK_DRAWS] draws of the engine
	double *u;                              // [latent][DK_DRAWS]
	double *said;                           // [lens][DK_DRAWS]
	double *before, *after;                 // [lens + 1][DK_DRAWS] running products
	double row[ROWS_MOST][DK_SAID_WIDTH];   // chance that each boundary is crossed
	double *without;                        // [lens]
	dk_said_plan *plan;                     // [lens] of signs
	bool *looked_at;                        // [latent] by a sign
	const dk_draws *filled_from;            // the columns of z that no gauge looks along are these
	const double *drawn;                    // the draws in use: z, or the fixed ones
};

static void find_gauged(const dk_optics *optics, dk_scratch *s)
{
	for (int c = 0; c < s->columns; ++c)
	{
		bool used = c < DK_Z_RUN;
		for (int k = 0; k < optics->gauge_count && !used; ++k)
			used = optics->lens[k].kind == DK_LENS_GAUGE &&
			       (optics->latent[optics->lens[k].latent].bias == c ||
			           optics->latent[optics->lens[k].latent].offset == c);
		if (used) s->column[s->gauged++] = c;
	}
}

dk_scratch *dk_scratch_new(const dk_optics *optics, dk_arena *arena)
{
	dk_scratch *s = dk_arena_take(arena, sizeof *s);
	const size_t d = (size_t)optics->column_count, n = (size_t)optics->lens_count + 1;
	s->columns = optics->column_count;
	s->m = dk_arena_array(arena, d, sizeof(double));
	s->p = dk_arena_array(arena, d * d, sizeof(double));
	s->h = dk_arena_array(arena, d, sizeof(double));
	s->over = dk_arena_array(arena, d, sizeof(double));
	s->gain = dk_arena_array(arena, d, sizeof(double));
	s->root = dk_arena_array(arena, d * d, sizeof(double));
	s->z = dk_arena_array(arena, d * DK_DRAWS, sizeof(double));
	s->u = dk_arena_array(arena, ((size_t)optics->latent_count + 1) * DK_DRAWS, sizeof(double));
	s->said = dk_arena_array(arena, n * DK_DRAWS, sizeof(double));
	s->before = dk_arena_array(arena, n * DK_DRAWS, sizeof(double));
	s->after = dk_arena_array(arena, (n + 1) * DK_DRAWS, sizeof(double));
	s->without = dk_arena_array(arena, n, sizeof(double));
	s->plan = dk_arena_array(arena, n, sizeof *s->plan);
	s->column = dk_arena_array(arena, d, sizeof *s->column);
	find_gauged(optics, s);
	s->looked_at = dk_arena_array(arena, (size_t)optics->latent_count + 1, sizeof *s->looked_at);
	for (int k = 0; k < optics->lens_count; ++k)
	{
		const dk_lens *lens = &optics->lens[k];
		if (lens->kind != DK_LENS_SIGN) continue;
		s->plan[k] = dk_said_plan_of(lens);
		for (int r = 0; r < lens->row_count; ++r)
		{
			if (lens->row[r].latent >= 0) s->looked_at[lens->row[r].latent] = true;
			if (lens->row[r].healthy >= 0) s->looked_at[lens->row[r].healthy] = true;
		}
	}
	return s;
}

// ---- draws

// A fixed stream for the set-up of the draws: no seed of the trace enters, so draws never change.
// Source: [KNUTH2] 3.3.4 table 1, multiplier 6364136223846793005
static unsigned next_word(uint64_t *state)
{
	*state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return (unsigned)(*state >> 33);
}

enum
{
	HALF = DK_DRAWS / 2,
	QUARTER_SET = DK_DRAWS_SCREEN / 2,
	TRIES = 60
};

// One column's upper half: the 16 positive middle quantiles in some order with some signs; of the first four,
// one is from each quarter.
static void shuffle_column(uint64_t *state, const double *quantile, double *column)
{
	int left[4][4];
	for (int q = 0; q < 4; ++q)
		for (int i = 0; i < 4; ++i) left[q][i] = 4 * q + i;
	for (int block = 0; block < 4; ++block)
	{
		int order[4] = { 0, 1, 2, 3 };
		for (int i = 3; i > 0; --i)
		{
			const int j = (int)(next_word(state) % (unsigned)(i + 1)), keep = order[i];
			order[i] = order[j];
			order[j] = keep;
		}
		for (int i = 0; i < 4; ++i)
		{
			const int q = order[i], pick = (int)(next_word(state) % (unsigned)(4 - block));
			const int which = left[q][pick];
			left[q][pick] = left[q][3 - block];
			column[4 * block + i] = next_word(state) & 1 ? quantile[which] : -quantile[which];
		}
	}
}

// Largest correlation of a new column with those before, over all draws and over the small set.
static double worst_correlation(const double *z, int columns, const double *column)
{
	double worst = 0;
	for (int c = 0; c < columns; ++c)
	{
		double small = 0, all = 0;
		for (int i = 0; i < HALF; ++i)
		{
			all += z[c * HALF + i] * column[i];
			if (i < QUARTER_SET) small += z[c * HALF + i] * column[i];
		}
		worst = fmax(worst, fmax(fabs(all) / HALF, 0.25 * fabs(small) / QUARTER_SET));
	}
	return worst;
}

// Takes what is left of the columns before out of a new one. 16 pairs have room for no more than 16 such
// columns.
static void square_off(double *half, int column)
{
	double *z = &half[column * HALF], square = 0;
	for (int c = 0; c < column; ++c)
	{
		double both = 0;
		for (int i = 0; i < HALF; ++i) both += half[c * HALF + i] * z[i];
		for (int i = 0; i < HALF; ++i) z[i] -= both / HALF * half[c * HALF + i];
	}
	for (int i = 0; i < HALF; ++i) square += z[i] * z[i];
	for (int i = 0; i < HALF; ++i) z[i] /= sqrt(square / HALF);
}

static void balanced(int columns, double *half)
{
	double quantile[HALF], square = 0, trial[HALF];
	for (int i = 0; i < HALF; ++i)
	{
		quantile[i] = dk_normal_inverse((HALF + i + 0.5) / DK_DRAWS);
		square += quantile[i] * quantile[i];
	}
	for (int i = 0; i < HALF; ++i) quantile[i] /= sqrt(square / HALF);
	uint64_t state = 20;
	for (int c = 0; c < columns; ++c)
	{
		double best = INFINITY;
		for (int t = 0; t < TRIES && best > 0.02; ++t)
		{
			shuffle_column(&state, quantile, trial);
			const double worst = worst_correlation(half, c, trial);
			if (worst >= best) continue;
			best = worst;
			memcpy(&half[c * HALF], trial, sizeof trial);
		}
		if (c < HALF - 1) square_off(half, c);
	}
}

const dk_draws *dk_draws_of(int columns, dk_arena *arena)
{
	dk_draws *draws = dk_arena_take(arena, sizeof *draws);
	double *half = dk_arena_array(arena, (size_t)columns * HALF, sizeof *half);
	draws->columns = columns;
	draws->z = dk_arena_array(arena, (size_t)columns * DK_DRAWS, sizeof *draws->z);
	balanced(columns, half);

	// opposite pairs, side by side in blocks so that the first 8 are a set of their own
	for (int c = 0; c < columns; ++c)
		for (int i = 0; i < HALF; ++i)
		{
			const int at = i / QUARTER_SET * DK_DRAWS_SCREEN + i % QUARTER_SET;
			draws->z[c * DK_DRAWS + at] = half[c * HALF + i];
			draws->z[c * DK_DRAWS + at + QUARTER_SET] = -half[c * HALF + i];
		}
	for (int i = 0; i <= DK_CDF_STEPS + 1; ++i) draws->cdf[i] = dk_normal_cdf(16.0 * i / DK_CDF_STEPS - 8);
	return draws;
}

// ---- gauges

// The direction of a gauge over the gauged columns, and the variance of what is folded.
static void direction(const dk_optics *optics, const dk_pose *pose, int latent, dk_scratch *s, double *folded)
{
	const dk_latent *l = &optics->latent[latent];
	const double *j = &pose->j[latent * 2 * DK_Z_RUN];
	const double bias = pose->bias[latent], offset = pose->offset[latent];
	for (int c = 0; c < DK_Z_RUN; ++c) s->h[c] = 0.5 * (j[c] + j[DK_Z_RUN + c]);
	for (int c = DK_Z_RUN; c < s->gauged; ++c)
		s->h[c] = (s->column[c] == l->bias ? bias : 0) + (s->column[c] == l->offset ? offset : 0);
	*folded = (l->bias < 0 ? bias * bias : 0) + (l->offset < 0 ? offset * offset : 0);
}

// ln of (1-eps) N + eps/span, and the share of the first part.
static double two_parts(double v, double variance, double uniform, double *alpha)
{
	const double normal = (1 - DK_GROSS) * exp(-0.5 * v * v / variance) / sqrt(2 * M_PI * variance);
	const double e = normal + DK_GROSS * uniform;
	*alpha = normal / e;
	return log(e);
}

static double gauge_variance(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens, double folded)
{
	const int reading = optics->latent[lens->latent].reading;
	const double sd = dk_lens_spread(reading, dk_reading_restore(reading, pose->t[lens->latent]), lens->sd);
	return sd * sd + folded;
}

// A point the engine can't be at: only a gross error shows anything there.
static bool reached(const dk_pose *pose, int latent)
{
	return pose->status[latent] != DK_NOT_REACHED;
}

static double gauge_alone(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens, dk_scratch *s)
{
	double folded, alpha;
	if (!reached(pose, lens->latent)) return log(DK_GROSS * lens->uniform);
	direction(optics, pose, lens->latent, s, &folded);
	double variance = gauge_variance(optics, pose, lens, folded);
	for (int c = 0; c < s->gauged; ++c) variance += s->h[c] * s->h[c];
	const int reading = optics->latent[lens->latent].reading;
	return two_parts(
	    dk_reading_transform(reading, lens->value) - pose->t[lens->latent], variance, lens->uniform, &alpha);
}

// One gauge moves m and P; returns ln of its chance given the gauges before.
static double gauge_step(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens, dk_scratch *s)
{
	const int d = s->gauged, reading = optics->latent[lens->latent].reading;
	double folded, alpha;
	if (!reached(pose, lens->latent)) return log(DK_GROSS * lens->uniform);
	direction(optics, pose, lens->latent, s, &folded);
	double variance = gauge_variance(optics, pose, lens, folded);
	double v = dk_reading_transform(reading, lens->value) - pose->t[lens->latent];
	for (int a = 0; a < d; ++a)
	{
		double sum = 0;
		for (int b = 0; b < d; ++b) sum += s->p[a * d + b] * s->h[b];
		s->gain[a] = sum;
		variance += s->h[a] * sum;
		v -= s->h[a] * s->m[a];
	}
	const double log_chance = two_parts(v, variance, lens->uniform, &alpha);
	const double shrink = -alpha / variance + alpha * (1 - alpha) * v * v / (variance * variance);
	for (int a = 0; a < d; ++a)
	{
		s->m[a] += alpha * s->gain[a] / variance * v;
		for (int b = 0; b < d; ++b) s->p[a * d + b] += shrink * s->gain[a] * s->gain[b];
	}
	return log_chance;
}

// All gauges but one (-1: all); leaves m and P.
static double gauges(const dk_optics *optics, const dk_pose *pose, int omit, dk_scratch *s)
{
	const int d = s->gauged;
	double sum = 0;
	memset(s->m, 0, (size_t)d * sizeof(double));
	memset(s->p, 0, (size_t)(d * d) * sizeof(double));
	for (int a = 0; a < d; ++a) s->p[a * d + a] = 1;
	for (int k = 0; k < optics->gauge_count; ++k)
		if (k != omit && optics->lens[k].kind == DK_LENS_GAUGE)
			sum += gauge_step(optics, pose, &optics->lens[k], s);
	return sum;
}

// z = m + L draws, with L L' = P over the gauged columns; the others are the draws themselves.
static void draw_after_gauges(const dk_draws *draws, int count, dk_scratch *s)
{
	const int d = s->gauged;
	for (int a = 0; a < d; ++a)
		for (int b = 0; b <= a; ++b)
		{
			double sum = s->p[a * d + b];
			for (int c = 0; c < b; ++c) sum -= s->root[a * d + c] * s->root[b * d + c];
			s->root[a * d + b] = a == b ? sqrt(sum > 1e-12 ? sum : 1e-12) : sum * s->over[b];
			if (a == b) s->over[a] = 1 / s->root[a * d + a];
		}
	if (s->filled_from != draws)
	{
		memcpy(s->z, draws->z, (size_t)s->columns * DK_DRAWS * sizeof(double));
		s->filled_from = draws;
	}
	for (int a = 0; a < d; ++a)
		for (int block = 0; block < count / 8; ++block)
		{
			eight z = s->m[a] + (eight){ 0 };
			for (int b = 0; b <= a; ++b)
				z += s->root[a * d + b] * const_row(&draws->z[s->column[b] * DK_DRAWS])[block];
			row_of(&s->z[s->column[a] * DK_DRAWS])[block] = z;
		}
	s->drawn = s->z;
}

// ---- signs

// The latent along every draw: each run column on the draw's own side.
static void along(const dk_latent *l, const dk_pose *pose, int latent, const double *z, int count, double *u)
{
	const double *j = &pose->j[latent * 2 * DK_Z_RUN];
	const int blocks = count / 8;
	for (int b = 0; b < blocks; ++b)
	{
		eight sum = pose->t[latent] + (eight){ 0 };
		for (int c = 0; c < DK_Z_RUN; ++c)
		{
			// |z| and z give both sides without a choice
			const eight x = const_row(&z[c * DK_DRAWS])[b];
			const eight size = (eight)((eight_bits)x & INT64_MAX);
			sum += 0.5 * (j[c] + j[DK_Z_RUN + c]) * x + 0.5 * (j[DK_Z_RUN + c] - j[c]) * size;
		}
		if (l->bias >= 0) sum += pose->bias[latent] * const_row(&z[l->bias * DK_DRAWS])[b];
		if (l->offset >= 0) sum += pose->offset[latent] * const_row(&z[l->offset * DK_DRAWS])[b];
		row_of(u)[b] = sum;
	}
}

static double scaled(dk_scale scale, double x)
{
	if (scale == DK_SCALE_LOG) return log(fmax(x, 1e-12));
	if (scale == DK_SCALE_LOGIT)
	{
		x = fmin(fmax(x, 1e-9), 1 - 1e-9);
		return log(x / (1 - x));
	}
	return x;
}

static double bent_value(const dk_optics *optics, const dk_lens_row *row, double u, double h)
{
	const int reading = optics->latent[row->latent].reading;
	double x = dk_reading_restore(reading, u);
	if (row->mode == DK_MODE_RATIO)
	{
		const double healthy = dk_reading_restore(reading, h);
		x = fabs(healthy) > 1e-9 ? x / healthy : 1;
	}
	if (row->mode == DK_MODE_DIFFERENCE) x -= dk_reading_restore(reading, h);
	return scaled(row->scale, x);
}

// Chance that a boundary is crossed, for each draw.
static void boundary(const dk_optics *optics, const dk_pose *pose, const dk_lens_row *row,
    const dk_draws *draws, int count, const dk_scratch *s, double *chance)
{
	if (row->mode == DK_MODE_PARAMETER)
	{
		const double v = dk_draws_cdf(draws,
		    row->sense * (scaled(row->scale, pose->parameter[row->parameter]) - row->threshold) / row->width);
		for (int i = 0; i < count; ++i) chance[i] = v;
		return;
	}
	const double *u = &s->u[row->latent * DK_DRAWS];
	if (row->mode == DK_MODE_LINEAR)
	{
		const dk_latent *l = &optics->latent[row->latent];
		double square = row->width * row->width;
		if (l->bias < 0) square += pose->bias[row->latent] * pose->bias[row->latent];
		if (l->offset < 0) square += pose->offset[row->latent] * pose->offset[row->latent];
		const double factor = row->sense / sqrt(square);
		for (int i = 0; i < count; ++i) chance[i] = dk_draws_cdf(draws, factor * (u[i] - row->threshold));
		return;
	}
	const double *h = row->healthy >= 0 ? &s->u[row->healthy * DK_DRAWS] : u;
	for (int i = 0; i < count; ++i)
		chance[i] = dk_draws_cdf(
		    draws, row->sense * (bent_value(optics, row, u[i], h[i]) - row->threshold) / row->width);
}

static bool lens_reached(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens)
{
	// a row that looks at another point takes what the engine left there
	for (int r = 0; r < lens->row_count; ++r)
	{
		const int latent = lens->row[r].latent;
		if (latent >= 0 && optics->latent[latent].point == lens->point && !reached(pose, latent))
			return false;
	}
	return true;
}

// Chance of what was said, for each draw.
static void sign_draws(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens,
    const dk_draws *draws, int count, dk_scratch *s, double *said)
{
	double chance[DK_ANSWERS_MOST];
	if (!lens_reached(optics, pose, lens))
	{
		dk_lens_reported(lens, false, chance);
		said[0] = dk_lens_said(lens, chance);
		for (int i = 1; i < count; ++i) said[i] = said[0];
		return;
	}
	const int rows = lens->row_count < ROWS_MOST ? lens->row_count : ROWS_MOST;
	const int different = lens->eye_only ? 1 : count;
	for (int r = 0; r < rows; ++r) boundary(optics, pose, &lens->row[r], draws, different, s, s->row[r]);
	dk_said_draws(lens, &s->plan[lens - optics->lens], s->row, different, said);
	for (int i = different; i < count; ++i) said[i] = said[0];
}

static void all_signs(
    const dk_optics *optics, const dk_pose *pose, const dk_draws *draws, int count, dk_scratch *s)
{
	for (int l = 0; l < optics->latent_count; ++l)
		if (s->looked_at[l]) along(&optics->latent[l], pose, l, s->drawn, count, &s->u[l * DK_DRAWS]);
	for (int k = 0; k < optics->lens_count; ++k)
		if (optics->lens[k].kind == DK_LENS_SIGN)
			sign_draws(optics, pose, &optics->lens[k], draws, count, s, &s->said[k * DK_DRAWS]);
}

static double mean(const double *x, int count)
{
	double sum = 0;
	for (int i = 0; i < count; ++i) sum += x[i];
	return sum / count;
}

// Products of the signs over the draws: all of them, and all but each.
static double sign_products(const dk_optics *optics, int count, dk_scratch *s, double *without)
{
	const int n = optics->lens_count;
	for (int i = 0; i < count; ++i) s->before[i] = s->after[n * DK_DRAWS + i] = 1;
	for (int k = 0; k < n; ++k)
	{
		const bool sign = optics->lens[k].kind == DK_LENS_SIGN;
		eight *next = row_of(&s->before[(k + 1) * DK_DRAWS]), *last = row_of(&s->before[k * DK_DRAWS]);
		for (int b = 0; b < count / 8; ++b)
			next[b] = sign ? last[b] * row_of(&s->said[k * DK_DRAWS])[b] : last[b];
	}
	const double all = mean(&s->before[n * DK_DRAWS], count);
	if (!without) return all;
	for (int k = n - 1; k >= 0; --k)
	{
		const bool sign = optics->lens[k].kind == DK_LENS_SIGN;
		eight sum = { 0 };
		eight *here = row_of(&s->after[k * DK_DRAWS]), *last = row_of(&s->after[(k + 1) * DK_DRAWS]);
		for (int b = 0; b < count / 8; ++b)
		{
			sum += row_of(&s->before[k * DK_DRAWS])[b] * last[b];
			here[b] = sign ? last[b] * row_of(&s->said[k * DK_DRAWS])[b] : last[b];
		}
		without[k] = 0;
		for (int i = 0; i < 8; ++i) without[k] += sum[i] / count;
	}
	return all;
}

static double evidence(const dk_optics *optics, const dk_pose *pose, const dk_draws *draws, int count,
    int omit, dk_scratch *s, double *without, double *gauges_log)
{
	*gauges_log = gauges(optics, pose, omit, s);
	if (optics->gauge_count > (omit >= 0))
		draw_after_gauges(draws, count, s);
	else
		s->drawn = draws->z;
	all_signs(optics, pose, draws, count, s);
	return sign_products(optics, count, s, without);
}

// Each by itself, over the whole unknown. Without a gauge the draws in use are those already.
static void alone(const dk_optics *optics, const dk_pose *pose, const dk_draws *draws, int count,
    dk_scratch *s, double *log_chance)
{
	if (s->drawn != draws->z)
	{
		// the small set will do for what a sign says by itself
		s->drawn = draws->z;
		count = DK_DRAWS_SCREEN;
		all_signs(optics, pose, draws, count, s);
	}
	for (int k = 0; k < optics->lens_count; ++k)
	{
		const dk_lens *lens = &optics->lens[k];
		log_chance[k] = lens->kind == DK_LENS_GAUGE  ? gauge_alone(optics, pose, lens, s)
		                : lens->kind == DK_LENS_SIGN ? log(fmax(mean(&s->said[k * DK_DRAWS], count), LEAST))
		                                             : 0;
	}
}

void dk_weigh_pose(const dk_optics *optics, const dk_pose *pose, const dk_draws *draws, int count,
    dk_scratch *s, dk_verdict *verdict)
{
	verdict->unsettled = false;
	for (int l = 0; l < optics->latent_count; ++l) verdict->unsettled |= pose->status[l] == DK_NOT_SETTLED;

	double gauge_part;
	double *signs_without = verdict->without ? s->without : NULL;
	const double signs = evidence(optics, pose, draws, count, -1, s, signs_without, &gauge_part);
	verdict->all = gauge_part + log(fmax(signs, LEAST));
	for (int k = optics->gauge_count; k < optics->lens_count && verdict->without; ++k)
		verdict->without[k] = gauge_part + log(fmax(signs_without[k], LEAST));
	// a gauge that is left out moves z for all the signs, so each takes a pass of its own; by the small set
	// of draws, as a ratio to the same set with all, in which most of its error goes out
	const double small = mean(&s->before[optics->lens_count * DK_DRAWS], DK_DRAWS_SCREEN);
	if (verdict->alone) alone(optics, pose, draws, count, s, verdict->alone);
	if (!verdict->without) return;
	for (int k = 0; k < optics->gauge_count; ++k)
	{
		double part;
		const double without = evidence(optics, pose, draws, DK_DRAWS_SCREEN, k, s, NULL, &part);
		verdict->without[k] =
		    verdict->all + part - gauge_part + log(fmax(without, LEAST) / fmax(small, LEAST));
	}
}

// ---- questions

// Eight of the draws, in proportion to what the signs make of them: systematic, from the middle.
static void resample(int count, const double *weight, int *pick)
{
	double total = 0, run = 0;
	int at = -1;
	for (int i = 0; i < count; ++i) total += weight[i];
	for (int k = 0; k < DK_ASKED; ++k)
	{
		while (at < count - 1 && run <= (k + 0.5) / DK_ASKED * total) run += weight[++at];
		pick[k] = at;
	}
}

// One question: the chances of its answers, or the values that its gauge would show.
static void question(const dk_optics *optics, const dk_pose *pose, const dk_lens *lens, const dk_draws *draws,
    dk_scratch *s, dk_outlook *out)
{
	double visible[ROWS_MOST], chance[DK_ANSWERS_MOST], folded;
	if (lens->kind == DK_LENS_GAUGE)
	{
		out->reachable = reached(pose, lens->latent);
		double value[DK_ASKED];
		along(&optics->latent[lens->latent], pose, lens->latent, s->drawn, DK_ASKED, value);
		for (int i = 0; i < DK_ASKED; ++i) out->value[i] = (float)value[i];
		direction(optics, pose, lens->latent, s, &folded);
		out->sd = (float)sqrt(gauge_variance(optics, pose, lens, folded));
		return;
	}
	out->reachable = lens_reached(optics, pose, lens);
	for (int r = 0; r < lens->row_count && out->reachable; ++r)
	{
		const int pair[2] = { lens->row[r].latent, lens->row[r].healthy };
		for (int i = 0; i < 2; ++i)
			if (pair[i] >= 0)
				along(&optics->latent[pair[i]], pose, pair[i], s->drawn, DK_ASKED, &s->u[pair[i] * DK_DRAWS]);
		boundary(optics, pose, &lens->row[r], draws, DK_ASKED, s, s->row[r]);
	}
	// the report is linear in the chances, so it is put on their mean
	const int different = lens->eye_only ? 1 : DK_ASKED, answers = lens->look->answer_count;
	double mean_chance[DK_ANSWERS_MOST] = { 0 };
	for (int i = 0; i < different && out->reachable; ++i)
	{
		for (int r = 0; r < lens->row_count; ++r) visible[r] = s->row[r][i];
		dk_lens_answers(lens, visible, chance);
		for (int a = 0; a < answers; ++a) mean_chance[a] += chance[a] / different;
	}
	dk_lens_reported(lens, out->reachable, mean_chance);
	for (int a = 0; a < answers; ++a) out->chance[a] = (float)mean_chance[a];
}

void dk_weigh_questions(const dk_optics *seen, const dk_pose *pose, const dk_optics *questions,
    const dk_pose *asked, const dk_draws *draws, const bool *wanted, dk_scratch *s, dk_scratch *ask,
    dk_outlook *out)
{
	double gauge_part;
	int pick[DK_ASKED];
	evidence(seen, pose, draws, DK_DRAWS, -1, s, NULL, &gauge_part);
	resample(DK_DRAWS, &s->before[seen->lens_count * DK_DRAWS], pick);
	for (int c = 0; c < DK_Z_RUN; ++c)
		for (int i = 0; i < DK_ASKED; ++i) ask->z[c * DK_DRAWS + i] = s->drawn[c * DK_DRAWS + pick[i]];
	ask->drawn = ask->z;
	for (int k = 0; k < questions->lens_count; ++k)
		if (wanted[k]) question(questions, asked, &questions->lens[k], draws, ask, &out[k]);
}
