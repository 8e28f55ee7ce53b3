// Observations to lenses: see lens.h.
#include "infer/lens.h"
#include "engine/tables.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

// smallest chance that anything is reported: no row is trusted without end [ASSUMED-701]
#define LEAST_REPORT 1e-3

double dk_lens_spread(int reading, double x, double sd)
{
	const double tangent = dk_reading_slope(reading, x) * sd;
	if (tangent <= 0.3 || dk_reading_info[reading].transform == DK_LIN) return tangent;

	// the secant, inwards on a logit scale
	const double at = dk_reading_transform(reading, x);
	const double up = dk_reading_transform(reading, x + 2 * sd) - at;
	const double down =
	    dk_reading_info[reading].transform == DK_LOGIT ? at - dk_reading_transform(reading, x - 2 * sd) : 0;
	return fmin(tangent, fmax(0.3, 0.5 * fmax(up, down)));
}

static double on_scale(dk_scale scale, double x)
{
	switch (scale)
	{
	case DK_SCALE_LOG: return log(fmax(x, 1e-12));
	case DK_SCALE_LOGIT: return log(fmin(fmax(x, 1e-9), 1 - 1e-9) / (1 - fmin(fmax(x, 1e-9), 1 - 1e-9)));
	default: return x;
	}
}

static int latent_of(dk_optics *optics, dk_latent_kind kind, int reading, int point, bool half)
{
	for (int i = 0; i < optics->latent_count; ++i)
	{
		const dk_latent *l = &optics->latent[i];
		if (l->kind == kind && l->reading == reading && l->point == point && l->half == half) return i;
	}
	optics->latent[optics->latent_count] = (dk_latent){ kind, reading, point, half, -1, -1 };
	return optics->latent_count++;
}

static int parameter_of(dk_optics *optics, int parameter)
{
	for (int i = 0; i < optics->parameter_count; ++i)
		if (optics->parameter[i] == parameter) return i;
	optics->parameter[optics->parameter_count] = parameter;
	return optics->parameter_count++;
}

// Which way a boundary is computed: straight on the transformed value where scale and transform are the same.
static void row_of_reading(
    dk_optics *optics, const dk_from *from, int reading, int point, bool half, dk_lens_row *row)
{
	const dk_transform t = dk_reading_info[reading].transform;
	const bool same = (t == DK_LIN && from->scale == DK_SCALE_LIN) ||
	                  (t == DK_LOG && from->scale == DK_SCALE_LOG) ||
	                  (t == DK_LOGIT && from->scale == DK_SCALE_LOGIT);
	row->healthy = -1;
	row->mode = DK_MODE_LINEAR;
	dk_latent_kind kind = DK_LATENT_VALUE;
	if (from->compare == DK_COMPARE_VALUE)
	{
		if (!same) row->mode = DK_MODE_VALUE;
	}
	else if ((from->compare == DK_COMPARE_RATIO && t == DK_LOG && from->scale == DK_SCALE_LOG) ||
	         (from->compare == DK_COMPARE_DIFFERENCE && t == DK_LIN && from->scale == DK_SCALE_LIN))
		kind = DK_LATENT_DIFFERENCE;
	else
		row->mode = from->compare == DK_COMPARE_RATIO ? DK_MODE_RATIO : DK_MODE_DIFFERENCE;
	row->latent = latent_of(optics, kind, reading, point, half);
	if (row->mode == DK_MODE_RATIO || row->mode == DK_MODE_DIFFERENCE)
		row->healthy = latent_of(optics, DK_LATENT_HEALTHY, reading, point, false);
}

static void lens_rows(dk_optics *optics, dk_lens *lens, dk_arena *arena)
{
	const dk_look *look = lens->look;
	dk_lens_row *row = dk_arena_array(arena, (size_t)look->from_count + 1, sizeof *row);
	int count = 0;
	lens->eye_only = look->from_count > 0;
	for (int i = 0; i < look->from_count; ++i)
	{
		const dk_from *from = &look->from[i];
		dk_lens_row r = { .answer = from->answer,
			.sense = from->sense == DK_SENSE_ABOVE ? 1 : -1,
			.scale = from->scale,
			.threshold = on_scale(from->scale, from->threshold),
			.width = from->width,
			.latent = -1,
			.healthy = -1,
			.parameter = -1 };
		const int reading = from->reading ? dk_reading_find(from->reading) : -1;
		const int parameter = from->parameter ? dk_param_find(from->parameter) : -1;
		if (reading >= 0)
		{
			row_of_reading(
			    optics, from, reading, from->point >= 0 ? from->point : lens->point, lens->before, &r);
			lens->eye_only = false;
		}
		else if (parameter >= 0)
		{
			r.mode = DK_MODE_PARAMETER;
			r.parameter = parameter_of(optics, parameter);
		}
		else
			continue;
		row[count++] = r;
	}
	lens->row = row;
	lens->row_count = count;
}

