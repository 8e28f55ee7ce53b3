// What a terminal shows of an answer: counts that sum to 100, and words in place of ids, keys and figures.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

// the command line is no library: its two sums are taken in as they are
#include "cli/tally.c"
#include "cli/words.c"

static json_t *answer_of(const char *text)
{
	json_error_t error;
	json_t *answer = json_loads(text, 0, &error);
	if (!answer) fail_msg("%s", error.text);
	return answer;
}

static int sum_of(const dk_tally_line *line, int count)
{
	int sum = 0;
	for (int i = 0; i < count; ++i) sum += line[i].count;
	return sum;
}

// a pair counts once, with its first fault; what has no group is a line of its own
static void test_tally(void **state)
{
	(void)state;
	json_t *answer = answer_of(
	    "{\"healthy\": 0.001, \"none_of_these\": 0.039, \"causes\": ["
	    "{\"id\": \"a\", \"group\": \"a\", \"name\": \"first\", \"probability\": 0.5},"
	    "{\"id\": \"a+b\", \"group\": \"a\", \"name\": \"first and second\", \"probability\": 0.2},"
	    "{\"id\": \"b\", \"group\": \"b\", \"name\": \"second\", \"probability\": 0.245},"
	    "{\"id\": \"c\", \"group\": \"c\", \"name\": \"third\", \"probability\": 0.006},"
	    "{\"id\": \"other_pairs\", \"group\": null, \"name\": \"other\", \"probability\": 0.009}]}");
	dk_tally_line line[DK_TALLY_MOST];
	const int count = dk_tally_make(answer, line);
	assert_int_equal(count, 5);
	assert_int_equal(sum_of(line, count), 100);
	assert_string_equal(line[0].name, "first");
	assert_string_equal(line[1].id, "b");
	assert_int_equal(line[2].joined, 2);
	assert_int_equal(line[3].count, 1);  // nothing broken: 0.1 of a stroke, drawn all the same
	assert_int_equal(line[0].count, 69); // and taken from the largest
	assert_int_equal(line[4].count, 4);
	json_decref(answer);
}

static void test_no_causes(void **state)
{
	(void)state;
	json_t *answer = answer_of("{\"healthy\": 0.5, \"none_of_these\": 0.5, \"causes\": []}");
	dk_tally_line line[DK_TALLY_MOST];
	assert_int_equal(dk_tally_make(answer, line), 2);
	assert_int_equal(line[0].count, 50);
	json_decref(answer);
}

static void test_words(void **state)
{
	(void)state;
	char text[80];
	assert_string_equal(dk_words_source("[WB2] 3 inHg and [DG-1] 2.5; ASSUMED-600", text, sizeof text),
	    "3 inHg and 2.5; our assumption");
	assert_string_equal(dk_words_source("[a range] stays", text, sizeof text), "[a range] stays");
	assert_string_equal(
	    dk_words_observation("oil.level@key_on", text, sizeof text), "oil.level, key on, engine stopped");
	assert_string_equal(dk_words_observation("tried bleed", text, sizeof text), "tried bleed");
	assert_string_equal(dk_words_place("engine_face"), "at the engine's face");
	assert_string_equal(dk_words_strength(2.1), "strongly for");
	assert_string_equal(dk_words_strength(-0.7), "plainly against");
	assert_string_equal(dk_words_strength(0.3), "a little for");
	assert_null(dk_words_strength(-0.19));
	assert_string_equal(dk_words_odds(0.5), "about half");
	assert_string_equal(dk_words_odds(0.01), "unlikely, still open");

	// a source longer than its room ends early and whole
	char small[24];
	dk_words_source("a source that is longer than the room it is given", small, sizeof small);
	assert_true(strlen(small) < sizeof small);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_tally),
		cmocka_unit_test(test_no_causes),
		cmocka_unit_test(test_words),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
