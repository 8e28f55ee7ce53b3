// The next check, the questions and what may still be done, on made-up engines.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "infer/may.h"
#include "infer/mix.h"
#include "infer/next.h"
#include "synthetic.h"
#include "toy_catalogue.h"

typedef struct bench
{
	dk_arena *arena;
	const dk_catalog *catalog;
	dk_bank *bank;
	const dk_bank *banks[1];
	dk_request request;
	dk_trace_input input;
	dk_trace_answer answer;
} bench;

static void open_bench(bench *b)
{
	*b = (bench){ .arena = dk_arena_new() };
	b->catalog = toy_catalogue(b->arena);
	b->bank = toy_bank(b->catalog, 32, 0.3);
	b->banks[0] = b->bank;
	b->request = dk_default_request();
	b->input = dk_default_trace_input();
	b->input.catalog = b->catalog;
	b->input.bank = b->banks;
	b->input.bank_count = 1;
	b->input.rated_rpm = 3000;
}

static void close_bench(bench *b)
{
	dk_bank_free(b->bank);
	dk_arena_free(b->arena);
}

static void run(bench *b)
{
	dk_error error = { 0 };
	b->input.request = &b->request;
	if (dk_trace(&b->input, b->arena, &b->answer, &error) != DK_OK) fail_msg("%s", error.what);
}

static void say(bench *b, const char *text)
{
	toy_say(&b->request, text, b->catalog, b->arena);
}

static const dk_next *next(const bench *b, const char *id)
{
	for (int i = 0; i < b->answer.next_count; ++i)
		if (!strcmp(b->catalog->check[b->answer.next[i].check].id, id)) return &b->answer.next[i];
	return NULL;
}

// The list goes by bits per minute; what tells nothing has no bits and comes last of what may be done.
static void test_order(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	run(&b);
	int open = 0;
	for (int i = 0; i < b.answer.next_count; ++i)
	{
		const dk_next *n = &b.answer.next[i];
		assert_true(n->bits >= 0 && fabs(n->bits_per_minute - n->bits / n->minutes) < 1e-12);
		if (n->held_back) continue;
		++open;
		if (i > 0)
			assert_true(!b.answer.next[i - 1].held_back &&
			            b.answer.next[i - 1].bits_per_minute >= n->bits_per_minute);
	}
	assert_true(b.answer.next[0].bits > 0.05);
	const dk_next *useless = next(&b, "idle.useless");
	assert_non_null(useless);
	assert_true(useless->bits == 0);
	assert_ptr_equal(useless, &b.answer.next[open - 1]);
	for (int i = 0; i < b.answer.ask_count; ++i)
	{
		const dk_ask *a = &b.answer.ask[i];
		assert_true(fabs(a->bits_per_minute - 6 * a->bits) < 1e-12);
		if (i > 0) assert_true(b.answer.ask[i - 1].bits >= a->bits);
	}
	close_bench(&b);
}

static double sum_of_chances(const dk_chance *row, int count)
{
	double sum = 0;
	for (int i = 0; i < count; ++i) sum += row[i].chance;
	return sum;
}

static void test_chances(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	say(&b, "scrank.turns=slow");
	run(&b);
	for (int i = 0; i < b.answer.next_count; ++i)
		assert_true(fabs(sum_of_chances(b.answer.next[i].answer, b.answer.next[i].answer_count) - 1) < 1e-6);
	for (int i = 0; i < b.answer.ask_count; ++i)
		assert_true(fabs(sum_of_chances(b.answer.ask[i].answer, b.answer.ask[i].answer_count) - 1) < 1e-6);

	// five bands about as likely as each other, in order
	const dk_next *rest = next(&b, "battery.rest");
	assert_int_equal(rest->answer_count, DK_BANDS);
	for (int i = 0; i < DK_BANDS; ++i)
	{
		assert_true(fabs(rest->answer[i].chance - 0.2) < 0.08);
		if (i > 0) assert_true(rest->answer[i].low == rest->answer[i - 1].high);
	}
	close_bench(&b);
}

// The chance of an answer is what is found when it is given: the shares after, weighted by the chances, are
// those before.
static void test_chance_is_kept(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	say(&b, "srpm.full=low");
	run(&b);
	const dk_next *look = next(&b, "bowl.look");
	const double before = b.answer.marginal[dk_fault_find(b.catalog, "d.water")];
	double after = 0;
	static const char *const said[2] = { "dbowl.look=clean", "dbowl.look=water" };
	const double chance[2] = { look->answer[0].chance, look->answer[1].chance };
	const dk_request request = b.request;
	for (int a = 0; a < 2; ++a)
	{
		b.request = request;
		say(&b, said[a]);
		run(&b);
		after += chance[a] * b.answer.marginal[dk_fault_find(b.catalog, "d.water")];
	}
	assert_true(fabs(after - before) < 0.01);
	close_bench(&b);
}