static int answer_named(const dk_look *look, const char *id)
{
	for (int a = 0; a < look->answer_count; ++a)
		if (!strcmp(look->answer[a].id, id)) return a;
	return -1;
}

static void lens_normals(dk_lens *lens)
{
	const dk_look *look = lens->look;
	lens->normal_first = -1;
	for (int a = 0; a < look->answer_count; ++a)
	{
		if (!look->answer[a].normal) continue;
		if (lens->normal_first < 0) lens->normal_first = a;
		lens->normal_last = a;
		++lens->normal_count;
	}

	// grey is black and white smoke together, unless the row says otherwise
	lens->black = answer_named(look, "black");
	lens->white = answer_named(look, "white");
	lens->grey = answer_named(look, "grey");
	for (int i = 0; i < lens->row_count; ++i)
		if (lens->row[i].answer == lens->grey) lens->grey = -1;
	if (look->kind != DK_SIGN_NOMINAL || lens->black < 0 || lens->white < 0) lens->grey = -1;
}

// What an unknown fault would make of it: every answer alike.
static double lens_uniform(const dk_lens *lens)
{
	const int n = lens->look->answer_count;
	if (n <= 0) return 1;
	if (lens->look->several) return ldexp(1, -(n - lens->normal_count));
	if (lens->odd) return 0.5 * (n - lens->normal_count) / n + 0.25;
	double sum = 0;
	for (int a = 0; a < n; ++a)
		if (lens->answers >> a & 1) sum += (lens->look->answer[a].normal ? 1 : lens->report) / n;
	return sum;
}

static void lens_gauge(dk_optics *optics, dk_lens *lens, int reading, double value, double sd)
{
	const dk_reading_row *info = &dk_reading_info[reading];
	lens->kind = DK_LENS_GAUGE;
	lens->latent = latent_of(optics, DK_LATENT_VALUE, reading, lens->point, lens->before);
	lens->value = value;
	lens->sd = sd;
	lens->uniform = 1 / fabs(dk_reading_transform(reading, info->span_high) -
	                         dk_reading_transform(reading, info->span_low));
}

static void lens_sign(dk_optics *optics, dk_lens *lens, const dk_look *look, dk_arena *arena)
{
	lens->kind = DK_LENS_SIGN;
	lens->look = look;
	lens_rows(optics, lens, arena);
	lens_normals(lens);
	lens->uniform = lens_uniform(lens);
	if (lens->row_count == 0 && lens->observation >= 0) lens->kind = DK_LENS_NOTHING;
}

static dk_lens lens_of(
    const dk_catalog *catalog, const dk_observation *seen, int index, dk_optics *optics, dk_arena *arena)
{
	dk_lens lens = { .kind = DK_LENS_NOTHING,
		.observation = index,
		.point = seen->point,
		.before = seen->before,
		.latent = -1,
		.answers = seen->answers,
		.odd = seen->special == DK_SPECIAL_ODD,
		.report = 1,
		.black = -1,
		.white = -1,
		.grey = -1,
		.uniform = 1 };
	if (seen->special == DK_SPECIAL_NOT_LOOKED || seen->special == DK_SPECIAL_NOT_SURE ||
	    seen->special == DK_SPECIAL_CANNOT)
		return lens;
	if (seen->reading >= 0)
	{
		double sd = dk_reading_info[seen->reading].gauge_sd;
		if (seen->kind == DK_SEEN_CHECK && catalog->check[seen->row].error_sd > 0)
			sd = catalog->check[seen->row].error_sd;
		if (!lens.odd) lens_gauge(optics, &lens, seen->reading, seen->value, sd / sqrt(fmax(seen->n, 1)));
		return lens;
	}
	if (seen->kind == DK_SEEN_CHECK)
	{
		lens_sign(optics, &lens, &catalog->check[seen->row].look, arena);
		return lens;
	}
	lens.look = &catalog->sign[seen->row].look;
	if (seen->row == catalog->since || seen->row == catalog->after)
	{
		lens.kind = lens.odd ? DK_LENS_NOTHING : seen->row == catalog->since ? DK_LENS_SINCE : DK_LENS_AFTER;
		return lens;
	}
	if (seen->volunteered) lens.report = catalog->sign[seen->row].report;
	lens_sign(optics, &lens, lens.look, arena);
	return lens;
}

