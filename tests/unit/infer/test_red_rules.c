// Red rules and gates: with no bank, no ranking and no way round.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "infer/gates.h"
#include "infer/next.h"
#include "infer/red_rules.h"
#include "toy_catalogue.h"
#include <math.h>
#include <string.h>

typedef struct scene
{
	dk_arena *arena;
	const dk_catalog *catalog;
	dk_request request;
	dk_red red;
} scene;

static scene open_scene(void)
{
	scene s = { .arena = dk_arena_new() };
	s.catalog = toy_catalogue(s.arena);
	s.request = dk_default_request();
	return s;
}

static void say(scene *s, const char *text)
{
	toy_say(&s->request, text, s->catalog, s->arena);
	dk_red_rules(s->catalog, &s->request, s->arena, &s->red);
}

static const char *rule(const scene *s)
{
	return s->red.rule < 0 ? "none" : s->catalog->red_rule[s->red.rule].id;
}

static void test_rules(void **unused)
{
	(void)unused;
	static const struct
	{
		const char *said, *want;
	} row[] = {
		{ "slamp.oil@warm_idle=on", "oil_pressure" },
		{ "slamp.oil@key_on=on", "none" }, // it is meant to burn with the key on
		{ "slamp.oil@cruise=off", "none" },
		{ "slamp.oil@cruise=not_sure", "none" },
		{ "sbefore:lamp.oil@cruise=on", "none" },      // it was on yesterday
		{ "slamp.oil@cruise=off,on", "oil_pressure" }, // one of these: the side that errs towards stopping
		{ "scrank.turns=stops_hard", "stops_hard" },
		{ "sspace.smoke=smoke", "fire" },
		{ "screw.headache=yes", "exhaust_below" },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		scene s = open_scene();
		say(&s, row[i].said);
		if (strcmp(rule(&s), row[i].want)) fail_msg("%s: want %s got %s", row[i].said, row[i].want, rule(&s));
		dk_arena_free(s.arena);
	}
}

static void test_people_first(void **unused)
{
	(void)unused;
	scene s = open_scene();
	say(&s, "slamp.oil@cruise=on");
	say(&s, "sspace.smoke=smoke");
	assert_string_equal(rule(&s), "fire");
	say(&s, "screw.headache=yes");
	assert_string_equal(rule(&s), "exhaust_below");
	assert_int_equal(s.red.waiting_count, 2);
	assert_string_equal(s.catalog->red_rule[s.red.waiting[0]].id, "fire");
	assert_string_equal(s.catalog->red_rule[s.red.waiting[1]].id, "oil_pressure");
	dk_arena_free(s.arena);
}

static void test_order_by_place(void **unused)
{
	(void)unused;
	scene s = open_scene();
	say(&s, "slamp.oil@cruise=on");
	assert_string_equal(s.red.order, "Stop the engine now.");
	s.request.where = dk_answer_find(&s.catalog->sign[s.catalog->where].look, "no_room");
	dk_red_rules(s.catalog, &s.request, s.arena, &s.red);
	assert_string_equal(s.red.order, "Anchor first.");
	assert_string_equal(s.red.then[0], "anchor");
	dk_arena_free(s.arena);
}

// ---- gates

static void test_gate_states(void **unused)
{
	(void)unused;
	scene s = open_scene();
	const int lock = dk_gate_find(s.catalog, "hydraulic_lock"),
	          drop = dk_check_find(s.catalog, "drop.ground");
	int ask[4], shut = -1;
	assert_int_equal(dk_gate_state_of(s.catalog, &s.request, lock), DK_GATE_ASK);
	assert_int_equal(dk_gates_before(s.catalog, &s.request, &s.catalog->check[drop], ask, &shut), 2);
	s.request.passed = &lock;
	s.request.passed_count = 1;
	assert_int_equal(dk_gate_state_of(s.catalog, &s.request, lock), DK_GATE_OPEN);
	assert_int_equal(dk_gates_before(s.catalog, &s.request, &s.catalog->check[drop], ask, &shut), 1);

	// what was seen shuts it, however it was answered
	say(&s, "scrank.turns=stops_hard");
	assert_int_equal(dk_gate_state_of(s.catalog, &s.request, lock), DK_GATE_SHUT);
	assert_int_equal(dk_gates_before(s.catalog, &s.request, &s.catalog->check[drop], ask, &shut), -1);
	assert_int_equal(shut, lock);
	dk_arena_free(s.arena);
}

