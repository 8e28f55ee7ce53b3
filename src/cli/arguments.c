// The command line. getopt_long does the reading.
#include "cli/arguments.h"
#include "app/boat.h"
#include "app/commands.def"
#include <getopt.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

// what a switch fills: one text, a list, or a flag
typedef enum slot_kind
{
	kText,
	kList,
	kFlag
} slot_kind;

typedef struct slot
{
	const char *name, *value, *about;
	slot_kind kind;
	size_t offset; // into dk_arguments
} slot;

#define TEXT(field) kText, offsetof(dk_arguments, field)
#define LIST(field) kList, offsetof(dk_arguments, field)
#define FLAG(field) kFlag, offsetof(dk_arguments, field)

static const slot kSlots[] = {
	{ "engine", "FILE|NAME", "engine record (default three_indirect)", TEXT(switches.engine) },
	{ "point", "P", "operating point (run)", TEXT(switches.point) },
	{ "rpm", "N", "lever at which a healthy engine turns N, at cruise (run)", TEXT(switches.rpm) },
	{ "lever", "0..1", "lever position, at cruise (run)", TEXT(switches.lever) },
	{ "air", "'5 C'", "air temperature", TEXT(switches.air) },
	{ "sea", "'12 C'", "sea temperature", TEXT(switches.sea) },
	{ "pressure", "'1.0 bar'", "barometer", TEXT(switches.pressure) },
	{ "humidity", "0..1", "relative humidity (run, crank)", TEXT(switches.humidity) },
	{ "fault", "ID=S[:k]", "break it: severity 0..1, in k cylinders; repeatable (run, crank)",
	    LIST(switches.fault) },
	{ "set", "PARAM=VALUE", "set a parameter; repeatable", LIST(switches.set) },
	{ "try", "SECONDS[,REST]", "one try with the starter; repeatable (crank)", LIST(switches.attempt) },
	{ "sign", "ID[@POINT]=ANSWER", "what is seen, heard, felt; repeatable (trace)", LIST(switches.sign) },
	{ "reading", "ID[@POINT]='98 C'", "what a gauge shows; repeatable (trace)", LIST(switches.reading) },
	{ "done", "CHECK[@POINT]=ANSWER", "a check that was done; repeatable (trace)", LIST(switches.done) },
	{ "tried", "REPAIR=no_better", "a repair that was tried: no_better, better, cured, worse (trace)",
	    LIST(switches.tried) },
	{ "tool", "NAME", "a tool aboard; none named = all (trace)", LIST(switches.tool) },
	{ "cannot", "CHECK", "a check that can't be done; repeatable (trace)", LIST(switches.can_not) },
	{ "passed", "GATE", "a gate that was answered so that it opens; repeatable (trace)",
	    LIST(switches.passed) },
	{ "prior", "FAULT=FACTOR", "multiply a prior (trace)", LIST(switches.prior) },
	{ "without", "FAULT", "leave a fault out (trace)", LIST(switches.without) },
	{ "flat-priors", NULL, "every fault alike (trace)", FLAG(switches.flat_priors) },
	{ "case", "FILE", "answer a case file (trace)", TEXT(switches.case_file) },
	{ "score", "FOLDER", "score a folder of case files (trace)", TEXT(switches.score_folder) },
	{ "ask", NULL, "ask in the terminal (trace)", FLAG(ask) },
	{ "severities", "N", "virtual engines of each fault, default 64 (trace, serve, demo)",
	    TEXT(switches.severities) },
	{ "seed", "N", "seed of the random stream, default 1 (trace, serve, demo)", TEXT(switches.seed) },
	{ "threads", "N", "threads, default 2; the answer does not depend on it (trace, serve, demo)",
	    TEXT(switches.threads) },
	{ "lanes", "1|2|4|8", "engines side by side; the answer does not depend on it", TEXT(switches.lanes) },
	{ "port", "N", "port of the page (serve, demo)", TEXT(port) },
	{ "data", "FOLDER", "where data/ stands", TEXT(switches.data_folder) },
	{ "cache", "FOLDER", "where banks are kept (trace, serve, demo)", TEXT(switches.cache_folder) },
	{ "list", NULL, "list the calculations (calc)", FLAG(list) },
	{ "json", NULL, "the same content as JSON", FLAG(json) },
	{ "help", NULL, "this text", FLAG(help) },
	{ "version", NULL, "version of program and model", FLAG(version) },
};

enum
{
	kSlotCount = sizeof kSlots / sizeof *kSlots
};

