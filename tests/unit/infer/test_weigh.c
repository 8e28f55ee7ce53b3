// The weighing of one engine against plain Monte Carlo over everything that is unknown, done another way:
// every gauge's bias and every system's offset drawn, nothing folded, no closed form.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "infer/weigh.h"
#include "num/normal.h"
#include "num/philox.h"
#include "synthetic.h"
#include "toy_catalogue.h"

enum
{
	TRIALS = 60000,
	UNKNOWNS = DK_Z_RUN + DK_READING_COUNT + DK_SYSTEM_COUNT
};

typedef struct bench
{
	dk_arena *arena;
	const dk_catalog *catalog;
	dk_bank *bank;
	dk_request request;
	dk_optics *optics;
	const dk_draws *draws;
	dk_scratch *scratch;
	dk_pose *pose;
	dk_view *well, *view;
} bench;

static void open_bench(bench *b, double jacobian)
{
	b->arena = dk_arena_new();
	b->catalog = toy_catalogue(b->arena);
	b->bank = toy_bank(b->catalog, 16, jacobian);
	b->request = dk_default_request();
}

static void look(bench *b, int stratum)
{
	const dk_view_scale scale = { 1, 1 };
	b->optics = dk_optics_of_request(b->catalog, &b->request, b->arena);
	b->draws = dk_draws_of(b->optics->column_count, b->arena);
	b->scratch = dk_scratch_new(b->optics, b->arena);
	b->pose = dk_pose_new(b->optics, b->arena);
	b->well = dk_view_of(b->bank, &b->bank->stratum[0], NULL, b->catalog, b->optics, scale, b->arena);
	b->view =
	    dk_view_of(b->bank, &b->bank->stratum[stratum], b->well, b->catalog, b->optics, scale, b->arena);
}

static void close_bench(bench *b)
{
	dk_bank_free(b->bank);
	dk_arena_free(b->arena);
}

// A reading a little off what the engine of a stratum shows, by `off` of its whole error.
static void say_reading(bench *b, const char *id, int stratum, int engine, int point, double off)
{
	const int r = dk_reading_find(id);
	const double x = dk_stratum_reading(&b->bank->stratum[stratum], point, r, engine);
	const double value = dk_reading_restore(r, dk_reading_transform(r, x) + off * toy_error(r, x));
	toy_say(&b->request,
	    dk_arena_format(
	        b->arena, "r%s@%s=%.9g %s", id, dk_point_info[point].id, value, dk_reading_info[r].unit),
	    b->catalog, b->arena);
}

// One latent at one draw of all unknowns.
static double latent_at(const bench *b, int l, const double *z)
{
	const dk_latent *latent = &b->optics->latent[l];
	const double *j = &b->pose->j[l * 2 * DK_Z_RUN];
	double t = b->pose->t[l];
	for (int c = 0; c < DK_Z_RUN; ++c) t += (z[c] > 0 ? j[DK_Z_RUN + c] : j[c]) * z[c];
	t += b->pose->bias[l] * z[DK_Z_RUN + dk_reading_gauge(latent->reading)];
	return t + b->pose->offset[l] * z[DK_Z_RUN + DK_READING_COUNT + dk_reading_info[latent->reading].system];
}

static double gauge_at(const bench *b, const dk_lens *lens, const double *z)
{
	const int r = b->optics->latent[lens->latent].reading;
	const double sd = dk_lens_spread(r, dk_reading_restore(r, b->pose->t[lens->latent]), lens->sd);
	const double v = (dk_reading_transform(r, lens->value) - latent_at(b, lens->latent, z)) / sd;
	return (1 - DK_GROSS) * dk_normal_pdf(v) / sd + DK_GROSS * lens->uniform;
}

static double sign_at(const bench *b, const dk_lens *lens, const double *z)
{
	double visible[8], chance[DK_ANSWERS_MOST];
	for (int i = 0; i < lens->row_count; ++i)
	{
		const dk_lens_row *row = &lens->row[i];
		double x;
		if (row->mode == DK_MODE_PARAMETER)
			x = b->pose->parameter[row->parameter];
		else
		{
			const int r = b->optics->latent[row->latent].reading;
			x = latent_at(b, row->latent, z);
			if (row->mode == DK_MODE_RATIO)
				x = dk_reading_restore(r, x) / dk_reading_restore(r, latent_at(b, row->healthy, z));
		}
		visible[i] = dk_normal_cdf(row->sense * (x - row->threshold) / row->width);
	}
	dk_lens_answers(lens, visible, chance);
	dk_lens_reported(lens, true, chance);
	return dk_lens_said(lens, chance);
}