// ---- canonical order

typedef struct ordered
{
	const dk_observation *seen;
	int index;
} ordered;

static int compare_int(long long a, long long b)
{
	return (a > b) - (a < b);
}

static int canonical(const void *left, const void *right)
{
	const dk_observation *a = ((const ordered *)left)->seen, *b = ((const ordered *)right)->seen;
	int c = compare_int(a->reading < 0, b->reading < 0);
	if (c == 0 && a->reading >= 0) c = compare_int(a->reading, b->reading);
	if (c == 0 && a->reading < 0) c = strcmp(a->id, b->id);
	if (c == 0) c = compare_int(a->point, b->point);
	if (c == 0) c = compare_int(a->before, b->before);
	if (c == 0) c = a->value < b->value ? -1 : a->value > b->value;
	if (c == 0) c = compare_int(a->answers, b->answers);
	if (c == 0) c = compare_int(a->special, b->special);
	if (c == 0) c = compare_int(a->kind, b->kind);
	if (c == 0) c = compare_int(a->volunteered, b->volunteered);
	if (c == 0) c = compare_int(a->n, b->n);
	return c ? c : compare_int(((const ordered *)left)->index, ((const ordered *)right)->index);
}

static bool said_already(const dk_observation *a, const dk_observation *b)
{
	return a->reading < 0 && b->reading < 0 && !strcmp(a->id, b->id) && a->point == b->point &&
	       a->before == b->before && a->answers == b->answers && a->special == b->special;
}

// One observation per parameter is kept: a second look at the same part is the same look.
static bool parameter_seen(const dk_optics *optics, const dk_lens *lens)
{
	for (int i = 0; i < lens->row_count; ++i)
		for (int k = 0; k < optics->lens_count; ++k)
			for (int r = 0; r < optics->lens[k].row_count; ++r)
				if (lens->row[i].parameter >= 0 && optics->lens[k].kind == DK_LENS_SIGN &&
				    optics->lens[k].row[r].parameter == lens->row[i].parameter)
					return true;
	return false;
}

// ---- columns

// Whether a latent moves along its gauge's bias or its system's offset. A difference on a linear scale does
// not: both its sides are shown by one gauge and one model.
static bool moves_with_errors(const dk_latent *latent)
{
	return latent->kind != DK_LATENT_DIFFERENCE || dk_reading_info[latent->reading].transform != DK_LIN;
}

// How many lenses look along each latent, and whether any does so in a way that can't be folded.
static void count_uses(const dk_optics *optics, int latent, int *uses, bool *bent)
{
	*uses = 0;
	*bent = false;
	for (int k = 0; k < optics->lens_count; ++k)
	{
		const dk_lens *lens = &optics->lens[k];
		bool here = lens->kind == DK_LENS_GAUGE && lens->latent == latent;
		for (int r = 0; r < lens->row_count && lens->kind == DK_LENS_SIGN; ++r)
		{
			if (lens->row[r].latent != latent && lens->row[r].healthy != latent) continue;
			here = true;
			if (lens->row[r].mode != DK_MODE_LINEAR) *bent = true;
		}
		*uses += here;
	}
}

// Gives a column to each bias and offset that more than one lens looks along.
static void share_columns(dk_optics *optics, dk_arena *arena)
{
	const int n = optics->latent_count;
	int *uses = dk_arena_array(arena, (size_t)n + 1, sizeof *uses);
	bool *bent = dk_arena_array(arena, (size_t)n + 1, sizeof *bent);
	for (int i = 0; i < n; ++i) count_uses(optics, i, &uses[i], &bent[i]);
	for (int what = 0; what < 2; ++what)
		for (int i = 0; i < n; ++i)
		{
			dk_latent *l = &optics->latent[i];
			int *column = what ? &l->offset : &l->bias;
			if (*column >= 0 || !moves_with_errors(l)) continue;
			int total = 0;
			bool needed = false;
			for (int pass = 0; pass < 2; ++pass)
			{
				for (int j = i; j < n; ++j)
				{
					dk_latent *m = &optics->latent[j];
					const bool shares =
					    what ? dk_reading_info[m->reading].system == dk_reading_info[l->reading].system
					         : dk_reading_gauge(m->reading) == dk_reading_gauge(l->reading);
					if (!shares || !moves_with_errors(m)) continue;
					if (pass && needed) *(what ? &m->offset : &m->bias) = optics->column_count;
					total += uses[j];
					needed |= bent[j];
				}
				if (pass == 0) needed |= total > 1;
			}
			if (needed) ++optics->column_count;
		}
}

