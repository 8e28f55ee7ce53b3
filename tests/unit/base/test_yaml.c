// Files people write, and files that mean harm.
#include "base/yaml.h"
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

static dk_status parse(const char *text, size_t size, dk_arena *arena, const dk_node **root, dk_error *error)
{
	*root = NULL;
	memset(error, 0, sizeof *error);
	return dk_yaml_parse(text, size, "f.yaml", arena, root, error);
}

static void test_tree(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	const dk_node *root;
	static const char text[] = "a: 1 mm\nlist:\n  - x\n  - {y: 'q', z: }\nempty: ~\n";
	assert_int_equal(parse(text, sizeof text - 1, arena, &root, &error), DK_OK);
	assert_int_equal(root->kind, DK_NODE_MAP);
	assert_int_equal(root->count, 3);
	assert_string_equal(dk_node_get(root, "a")->text, "1 mm");
	const dk_node *list = dk_node_get(root, "list"), *map = list->item[1];
	assert_int_equal(list->count, 2);
	assert_int_equal(map->line, 4);
	assert_int_equal(map->column, 5);
	assert_true(dk_node_get(map, "y")->quoted);
	assert_true(dk_node_is_empty(dk_node_get(map, "z")));
	assert_true(dk_node_is_empty(dk_node_get(root, "empty")));
	assert_null(dk_node_get(root, "nothing"));
	assert_null(dk_node_get(NULL, "nothing"));

	// nothing at all is a map with nothing in it
	assert_int_equal(parse("", 0, arena, &root, &error), DK_OK);
	assert_int_equal(root->count, 0);
	assert_int_equal(parse("# only words\n", 13, arena, &root, &error), DK_OK);
	dk_arena_free(arena);
}

static const struct
{
	const char *text;
	int line, column;
	const char *says;
} hostile[] = {
	{ "a: 1\na: 2\n", 2, 1, "given twice" }, { "a: &x 1\nb: *x\n", 1, 4, "anchors and aliases" },
	{ "a: *x\n", 1, 4, "anchors and aliases" }, { "a: !!binary abc\n", 1, 4, "tags" },
	{ "%YAML 1.1\n---\na: 1\n", 1, 1, "directives" }, { "a: 1\n---\nb: 2\n", 2, 1, "second document" },
	{ "a: 1\n b: 2\n", 2, 3, "mapping values are not allowed" },
	{ "a: [1, 2\n", 2, 1, "did not find expected" }, { "a:\n\t- b\n", 2, 1, "cannot start any token" },
	{ "a: \"x\\x07\"\n", 1, 4, "control character" }, { "a: 1\nb: \xb0\n", 2, 4, "not UTF-8" },
	{ "a: \x01\n", 1, 4, "control character" }, { "{a: 1}: 2\n", 1, 1, "key must be a plain text" },
	{ "? [a]\n: 2\n", 1, 3, "key must be a plain text" },
	{ "? t<:\t:", 1, 0, "" }, // crashes another parser; here any answer but a crash will do
};

static void test_hostile(void **state)
{
	(void)state;
	for (size_t i = 0; i < sizeof hostile / sizeof hostile[0]; ++i)
	{
		dk_arena *arena = dk_arena_new();
		dk_error error;
		char text[DK_ERROR_TEXT];
		const dk_node *root;
		const dk_status status = parse(hostile[i].text, strlen(hostile[i].text), arena, &root, &error);
		dk_error_text(&error, text, sizeof text);
		const bool placed = error.line == hostile[i].line && error.column == hostile[i].column;
		if (hostile[i].column && (status == DK_OK || !placed || !strstr(text, hostile[i].says)))
			fail_msg("row %zu: status %d: %s", i, status, text);
		dk_arena_free(arena);
	}
}

