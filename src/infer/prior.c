// Priors: see prior.h.
#include "infer/prior.h"
#include "engine/tables.h"
#include <math.h>
#include <string.h>

// starting, fuel, air, cylinder, exhaust, cooling, oil, driveline. Source: contract, Priors and strata
static const double kSystemShare[DK_SYSTEM_COUNT] = { .30, .25, .015, .025, .03, .21, .01, .16 };

static bool starts_with(const char *text, const char *head)
{
	return !strncmp(text, head, strlen(head));
}

// Whether something not normal was said about a sign of one of these families.
static bool abnormal(const dk_prior_request *r, const char *const *family, int count)
{
	for (int k = 0; k < r->optics->lens_count; ++k)
	{
		const dk_lens *lens = &r->optics->lens[k];
		if (lens->kind != DK_LENS_SIGN || lens->observation < 0) continue;
		const dk_observation *seen = &r->request->observation[lens->observation];
		bool odd = lens->odd;
		for (int a = 0; a < lens->look->answer_count; ++a)
			odd |= (lens->answers >> a & 1) && !lens->look->answer[a].normal;
		for (int a = 0; a < lens->look->answer_count; ++a)
			if ((lens->answers >> a & 1) && lens->look->answer[a].normal) odd = false;
		for (int f = 0; f < count && odd; ++f)
			if (starts_with(seen->id, family[f])) return true;
	}
	return false;
}

// Slow trouble hardly shows in rescue counts, so for its signs the systems are flattened.
static bool flatten(const dk_prior_request *r)
{
	static const char *const slow[] = { "smoke.", "rpm.full", "speed.boat", "oil.level" };
	static const char *const stops[] = { "crank.", "start.", "run.dies", "gauge.", "lamp.", "water.outlet" };
	return abnormal(r, slow, 4) && !abnormal(r, stops, 6);
}

static double answer_factor(const dk_factors *factors, const dk_lens *lens)
{
	double sum = 0, product = 1;
	int said = 0;
	for (int a = 0; a < lens->look->answer_count; ++a)
	{
		if (!(lens->answers >> a & 1)) continue;
		double factor = 1;
		for (int i = 0; i < factors->count; ++i)
			if (factors->item[i].answer == a) factor = factors->item[i].factor;
		sum += factor;
		product *= factor;
		++said;
	}

	// 'all of these' or 'one of these'
	if (lens->look->several) return product;
	return said ? sum / said : 1;
}

// since and after; the product is capped at 10.
static double history(const dk_prior_request *r, const dk_fault *fault)
{
	double product = 1;
	for (int k = 0; k < r->optics->lens_count; ++k)
	{
		const dk_lens *lens = &r->optics->lens[k];
		if (k == r->omit_lens) continue;
		if (lens->kind == DK_LENS_SINCE) product *= answer_factor(&fault->onset, lens);
		if (lens->kind == DK_LENS_AFTER) product *= answer_factor(&fault->after, lens);
	}
	return fmin(product, 10);
}

double dk_prior_tried(dk_result result, double efficacy, bool mends, bool in_part)
{
	switch (result)
	{
	case DK_RESULT_NO_BETTER: return mends ? 1 - efficacy : 1;
	case DK_RESULT_CURED: return mends ? efficacy : 0.05;
	case DK_RESULT_BETTER: return mends || in_part ? 0.5 : 0.2;
	default: return mends ? 0.05 : 0.1;
	}
}

// Chance of everything that was tried, on these faults (b = -1: one; a = -1: none of them).
static double tried(const dk_prior_request *r, int a, int b)
{
	double product = 1;
	for (int i = 0; i < r->request->tried_count; ++i)
	{
		if (i == r->omit_tried) continue;
		const dk_tried *t = &r->request->tried[i];
		const bool first = a >= 0 && r->catalog->fault[a].repair == t->repair;
		const bool second = b >= 0 && r->catalog->fault[b].repair == t->repair;
		const bool all = first && (b < 0 || second);
		product *= dk_prior_tried(t->result, r->catalog->repair[t->repair].efficacy, all, first || second);
	}
	return product;
}

static bool leads_to(const dk_fault *fault, int other)
{
	for (int i = 0; i < fault->leads_to_count; ++i)
		if (fault->leads_to[i] == other) return true;
	return false;
}

