// A trace answer as text: what to do first, then what it rests on.
#include "app/switches.h"
#include "cli/pick.h"
#include "cli/show.h"
#include "cli/tally.h"
#include "cli/words.h"
#include <stdio.h>
#include <string.h>

enum
{
	kStrokesInRow = 50, // strokes
	kReasoned = 3       // lines that are given with reasons
};

static void print_lines(const json_t *list, const char *lead)
{
	size_t i;
	json_t *line;
	json_array_foreach(list, i, line) printf("%s%s\n", lead, json_string_value(line));
}

static void print_red(const json_t *red)
{
	if (!json_is_object(red)) return;
	printf("*** %s ***\n", dk_pick_text(red, "order"));
	print_lines(json_object_get(red, "then"), "    ");
	printf("    %s\n", dk_pick_text(red, "reason"));
	print_lines(json_object_get(red, "waiting"), "    also holds: ");
	printf("\n");
}

void dk_show_check(const json_t *next)
{
	printf("Look next at: %s (%.2g min, %s)\n", dk_pick_text(next, "name"), dk_pick_number(next, "minutes"),
	    dk_words_place(dk_pick_text(next, "place")));
	if (dk_pick_text(next, "held_back")[0]) printf("    held back: %s\n", dk_pick_text(next, "held_back"));
	print_lines(json_object_get(next, "cautions"), "    CAUTION: ");
}

void dk_show_steps(const json_t *next)
{
	size_t i;
	json_t *step;
	json_array_foreach(json_object_get(next, "steps"), i, step)
	    printf("    %zu. %s\n", i + 1, json_string_value(step));
}

// an answer holds the ids of gates; their questions are asked by --ask
static void print_gates(const json_t *gates)
{
	size_t i;
	json_t *gate;
	json_array_foreach(gates, i, gate) printf("%s%s",
	    i ? ", " : "    first answer these gates ('donkeyman list gates' has their questions): ",
	    json_string_value(gate));
	if (json_array_size(gates)) printf("\n");
}

static void print_next(const json_t *next)
{
	size_t i;
	json_t *answer;
	dk_show_check(next);
	print_gates(json_object_get(next, "gates"));
	dk_show_steps(next);
	printf("    What it may show:\n");
	json_array_foreach(json_object_get(next, "answers"), i, answer) printf(
	    "      %-28s %3.0f of 100\n", dk_pick_text(answer, "text"), 100 * dk_pick_number(answer, "chance"));
}

// strokes in groups of five, at most kStrokesInRow a row
static void print_strokes(int count)
{
	for (int i = 0; i < count; ++i)
	{
		if (i % kStrokesInRow == 0) printf("%s     ", i ? "\n" : "");
		printf("/%s", i % 5 == 4 && i % kStrokesInRow != kStrokesInRow - 1 && i + 1 < count ? " " : "");
	}
	if (count) printf("\n");
}

// what a member of the answer's list says, by an id in it
static const json_t *find_row(const json_t *answer, const char *list, const char *key, const char *id)
{
	size_t i;
	json_t *row;
	json_array_foreach(
	    json_object_get(answer, list), i, row) if (!strcmp(dk_pick_text(row, key), id)) return row;
	return NULL;
}

// "[elbow.blocked or hose.collapsed]": the ids that --without takes
static void print_ids(const json_t *answer, const char *id)
{
	size_t i;
	json_t *fault;
	const json_t *group = find_row(answer, "groups", "id", id);
	if (!group)
	{
		printf("\n");
		return;
	}
	printf("  [%s", id);
	json_array_foreach(json_object_get(group, "faults"), i,
	    fault) if (strcmp(json_string_value(fault), id) != 0) printf(" or %s", json_string_value(fault));
	printf("]\n");
}

static void print_reasons(const json_t *cause)
{
	size_t i;
	json_t *why;
	int silent = 0;
	printf("     alone %.0f of 100, it could be %.0f to %.0f; %s; mend: %s\n",
	    100 * dk_pick_number(cause, "probability"), 100 * dk_pick_number(cause, "low"),
	    100 * dk_pick_number(cause, "high"), dk_pick_text(json_object_get(cause, "severity"), "text"),
	    dk_pick_text(cause, "repair"));
	json_array_foreach(json_object_get(cause, "why"), i, why)
	{
		char name[200];
		const char *how = dk_words_strength(dk_pick_number(why, "log_ratio"));
		if (how)
			printf("       %s: %s\n", how,
			    dk_words_observation(dk_pick_text(why, "observation"), name, sizeof name));
		else
			++silent;
	}
	if (silent) printf("       others say little\n");
}

static void print_line(const json_t *answer, const dk_tally_line *line, bool reasons)
{
	if (line->joined)
		printf("%3d  %d %s\n", line->count, line->joined, line->name);
	else
		printf("%3d  %s", line->count, line->name);
	if (!line->joined && line->id)
		print_ids(answer, line->id);
	else if (!line->joined)
		printf("\n");
	print_strokes(line->count);
	const json_t *cause = reasons && line->id ? find_row(answer, "causes", "group", line->id) : NULL;
	if (cause) print_reasons(cause);
}

static void print_tally(const json_t *answer)
{
	dk_tally_line line[DK_TALLY_MOST];
	const int count = dk_tally_make(answer, line);
	int first = 0;
	for (int i = 1; i < count; ++i)
		if (!line[i].joined && line[i].share > line[first].share) first = i;
	const char *odds = dk_words_odds(line[first].share);
	printf("Most likely: %s (%s%s).\n", line[first].name, odds,
	    strncmp(odds, "unlikely", 8) != 0 ? " of such engines" : "");
	printf("100 engines acting like yours:\n");
	for (int i = 0; i < count; ++i) print_line(answer, &line[i], i < kReasoned);
}