static dk_optics *new_optics(int lenses, int rows, dk_arena *arena)
{
	dk_optics *optics = dk_arena_take(arena, sizeof *optics);
	optics->latent = dk_arena_array(arena, (size_t)(2 * rows + lenses + 1), sizeof *optics->latent);
	optics->lens = dk_arena_array(arena, (size_t)lenses + 1, sizeof *optics->lens);
	optics->parameter = dk_arena_array(arena, (size_t)rows + 1, sizeof *optics->parameter);
	optics->column_count = DK_Z_RUN;
	return optics;
}

static int most_rows(const dk_catalog *catalog)
{
	int most = 1;
	for (int i = 0; i < catalog->sign_count; ++i)
		if (catalog->sign[i].look.from_count > most) most = catalog->sign[i].look.from_count;
	for (int i = 0; i < catalog->check_count; ++i)
		if (catalog->check[i].look.from_count > most) most = catalog->check[i].look.from_count;
	return most;
}

dk_optics *dk_optics_of_request(const dk_catalog *catalog, const dk_request *request, dk_arena *arena)
{
	const int n = request->observation_count;
	dk_optics *optics = new_optics(n, n * most_rows(catalog), arena);
	ordered *order = dk_arena_array(arena, (size_t)n + 1, sizeof *order);
	for (int i = 0; i < n; ++i) order[i] = (ordered){ &request->observation[i], i };
	qsort(order, (size_t)n, sizeof *order, canonical);
	for (int i = 0; i < n; ++i)
	{
		dk_lens lens = lens_of(catalog, order[i].seen, order[i].index, optics, arena);
		if (lens.kind == DK_LENS_SIGN && parameter_seen(optics, &lens)) lens.kind = DK_LENS_NOTHING;
		if (i > 0 && said_already(order[i - 1].seen, order[i].seen)) lens.kind = DK_LENS_NOTHING;
		optics->lens[optics->lens_count++] = lens;
		if (lens.kind == DK_LENS_GAUGE) optics->gauge_count = optics->lens_count;
	}
	share_columns(optics, arena);
	return optics;
}

dk_optics *dk_optics_of_questions(const dk_catalog *catalog, dk_arena *arena)
{
	const int n = catalog->check_count + catalog->sign_count;
	dk_optics *optics = new_optics(n, n * most_rows(catalog), arena);
	for (int i = 0; i < n; ++i)
	{
		const dk_check *check = i < catalog->check_count ? &catalog->check[i] : NULL;
		const dk_sign *sign = check ? NULL : &catalog->sign[i - catalog->check_count];
		dk_lens lens = { .kind = DK_LENS_NOTHING,
			.observation = -1,
			.latent = -1,
			.report = 1,
			.black = -1,
			.white = -1,
			.grey = -1,
			.uniform = 1,
			.point = check ? check->point : sign->default_point };
		if (check && check->gives == DK_GIVES_READING)
		{
			const int reading = dk_reading_find(check->reading);
			const double sd = check->error_sd > 0 ? check->error_sd : dk_reading_info[reading].gauge_sd;
			lens_gauge(optics, &lens, reading, 0, sd);
		}
		else
			lens_sign(optics, &lens, check ? &check->look : &sign->look, arena);
		if (lens.kind == DK_LENS_SIGN && lens.row_count == 0) lens.kind = DK_LENS_NOTHING;
		optics->lens[optics->lens_count++] = lens;
	}
	return optics;
}

// ---- answers

