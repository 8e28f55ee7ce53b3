// What the skipper says: from the command line, a case file and JSON; and every way of getting it wrong.
#include "catalog/observation.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

static const char signs[] =
    "- {id: where, question: Where?, default_point: key_on, kind: nominal, source: x, answers: "
    "[{id: alongside, text: a}, {id: anchor, text: a}, {id: no_room, text: b}]}\n"
    "- {id: crank.turns, question: Turns?, default_point: cold_crank, points: [cold_crank, stopped_hot], "
    "kind: nominal, "
    "source: x, answers: [{id: none, text: a}, {id: slow, text: b}, {id: normal, text: c, normal: true}]}\n"
    "- {id: smoke.colour, question: Smoke?, default_point: cruise, points: [warm_idle, cruise, full], kind: "
    "nominal, "
    "source: x, answers: [{id: none, text: a, normal: true}, {id: black, text: b}, {id: white, text: c}]}\n"
    "- {id: bilge, question: Bilge?, default_point: key_on, kind: nominal, several: true, source: x, "
    "answers: "
    "[{id: none, text: a, normal: true}, {id: water, text: b}, {id: oil, text: c}]}\n";
static const char checks[] =
    "- {id: battery.rest, name: b, gives: {reading: battery_rest}, tools: [multimeter], point: key_on, "
    "steps: [s], minutes: 2, place: cockpit}\n"
    "- {id: cap.look, name: c, gives: {parameter: cooling.cap_pa}, point: key_on, "
    "kind: ordinal, source: x, answers: [{id: "
    "good, text: g, normal: true}, {id: bad, text: b}], from: [{parameter: "
    "cooling.cap_pa, answer: bad, threshold: 0.4 bar, "
    "width: 0.1 bar, sense: below}], steps: [s], minutes: 2, place: engine_face}\n";
static const char repairs[] =
    "- {id: filter.replace, name: f, minutes: 20}\n- {id: bleed, name: b, minutes: 20}\n";
static const char gates[] =
    "- {id: rotating, asks: q, answers: [{id: yes, text: y}, {id: no, text: n}], opens_with: [yes], "
    "blocked: b}\n";
static const char faults[] =
    "- {id: cap.weak, name: n, system: cooling, part: p, repair: bleed, moves: [{parameter: "
    "cooling.cap_pa, how: set, to: 0}]}\n"
    "- {id: oil.low, name: n, system: oil, part: p, repair: bleed, moves: [{parameter: oil.level, "
    "how: set, to: 0.3}]}\n";
static const char rules[] =
    "- {id: fire, name: n, any: [{sign: smoke.colour, answer: white}], order: o, concern: fire, "
    "reason: r, source: s}\n";

