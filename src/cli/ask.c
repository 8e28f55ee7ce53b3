// Asks, weighs, shows, asks again. Every answer is kept as the text of a switch, so taking one back is
// dropping it.
#include "cli/ask.h"
#include "app/session.h"
#include "cli/progress.h"
#include "cli/show.h"
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum
{
	kSaidMost = DK_SWITCH_MOST,
	kLine = 256,
	kSaid = 512
};

// what was said, in order, so that the last can be taken back
typedef struct said
{
	char text[kSaidMost][kSaid];
	dk_switch_list *list[kSaidMost];
	int count;
} said;

static void add(said *all, dk_switch_list *list, const char *text)
{
	if (all->count == kSaidMost || list->count == DK_SWITCH_MOST) return;
	snprintf(all->text[all->count], kSaid, "%s", text);
	list->text[list->count++] = all->text[all->count];
	all->list[all->count++] = list;
}

static void take_back(said *all)
{
	if (!all->count) return;
	all->list[--all->count]->count--;
	printf("Taken back: %s\n", all->text[all->count]);
}

static bool read_line(const char *prompt, char *line)
{
	printf("%s", prompt);
	fflush(stdout);
	if (!fgets(line, kLine, stdin)) return false;
	line[strcspn(line, "\r\n")] = 0;
	return true;
}

// the text that a choice stands for: a number of the list, or a special word
static const char *choice(const json_t *answers, const char *line)
{
	static const char *const kSpecial[][2] = { { "s", "not_sure" }, { "o", "odd" }, { "c", "cannot" } };
	for (int i = 0; i < 3; ++i)
		if (!strcmp(line, kSpecial[i][0])) return kSpecial[i][1];
	char *end;
	const long number = strtol(line, &end, 10);
	if (*end || number < 1 || (size_t)number > json_array_size(answers)) return NULL;
	return json_string_value(json_object_get(json_array_get(answers, (size_t)number - 1), "id"));
}

static void print_answers(const json_t *answers)
{
	size_t i;
	json_t *one;
	json_array_foreach(answers, i, one)
	    printf("   %zu  %s\n", i + 1, json_string_value(json_object_get(one, "text")));
}

// gates stand before the steps: each is answered first; false when one was not opened
static bool pass_gates(const json_t *next)
{
	size_t i;
	json_t *gate;
	char line[kLine];
	json_array_foreach(json_object_get(next, "gates"), i, gate)
	{
		printf("Gate '%s' stands before this step ('donkeyman list gates' has its words).\n",
		    json_string_value(gate));
		if (!read_line("Does it hold, seen with your own eyes? y or n: ", line) ||
		    tolower((unsigned char)line[0]) != 'y')
		{
			printf("Then not this one.\n");
			return false;
		}
	}
	return true;
}

static void print_steps(const json_t *next)
{
	size_t i;
	json_t *one;
	json_array_foreach(json_object_get(next, "cautions"), i, one)
	    printf("   CAUTION: %s\n", json_string_value(one));
	json_array_foreach(json_object_get(next, "steps"), i, one)
	    printf("   %zu. %s\n", i + 1, json_string_value(one));
}

// one check: gates, steps, then a number or an answer
static bool offer_check(const json_t *next, said *all, dk_arguments *arguments, char *line)
{
	const char *check = json_string_value(json_object_get(next, "check"));
	const char *reading = json_string_value(json_object_get(next, "reading"));
	char text[kSaid];
	printf("\nLook next at: %s (%.2g minutes, %s)\n", json_string_value(json_object_get(next, "name")),
	    json_number_value(json_object_get(next, "minutes")),
	    json_string_value(json_object_get(next, "place")));
	if (!pass_gates(next))
	{
		snprintf(text, sizeof text, "%s=cannot", check);
		add(all, &arguments->switches.done, text);
		return true;
	}
	print_steps(next);
	if (!reading) print_answers(json_object_get(next, "answers"));
	if (!read_line(reading ? "What does it show, with its unit (c can't, b back, q quit)? "
	                       : "Number (s not sure, o odd, c can't, b back, q quit): ",
	        line))
		return false;
	const char *given = reading && strcmp(line, "c") ? line : choice(json_object_get(next, "answers"), line);
	if (strcmp(line, "b") && strcmp(line, "q") && given && given[0])
	{
		snprintf(text, sizeof text, "%s=%s", check, given);
		add(all, &arguments->switches.done, text);
	}
	return true;
}

