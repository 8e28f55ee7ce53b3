// The catalogue: its forms, its references, its own data folder.
#include "catalog/catalog.h"
#include "engine/tables.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "data_folder.h"
#include <cmocka.h>

#define WHERE                                                                                                \
	"- {id: where, question: Where are you?, default_point: key_on, kind: nominal, source: x, "              \
	"answers: [{id: alongside, text: a}, {id: no_room, text: b}]}\n"
#define SINCE                                                                                                \
	"- {id: since, question: Since when?, default_point: key_on, kind: nominal, source: x, "                 \
	"answers: [{id: sudden, text: a}, {id: weeks, text: b}]}\n"
#define AFTER                                                                                                \
	"- {id: after, question: After what?, default_point: key_on, kind: nominal, source: x, "                 \
	"answers: [{id: nothing, text: a}, {id: layup, text: b}]}\n"
#define GAUGE                                                                                                \
	"- {id: gauge.coolant, question: Hot?, default_point: cruise, kind: ordinal, relation: "                 \
	"against_healthy, "                                                                                      \
	"source: A, answers: [{id: low, text: l}, {id: normal, text: n, normal: true}, {id: high, text: h}], "   \
	"from: ["                                                                                                \
	"{reading: coolant_gauge, answer: low, threshold: -8 K, width: 3 K, sense: below, compare: "             \
	"difference}, "                                                                                          \
	"{reading: coolant_gauge, answer: high, threshold: 8 K, width: 3 K, sense: above, compare: "             \
	"difference}]}\n"
#define SMOKE                                                                                                \
	"- {id: smoke.colour, question: Smoke?, default_point: cruise, points: [cruise, full], kind: nominal, "  \
	"source: A, answers: [{id: none, text: n, normal: true}, {id: black, text: b}], from: ["                 \
	"{reading: soot, answer: black, threshold: 1.5, width: 0.33, sense: above}]}\n"

static const char signs[] = WHERE SINCE AFTER GAUGE SMOKE;
static const char repairs[] =
    "- {id: impeller.replace, name: new impeller, minutes: 30}\n"
    "- {id: rest, name: wait, minutes: 60}\n- {id: filter.clean, name: clean, minutes: 5}\n";
static const char gates[] =
    "- {id: hot_cap, asks: Cold?, answers: [{id: yes, text: y}, {id: no, text: n}], "
    "opens_with: [yes], blocked: Wait., closed_by: [{sign: gauge.coolant, answer: high}]}\n";
static const char faults[] =
    "- id: impeller.worn\n  name: worn\n  system: cooling\n  part: pump\n  repair: impeller.replace\n"
    "  moves:\n    - {parameter: cooling.vane_loss, how: add, to: 0.85}\n"
    "  prior: {share: 0.3, source: A}\n  onset: {weeks: {factor: 2, source: A}}\n"
    "  after: {layup: {factor: 1.5, source: A}}\n  leads_to: [cap.weak]\n"
    "  measure: {text: 'about {} lost', unit: '%', at_0: 0, at_1: 90}\n"
    "- {id: cap.weak, name: w, system: cooling, part: cap, repair: rest, moves: "
    "[{parameter: cooling.cap_pa, how: set, to: 0.2 bar, curve: square}]}\n"
    "- {id: air.filter, name: w, system: air, part: f, repair: filter.clean, fitted_when: {cooling: [keel, "
    "raw_water]}, "
    "moves: [{parameter: air.filter_pa_s2_kg2, how: times, to: 20, curve: log}]}\n";
static const char checks[] =
    "- {id: bucket, name: b, gives: {reading: raw_water_flow, error: 0.5 l/min}, point: warm_idle, steps: "
    "[s], minutes: 5, "
    "place: outlet, needs: [running], gates: [hot_cap], ask_when: {exhaust: wet}}\n"
    "- {id: elbow.look, name: e, gives: {parameter: exhaust.elbow_open}, kind: ordinal, source: A, answers: "
    "[{id: good, text: g, normal: true}, {id: bad, text: b}], from: [{parameter: exhaust.elbow_open, answer: "
    "bad, "
    "threshold: 0.4, width: 0.1, sense: below}], point: stopped_hot, steps: [s], minutes: 40, place: "
    "engine_back, "
    "needs: [stopped], removes: head, undo: refit}\n"
    "- {id: smoke.look, name: e, gives: {sign: smoke.colour}, point: full, steps: [s], minutes: 1, place: "
    "aft}\n";