static const dk_catalog *catalog_of(dk_arena *arena)
{
	const dk_catalog_texts texts = { faults, signs, checks, repairs, gates, rules, NULL };
	dk_error error;
	char text[DK_ERROR_TEXT];
	const dk_catalog *catalog = NULL;
	if (dk_catalog_parse(&texts, arena, &catalog, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	return catalog;
}

static void test_command_line(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = catalog_of(arena);
	dk_error error;
	dk_request r = dk_default_request();
	static const struct
	{
		char kind;
		const char *text;
	} given[] = {
		{ 's', "crank.turns=slow" },
		{ 's', "smoke.colour@full=black,white" },
		{ 's', "before:smoke.colour=none" },
		{ 's', "where=anchor" },
		{ 'r', "coolant_gauge=208.4 F" },
		{ 'r', "oil_pressure@warm_idle=1.2 bar" },
		{ 'd', "battery.rest=12.4 V" },
		{ 'd', "cap.look=bad" },
		{ 't', "filter.replace=no_better" },
		{ 'a', "5 C" },
		{ 'w', "54 F" },
		{ 'p', "1010 hPa" },
		{ 's', "bilge=not_looked" },
		{ 'r', "raw_water_flow=0 l/min" },
	};
	for (size_t i = 0; i < sizeof given / sizeof given[0]; ++i)
		if (dk_request_add(&r, given[i].kind, given[i].text, c, arena, &error) != DK_OK)
		{
			char text[DK_ERROR_TEXT];
			fail_msg("%s", dk_error_text(&error, text, sizeof text));
		}
	assert_int_equal(dk_request_check(&r, c, &error), DK_OK);
	assert_int_equal(r.where, 1);
	assert_int_equal(r.observation_count, 9);
	const dk_observation *o = r.observation;
	assert_int_equal(o[0].point, DK_POINT_cold_crank);
	assert_int_equal(o[0].answers, 1u << 1);
	assert_int_equal(o[1].point, DK_POINT_full);
	assert_int_equal(o[1].answers, 1u << 1 | 1u << 2);
	assert_string_equal(o[1].given, "black,white");
	assert_true(o[2].before && !o[1].before);
	assert_true(fabs(o[3].value - 98) < 1e-9 && o[3].point == DK_POINT_cruise);
	assert_int_equal(o[4].reading, DK_READING_oil_pressure);
	assert_int_equal(o[4].point, DK_POINT_warm_idle);
	assert_int_equal(o[5].kind, DK_SEEN_CHECK);
	assert_int_equal(o[5].reading, DK_READING_battery_rest);
	assert_true(o[5].value == 12.4);
	assert_int_equal(o[6].reading, -1);
	assert_int_equal(o[6].answers, 1u << 1);
	assert_int_equal(o[7].special, DK_SPECIAL_NOT_LOOKED);
	assert_true(o[8].value == dk_reading_info[DK_READING_raw_water_flow].floor);
	assert_int_equal(r.tried[0].result, DK_RESULT_NO_BETTER);
	assert_true(r.said.air && fabs(r.said.air_k - 278.15) < 1e-9);
	assert_true(fabs(r.said.sea_k - 285.3722) < 1e-3 && fabs(r.said.pressure_pa - 1.01e5) < 1e-6);
	dk_arena_free(arena);
}

static const char case_yaml[] =
    "id: one\nfamily: starting\nsource: '[X] p. 3'\nengine: three_indirect\nair: 5 C\nwhere: alongside\n"
    "observed:\n  crank.turns: slow\n  smoke.colour@full: [black, white]\n  bilge: {answer: [water, oil], "
    "how: volunteered}\n"
    "before: {smoke.colour: none}\nreadings: {coolant_gauge@cruise: {value: 98 C, n: 3}}\n"
    "done: {cap.look: bad, battery.rest: 12.4 V}\ntried: {filter.replace: no_better}\ntools: "
    "[multimeter]\ncannot: []\n"
    "passed: [rotating]\ncause: [cap.weak]\nset: [oil.low, cap.weak, tank.empty]\norder: likelihood\nexpect: "
    "system:oil\n"
    "red_rule: none\nmust_not: [cap.look, crank]\n";

static const char case_json[] = "{\"id\":\"one\",\"family\":\"starting\",\"source\":\"[X] p. "
                                "3\",\"engine\":\"three_indirect\",\"air\":\"5 C\","
                                "\"where\":\"alongside\",\"observed\":[{\"id\":\"crank.turns\",\"answer\":"
                                "\"slow\"},{\"id\":\"smoke.colour\",\"at\":"
                                "\"full\",\"answer\":[\"black\",\"white\"]},{\"id\":\"bilge\",\"answer\":["
                                "\"water\",\"oil\"],\"how\":\"volunteered\"},"
                                "{\"id\":\"smoke.colour\",\"answer\":\"none\",\"when\":\"before\"},{\"id\":"
                                "\"coolant_gauge\",\"at\":\"cruise\","
                                "\"value\":98,\"unit\":\"C\",\"n\":3},{\"id\":\"cap.look\",\"answer\":"
                                "\"bad\"},{\"id\":\"battery.rest\",\"value\":"
                                "12.4,\"unit\":\"V\"}],\"tried\":[{\"repair\":\"filter.replace\",\"result\":"
                                "\"no_better\"}],\"tools\":[\"multimeter\"],"
                                "\"passed\":[\"rotating\"]}";

static void check_request(const dk_request *r)
{
	assert_string_equal(r->id, "one");
	assert_int_equal(r->where, 0);
	assert_int_equal(r->observation_count, 7);
	assert_int_equal(r->observation[0].row, 1);
	assert_int_equal(r->observation[1].point, DK_POINT_full);
	assert_true(r->observation[2].volunteered);
	assert_true(r->observation[3].before);
	assert_int_equal(r->observation[4].n, 3);
	assert_true(fabs(r->observation[4].value - 98) < 1e-9);
	assert_int_equal(r->tried_count, 1);
	assert_true(r->has_tools);
	assert_int_equal(r->tools.count, 1);
	assert_int_equal(r->passed_count, 1);
}

static void test_case(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = catalog_of(arena);
	dk_error error;
	char text[DK_ERROR_TEXT];
	dk_request r;
	const dk_node *root;
	assert_int_equal(dk_yaml_parse(case_yaml, sizeof case_yaml - 1, "c.yaml", arena, &root, &error), DK_OK);
	if (dk_request_from_node(root, c, arena, &r, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	check_request(&r);
	assert_int_equal(r.cause_count, 1);
	assert_int_equal(r.set_count, 2);
	assert_int_equal(r.set_ids.count, 3);
	assert_int_equal(r.order, DK_ORDER_LIKELIHOOD);
	assert_int_equal(r.expect, DK_EXPECT_SYSTEM);
	assert_int_equal(r.expect_system, DK_SYSTEM_oil);
	assert_int_equal(r.red_rule, -1);
	assert_int_equal(r.must_not_count, 1);
	assert_int_equal(r.must_not_acts.count, 2);

	// the same in JSON
	if (dk_request_from_json(case_json, sizeof case_json - 1, c, arena, &r, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	check_request(&r);
	assert_int_equal(r.red_rule, -2);
	dk_arena_free(arena);
}

static const struct
{
	char kind; // of the command line; 'y' a YAML request, 'j' a JSON request
	const char *text;
	dk_status status;
	const char *says;
} refusals[] = {
	{ 's', "crank.turnz=slow", DK_UNKNOWN_NAME,
	    "crank.turnz: there is no sign 'crank.turnz'; did you mean 'crank.turns'?" },
	{ 's', "crank.turns=slwo", DK_UNKNOWN_NAME, "did you mean 'slow'?" },
	{ 's', "crank.turns=purple", DK_UNKNOWN_NAME, "one of: none, slow, normal, not_looked, not_sure, odd" },
	{ 's', "crank.turns@cruise=slow", DK_BAD_INPUT, "it can at: cold_crank, stopped_hot" },
	{ 's', "crank.turns@cruze=slow", DK_UNKNOWN_NAME, "did you mean 'cruise'?" },
	{ 's', "crank.turns", DK_BAD_INPUT, "ID=ANSWER" },
	{ 's', "=slow", DK_BAD_INPUT, "ID=ANSWER" },
	{ 's', "crank.turns=", DK_BAD_INPUT, "ID=ANSWER" },
	{ 's', "crank.turns=slow,not_sure", DK_BAD_INPUT, "must stand alone" },
	{ 's', "crank.turns=cannot", DK_BAD_INPUT, "only a check" },
	{ 's', "coolant_gauge=98", DK_UNKNOWN_NAME, "'coolant_gauge' is a reading: give it as one" },
	{ 's', "where=anchor,no_room", DK_BAD_INPUT, "one place" },
	{ 'r', "coolant_gauge=980 C", DK_OUT_OF_RANGE,
	    "coolant_gauge: 980 C is out of range; allowed: -60 to 250 degC" },
	{ 'r', "coolant_gauge=98 bar", DK_WRONG_UNIT,
	    "'bar' is a pressure; a temperature is expected; units that fit: C, F, K" },
	{ 'r', "coolant_gauge=98", DK_BAD_INPUT, "no unit is given" },
	{ 'r', "coolant_gauge=hot", DK_BAD_INPUT, "'hot' is not a number" },
	{ 'r', "coolant_gage=98 C", DK_UNKNOWN_NAME, "did you mean 'coolant_gauge'?" },
	{ 'r', "battery_rest@cruise=12 V", DK_BAD_INPUT, "it can at: key_on" },
	{ 'r', "raw_water_flow=-1 l/min", DK_OUT_OF_RANGE, "allowed: 0 to 500 l/min" },
	{ 'd', "cap.look=worse", DK_UNKNOWN_NAME, "one of: good, bad" },
	{ 'd', "battery.rest=good", DK_BAD_INPUT, "is not a number" },
	{ 'd', "cap.lok=bad", DK_UNKNOWN_NAME, "did you mean 'cap.look'?" },
	{ 't', "filter.replace=cure", DK_UNKNOWN_NAME, "did you mean 'cured'?" },
	{ 't', "filter.replce=cured", DK_UNKNOWN_NAME, "did you mean 'filter.replace'?" },
	{ 'a', "500 C", DK_OUT_OF_RANGE, "air: 500 C is out of range; allowed: -40 to 60 C" },
	{ 'w', "5 bar", DK_WRONG_UNIT, "a temperature is expected" },
	{ 'p', "5 bar", DK_OUT_OF_RANGE, "pressure: 5 bar is out of range; allowed: 0.5 to 1.2 bar" },
	{ 'y', "observd: {crank.turns: slow}", DK_UNKNOWN_NAME,
	    "1:1: observd: a request has no key 'observd'; did you mean 'observed'?" },
	{ 'y', "observed: {crank.turns: {answer: slow, value: 3}}", DK_BAD_INPUT, "either an answer or a value" },
	{ 'y', "observed: {crank.turns: {anser: slow}}", DK_UNKNOWN_NAME, "did you mean 'answer'?" },
	{ 'y', "observed: {crank.turns: {answer: slow, n: 1000}}", DK_OUT_OF_RANGE, "allowed: 1 to 100" },
	{ 'y', "observed: {crank.turns: {answer: slow, when: soon}}", DK_UNKNOWN_NAME, "one of: now, before" },
	{ 'y', "observed: slow", DK_BAD_INPUT, "'id: answer' lines" },
	{ 'y', "observed: {crank.turns: }", DK_MISSING, "an answer is missing" },
	{ 'y', "observed:\n  crank.turns: slow\n  crank.turns@cold_crank: none\n", DK_CONTRADICTION,
	    "3:27: crank.turns: 'slow' and 'none' at cold_crank contradict each other" },
	{ 'y', "observed: {bilge: [none, water]}", DK_CONTRADICTION, "contradict" },
	{ 'y', "tried: [{repair: bleed, result: cured}, {repair: bleed, result: no_better}]", DK_CONTRADICTION,
	    "'cured' and 'no_better'" },
	{ 'y', "done: {cap.look: bad}\ncannot: [cap.look]", DK_CONTRADICTION, "done and as not possible" },
	{ 'y', "where: anchor\nobserved: {where: no_room}", DK_CONTRADICTION, "two different places" },
	{ 'y', "cannot: [cap.lok]", DK_UNKNOWN_NAME, "did you mean 'cap.look'?" },
	{ 'y', "cause: [cap.weka]", DK_UNKNOWN_NAME, "did you mean 'cap.weak'?" },
	{ 'y', "expect: perhaps", DK_UNKNOWN_NAME, "keep_open" },
	{ 'y', "expect: system:oill", DK_UNKNOWN_NAME, "did you mean 'oil'?" },
	{ 'y', "red_rule: fier", DK_UNKNOWN_NAME, "did you mean 'fire'?" },
	{ 'j', "{\"observed\": {\"crank.turnz\": \"slow\"}}", DK_UNKNOWN_NAME, "did you mean 'crank.turns'?" },
	{ 'j', "{\"observed\": [{\"answer\": \"slow\"}]}", DK_MISSING, "id" },
	{ 'j', "[1, 2]", DK_BAD_INPUT, "a request must be" },
	{ 'j', "{\"air\": 5}", DK_BAD_INPUT, "no unit is given" },
	{ 'j', "{\"air\": \"5 C\"", DK_BAD_INPUT, "JSON" },
};

static void test_refusals(void **state)
{
	(void)state;
	int bad = 0;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; ++i)
	{
		dk_arena *arena = dk_arena_new();
		const dk_catalog *c = catalog_of(arena);
		dk_error error;
		memset(&error, 0, sizeof error);
		char text[DK_ERROR_TEXT];
		dk_request r = dk_default_request();
		const dk_node *root = NULL;
		dk_status status;
		const size_t size = strlen(refusals[i].text);
		if (refusals[i].kind == 'j')
			status = dk_request_from_json(refusals[i].text, size, c, arena, &r, &error);
		else if (refusals[i].kind == 'y')
		{
			assert_int_equal(dk_yaml_parse(refusals[i].text, size, "c.yaml", arena, &root, &error), DK_OK);
			status = dk_request_from_node(root, c, arena, &r, &error);
		}
		else
			status = dk_request_add(&r, refusals[i].kind, refusals[i].text, c, arena, &error);
		dk_error_text(&error, text, sizeof text);

		// nothing half done: the request is as it was
		const bool untouched = !r.observation_count && !r.tried_count && r.where == -1 && !r.said.air;
		if (status != refusals[i].status || !untouched || !strstr(text, refusals[i].says))
		{
			printf("row %zu: status %d, wanted %d: %s\n", i, status, refusals[i].status, text);
			++bad;
		}
		dk_arena_free(arena);
	}
	assert_int_equal(bad, 0);
}

// what is no contradiction: another point, another time, an overlap, an open answer
static void test_no_contradiction(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = catalog_of(arena);
	dk_error error;
	dk_request r = dk_default_request();
	static const char *const said[] = { "smoke.colour@full=black", "smoke.colour@cruise=none",
		"before:smoke.colour@full=none", "smoke.colour@full=black,white", "smoke.colour@full=odd",
		"bilge=water", "bilge=oil" };
	for (size_t i = 0; i < sizeof said / sizeof said[0]; ++i)
		assert_int_equal(dk_request_add(&r, 's', said[i], c, arena, &error), DK_OK);
	assert_int_equal(dk_request_check(&r, c, &error), DK_OK);
	assert_int_equal(dk_request_add(&r, 's', "smoke.colour@full=none", c, arena, &error), DK_OK);
	assert_int_equal(dk_request_check(&r, c, &error), DK_CONTRADICTION);
	dk_arena_free(arena);
}

// a tool that no check needs is a slip, or a wish
static void test_tools(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	const dk_catalog *catalog = catalog_of(arena);
	dk_request request;
	const char slip[] = "{\"tools\": [\"multimeter\", \"multimetr\"]}";
	assert_int_equal(
	    dk_request_from_json(slip, sizeof slip - 1, catalog, arena, &request, &error), DK_UNKNOWN_NAME);
	assert_string_equal(error.field, "tools");
	assert_non_null(strstr(error.advice, "'multimeter'"));
	assert_int_equal(dk_tool_known(catalog, "multimeter", arena, &error), DK_OK);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_command_line), cmocka_unit_test(test_case),
		cmocka_unit_test(test_refusals), cmocka_unit_test(test_no_contradiction),
		cmocka_unit_test(test_tools) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