// ln of the mean likelihood over all unknowns, and its standard error.
static double brute_force(const bench *b, double *error)
{
	const dk_stream stream = dk_stream_of(7, "brute force");
	double sum = 0, square = 0;
	bool used[UNKNOWNS] = { false };
	for (int c = 0; c < DK_Z_RUN; ++c) used[c] = true;
	for (int l = 0; l < b->optics->latent_count; ++l)
	{
		const int r = b->optics->latent[l].reading;
		used[DK_Z_RUN + dk_reading_gauge(r)] = used[DK_Z_RUN + DK_READING_COUNT + dk_reading_info[r].system] =
		    true;
	}
	for (int i = 0; i < TRIALS; ++i)
	{
		double z[UNKNOWNS] = { 0 }, like = 1;
		for (int c = 0; c < UNKNOWNS; ++c)
			if (used[c]) z[c] = dk_stream_normal(stream, (uint32_t)i, (uint32_t)c);
		for (int k = 0; k < b->optics->lens_count; ++k)
		{
			const dk_lens *lens = &b->optics->lens[k];
			if (lens->kind == DK_LENS_GAUGE) like *= gauge_at(b, lens, z);
			if (lens->kind == DK_LENS_SIGN) like *= sign_at(b, lens, z);
		}
		sum += like;
		square += like * like;
	}
	const double mean = sum / TRIALS;
	*error = sqrt((square / TRIALS - mean * mean) / TRIALS) / mean;
	return log(mean);
}

static void compare(bench *b, int stratum, int engine, double within)
{
	double error;
	dk_verdict verdict = { 0 };
	dk_pose_single(b->optics, b->view, engine, b->pose);
	dk_weigh_pose(b->optics, b->pose, b->draws, DK_DRAWS, b->scratch, &verdict);
	const double want = brute_force(b, &error);
	if (fabs(verdict.all - want) > within + 3 * error)
		fail_msg("stratum %d engine %d: want %.4f got %.4f (Monte Carlo %.4f)", stratum, engine, want,
		    verdict.all, error);
}

// Gauges alone: the closed form is exact but for the gross errors, where the two-part mixture is kept as one
// normal. Within 2 %.
static void test_closed_form(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b, 0.6);
	say_reading(&b, "battery_rest", 1, 8, DK_POINT_key_on, 0.4);
	say_reading(&b, "battery_crank", 1, 8, DK_POINT_cold_crank, -0.6);
	say_reading(&b, "starter_volts", 1, 8, DK_POINT_cold_crank, -0.3);
	say_reading(&b, "coolant_gauge", 1, 8, DK_POINT_cruise, 0.8);
	look(&b, 1);
	for (int engine = 6; engine < 11; engine += 2) compare(&b, 1, engine, 0.02);
	close_bench(&b);
}

// Gauges and signs together: 32 balanced draws against 60,000. The bound is what 32 draws can do on a product
// of five.
static void test_with_signs(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b, 0.6);
	say_reading(&b, "coolant_gauge", 2, 8, DK_POINT_cruise, 0.5);
	static const char *const said[] = { "sgauge.coolant@full=high", "ssmoke.colour@full=grey",
		"srpm.full=low", "srun.dies=no", "scrank.turns=slow", "delbow.look=worn" };
	for (int i = 0; i < 6; ++i) toy_say(&b.request, said[i], b.catalog, b.arena);
	look(&b, 2);
	for (int engine = 1; engine < 16; engine += 5) compare(&b, 2, engine, 0.10);
	close_bench(&b);
}

