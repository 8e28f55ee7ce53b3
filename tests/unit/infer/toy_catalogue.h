#pragma once
// A small catalogue for the tests of the inference: seven made-up faults in four systems, as texts.
#include "catalog/observation.h"
#include <stdio.h>
#include <stdlib.h>

static const char kToyRepairs[] = "- {id: one.replace, name: one, efficacy: 0.95, minutes: 30}\n"
                                  "- {id: two.clean, name: two, efficacy: 0.8, minutes: 20}\n"
                                  "- {id: three.replace, name: three, efficacy: 0.95, minutes: 60}\n"
                                  "- {id: four.fill, name: four, efficacy: 0.95, minutes: 5}\n"
                                  "- {id: five.adjust, name: five, efficacy: 0.8, minutes: 40}\n";

#define TOY_FAULT(id, system, repair, parameter, to, cylinders, share, onset, leads)                         \
	"- id: " id "\n  name: " id "\n  system: " system "\n  part: p\n  repair: " repair "\n"                  \
	"  moves: [{parameter: " parameter ", how: set, to: " to ", curve: linear}]\n  cylinders: " cylinders    \
	"\n"                                                                                                     \
	"  prior: {share: " share ", source: invented}\n  onset: {" onset "}\n"                                  \
	"  after: {layup: {factor: 4, source: invented}}\n  leads_to: [" leads "]\n"                             \
	"  measure: {text: 'about {} bad', unit: '%', at_0: 0, at_1: 100}\n"

static const char kToyFaults[] = TOY_FAULT("a.battery", "starting", "one.replace", "starting.battery_charge",
    "0.05", "all", "0.6", "sudden: {factor: 3, source: invented}, weeks: {factor: 0.5, source: invented}", "")
    TOY_FAULT("b.cable", "starting", "two.clean", "starting.cable_ground_ohm", "0.03", "all", "0.4",
        "weeks: {factor: 3, source: invented}", "") TOY_FAULT("c.filter", "fuel", "three.replace",
        "fuel.filter_fine_pa_s_m3", "4e10", "all", "0.7", "days: {factor: 2, source: invented}", "d.water")
        TOY_FAULT("d.water", "fuel", "three.replace", "fuel.bowl_water", "0.8", "all", "0.3",
            "hours: {factor: 2, source: invented}", "") TOY_FAULT("e.elbow", "exhaust", "two.clean",
            "exhaust.elbow_open", "0.05", "all", "1", "seasons: {factor: 4, source: invented}", "")
            TOY_FAULT("f.nozzle", "fuel", "five.adjust", "fuel.nozzle_loss", "0.9", "k", "0.2", "", "")
                TOY_FAULT("g.oil", "oil", "four.fill", "oil.relief_pa", "5e4", "all", "1", "", "");

#define TOY_SIGN(id, point, more) "- id: " id "\n  question: q\n  default_point: " point "\n" more
#define TOY_SOURCE "  miss: 0.05\n  false: 0.02\n  report: 0.5\n  source: invented\n"