static void test_done_is_gone(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	run(&b);
	assert_non_null(next(&b, "bowl.look"));
	const int asks = b.answer.ask_count;
	say(&b, "dbowl.look=clean");
	say(&b, "srun.dies@cruise=no");
	run(&b);
	assert_null(next(&b, "bowl.look"));
	assert_int_equal(b.answer.ask_count, asks - 1);

	// what can't be done here is not offered; what shares a cover says so
	const int cannot = dk_check_find(b.catalog, "battery.rest");
	b.request.cannot = &cannot;
	b.request.cannot_count = 1;
	run(&b);
	assert_null(next(&b, "battery.rest"));
	const dk_next *elbow = next(&b, "elbow.look");
	assert_int_equal(elbow->shares_count, 1);
	assert_string_equal(b.catalog->check[elbow->shares_cover_with[0]].id, "elbow.touch");
	close_bench(&b);
}

// Gates first: they are listed until they are answered.
static void test_gates(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	run(&b);
	assert_int_equal(next(&b, "drop.ground")->gate_count, 2);
	const int passed[2] = { 0, 1 };
	b.request.passed = passed;
	b.request.passed_count = 2;
	run(&b);
	assert_int_equal(next(&b, "drop.ground")->gate_count, 0);
	b.request = dk_default_request();
	say(&b, "scrank.turns=stops_hard");
	run(&b);
	assert_non_null(next(&b, "drop.ground")->held_back);
	assert_int_equal(b.answer.may.crank, DK_CRANK_NO);
	close_bench(&b);
}

// No head comes off while a quick look is open.
static void test_ladder(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	run(&b);
	assert_non_null(next(&b, "head.off")->held_back);
	close_bench(&b);
}

// Expected cost by chance over cost. Source: an exact enumeration of all orders of five repairs (16.850 the
// least)
static void test_repair_cost(void **unused)
{
	(void)unused;
	const double share[7] = { .30, .25, .20, .15, .10, 0, 0 }, minutes[7] = { 12, 5, 9, 2, 7, 1, 1 };
	const double sure[7] = { 1, 1, 1, 1, 1, 1, 1 };
	const dk_classes classes = { .count = 7, .minutes = minutes, .efficacy = sure };
	assert_true(fabs(dk_next_repair_cost(&classes, share) - 16.850) < 1e-9);
	const double certain[7] = { 0, 0, 1, 0, 0, 0, 0 };
	assert_true(fabs(dk_next_repair_cost(&classes, certain) - 9) < 1e-9);
	const double unknown[7] = { 0, 0, 0, 0, 0, 0, 1 };
	assert_true(fabs(dk_next_repair_cost(&classes, unknown) - DK_YARD_MINUTES) < 1e-9);
	const double healthy[7] = { 0, 0, 0, 0, 0, 1, 0 };
	assert_true(fabs(dk_next_repair_cost(&classes, healthy)) < 1e-9);
}

// ---- what may still be done

static void set_reading(bench *b, int fault, int point, int reading, double healthy, double broken)
{
	for (int s = 0; s < b->bank->stratum_count; ++s)
	{
		dk_stratum *x = &b->bank->stratum[s];
		for (int i = 0; i < x->n; ++i)
		{
			const double severity = x->fault_count && x->fault[0] == fault ? x->severity[3 * i] : 0;
			x->reading[((size_t)point * DK_READING_COUNT + (size_t)reading) * (size_t)x->n + (size_t)i] =
			    (float)(healthy + severity * (broken - healthy));
		}
	}
}

// Every engine well, but for what the tests set.
static void calm(bench *b)
{
	static const int points[3] = { DK_POINT_warm_idle, DK_POINT_cruise, DK_POINT_full };
	static const double rpm[3] = { 800, 2100, 3000 };
	for (int p = 0; p < 3; ++p)
	{
		set_reading(b, -1, points[p], DK_READING_engine_speed, rpm[p], 0);
		set_reading(b, -1, points[p], DK_READING_coolant_temperature, 80, 0);
		set_reading(b, -1, points[p], DK_READING_back_pressure, 5, 0);
		set_reading(b, -1, points[p], DK_READING_minutes_to_overheat, 61, 0);
		set_reading(b, -1, points[p], DK_READING_minutes_to_stop, 61, 0);
	}
}

