// donkeyman: reads the command line, calls one use case, prints its answer. No sums here.
#include "app/calc.h"
#include "app/crank.h"
#include "app/engine_card.h"
#include "app/list.h"
#include "app/run.h"
#include "app/score.h"
#include "app/trace.h"
#include "base/json.h"
#include "cli/arguments.h"
#include "cli/ask.h"
#include "cli/page.h"
#include "cli/progress.h"
#include "cli/show.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

// exit codes of every command
enum
{
	kDone = 0,
	kWarning = 1,
	kBadInput = 2
};

static int complain(const dk_error *error)
{
	char sentence[DK_ERROR_TEXT];
	fprintf(stderr, "donkeyman: %s\n", dk_error_text(error, sentence, sizeof sentence));
	return kBadInput;
}

// data/ beside the program's own tree, unless the environment or a switch says otherwise
static const char *find_data(const char *given)
{
	if (given) return given;
	const char *environment = getenv("DONKEYMAN_DATA");
	return environment ? environment : DK_DATA_FOLDER;
}

// the folder where banks are kept: the cache folder of the desktop standard, made when missing
static const char *find_cache(const char *given, char *room, size_t size)
{
	if (given) return given;
	const char *cache = getenv("XDG_CACHE_HOME"), *home = getenv("HOME");
	if (cache && cache[0] == '/')
		snprintf(room, size, "%s", cache);
	else if (home && home[0] == '/')
		snprintf(room, size, "%s/.cache", home);
	else
		return NULL;
	mkdir(room, 0700);
	strncat(room, "/donkeyman", size - strlen(room) - 1);
	return room;
}

// prints an answer either way and lets it go
static int print(json_t *answer, bool json, void (*show)(const json_t *))
{
	if (json)
	{
		char *bytes = dk_json_dump(answer);
		if (!bytes) return kBadInput;
		puts(bytes);
		free(bytes);
	}
	else
		show(answer);
	json_decref(answer);
	return kDone;
}

static int run_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	if (dk_app_run(&arguments->switches, &answer, &error) != DK_OK) return complain(&error);
	return print(answer, arguments->json, dk_show_run);
}

static int crank_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	if (dk_app_crank(&arguments->switches, &answer, &error) != DK_OK) return complain(&error);
	const json_t *tries = json_object_get(answer, "tries");
	const bool fires =
	    json_is_true(json_object_get(json_array_get(tries, json_array_size(tries) - 1), "fires"));
	const int code = print(answer, arguments->json, dk_show_crank);
	return code == kDone && !fires ? kWarning : code;
}

static bool says_something(const dk_switches *switches)
{
	return switches->sign.count || switches->reading.count || switches->done.count || switches->tried.count ||
	       switches->case_file;
}

static int trace_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	dk_banks_order order = dk_default_banks_order();
	order.progress = dk_progress_print;
	const bool nothing_said = !says_something(&arguments->switches) && !arguments->switches.score_folder;
	if (arguments->ask || (nothing_said && !arguments->json && isatty(STDIN_FILENO)))
		return dk_ask_run(arguments);
	if (arguments->switches.score_folder)
	{
		if (dk_app_score(&arguments->switches, &order, &answer, &error) != DK_OK) return complain(&error);
		return print(answer, arguments->json, dk_show_score);
	}
	if (dk_app_trace(&arguments->switches, &order, &answer, &error) != DK_OK) return complain(&error);
	const bool red = json_is_object(json_object_get(answer, "red_rule"));
	const int code = print(answer, arguments->json, dk_show_trace);
	return code == kDone && red ? kWarning : code;
}

static int engine_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	if (arguments->words) arguments->switches.engine = arguments->word[0];
	if (dk_app_engine(&arguments->switches, &answer, &error) != DK_OK) return complain(&error);
	return print(answer, arguments->json, dk_show_engine);
}

static int calc_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	if (arguments->list || !arguments->words)
		return print(dk_app_calc_list(), arguments->json, dk_show_calc_list);
	if (dk_app_calc(arguments->word[0], arguments->word + 1, arguments->words - 1, &answer, &error) != DK_OK)
		return complain(&error);
	return print(answer, arguments->json, dk_show_calc);
}

static int list_command(dk_arguments *arguments)
{
	json_t *answer;
	dk_error error;
	const char *kind = arguments->words ? arguments->word[0] : "";
	if (dk_app_list(&arguments->switches, kind, &answer, &error) != DK_OK) return complain(&error);
	return print(answer, arguments->json, dk_show_list);
}

static int serve_command(dk_arguments *arguments)
{
	if (arguments->words) arguments->switches.engine = arguments->word[0];
	return dk_page_serve(arguments);
}

static int demo_command(dk_arguments *arguments)
{
	return dk_page_demo(arguments);
}

typedef struct command
{
	const char *name;
	int (*run)(dk_arguments *arguments);
	int words; // that it takes, at most
} command;

static const command kCommands[] = { { "run", run_command, 0 }, { "crank", crank_command, 0 },
	{ "trace", trace_command, 0 }, { "engine", engine_command, 1 }, { "calc", calc_command, DK_WORDS_MOST },
	{ "list", list_command, 1 }, { "serve", serve_command, 1 }, { "demo", demo_command, 0 } };

// runs it, unless words were given that it does not take
static int run(const command *which, dk_arguments *arguments)
{
	dk_error error;
	if (arguments->words <= which->words) return which->run(arguments);
	dk_error_set(
	    &error, DK_BAD_INPUT, "%s takes no word '%.60s'", which->name, arguments->word[which->words]);
	dk_error_advice(&error, "'donkeyman %s --help' names its switches", which->name);
	return complain(&error);
}

static int unknown(const char *name)
{
	const char *names[8];
	dk_error error;
	for (int i = 0; i < 8; ++i) names[i] = kCommands[i].name;
	dk_error_set(&error, DK_UNKNOWN_NAME, "there is no command '%.60s'", name);
	dk_error_nearest(&error, name, names, 8);
	if (!error.advice[0]) dk_error_advice(&error, "commands are run crank trace engine calc list serve demo");
	return complain(&error);
}

int main(int argc, char **argv)
{
	dk_arguments arguments = { 0 };
	dk_error error;
	char cache[4096];
	if (dk_arguments_read(argc, argv, &arguments, &error) != DK_OK) return complain(&error);
	if (arguments.version)
	{
		printf("donkeyman %s, model %s\n", DK_VERSION, dk_model_version);
		return kDone;
	}
	if (arguments.help || !arguments.command)
	{
		dk_arguments_help(arguments.command);
		return arguments.help ? kDone : kBadInput;
	}
	arguments.switches.data_folder = find_data(arguments.switches.data_folder);
	arguments.switches.cache_folder = find_cache(arguments.switches.cache_folder, cache, sizeof cache);
	for (int i = 0; i < 8; ++i)
		if (!strcmp(kCommands[i].name, arguments.command)) return run(&kCommands[i], &arguments);
	return unknown(arguments.command);
}