static dk_status take(const slot *which, const char *value, dk_arguments *out, dk_error *error)
{
	char *place = (char *)out + which->offset;
	switch (which->kind)
	{
	case kFlag: *(bool *)place = true; return DK_OK;
	case kText: *(const char **)place = value; return DK_OK;
	default: break;
	}
	dk_switch_list *list = (dk_switch_list *)place;
	if (list->count == DK_SWITCH_MOST)
	{
		dk_error_set(error, DK_TOO_LARGE, "--%s is given more than %d times", which->name, DK_SWITCH_MOST);
		return dk_error_field(error, which->name);
	}
	list->text[list->count++] = value;
	return DK_OK;
}

// a switch that getopt did not like
static dk_status refuse(int code, char **argv, dk_error *error)
{
	const char *text = argv[optind - 1];
	const char *names[kSlotCount];
	for (int i = 0; i < kSlotCount; ++i) names[i] = kSlots[i].name;
	if (code == ':')
	{
		dk_error_set(error, DK_MISSING, "it needs a value");
		return dk_error_field(error, text);
	}
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no switch '%.60s'", text);
	return dk_error_nearest(error, text + strspn(text, "-"), names, kSlotCount);
}

dk_status dk_arguments_read(int argc, char **argv, dk_arguments *out, dk_error *error)
{
	struct option option[kSlotCount + 1];
	memset(option, 0, sizeof option);
	for (int i = 0; i < kSlotCount; ++i)
		option[i] = (struct option){ kSlots[i].name,
			kSlots[i].kind == kFlag ? no_argument : required_argument, NULL, 1000 + i };
	opterr = 0;
	for (int code; (code = getopt_long(argc, argv, ":h", option, NULL)) != -1;)
	{
		if (code == 'h')
			out->help = true;
		else if (code < 1000)
			return refuse(code, argv, error);
		else
			DK_TRY(take(&kSlots[code - 1000], optarg, out, error));
	}
	for (int i = optind; i < argc; ++i)
	{
		if (!out->command)
			out->command = argv[i];
		else if (out->words < DK_WORDS_MOST)
			out->word[out->words++] = argv[i];
		else
			return dk_error_set(error, DK_TOO_LARGE, "there are more than %d words", DK_WORDS_MOST);
	}
	return DK_OK;
}

// the switches that a command takes: those that name it, and those that name no command
static bool belongs(const slot *which, const char *command)
{
	const char *open = strrchr(which->about, '(');
	const char *commands[] = { "(trace)", "(crank)", "(calc)", "(serve, demo)", "(run)", "(run, crank)",
		"(trace, serve, demo)" };
	for (size_t i = 0; i < sizeof commands / sizeof *commands; ++i)
		if (open && !strcmp(open, commands[i])) return strstr(open, command) != NULL;
	const bool physics = !strcmp(command, "run") || !strcmp(command, "crank") || !strcmp(command, "trace");
	const bool common = !strcmp(which->name, "json") || !strcmp(which->name, "help") ||
	                    !strcmp(which->name, "data") ||
	                    (!strcmp(which->name, "engine") && strcmp(command, "calc") != 0);
	return common || (physics && strcmp(which->name, "version") != 0);
}

void dk_arguments_help(const char *command)
{
	bool found = false;
	if (!command)
		printf("donkeyman keeps a boat's diesel engine starting, pulling and cool: it computes, you "
		       "decide.\n\n");
#define X(name, arguments, about, example, more)                                                             \
	if (!command)                                                                                            \
		printf("  donkeyman %-7s %s\n", #name, about);                                                       \
	else if (!strcmp(command, #name))                                                                        \
	{                                                                                                        \
		found = true;                                                                                        \
		printf(                                                                                              \
		    "donkeyman %s %s\n  %s\n\n  Example: %s\n\n  %s\n\n", #name, arguments, about, example, more);   \
	}
	DK_COMMAND_LIST(X)
#undef X
	if (found)
		for (int i = 0; i < kSlotCount; ++i)
		{
			char name[64];
			snprintf(name, sizeof name, "--%s %s", kSlots[i].name, kSlots[i].value ? kSlots[i].value : "");
			if (belongs(&kSlots[i], command)) printf("  %-32s %s\n", name, kSlots[i].about);
		}
	else
		printf("\n  donkeyman COMMAND --help tells more. Exit: 0 done, 1 the answer is a warning, 2 "
		       "something given is "
		       "not right.\n  It defers to the engine's manual, local rules and licensed practice.\n");
}