static const char red_rules[] = "- {id: hot_and_dry, name: h, all: [{sign: gauge.coolant, answer: high, "
                                "when: before}, {sign: gauge.coolant, answer: "
                                "low, points: [cruise]}], order: Stop., then: [wait], at: {no_room: {order: "
                                "Sail., then: [call]}, alongside: [wait]}, "
                                "concern: engine, reason: r, source: s}\n";
static const char limits[] =
    "- {id: hot, text: t, reading: coolant_temperature, points: [cruise], value: 208.4 F, "
    "sense: above, can_be_undone: false, source: A}\n"
    "- {id: oil, text: t, reading: oil_pressure, value: 50, unit: kPa, sense: below, "
    "can_be_undone: false, source: A}\n";

static const dk_catalog_texts good = { faults, signs, checks, repairs, gates, red_rules, limits };

static const dk_catalog *load(const dk_catalog_texts *texts, dk_arena *arena)
{
	dk_error error;
	char text[DK_ERROR_TEXT];
	const dk_catalog *catalog = NULL;
	if (dk_catalog_parse(texts, arena, &catalog, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	return catalog;
}

static void test_rows(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = load(&good, arena);

	// in the order of ids, whatever the order in the file
	assert_int_equal(c->fault_count, 3);
	assert_string_equal(c->fault[0].id, "air.filter");
	assert_string_equal(c->fault[1].id, "cap.weak");
	const dk_fault *worn = &c->fault[2];
	assert_int_equal(worn->system, DK_SYSTEM_cooling);
	assert_string_equal(c->repair[worn->repair].id, "impeller.replace");
	assert_int_equal(worn->leads_to[0], 1);
	assert_int_equal(worn->onset_kind, DK_ONSET_CREEPING);
	assert_int_equal(worn->after.item[0].answer, 1);
	assert_true(worn->mend_minutes == 30);
	assert_int_equal(worn->mark.line, 1);

	// a fault that nobody gave a share takes its neighbours' mean; a system sums to one
	assert_true(fabs(worn->share - 0.5) < 1e-12 && fabs(c->fault[1].share - 0.5) < 1e-12);
	assert_true(c->fault[1].share_assumed && !worn->share_assumed);
	assert_true(c->fault[0].share == 1);

	// moves in the parameter's own unit
	assert_true(fabs(c->fault[1].move[0].to - 0.2e5) < 1e-9);
	assert_int_equal(c->fault[1].move[0].curve, DK_CURVE_SQUARE);
	assert_int_equal(c->fault[0].move[0].how, DK_HOW_TIMES);

	// efficacy by the verb
	assert_true(c->repair[dk_repair_find(c, "impeller.replace")].efficacy == 0.95);
	assert_true(c->repair[dk_repair_find(c, "filter.clean")].efficacy == 0.8);
	assert_true(c->repair[dk_repair_find(c, "rest")].efficacy == 0.3);

	const dk_check *bucket = &c->check[dk_check_find(c, "bucket")],
	               *elbow = &c->check[dk_check_find(c, "elbow.look")];
	assert_int_equal(bucket->gives, DK_GIVES_READING);
	assert_true(bucket->error_sd == 0.5);
	assert_int_equal(bucket->gate_count, 1);
	assert_int_equal(bucket->needs, DK_NEED(running));
	assert_string_equal(elbow->parameter, "exhaust.elbow_open");
	assert_int_equal(elbow->look.from[0].scale, DK_SCALE_LIN);
	assert_string_equal(elbow->removes, "head");
	const dk_check *look = &c->check[dk_check_find(c, "smoke.look")];
	assert_int_equal(look->look.answer_count, 2);
	assert_int_equal(look->sign, dk_sign_find(c, "smoke.colour"));

	const dk_sign *gauge = &c->sign[dk_sign_find(c, "gauge.coolant")], *smoke = &c->sign[look->sign];
	assert_true(gauge->look.from[0].threshold == -8 && gauge->look.from[0].width == 3);
	assert_int_equal(gauge->look.from[0].compare, DK_COMPARE_DIFFERENCE);
	assert_int_equal(smoke->look.from[0].scale, DK_SCALE_LOG);
	assert_true(smoke->look.miss == 0.1 && smoke->look.false_report == 0.03 && smoke->report == 0.3);
	assert_int_equal(dk_answer_find(&smoke->look, "black"), 1);

	const dk_red_rule *rule = &c->red_rule[0];
	assert_true(rule->all && rule->condition[0].before && !rule->condition[1].before);
	assert_int_equal(rule->condition[1].points, 1u << DK_POINT_cruise);
	assert_string_equal(rule->at[0].order, "Sail.");
	assert_null(rule->at[1].order);
	assert_string_equal(rule->at[1].then.item[0], "wait");
	assert_true(fabs(c->limit[0].value - 98) < 1e-9);
	assert_true(fabs(c->limit[1].value - 0.5) < 1e-12);
	dk_arena_free(arena);
}

static void test_shares(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_catalog_texts texts = { .signs = signs, .repairs = repairs };
#define FAULT(id, prior)                                                                                     \
	"- {id: " id ", name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.level, "            \
	"how: set, to: 0.3}]" prior "}\n"
	texts.faults =
	    FAULT("a.a", ", prior: {rate: 3, source: s}") FAULT("b.b", ", prior: {rate: 1, source: s}");
	const dk_catalog *c = load(&texts, arena);
	assert_true(fabs(c->fault[0].share - 0.75) < 1e-12);
	texts.faults = FAULT("a.a", ", prior: {share: 0.6, source: s}")
	    FAULT("b.b", ", prior: {share: 0.2, source: s}") FAULT("c.c", "");
	c = load(&texts, arena);
	assert_true(fabs(c->fault[0].share - 0.5) < 1e-12);
	assert_true(fabs(c->fault[2].share - 1.0 / 3) < 1e-12);
	dk_arena_free(arena);
}

static void test_measure(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = load(&good, arena);
	char text[60], small[8];
	assert_string_equal(dk_fault_measure(&c->fault[2], 0.5, text, sizeof text), "about 45 % lost");
	assert_string_equal(dk_fault_measure(&c->fault[0], 0.9, text, sizeof text), "severe");
	assert_int_equal(strlen(dk_fault_measure(&c->fault[2], 0.5, small, sizeof small)), 7);
	dk_arena_free(arena);
}

static void test_when(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *c = load(&good, arena);
	dk_installation boat = dk_default_installation();
	const dk_whens *whens = &c->fault[0].fitted, none = { 0 };
	assert_false(dk_when_holds(whens, &boat));
	boat.answer[DK_INSTALL_cooling] = dk_install_answer_find(DK_INSTALL_cooling, "keel");
	assert_true(dk_when_holds(whens, &boat));
	assert_true(dk_when_holds(&none, &boat));
	dk_arena_free(arena);
}

// the order of rows is nothing to the hash, their content is; a question's words are nothing to a bank
static void test_hash(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_catalog_texts texts = good;
	const dk_catalog *one = load(&texts, arena);
	texts.signs = SMOKE GAUGE AFTER SINCE WHERE;
	const dk_catalog *two = load(&texts, arena);
	assert_true(one->hash == two->hash && one->fault_hash == two->fault_hash);
	texts.repairs = "- {id: impeller.replace, name: new impeller, minutes: 31}\n"
	                "- {id: rest, name: wait, minutes: 60}\n- {id: filter.clean, name: clean, minutes: 5}\n";
	const dk_catalog *three = load(&texts, arena);
	assert_true(one->hash != three->hash && one->fault_hash == three->fault_hash);
	dk_arena_free(arena);
}

enum
{
	F,
	S,
	C,
	R,
	G,
	D,
	L
};
static const struct
{
	int kind;
	const char *text;
	dk_status status;
	const char *says;
} refusals[] = {
	{ R, "- {id: a.b, name: x, minuts: 3}\n", DK_UNKNOWN_NAME, "did you mean 'minutes'?" },
	{ R, "- {id: a.b, name: x}\n", DK_MISSING, "minutes" },
	{ R, "- {id: a.b, name: x, minutes: -3}\n", DK_OUT_OF_RANGE, "allowed: 0 to" },
	{ R, "- {id: A.B, name: x, minutes: 3}\n", DK_BAD_INPUT, "cannot be an id" },
	{ R, "- {id: a.b, name: x, minutes: 3}\n- {id: a.b, name: y, minutes: 3}\n", DK_BAD_INPUT,
	    "stands twice" },
	{ R, "id: a.b\n", DK_BAD_INPUT, "list of rows" },
	{ R, "- 5\n", DK_MISSING, "id" },
	{ R, "- {id: a.b, name: x, minutes: 3, efficacy: 1.5}\n", DK_OUT_OF_RANGE, "efficacy" },
	{ F, "- {id: a.b, name: n, system: oil, part: p, repair: impeler.replace, moves: []}\n", DK_UNKNOWN_NAME,
	    "did you mean 'impeller.replace'?" },
	{ F, "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: []}\n", DK_MISSING, "moves" },
	{ F, "- {id: a.b, name: n, system: oyl, part: p, repair: rest, moves: []}\n", DK_UNKNOWN_NAME,
	    "did you mean 'oil'?" },
	{ F, FAULT("a.b", ", leads_to: [c.d]"), DK_UNKNOWN_NAME, "no fault 'c.d'" },
	{ F, FAULT("a.b", ", onset: {week: {factor: 2, source: s}}"), DK_UNKNOWN_NAME, "did you mean 'weeks'?" },
	{ F, FAULT("a.b", ", onset: {weeks: {factor: 2}}"), DK_MISSING, "source" },
	{ F, FAULT("a.b", ", prior: {share: 2, source: s}"), DK_OUT_OF_RANGE, "share" },
	{ F, FAULT("a.b", ", prior: {share: 0.5, rate: 2, source: s}"), DK_BAD_INPUT,
	    "either a share or a rate" },
	{ F, FAULT("a.b", ", fitted_when: {exhaust: wett}"), DK_UNKNOWN_NAME, "did you mean 'wet'?" },
	{ F, FAULT("a.b", ", sign: smoke.colour"), DK_UNKNOWN_NAME, "no key 'sign'" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.levl, how: set, "
	    "to: 0.3}]}\n",
	    DK_UNKNOWN_NAME, "did you mean 'oil.level'?" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.level, how: set, "
	    "to: 3}]}\n",
	    DK_OUT_OF_RANGE, "allowed: 0 to 2" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.level, how: time, "
	    "to: 3}]}\n",
	    DK_UNKNOWN_NAME, "did you mean 'times'?" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: "
	    "cylinder.ring_leak_m2.b, how: times, "
	    "to: 3}]}\n",
	    DK_BAD_INPUT, "without '.b'" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.level, how: times, "
	    "to: 0, curve: "
	    "log}]}\n",
	    DK_OUT_OF_RANGE, "log curve" },
	{ F,
	    "- {id: a.b, name: n, system: oil, part: p, repair: rest, moves: [{parameter: oil.relief_pa, how: "
	    "set, to: 3 mm}]}\n",
	    DK_WRONG_UNIT, "a pressure is expected" },
	{ S, WHERE "- {id: a.b, question: q, default_point: cruse, kind: flag, source: s, answers: []}\n",
	    DK_UNKNOWN_NAME, "did you mean 'cruise'?" },
	{ S,
	    "- {id: a.b, question: q, default_point: cruise, kind: flag, source: s, answers: [{id: a, text: t}, "
	    "{id: b, text: "
	    "t}, {id: c, text: t}]}\n",
	    DK_BAD_INPUT, "two answers" },
	{ S,
	    "- {id: a.b, question: q, default_point: cruise, kind: flag, answers: [{id: a, text: t}, {id: b, "
	    "text: t}]}\n",
	    DK_MISSING, "source" },
	{ S,
	    "- {id: a.b, question: q, default_point: cruise, kind: flag, source: s, answers: [{id: odd, text: "
	    "t}, {id: b, text: "
	    "t}]}\n",
	    DK_BAD_INPUT, "already" },
	{ S,
	    "- {id: a.b, question: q, default_point: cruise, kind: flag, source: s, answers: [{id: a, text: t}, "
	    "{id: b, text: "
	    "t}], from: [{reading: soot, answer: b, threshold: 1, width: 1, sense: above}]}\n",
	    DK_MISSING, "normal: true" },
#define FLAG(from)                                                                                           \
	"- {id: a.b, question: q, default_point: cruise, kind: flag, source: s, answers: [{id: a, text: t, "     \
	"normal: true}, {id: b, text: t}], from: [" from "]}\n"
	{ S, FLAG("{reading: sooot, answer: b, threshold: 1, width: 1, sense: above}"), DK_UNKNOWN_NAME,
	    "did you mean 'soot'?" },
	{ S, FLAG("{reading: soot, answer: c, threshold: 1, width: 1, sense: above}"), DK_UNKNOWN_NAME,
	    "one of: a, b" },
	{ S, FLAG("{reading: soot, answer: a, threshold: 1, width: 1, sense: above}"), DK_BAD_INPUT,
	    "is normal" },
	{ S, FLAG("{reading: soot, answer: b, threshold: 0, width: 1, sense: above}"), DK_OUT_OF_RANGE,
	    "more than 0" },
	{ S, FLAG("{reading: soot, answer: b, threshold: 1, width: 0, sense: above}"), DK_OUT_OF_RANGE, "width" },
	{ S, FLAG("{reading: soot, answer: b, threshold: 1, width: 1, sense: over}"), DK_UNKNOWN_NAME,
	    "above, below" },
	{ S, FLAG("{reading: soot, answer: b, threshold: 1, width: 1, sense: above, compare: ratio}"),
	    DK_BAD_INPUT, "against_healthy" },
	{ S, FLAG("{reading: soot, parameter: oil.level, answer: b, threshold: 1, width: 1, sense: above}"),
	    DK_BAD_INPUT, "not both" },
	{ S, FLAG("{reading: battery_rest, answer: b, threshold: 1, width: 1, sense: above}"), DK_BAD_INPUT,
	    "there is no battery_rest at cruise" },
	{ S, FLAG("{reading: soot, answer: b, threshold: 1 bar, width: 1, sense: above}"), DK_WRONG_UNIT,
	    "smoke number" },
	{ G,
	    "- {id: g, asks: q, answers: [{id: y, text: t}, {id: n, text: t}], opens_with: [y, n], blocked: b}\n",
	    DK_BAD_INPUT, "guards nothing" },
	{ G, "- {id: g, asks: q, answers: [{id: y, text: t}, {id: n, text: t}], opens_with: [z], blocked: b}\n",
	    DK_UNKNOWN_NAME, "no answer 'z'" },
	{ G,
	    "- {id: g, asks: q, answers: [{id: y, text: t}, {id: n, text: t}], opens_with: [y], blocked: b, "
	    "closed_by: [{sign: "
	    "gauge.coolnt, answer: high}]}\n",
	    DK_UNKNOWN_NAME, "did you mean 'gauge.coolant'?" },
#define CHECK(gives, more)                                                                                   \
	"- {id: a.b, name: n, gives: " gives ", point: warm_idle, steps: [s], minutes: 1, place: aft" more "}\n"
	{ C, CHECK("{reading: soot}", ", gates: [hotcap]"), DK_UNKNOWN_NAME, "did you mean 'hot_cap'?" },
	{ C, CHECK("{reading: soot}", ", needs: [runing]"), DK_UNKNOWN_NAME, "did you mean 'running'?" },
	{ C, CHECK("{reading: soot}", ", needs: [running, stopped]"), DK_BAD_INPUT, "stopped and turning" },
	{ C, CHECK("{reading: soot, sign: smoke.colour}", ""), DK_BAD_INPUT, "name one of" },
	{ C, CHECK("{reading: soot}", ", miss: 0.1"), DK_BAD_INPUT, "no answers of its own" },
	{ C, CHECK("{reading: battery_rest}", ""), DK_BAD_INPUT, "there is no battery_rest at warm_idle" },
	{ C, CHECK("{parameter: exhaust.elbow_open}", ""), DK_MISSING, "kind" },
	{ C, CHECK("{reading: soot}", ", fault: elbow.blocked"), DK_UNKNOWN_NAME, "no key 'fault'" },
	{ D, "- {id: a, name: n, any: [], order: o, concern: fire, reason: r, source: s}\n", DK_MISSING,
	    "condition" },
	{ D, "- {id: a, name: n, order: o, concern: fire, reason: r, source: s}\n", DK_BAD_INPUT,
	    "'any' or 'all'" },
	{ D,
	    "- {id: a, name: n, any: [{sign: smoke.colour, answer: pink}], order: o, concern: fire, reason: r, "
	    "source: s}\n",
	    DK_UNKNOWN_NAME, "no answer 'pink'" },
	{ D,
	    "- {id: a, name: n, any: [{sign: smoke.colour, answer: black}], order: o, at: {sea: [x]}, concern: "
	    "fire, reason: r, "
	    "source: s}\n",
	    DK_UNKNOWN_NAME, "no answer of the sign 'where'" },
	{ L,
	    "- {id: a, text: t, reading: soot, points: [key_on], value: 1, sense: above, can_be_undone: true, "
	    "source: s}\n",
	    DK_BAD_INPUT, "there is no soot" },
	{ L, "- {id: a, text: t, reading: soot, value: 1, sense: above, source: s}\n", DK_MISSING,
	    "can_be_undone" },
	{ L,
	    "- {id: a, text: t, reading: oil_pressure, value: 1, unit: mm, sense: above, can_be_undone: true, "
	    "source: s}\n",
	    DK_WRONG_UNIT, "does not fit oil_pressure" },
};

static void test_refusals(void **state)
{
	(void)state;
	int bad = 0;
	for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; ++i)
	{
		dk_arena *arena = dk_arena_new();
		dk_error error;
		char text[DK_ERROR_TEXT];
		const dk_catalog *catalog = NULL;
		const char *kinds[] = { NULL, signs, NULL, repairs, gates, NULL, NULL };
		kinds[refusals[i].kind] = refusals[i].text;
		if (refusals[i].kind == S) kinds[G] = NULL;
		const dk_catalog_texts texts = { kinds[F], kinds[S], kinds[C], kinds[R], kinds[G], kinds[D],
			kinds[L] };
		const dk_status status = dk_catalog_parse(&texts, arena, &catalog, &error);
		dk_error_text(&error, text, sizeof text);
		if (status != refusals[i].status || catalog || error.line < 1 || !strstr(text, refusals[i].says))
		{
			printf("row %zu: status %d, wanted %d: %s\n", i, status, refusals[i].status, text);
			++bad;
		}
		dk_arena_free(arena);
	}
	assert_int_equal(bad, 0);
}

static void test_data(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	char text[DK_ERROR_TEXT];
	const dk_catalog *c = NULL;
	if (dk_catalog_load(data_folder(), arena, &c, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	assert_true(c->fault_count >= 24 && c->sign_count >= 34 && c->check_count >= 28);
	assert_true(c->where >= 0 && c->since >= 0 && c->after >= 0);
	for (int system = 0; system < DK_SYSTEM_COUNT; ++system)
	{
		double sum = 0;
		int count = 0;
		for (int i = 0; i < c->fault_count; ++i)
			if (c->fault[i].system == system) sum += c->fault[i].share, ++count;
		assert_true(count >= 2);
		assert_true(fabs(sum - 1) < 1e-12);
	}
	for (int i = 1; i < c->fault_count; ++i) assert_true(strcmp(c->fault[i - 1].id, c->fault[i].id) < 0);
	assert_int_equal(dk_catalog_load("/nowhere", arena, &c, &error), DK_NO_FILE);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_rows), cmocka_unit_test(test_shares),
		cmocka_unit_test(test_measure), cmocka_unit_test(test_when), cmocka_unit_test(test_hash),
		cmocka_unit_test(test_refusals), cmocka_unit_test(test_data) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