// Shares of the single faults, sum 1 over the possible ones.
static void singles(const dk_prior_request *r, bool flat_systems, double *share)
{
	const dk_catalog *c = r->catalog;
	double within[DK_SYSTEM_COUNT] = { 0 }, systems = 0, sum = 0;
	for (int f = 0; f < c->fault_count; ++f)
		if (r->possible[f]) within[c->fault[f].system] += c->fault[f].share;
	for (int s = 0; s < DK_SYSTEM_COUNT; ++s)
		if (within[s] > 0) systems += flat_systems ? sqrt(kSystemShare[s]) : kSystemShare[s];
	for (int f = 0; f < c->fault_count; ++f)
	{
		const int s = c->fault[f].system;
		share[f] = 0;
		if (!r->possible[f] || !(within[s] > 0)) continue;
		const double system = (flat_systems ? sqrt(kSystemShare[s]) : kSystemShare[s]) / systems;
		share[f] = r->flat ? 1 : system * c->fault[f].share / within[s];
		share[f] *= history(r, &c->fault[f]);
		sum += share[f];
	}
	for (int f = 0; f < c->fault_count && sum > 0; ++f) share[f] /= sum;
}

// Pairs in proportion to p_a p_b, five times that where one leads to the other; sum 1.
static void pairs(const dk_prior_request *r, const double *share, double *pair)
{
	const int n = r->catalog->fault_count;
	double sum = 0;
	for (int a = 0; a < n; ++a)
		for (int b = a + 1; b < n; ++b)
		{
			const bool chain = leads_to(&r->catalog->fault[a], b) || leads_to(&r->catalog->fault[b], a);
			sum += pair[a * n + b] = share[a] * share[b] * (chain ? 5 : 1);
		}
	for (int i = 0; i < n * n && sum > 0; ++i) pair[i] /= sum;
}

void dk_prior_of(const dk_prior_request *r, dk_arena *arena, dk_prior *prior)
{
	const int n = r->catalog->fault_count;
	const size_t square = (size_t)n * (size_t)n + 1;
	prior->flattened = flatten(r);
	prior->single = dk_arena_array(arena, (size_t)n + 1, sizeof(double));
	prior->base_single = dk_arena_array(arena, (size_t)n + 1, sizeof(double));
	prior->pair = dk_arena_array(arena, square, sizeof(double));
	prior->base_pair = dk_arena_array(arena, square, sizeof(double));
	singles(r, prior->flattened, prior->single);
	pairs(r, prior->single, prior->pair);

	// what was tried, then --prior: one factor on a doubles the odds of a against everything else
	prior->healthy = DK_PRIOR_HEALTHY * tried(r, -1, -1);
	prior->none = DK_PRIOR_NONE * tried(r, -1, -1);
	double sum = prior->healthy;
	for (int a = 0; a < n; ++a)
	{
		sum += prior->base_single[a] = prior->single[a] * DK_PRIOR_SINGLES * tried(r, a, -1);
		prior->single[a] = prior->base_single[a] * (r->factor ? r->factor[a] : 1);
		for (int b = a + 1; b < n; ++b)
		{
			const int at = a * n + b;
			sum += prior->base_pair[at] = prior->pair[at] * DK_PRIOR_PAIRS * tried(r, a, b);
			prior->pair[at] = prior->base_pair[at] * (r->factor ? r->factor[a] * r->factor[b] : 1);
		}
	}
	prior->base_healthy = sum > 0 ? prior->healthy / sum : 0;
	for (int a = 0; a < n && sum > 0; ++a) prior->base_single[a] /= sum;
	for (size_t i = 0; i + 1 < square && sum > 0; ++i) prior->base_pair[i] /= sum;
}

double dk_prior_severity_density(dk_onset onset, double s)
{
	const double a = onset == DK_ONSET_SUDDEN ? 4 : 2;
	const double b = onset == DK_ONSET_SUDDEN ? 1.5 : onset == DK_ONSET_CREEPING ? 3 : 2;
	return pow(s, a - 1) * pow(1 - s, b - 1);
}

void dk_prior_severity(dk_onset onset, int n, double *weight)
{
	double sum = 0;
	for (int i = 0; i < n; ++i) sum += weight[i] = dk_prior_severity_density(onset, (i + 0.5) / n);
	for (int i = 0; i < n; ++i) weight[i] /= sum;
}

double dk_prior_hits(int k, int most)
{
	if (most <= 1) return k == 1;
	return k == 1 ? 0.7 : 0.3 / (most - 1);
}