// A walk over every set of passed gates and every observation that may shut one: the steps of a check show
// only when all its gates are among those passed and none is shut.
static void test_no_way_round(void **unused)
{
	(void)unused;
	scene s = open_scene();
	const int gates = s.catalog->gate_count;
	static const char *const seen[] = { NULL, "scrank.turns=stops_hard", "scrank.turns=slow" };
	for (int k = 0; k < 3; ++k)
	{
		s.request = dk_default_request();
		if (seen[k]) say(&s, seen[k]);
		for (int set = 0; set < 1 << gates; ++set)
		{
			int passed[8], count = 0;
			for (int g = 0; g < gates; ++g)
				if (set >> g & 1) passed[count++] = g;
			s.request.passed = passed;
			s.request.passed_count = count;
			for (int c = 0; c < s.catalog->check_count; ++c)
			{
				const dk_check *check = &s.catalog->check[c];
				bool may = true;
				for (int g = 0; g < check->gate_count; ++g)
				{
					may &= set >> check->gate[g] & 1;
					may &= k != 1 || strcmp(s.catalog->gate[check->gate[g]].id, "hydraulic_lock");
				}
				assert_int_equal(dk_gates_open(s.catalog, &s.request, check), may);
			}
		}
	}
	dk_arena_free(s.arena);
}

// ---- the same over the real catalogue (the working folder is the top of the tree)

