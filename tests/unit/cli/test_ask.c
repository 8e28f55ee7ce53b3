// The conversation in a terminal, driven by what is typed: what is asked first, a wrong entry, three
// questions and then a check, a red rule at once.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

// the command line is no library: the conversation is taken in as it is
#include "cli/ask.c"
#include "cli/progress.c"
#include "cli/show_trace.c"
#include "cli/tally.c"
#include "cli/words.c"
#include <unistd.h>

enum
{
	kOutput = 1 << 16
};

static const char kTyped[] = "/tmp/dk_test_ask_typed", kShown[] = "/tmp/dk_test_ask_shown";

// runs a conversation on `typed`; what it printed is in `shown`
static int converse_on(const char *typed, dk_arguments *arguments, char *shown)
{
	FILE *file = fopen(kTyped, "w");
	assert_non_null(file);
	fputs(typed, file);
	fclose(file);
	assert_non_null(freopen(kTyped, "r", stdin));
	fflush(stdout);
	const int terminal = dup(STDOUT_FILENO);
	assert_non_null(freopen(kShown, "w", stdout));
	const int code = dk_ask_run(arguments);
	fflush(stdout);
	dup2(terminal, STDOUT_FILENO);
	close(terminal);
	file = fopen(kShown, "r");
	assert_non_null(file);
	const size_t size = fread(shown, 1, kOutput - 1, file);
	shown[size] = 0;
	fclose(file);
	remove(kTyped);
	remove(kShown);
	return code;
}

static dk_arguments usual(void)
{
	return (dk_arguments){ .switches = { .data_folder = "data",
		                       .air = "15 C",
		                       .sea = "15 C",
		                       .severities = "4",
		                       .cache_folder = getenv("DK_UNIT_CACHE") } };
}

static int times(const char *text, const char *part)
{
	int count = 0;
	for (const char *at = text; (at = strstr(at, part)) != NULL; at += strlen(part)) ++count;
	return count;
}

static const char *after(const char *text, const char *part)
{
	const char *at = strstr(text, part);
	if (!at) fail_msg("'%s' is not in:\n%s", part, text);
	return at + strlen(part);
}

// where, red rules, three questions, a check; a wrong entry prints no list again
static void test_order(void **state)
{
	(void)state;
	char *shown = malloc(kOutput);
	dk_arguments arguments = usual();
	assert_int_equal(converse_on("2\n0\n77\nc\nc\nw\nc\nq\n", &arguments, shown), 0);
	const char *at = after(shown, "Where are you?");
	at = after(at, "Any of these, right now?");
	at = after(at, "Of 100 engines acting like yours:");
	at = after(at, "Type one of the numbers, s, o, c, b, w or q.");
	assert_true(at == strstr(at, "\nNumber (s not sure"));
	for (int i = 0; i < 3; ++i)
	{
		assert_true(strstr(at, "o odd, c can't") < strstr(at, "Look next at:"));
		at = after(at, "Of 100 engines acting like yours:");
	}
	at = after(at, "Look next at:");
	assert_int_equal(times(shown, "Of 100 engines acting like yours:"), 4);
	assert_int_equal(times(shown, "\n100 engines acting like yours:"), 2); // at w, and at the end
	assert_true(strstr(at, "100 engines acting like yours:") != NULL);
	assert_int_equal(arguments.switches.sign.count, 4);
	free(shown);
}

// a gate that does not open: its own words, and the check is no longer offered
static void test_gate(void **state)
{
	(void)state;
	char *shown = malloc(kOutput);
	dk_arguments arguments = usual();
	arguments.switches.sign.text[0] = "where=anchor";
	arguments.switches.sign.text[1] = "crank.turns=slow";
	arguments.switches.sign.text[2] = "lights.crank=dim";
	arguments.switches.sign.count = 3;
	converse_on("0\n2\nq\n", &arguments, shown);
	assert_null(strstr(shown, "Where are you?"));
	after(after(shown, "Before this step:"), "\n");
	assert_int_equal(arguments.switches.can_not.count, 1);
	assert_int_equal(arguments.switches.passed.count, 0);
	free(shown);
}

// a rule that is chosen holds at once, and is the exit code
static void test_red(void **state)
{
	(void)state;
	char *shown = malloc(kOutput);
	dk_arguments arguments = usual();
	assert_int_equal(converse_on("1\n2\nq\n", &arguments, shown), 1);
	after(after(shown, "Any of these"), "***");
	assert_int_equal(arguments.switches.sign.count, 2);
	free(shown);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_order),
		cmocka_unit_test(test_gate),
		cmocka_unit_test(test_red),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