static void test_may_run(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	calm(&b);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_CARRY_ON);
	assert_true(b.answer.may.max_rpm == 3000 && isnan(b.answer.may.minutes));
	assert_int_equal(b.answer.may.crank, DK_CRANK_LIMIT);
	assert_true(b.answer.may.crank_seconds == DK_CRANK_UNKNOWN_S);

	// hot at full only: straight between cruise and full, where its worst engines cross; worse is sooner
	double last = 3000;
	const int water = dk_fault_find(b.catalog, "d.water");
	for (double hot = 130; hot < 220; hot += 30)
	{
		set_reading(&b, water, DK_POINT_full, DK_READING_coolant_temperature, 80, hot);
		run(&b);
		assert_int_equal(b.answer.may.run, DK_RUN_LIMP);
		assert_true(b.answer.may.max_rpm < last && b.answer.may.max_rpm > 2100);
		assert_string_equal(b.answer.may.because[0].reading, "coolant_temperature");
		assert_true(b.answer.may.because[0].limit == 110);
		assert_string_equal(b.answer.may.price_of_running, "too hot");
		last = b.answer.may.max_rpm;
	}

	// hot at idle already
	set_reading(&b, water, DK_POINT_warm_idle, DK_READING_coolant_temperature, 80, 180);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_STOP_NOW);
	close_bench(&b);
}

static void test_may_minutes(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	calm(&b);
	const int water = dk_fault_find(b.catalog, "d.water");
	set_reading(&b, water, DK_POINT_warm_idle, DK_READING_minutes_to_stop, 61, 2);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_WITHIN_MINUTES);
	assert_true(b.answer.may.minutes > 2 && b.answer.may.minutes < 60);
	assert_string_equal(b.answer.may.price_of_running, "no power when you need it");
	assert_string_equal(b.answer.may.because[b.answer.may.because_count - 1].reading, "minutes_to_stop");

	// a limit that can be undone needs a twentieth of the weight
	calm(&b);
	set_reading(&b, dk_fault_find(b.catalog, "g.oil"), DK_POINT_full, DK_READING_back_pressure, 5, 60);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_CARRY_ON);
	set_reading(&b, dk_fault_find(b.catalog, "a.battery"), DK_POINT_full, DK_READING_back_pressure, 5, 60);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_LIMP);

	// the same where it is held down below the revs from which the limit holds
	set_reading(&b, dk_fault_find(b.catalog, "a.battery"), DK_POINT_full, DK_READING_engine_speed, 900, 900);
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_CARRY_ON);

	// cranking: what the account says
	b.input.crank = (dk_crank_account){ true, 11, "test" };
	run(&b);
	assert_int_equal(b.answer.may.crank, DK_CRANK_LIMIT);
	assert_true(b.answer.may.crank_seconds == 11);
	b.input.crank.seconds_left = 0;
	run(&b);
	assert_int_equal(b.answer.may.crank, DK_CRANK_NO);
	b.input.crank.seconds_left = 200;
	run(&b);
	assert_int_equal(b.answer.may.crank, DK_CRANK_YES);

	// a red rule wins over everything
	say(&b, "slamp.oil@cruise=on");
	run(&b);
	assert_int_equal(b.answer.may.run, DK_RUN_STOP_NOW);
	assert_int_equal(b.answer.may.crank, DK_CRANK_NO);
	assert_string_equal(b.answer.may.because[0].reading, "oil_pressure");
	close_bench(&b);
}

// Much that is unknown: nothing is promised.
static void test_not_resolved(void **unused)
{
	(void)unused;
	bench b;
	open_bench(&b);
	calm(&b);
	const int idle[] = { 0 };
	(void)idle;
	say(&b, "roil_temperature@cruise=158 degC");
	say(&b, "rexhaust_temperature@full=850 degC");
	say(&b, "rboat_speed@full=0.5 kn");
	say(&b, "rcharge_voltage@cruise=9.1 V");
	run(&b);
	assert_true(b.answer.none_of_these > DK_MAY_UNKNOWN);
	assert_int_equal(b.answer.may.run, DK_RUN_NOT_RESOLVED);
	assert_true(fabs(b.answer.may.unknown - b.answer.none_of_these) < 1e-12);
	close_bench(&b);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_order), cmocka_unit_test(test_chances),
		cmocka_unit_test(test_chance_is_kept), cmocka_unit_test(test_done_is_gone),
		cmocka_unit_test(test_gates), cmocka_unit_test(test_ladder), cmocka_unit_test(test_repair_cost),
		cmocka_unit_test(test_may_run), cmocka_unit_test(test_may_minutes),
		cmocka_unit_test(test_not_resolved) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