static void print_may_crank(const json_t *may)
{
	const char *crank = dk_pick_text(may, "crank");
	const double seconds = dk_pick_number(may, "crank_seconds");
	if (!strcmp(crank, "no"))
		printf("You may: not crank");
	else if (isnan(seconds))
		printf("You may: crank %s", strcmp(crank, "yes") ? "in short tries" : "as ever");
	else
		printf("You may: crank %.3g s in all, then drain the water lock", seconds);
}

// whether any cause has a reason: before that there is nothing to hold the engine to
static bool anything_said(const json_t *answer)
{
	size_t i;
	json_t *cause;
	json_array_foreach(json_object_get(answer, "causes"), i,
	    cause) if (json_array_size(json_object_get(cause, "why"))) return true;
	return json_is_object(json_object_get(answer, "red_rule"));
}

// whether the minutes are those until it stops, not until it is too hot
static bool stops_by_itself(const json_t *may)
{
	size_t i;
	json_t *one;
	json_array_foreach(json_object_get(may, "because"), i,
	    one) if (!strcmp(dk_pick_text(one, "reading"), "minutes_to_stop")) return true;
	return false;
}

static void print_may_run(const json_t *may)
{
	const char *run = dk_pick_text(may, "run");
	const double minutes = dk_pick_number(may, "minutes"), rpm = dk_pick_number(may, "max_rpm");
	const bool stops = stops_by_itself(may);
	if (!strcmp(run, "stop_now"))
		printf("; stop the engine now");
	else if (!strcmp(run, "within_minutes") && isnan(minutes))
		printf("; stop the engine soon");
	else if (!strcmp(run, "within_minutes"))
		printf(
		    stops ? "; it may stop by itself within %.2g min" : "; stop the engine within %.2g min", minutes);
	else if (!strcmp(run, "limp"))
		printf("; run it easy, at most %.0f rpm", 50 * round(rpm / 50));
	else if (!strcmp(run, "carry_on"))
		printf("; carry on and watch the gauges");
	else
		printf("; whether to run it is not settled yet");
	if (!isnan(minutes) && strcmp(run, "within_minutes") != 0 && strcmp(run, "stop_now") != 0)
		printf("; it may %s within %.2g min", stops ? "stop by itself" : "run too hot", minutes);
	printf(".\n");
}

static void print_may(const json_t *answer)
{
	const json_t *may = json_object_get(answer, "may");
	if (!anything_said(answer))
	{
		printf("You may: not known yet. Say what you notice first.\n");
		return;
	}
	print_may_crank(may);
	print_may_run(may);
}

static void print_because(const json_t *may)
{
	size_t i;
	json_t *one;
	char source[400];
	if (dk_pick_text(may, "price_of_running")[0])
		printf("Price of running anyway: %s\n", dk_pick_text(may, "price_of_running"));
	json_array_foreach(json_object_get(may, "because"), i, one)
	{
		const int reading = dk_reading_find(dk_pick_text(one, "reading"));
		printf("  limit: %s", dk_pick_text(one, "reading"));
		if (!isnan(dk_pick_number(one, "limit")) && reading >= 0)
			printf(" %.4g %s", dk_pick_number(one, "limit"), dk_reading_info[reading].unit);
		printf(" (%s)\n", dk_words_source(dk_pick_text(one, "source"), source, sizeof source));
	}
	printf("  Wear that shows in no reading here is not seen. Your manual's limits come first.\n");
}

static void print_conflicts(const json_t *answer)
{
	size_t i;
	json_t *conflict;
	json_array_foreach(json_object_get(answer, "conflicts"), i, conflict)
	{
		char a[200], b[200];
		const json_t *between = json_object_get(conflict, "observations");
		printf("Pulls apart: %s",
		    dk_words_observation(json_string_value(json_array_get(between, 0)), a, sizeof a));
		if (json_array_size(between) > 1)
			printf(
			    " and %s", dk_words_observation(json_string_value(json_array_get(between, 1)), b, sizeof b));
		printf(". Look at one again.\n");
	}
}

void dk_show_trace(const json_t *answer)
{
	print_red(json_object_get(answer, "red_rule"));
	const json_t *next = json_object_get(answer, "next");
	const json_t *ask = json_array_get(json_object_get(answer, "ask"), 0);
	const json_t *may = json_object_get(answer, "may");
	if (json_array_size(next))
		print_next(json_array_get(next, 0));
	else
		printf("No check aboard would tell these apart. A yard can.\n");
	if (ask) printf("Or answer first: %s\n", dk_pick_text(ask, "question"));
	printf("\n");
	print_tally(answer);
	printf("\n");
	print_may(answer);
	if (anything_said(answer)) print_because(may);
	print_conflicts(answer);
}

void dk_show_status(const json_t *answer)
{
	dk_tally_line line[DK_TALLY_MOST];
	const int count = dk_tally_make(answer, line);
	print_red(json_object_get(answer, "red_rule"));
	printf("Of 100 engines acting like yours:");
	for (int i = 0; i < count && i < kReasoned && line[i].id; ++i)
		printf("\n%3d  %s", line[i].count, line[i].name);
	printf("\n");
	print_may(answer);
}