// Two gauges that share a bias tell less than two that do not: an update with J = 0 or with its own z for
// each would miss it.
static void test_shared_unknown(void **unused)
{
	(void)unused;
	bench b;
	double alone[2];
	open_bench(&b, 0.8);
	say_reading(&b, "battery_rest", 0, 0, DK_POINT_key_on, 1.0);
	say_reading(&b, "battery_crank", 0, 0, DK_POINT_cold_crank, 1.0);
	look(&b, 0);
	dk_verdict verdict = { .alone = alone };
	dk_pose_single(b.optics, b.well, 0, b.pose);
	dk_weigh_pose(b.optics, b.pose, b.draws, DK_DRAWS, b.scratch, &verdict);

	// the same deviation on both is one surprise, not two
	assert_true(verdict.all > alone[0] + alone[1] + 0.05);
	for (int l = 0; l < b.optics->latent_count; ++l) assert_true(b.optics->latent[l].bias >= 0);

	// with no slopes, no bias and no offset they are two
	for (int i = 0; i < b.optics->latent_count; ++i) b.pose->bias[i] = b.pose->offset[i] = 0;
	memset(b.pose->j, 0, (size_t)b.optics->latent_count * 2 * DK_Z_RUN * sizeof(double));
	dk_weigh_pose(b.optics, b.pose, b.draws, DK_DRAWS, b.scratch, &verdict);
	assert_true(fabs(verdict.all - alone[0] - alone[1]) < 1e-9);
	close_bench(&b);
}

// The draws: mean 0, variance 1 in every column, hardly correlated; so are the first eight.
static void test_draws(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_draws *d = dk_draws_of(20, arena);
	for (int a = 0; a < 20; ++a)
	{
		double sum = 0, square = 0, small = 0;
		for (int i = 0; i < DK_DRAWS; ++i)
		{
			sum += d->z[a * DK_DRAWS + i];
			square += d->z[a * DK_DRAWS + i] * d->z[a * DK_DRAWS + i];
			if (i < DK_DRAWS_SCREEN) small += d->z[a * DK_DRAWS + i];
		}
		assert_true(fabs(sum) < 1e-12 && fabs(small) < 1e-12);
		assert_true(fabs(square / DK_DRAWS - 1) < 1e-12);
		for (int b = 0; b < a; ++b)
		{
			double both = 0;
			for (int i = 0; i < DK_DRAWS; ++i) both += d->z[a * DK_DRAWS + i] * d->z[b * DK_DRAWS + i];
			assert_true(fabs(both / DK_DRAWS) < (a < 15 ? 1e-9 : 0.6));
		}
	}
	for (double x = -9; x < 9; x += 0.0137) assert_true(fabs(dk_draws_cdf(d, x) - dk_normal_cdf(x)) < 5e-7);
	dk_arena_free(arena);
}

// Each observation left out by the products is what weighing without it gives.
static void test_without(void **unused)
{
	(void)unused;
	static const char *const said[] = { "sgauge.coolant@full=high", "ssmoke.colour@full=black",
		"srpm.full=low", "scrank.turns=slow" };
	for (int left = 0; left < 4; ++left)
	{
		bench b, c;
		double without[4];
		open_bench(&b, 0.6);
		open_bench(&c, 0.6);
		for (int i = 0; i < 4; ++i)
		{
			toy_say(&b.request, said[i], b.catalog, b.arena);
			if (i != left) toy_say(&c.request, said[i], c.catalog, c.arena);
		}
		look(&b, 2);
		look(&c, 2);
		dk_verdict all = { .without = without }, rest = { 0 };
		dk_pose_single(b.optics, b.view, 9, b.pose);
		dk_pose_single(c.optics, c.view, 9, c.pose);
		dk_weigh_pose(b.optics, b.pose, b.draws, DK_DRAWS, b.scratch, &all);
		dk_weigh_pose(c.optics, c.pose, c.draws, DK_DRAWS, c.scratch, &rest);
		int k = 0;
		while (b.optics->lens[k].observation != left) ++k;

		// columns may be folded in one and shared in the other, so they agree to what 32 draws give
		assert_true(fabs(without[k] - rest.all) < 0.03);
		close_bench(&b);
		close_bench(&c);
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_closed_form), cmocka_unit_test(test_with_signs),
		cmocka_unit_test(test_shared_unknown), cmocka_unit_test(test_draws), cmocka_unit_test(test_without) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