static bool offer_question(const json_t *ask, said *all, dk_arguments *arguments, char *line)
{
	char text[kSaid];
	printf("\n%s\n", json_string_value(json_object_get(ask, "question")));
	print_answers(json_object_get(ask, "answers"));
	if (!read_line("Number (s not sure, o odd, b back, q quit): ", line)) return false;
	const char *given = choice(json_object_get(ask, "answers"), line);
	if (strcmp(line, "b") && strcmp(line, "q") && given)
	{
		snprintf(text, sizeof text, "%s@%s=%s", json_string_value(json_object_get(ask, "sign")),
		    json_string_value(json_object_get(ask, "point")), given);
		add(all, &arguments->switches.sign, text);
	}
	return true;
}

static int converse(const dk_session *session, dk_arguments *arguments)
{
	said *all = calloc(1, sizeof *all);
	if (!all) return 2;
	char line[kLine] = "";
	dk_error error;
	int code = 0;
	while (strcmp(line, "q") != 0)
	{
		json_t *answer;
		if (dk_session_switches(session, &arguments->switches, &answer, &error) != DK_OK)
		{
			char sentence[DK_ERROR_TEXT];
			printf("%s\n", dk_error_text(&error, sentence, sizeof sentence));
			if (!all->count)
			{
				code = 2;
				break;
			}
			take_back(all);
			continue;
		}
		printf("\n");
		dk_show_trace(answer);
		const json_t *ask = json_array_get(json_object_get(answer, "ask"), 0);
		const json_t *next = json_array_get(json_object_get(answer, "next"), 0);
		const double asked = json_number_value(json_object_get(ask, "bits_per_minute"));
		const double looked = json_number_value(json_object_get(next, "bits_per_minute"));
		bool more = false;
		if (ask && (!next || asked >= looked))
			more = offer_question(ask, all, arguments, line);
		else if (next)
			more = offer_check(next, all, arguments, line);
		else
			printf("\nNothing more to ask or look at aboard.\n");
		json_decref(answer);
		if (!more) break;
		if (!strcmp(line, "b")) take_back(all);
	}
	free(all);
	return code;
}

int dk_ask_run(dk_arguments *arguments)
{
	dk_boat *boat = NULL;
	dk_session session = { 0 };
	dk_arena *arena = dk_arena_new();
	dk_request request;
	dk_error error;
	dk_numbers numbers;
	dk_banks_order order = dk_default_banks_order();
	order.progress = dk_progress_print;
	dk_status status = dk_switches_numbers(&arguments->switches, &numbers, &error);
	if (status == DK_OK) status = dk_switches_boat(&arguments->switches, &boat, &error);
	session.boat = boat;
	if (status == DK_OK) status = dk_app_request(&arguments->switches, boat, arena, &request, &error);
	order.cache_folder = arguments->switches.cache_folder;
	order.seed = numbers.seed;
	order.threads = numbers.threads;
	order.lanes = numbers.lanes;
	order.severities = numbers.severities;
	if (status == DK_OK) status = dk_banks_open(boat, &request.said, &order, &session.banks, &error);
	int code = 2;
	if (status == DK_OK)
		code = converse(&session, arguments);
	else
	{
		char sentence[DK_ERROR_TEXT];
		fprintf(stderr, "donkeyman: %s\n", dk_error_text(&error, sentence, sizeof sentence));
	}
	dk_banks_close(session.banks);
	dk_boat_close(boat);
	dk_arena_free(arena);
	return code;
}