// Ordinal and flag: visible is the chance of this answer or one further from normal on the same side.
static void ordinal(const dk_lens *lens, const double *reach, const bool *has, double *chance)
{
	const int n = lens->look->answer_count;
	double normal = 1;
	for (int side = 0; side < 2; ++side)
	{
		double beyond = 0;
		const int end = side ? n - 1 : 0, step = side ? -1 : 1;
		const int stop = side ? lens->normal_last : lens->normal_first;
		for (int a = end; a != stop; a += step)
		{
			if (!has[a]) continue;
			const double here = fmax(reach[a], beyond);
			chance[a] = here - beyond;
			beyond = here;
		}
		normal -= beyond;
	}
	for (int a = lens->normal_first; a <= lens->normal_last; ++a)
		if (lens->look->answer[a].normal) chance[a] = fmax(normal, 0) / lens->normal_count;
}

// Nominal: each colour is seen or not by itself; what is not 'none' is shared in proportion.
static void nominal(const dk_lens *lens, double *reach, double *chance)
{
	const int n = lens->look->answer_count;
	double none = 1, sum = 0;
	for (int a = 0; a < n; ++a)
		if (!lens->look->answer[a].normal) none *= 1 - reach[a];
	if (lens->grey >= 0)
	{
		reach[lens->grey] = reach[lens->black] * reach[lens->white];
		reach[lens->black] -= reach[lens->grey];
		reach[lens->white] -= reach[lens->grey];
	}
	for (int a = 0; a < n; ++a)
		if (!lens->look->answer[a].normal) sum += reach[a];
	for (int a = 0; a < n; ++a)
		chance[a] = lens->look->answer[a].normal ? none / lens->normal_count
		            : sum > 0                    ? (1 - none) * reach[a] / sum
		                                         : 0;
}

void dk_lens_answers(const dk_lens *lens, const double *visible, double *chance)
{
	const int n = lens->look->answer_count;
	double reach[DK_ANSWERS_MOST];
	bool has[DK_ANSWERS_MOST] = { false };
	for (int a = 0; a < n; ++a) reach[a] = chance[a] = 0;

	// several rows of one answer must all hold
	for (int r = 0; r < lens->row_count; ++r)
	{
		const int a = lens->row[r].answer;
		reach[a] = has[a] ? reach[a] * visible[r] : visible[r];
		has[a] = true;
	}
	if (lens->look->several)
	{
		for (int a = 0; a < n; ++a) chance[a] = reach[a];
		return;
	}
	if (lens->look->kind == DK_SIGN_NOMINAL)
		nominal(lens, reach, chance);
	else
		ordinal(lens, reach, has, chance);
	double sum = 0;
	for (int a = 0; a < n; ++a) sum += chance[a];
	for (int a = 0; a < n && sum > 0; ++a) chance[a] /= sum;
}

double dk_lens_added(const dk_lens *lens, int answer)
{
	const dk_look *look = lens->look;
	return look->answer[answer].normal ? fmax(look->miss, LEAST_REPORT) / lens->normal_count
	                                   : fmax(look->false_report, LEAST_REPORT);
}

void dk_lens_reported(const dk_lens *lens, bool reachable, double *chance)
{
	const dk_look *look = lens->look;
	const int n = look->answer_count;
	const double miss = fmax(look->miss, LEAST_REPORT), wrong = fmax(look->false_report, LEAST_REPORT);
	if (look->several)
	{
		for (int a = 0; a < n; ++a)
			chance[a] = reachable ? chance[a] * (1 - miss) + (1 - chance[a]) * wrong : wrong;
		return;
	}
	if (!reachable)
	{
		for (int a = 0; a < n; ++a) chance[a] = wrong;
		return;
	}
	double sum = 0;
	for (int a = 0; a < n; ++a) sum += chance[a] += dk_lens_added(lens, a);
	for (int a = 0; a < n; ++a) chance[a] /= sum;
}

double dk_lens_said(const dk_lens *lens, const double *chance)
{
	const dk_look *look = lens->look;
	double normal = 0, said = 0, product = 1, nothing = 1;
	for (int a = 0; a < look->answer_count; ++a)
	{
		const bool in = lens->answers >> a & 1;
		if (look->answer[a].normal)
			normal += chance[a];
		else
		{
			product *= in ? lens->report * chance[a] : 1 - chance[a];
			nothing *= 1 - chance[a];
		}
		if (in) said += look->answer[a].normal ? chance[a] : lens->report * chance[a];
	}
	if (look->several && !lens->odd) return product;
	return lens->odd ? 0.5 * (1 - (look->several ? nothing : normal)) + 0.25 : said;
}