static const dk_catalog *real_catalogue(dk_arena *arena)
{
	const dk_catalog *catalog = NULL;
	dk_error error = { 0 };
	char text[DK_ERROR_TEXT];
	if (dk_catalog_load("data", arena, &catalog, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	return catalog;
}

// One observation that meets a condition.
static dk_observation meets(const dk_catalog *catalog, const dk_condition_row *row)
{
	dk_observation seen = { .kind = DK_SEEN_SIGN,
		.row = row->sign,
		.reading = -1,
		.answers = row->answers,
		.before = row->before,
		.n = 1,
		.id = catalog->sign[row->sign].id,
		.given = "" };
	while (!(row->points >> seen.point & 1)) ++seen.point;
	return seen;
}

// A needle or a gauge read beyond a limit that a red rule names is as good as its lamp; yesterday's is not.
static void test_real_reading(void **unused)
{
	(void)unused;
	static const struct
	{
		int reading, point;
		double value;
		bool before;
		const char *want;
	} row[] = {
		{ DK_READING_oil_pressure, DK_POINT_cruise, 0.0, false, "oil_pressure" },
		{ DK_READING_oil_gauge, DK_POINT_warm_idle, 0.2, false, "oil_pressure" },
		{ DK_READING_oil_gauge, DK_POINT_warm_idle, 1.2, false, "none" },
		{ DK_READING_oil_pressure, DK_POINT_key_on, 0.0, false, "none" }, // it stands
		{ DK_READING_oil_pressure, DK_POINT_cruise, 0.0, true, "none" },
		{ DK_READING_fuel_rate, DK_POINT_cruise, 0.0, false, "none" },
	};
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = real_catalogue(arena);
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		dk_observation seen = { .kind = DK_SEEN_READING,
			.row = -1,
			.reading = row[i].reading,
			.point = row[i].point,
			.value = row[i].value,
			.before = row[i].before,
			.n = 1,
			.id = "",
			.given = "" };
		dk_request request = dk_default_request();
		dk_red red;
		request.observation = &seen;
		request.observation_count = 1;
		dk_red_rules(catalog, &request, arena, &red);
		const char *got = red.rule < 0 ? "none" : catalog->red_rule[red.rule].id;
		if (strcmp(got, row[i].want)) fail_msg("row %zu: want %s got %s", i, row[i].want, got);
	}
	dk_arena_free(arena);
}

// For every check: its steps show when all of its own gates were passed, for no smaller set of them, and not
// when anything that shuts one of them was seen.
static void test_real_gates(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = real_catalogue(arena);
	int gated = 0;
	for (int c = 0; c < catalog->check_count; ++c)
	{
		const dk_check *check = &catalog->check[c];
		gated += check->gate_count > 0;
		for (int set = 0; set < 1 << check->gate_count; ++set)
		{
			int passed[16], count = 0;
			for (int g = 0; g < check->gate_count; ++g)
				if (set >> g & 1) passed[count++] = check->gate[g];
			dk_request request = dk_default_request();
			request.passed = passed;
			request.passed_count = count;
			assert_int_equal(dk_gates_open(catalog, &request, check), count == check->gate_count);
			for (int g = 0; g < check->gate_count && count == check->gate_count; ++g)
				for (int k = 0; k < catalog->gate[check->gate[g]].closed_by_count; ++k)
				{
					const dk_condition_row *row = &catalog->gate[check->gate[g]].closed_by[k];
					dk_observation seen = meets(catalog, row);
					request.observation = &seen;
					request.observation_count = 1;
					request.where = -1;
					if (row->sign == catalog->where)
						while (!(row->answers >> ++request.where & 1)) continue;
					assert_false(dk_gates_open(catalog, &request, check));
				}
		}
	}
	assert_true(gated > 0);
	dk_arena_free(arena);
}

// Each condition of each rule, at each place: an order and steps, of this rule or of one that comes first.
static void test_real_rules(void **unused)
{
	(void)unused;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = real_catalogue(arena);
	const int places = catalog->sign[catalog->where].look.answer_count;
	for (int r = 0; r < catalog->red_rule_count; ++r)
		for (int where = -1; where < places; ++where)
		{
			const dk_red_rule *rule = &catalog->red_rule[r];
			dk_observation seen[16];
			dk_request request = dk_default_request();
			request.observation = seen;
			request.where = where;
			for (int k = 0; k < rule->condition_count; ++k) seen[k] = meets(catalog, &rule->condition[k]);
			request.observation_count = rule->all ? rule->condition_count : 1;
			dk_red red;
			dk_red_rules(catalog, &request, arena, &red);
			assert_true(red.rule >= 0);
			assert_true(red.order && red.order[0] && red.then_count > 0);
			bool listed = red.rule == r;
			for (int w = 0; w < red.waiting_count; ++w) listed |= red.waiting[w] == r;
			assert_true(listed);
			assert_true(catalog->red_rule[red.rule].concern <= rule->concern);
		}
	dk_arena_free(arena);
}

// ---- what is held back

static void test_held_back(void **unused)
{
	(void)unused;
	scene s = open_scene();
	dk_trace_input in = dk_default_trace_input();
	in.catalog = s.catalog;
	in.request = &s.request;
	dk_red_rules(s.catalog, &s.request, s.arena, &s.red);
	const dk_check *touch = &s.catalog->check[dk_check_find(s.catalog, "elbow.touch")];
	const dk_check *drop = &s.catalog->check[dk_check_find(s.catalog, "drop.ground")];
	const dk_check *rest = &s.catalog->check[dk_check_find(s.catalog, "battery.rest")];
	assert_null(dk_next_held(&in, &s.red, touch, s.arena));
	assert_null(dk_next_held(&in, &s.red, drop, s.arena));

	// a check under way is not for the berth, nor for an engine that does not turn
	s.request.where = dk_answer_find(&s.catalog->sign[s.catalog->where].look, "alongside");
	assert_non_null(dk_next_held(&in, &s.red, touch, s.arena));
	s.request.where = -1;
	in.crank = (dk_crank_account){ true, 3, "test" };
	assert_non_null(dk_next_held(&in, &s.red, drop, s.arena));
	in.crank.seconds_left = 30;
	assert_null(dk_next_held(&in, &s.red, drop, s.arena));
	say(&s, "scrank.turns=none");
	assert_non_null(dk_next_held(&in, &s.red, touch, s.arena));
	assert_non_null(dk_next_held(&in, &s.red, drop, s.arena));
	assert_null(dk_next_held(&in, &s.red, rest, s.arena));

	// tools aboard
	static const char *const tools[] = { "spanners" };
	s.request.has_tools = true;
	s.request.tools = (dk_texts){ tools, 1 };
	assert_non_null(dk_next_held(&in, &s.red, rest, s.arena));

	// fire: nothing but the cockpit
	s.request = dk_default_request();
	say(&s, "sspace.smoke=smoke");
	for (int c = 0; c < s.catalog->check_count; ++c)
		assert_int_equal(dk_next_held(&in, &s.red, &s.catalog->check[c], s.arena) == NULL,
		    s.catalog->check[c].place == DK_PLACE_COCKPIT);
	dk_arena_free(s.arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_rules), cmocka_unit_test(test_people_first),
		cmocka_unit_test(test_order_by_place), cmocka_unit_test(test_gate_states),
		cmocka_unit_test(test_no_way_round), cmocka_unit_test(test_real_reading),
		cmocka_unit_test(test_real_gates), cmocka_unit_test(test_real_rules),
		cmocka_unit_test(test_held_back) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
