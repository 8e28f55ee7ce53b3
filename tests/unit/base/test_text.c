#include "base/text.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <string.h>

#include <cmocka.h>

static void test_distance(void **state)
{
	(void)state;
	static const struct
	{
		const char *a, *b;
		int want;
	} rows[] = {
		{ "", "", 0 },
		{ "abc", "abc", 0 },
		{ "abc", "", 3 },
		{ "kitten", "sitting", 3 }, // the usual worked example
		{ "ab", "ba", 1 },
		{ "crank.trun", "crank.turn", 1 },
		{ "smoke", "smok", 1 },
	};
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
	{
		assert_int_equal(dk_text_distance(rows[i].a, rows[i].b), rows[i].want);
		assert_int_equal(dk_text_distance(rows[i].b, rows[i].a), rows[i].want);
	}
	char longer[100];
	memset(longer, 'a', 99), longer[99] = 0;
	assert_int_equal(dk_text_distance(longer, "a"), 64);
}

static void test_nearest(void **state)
{
	(void)state;
	static const char *const names[] = { "crank.turns", "smoke.colour", "gauge.coolant" };
	assert_int_equal(dk_text_nearest("crank.truns", names, 3), 0);
	assert_int_equal(dk_text_nearest("smoke.color", names, 3), 1);
	assert_int_equal(dk_text_nearest("coolant", names, 3), 2);
	assert_int_equal(dk_text_nearest("zzz", names, 3), -1);
	assert_int_equal(dk_text_nearest("", names, 3), -1);
	assert_int_equal(dk_text_index("smoke.colour", names, 3), 1);
}

static void test_number(void **state)
{
	(void)state;
	static const struct
	{
		double x;
		int digits;
		const char *want;
	} rows[] = {
		{ 0, 3, "0" },
		{ -0.0, 3, "0" },
		{ 1.5, 3, "1.5" },
		{ 1234567, 3, "1234567" },
		{ 0.00012345, 3, "0.000123" },
		{ 99.96, 3, "100" },
		{ 2.5e8, 3, "2.5e+08" },
		{ 1e-9, 2, "1e-09" },
		{ NAN, 3, "unknown" },
		{ 3000, 6, "3000" },
		{ 0.5, 6, "0.5" },
		{ -12.3456, 4, "-12.35" },
	};
	char text[40], small[3];
	for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
		assert_string_equal(dk_text_number(rows[i].x, rows[i].digits, text, sizeof text), rows[i].want);
	assert_string_equal(dk_text_number(123456, 6, small, sizeof small), "12");
}

static void test_id(void **state)
{
	(void)state;
	assert_true(dk_text_is_id("elbow.blocked"));
	assert_true(dk_text_is_id("a"));
	assert_true(dk_text_is_id("run.dies_after"));
	static const char *const bad[] = { "", ".a", "a.", "a..b", "A", "1a", "a b", "a-b", "a/b" };
	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; ++i) assert_false(dk_text_is_id(bad[i]));
}

static void test_clean(void **state)
{
	(void)state;
	static const struct
	{
		const char *text;
		int line, column;
	} bad[] = {
		{ "a\x01", 1, 2 },
		{ "a: 1\nb: \xb0", 2, 4 },
		{ "\xc0\x80", 1, 1 },
		{ "\xed\xa0\x80", 1, 1 },
		{ "\xf5\x80\x80\x80", 1, 1 },
		{ "ab\x7f", 1, 3 },
		{ "a\rb", 1, 2 },
		{ "\xc2", 1, 1 },
		{ "x\xc2\x85", 1, 2 },
		{ "\xef\xbb\xbf", 1, 1 },
		{ "\xe2\x80\xa8", 1, 1 },
	};
	int line = 0, column = 0;
	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; ++i)
	{
		assert_false(dk_text_is_clean(bad[i].text, strlen(bad[i].text), &line, &column));
		assert_int_equal(line, bad[i].line);
		assert_int_equal(column, bad[i].column);
	}
	assert_false(dk_text_is_clean("a\0b", 3, NULL, NULL));
	static const char good[] = "caf\xc3\xa9 \xe2\x82\xac \xf0\x9f\x98\x80\tx\r\ny\n";
	assert_true(dk_text_is_clean(good, sizeof good - 1, NULL, NULL));
}

static void test_tame(void **state)
{
	(void)state;
	char text[] = "a\x1b[2J\n\xc3\xa9\xb0\xe2\x82";
	dk_text_tame(text);
	assert_string_equal(text, "a?[2J?\xc3\xa9???");
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_distance), cmocka_unit_test(test_nearest),
		cmocka_unit_test(test_number), cmocka_unit_test(test_id), cmocka_unit_test(test_clean),
		cmocka_unit_test(test_tame) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