// texts that grow without end are stopped by a limit, each by its own
static void test_limits(void **state)
{
	(void)state;
	enum
	{
		SIZE = DK_YAML_BYTES + 10
	};
	char *text = malloc(SIZE);
	dk_arena *arena = dk_arena_new();
	dk_error error;
	const dk_node *root;
	memset(text, '[', 5000);
	assert_int_equal(parse(text, 5000, arena, &root, &error), DK_TOO_LARGE);
	memset(text, 'a', SIZE);
	assert_int_equal(parse(text, SIZE, arena, &root, &error), DK_TOO_LARGE);
	assert_int_equal(parse(text, 9000, arena, &root, &error), DK_TOO_LARGE);
	for (int i = 0; i + 2 < 300000; i += 2) memcpy(text + i, "a,", 2);
	text[0] = '[', text[1] = ' ', text[299998] = 'a', text[299999] = ']';
	assert_int_equal(parse(text, 300000, arena, &root, &error), DK_TOO_LARGE);

	// sixteen deep is taken, seventeen not
	memset(text, '[', 17), memset(text + 17, ']', 17);
	assert_int_equal(parse(text + 1, 32, arena, &root, &error), DK_OK);
	assert_int_equal(parse(text, 34, arena, &root, &error), DK_TOO_LARGE);
	dk_arena_free(arena);
	free(text);
}

static void test_typed(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	char text[DK_ERROR_TEXT];
	const dk_node *root, *list;
	double x = 0;
	bool flag = false;
	int index = -1, count = 0;
	const char *word = NULL;
	const char *const *texts = NULL;
	static const char *const keys[] = { "bore", "flag", "kind", "one", "many", "map" };
	static const char source[] = "bore: 84 mm\nflag: yes\nkind: blue\none: x\nmany: [a, b]\nmap: {a: 1}\n";
	assert_int_equal(parse(source, sizeof source - 1, arena, &root, &error), DK_OK);
	assert_int_equal(dk_node_only(root, "it", keys, 6, &error), DK_OK);
	assert_int_equal(dk_node_number(root, "bore", "m", 0.05, 0.25, &x, &error), DK_OK);
	assert_true(x == 0.084);
	assert_int_equal(dk_node_number(root, "bore", "m", 0.09, 0.25, &x, &error), DK_OUT_OF_RANGE);
	assert_string_equal(dk_error_text(&error, text, sizeof text),
	    "f.yaml:1:7: bore: 84 mm is out of range; allowed: 0.09 to 0.25 m");
	assert_int_equal(dk_node_number(root, "stroke", "m", 0, 1, &x, &error), DK_MISSING);
	assert_int_equal(dk_node_number_or(root, "stroke", "m", 0, 1, 7, &x, &error), DK_OK);
	assert_true(x == 7);
	assert_int_equal(dk_node_number(root, "map", "m", 0, 1, &x, &error), DK_BAD_INPUT);
	assert_int_equal(dk_node_flag_or(root, "flag", false, &flag, &error), DK_OK);
	assert_true(flag);
	assert_int_equal(dk_node_flag_or(root, "kind", false, &flag, &error), DK_BAD_INPUT);
	static const char *const colours[] = { "black", "blue" };
	assert_int_equal(dk_node_word(root, "kind", colours, 2, &index, &error), DK_OK);
	assert_int_equal(index, 1);
	assert_int_equal(dk_node_word(root, "kind", colours, 1, &index, &error), DK_UNKNOWN_NAME);
	assert_string_equal(error.advice, "one of: black");
	assert_int_equal(dk_node_texts(root, "many", arena, &texts, &count, &error), DK_OK);
	assert_int_equal(count, 2);
	assert_int_equal(dk_node_texts(root, "one", arena, &texts, &count, &error), DK_OK);
	assert_string_equal(texts[0], "x");
	assert_int_equal(dk_node_texts(root, "map", arena, &texts, &count, &error), DK_BAD_INPUT);
	assert_int_equal(dk_node_list(root, "many", 3, &list, &error), DK_MISSING);
	assert_int_equal(dk_node_list(root, "one", 0, &list, &error), DK_BAD_INPUT);
	assert_int_equal(dk_node_text(root, "map", &word, &error), DK_BAD_INPUT);
	assert_int_equal(dk_node_only(root, "it", keys, 5, &error), DK_UNKNOWN_NAME);
	assert_string_equal(error.field, "map");
	assert_int_equal(error.line, 6);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_tree), cmocka_unit_test(test_hostile),
		cmocka_unit_test(test_limits), cmocka_unit_test(test_typed) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