static const char kToySigns[] = TOY_SIGN("where", "key_on",
    "  points: [key_on]\n  kind: nominal\n  answers: [{id: alongside, text: a, normal: true}, "
    "{id: anchor, text: b, normal: true}, {id: sea_room, text: c, normal: true}, {id: no_room, text: d, "
    "normal: true}]\n  source: invented\n") TOY_SIGN("since", "key_on",
    "  points: [key_on]\n  kind: nominal\n  answers: [{id: sudden, text: a, normal: true}, "
    "{id: hours, text: a, normal: true}, {id: days, text: a, normal: true}, {id: weeks, text: a, normal: "
    "true}, "
    "{id: seasons, text: a, normal: true}]\n  source: invented\n") TOY_SIGN("after", "key_on",
    "  points: [key_on]\n  kind: nominal\n  several: true\n  answers: [{id: nothing, text: a, normal: true}, "
    "{id: layup, text: b}, {id: refuel, text: c}]\n  source: invented\n") TOY_SIGN("rpm.full", "full",
    "  points: [full, cruise]\n  kind: ordinal\n  relation: against_healthy\n  answers: [{id: low, text: l}, "
    "{id: normal, text: n, normal: true}, {id: high, text: h}]\n  from:\n"
    "  - {reading: engine_speed, answer: low, threshold: 0.95, width: 0.02, sense: below, compare: ratio, "
    "source: invented}\n"
    "  - {reading: engine_speed, answer: high, threshold: 1.05, width: 0.02, sense: above, compare: ratio, "
    "source: invented}\n" TOY_SOURCE) TOY_SIGN("smoke.colour", "full",
    "  points: [warm_idle, cruise, full]\n  kind: nominal\n  answers: [{id: none, text: n, normal: true}, "
    "{id: black, text: b}, {id: white, text: w}, {id: grey, text: g}, {id: steam, text: s}]\n  from:\n"
    "  - {reading: soot, answer: black, threshold: 1.5, width: 0.4, sense: above, source: invented}\n"
    "  - {reading: white, answer: white, threshold: 0.3, width: 0.4, sense: above, source: invented}\n"
    "  - {reading: steam, answer: steam, threshold: 3, width: 0.4, sense: above, source: "
    "invented}\n" TOY_SOURCE) TOY_SIGN("gauge.coolant", "cruise",
    "  points: [warm_idle, cruise, full, stopped_hot]\n  kind: ordinal\n  answers: [{id: low, text: l}, "
    "{id: normal, text: n, normal: true}, {id: high, text: h}]\n  from:\n"
    "  - {reading: coolant_gauge, answer: low, threshold: 65 degC, width: 4 K, sense: below, source: "
    "invented}\n"
    "  - {reading: coolant_gauge, answer: high, threshold: 95 degC, width: 4 K, sense: above, source: "
    "invented}\n" TOY_SOURCE) TOY_SIGN("run.dies", "cruise",
    "  points: [warm_idle, cruise, full]\n  kind: flag\n  answers: [{id: no, text: n, normal: true}, {id: "
    "yes, text: y}]\n"
    "  from: [{reading: minutes_to_stop, answer: yes, threshold: 30 min, width: 0.5, sense: below, source: "
    "invented}]\n" TOY_SOURCE) TOY_SIGN("crank.turns", "cold_crank",
    "  points: [cold_crank]\n  kind: ordinal\n  answers: [{id: none, text: o}, {id: slow, text: s}, "
    "{id: normal, text: n, normal: true}, {id: stops_hard, text: h}]\n  from:\n"
    "  - {reading: crank_speed, answer: none, threshold: 20, width: 8, sense: below, source: invented}\n"
    "  - {reading: crank_speed, answer: slow, threshold: 150, width: 20, sense: below, source: "
    "invented}\n" TOY_SOURCE) TOY_SIGN("lamp.oil", "warm_idle",
    "  points: [key_on, warm_idle, cruise, full]\n  kind: flag\n  answers: [{id: off, text: o, normal: "
    "true}, {id: on, text: y}]\n"
    "  from: [{reading: lamp_oil, answer: on, threshold: 0.5, width: 1, sense: above, source: "
    "invented}]\n" TOY_SOURCE) TOY_SIGN("space.smoke", "cruise",
    "  points: [warm_idle, cruise, full]\n  kind: ordinal\n  answers: [{id: none, text: o, normal: true}, "
    "{id: smoke, text: y}]\n  from: [{reading: oil_temperature, answer: smoke, threshold: 200 degC, width: 5 "
    "K, sense: above, source: invented}]\n" TOY_SOURCE) TOY_SIGN("crew.headache", "cruise",
    "  points: [warm_idle, cruise, full]\n  kind: flag\n  answers: [{id: no, text: o, normal: true}, "
    "{id: yes, text: y}]\n  from: [{reading: back_pressure, answer: yes, threshold: 90 kPa, width: 1, sense: "
    "above, source: invented}]\n" TOY_SOURCE);

#define TOY_CHECK(id, gives, point, minutes, more)                                                           \
	"- id: " id "\n  name: n\n  gives: " gives "\n  point: " point "\n  steps: [do it]\n"                    \
	"  minutes: " #minutes "\n" more

static const char kToyChecks[] = TOY_CHECK("battery.rest", "{reading: battery_rest}", "key_on", 3,
    "  place: engine_face\n  tools: [voltmeter]\n  needs: [stopped]\n  gates: [battery_short]\n")
    TOY_CHECK("drop.ground", "{reading: drop_ground}", "cold_crank", 4,
        "  place: engine_face\n  tools: [voltmeter]\n  crank_seconds: 5\n  gates: [hydraulic_lock, "
        "battery_short]\n") TOY_CHECK("elbow.look", "{parameter: exhaust.elbow_open}", "key_on", 40,
        "  kind: ordinal\n  answers: [{id: good, text: g, normal: true}, {id: worn, text: w}, {id: bad, "
        "text: b}]\n  from:\n"
        "  - {parameter: exhaust.elbow_open, answer: worn, threshold: 0.7, width: 0.1, sense: below, source: "
        "invented}\n"
        "  - {parameter: exhaust.elbow_open, answer: bad, threshold: 0.4, width: 0.1, sense: below, source: "
        "invented}\n"
        "  miss: 0.05\n  false: 0.02\n  source: invented\n  place: engine_back\n  needs: [stopped, cold]\n  "
        "opens: elbow\n") TOY_CHECK("elbow.touch", "{reading: back_pressure}", "full", 2,
        "  place: engine_back\n  needs: [running, under_way]\n  opens: elbow\n")
        TOY_CHECK("bowl.look", "{parameter: fuel.bowl_water}", "key_on", 4,
            "  kind: flag\n  answers: [{id: clean, text: c, normal: true}, {id: water, text: w}]\n"
            "  from: [{parameter: fuel.bowl_water, answer: water, threshold: 0.05, width: 0.02, sense: "
            "above, source: invented}]\n"
            "  miss: 0.05\n  false: 0.02\n  source: invented\n  place: engine_face\n  needs: [stopped]\n")
            TOY_CHECK("head.off", "{reading: compression_spread}", "cold_crank", 10,
                "  place: engine_face\n  removes: head\n  needs: [stopped]\n")
                TOY_CHECK("idle.useless", "{reading: energy_residual}", "warm_idle", 1, "  place: cockpit\n");

static const char kToyGates[] =
    "- {id: hydraulic_lock, asks: liquid?, answers: [{id: no, text: n}, {id: yes, text: y}], opens_with: "
    "[no], blocked: no starter, closed_by: [{sign: crank.turns, answer: stops_hard}]}\n"
    "- {id: battery_short, asks: clear?, answers: [{id: yes, text: y}, {id: no, text: n}], opens_with: "
    "[yes], blocked: wait}\n";

static const char kToyRules[] =
    "- {id: oil_pressure, name: o, any: [{sign: lamp.oil, answer: on, points: [warm_idle, cruise, full]}], "
    "order: Stop the engine now., then: [dip], concern: engine, reason: bearings, source: s, "
    "at: {no_room: {order: Anchor first., then: [anchor]}}}\n"
    "- {id: fire, name: f, any: [{sign: space.smoke, answer: smoke}], order: Stop and keep the hatch shut., "
    "then: [fuel off], concern: fire, reason: r, source: s}\n"
    "- {id: exhaust_below, name: e, any: [{sign: crew.headache, answer: yes}], order: Everybody out., then: "
    "[air], concern: people, reason: r, source: s}\n"
    "- {id: stops_hard, name: h, any: [{sign: crank.turns, answer: stops_hard}], order: No second try., "
    "then: [look], concern: engine, reason: r, source: s}\n";

static const char kToyLimits[] =
    "- {id: hot, text: too hot, reading: coolant_temperature, points: [warm_idle, cruise, full], value: 110 "
    "degC, sense: above, can_be_undone: false, source: invented}\n"
    "- {id: choke, text: choked, reading: back_pressure, points: [cruise, full], value: 15 kPa, from: 1000 "
    "rpm, sense: above, can_be_undone: true, source: invented}\n";

static inline const dk_catalog *toy_catalogue(dk_arena *arena)
{
	const dk_catalog_texts texts = { kToyFaults, kToySigns, kToyChecks, kToyRepairs, kToyGates, kToyRules,
		kToyLimits };
	const dk_catalog *catalog = NULL;
	dk_error error = { 0 };
	char text[DK_ERROR_TEXT];
	if (dk_catalog_parse(&texts, arena, &catalog, &error) == DK_OK) return catalog;
	printf("toy catalogue: %s\n", dk_error_text(&error, text, sizeof text));
	exit(1);
}

// Adds an observation as on the command line: "scrank.turns=slow"; ends the program on an error.
static inline void toy_say(dk_request *request, const char *text, const dk_catalog *catalog, dk_arena *arena)
{
	dk_error error = { 0 };
	char words[DK_ERROR_TEXT];
	if (dk_request_add(request, text[0], text + 1, catalog, arena, &error) == DK_OK) return;
	printf("%s: %s\n", text, dk_error_text(&error, words, sizeof words));
	exit(1);
}
