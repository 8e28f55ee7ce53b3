// Canonical JSON, JSON into the tree, whole files in and out.
#include "base/file.h"
#include "base/json.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmocka.h>

static void test_dump(void **state)
{
	(void)state;
	json_t *object = json_object();
	json_object_set_new(object, "b", dk_json_number(1.0 / 3));
	json_object_set_new(object, "a", dk_json_number(NAN));
	json_object_set_new(object, "c", dk_json_capped(61, 61));
	json_object_set_new(object, "d", dk_json_capped(60, 61));
	json_object_set_new(object, "e", dk_json_number(-0.0));
	json_object_set_new(object, "f", dk_json_text(NULL));
	json_object_set_new(object, "g", dk_json_text("\xff"));
	json_object_set_new(object, "h", dk_json_hash(0xab));
	static const char *const words[] = { "x", "y" };
	json_object_set_new(object, "i", dk_json_texts(words, 2));
	char *text = dk_json_dump(object);
	assert_string_equal(text,
	    "{\"a\":null,\"b\":0.333333,\"c\":null,\"d\":60.0,\"e\":0.0,\"f\":null,\"g\":null,"
	    "\"h\":\"00000000000000ab\",\"i\":[\"x\",\"y\"]}");
	free(text);
	json_decref(object);
}

static void test_error_object(void **state)
{
	(void)state;
	dk_error error;
	dk_error_set(&error, DK_OUT_OF_RANGE, "too hot");
	dk_error_field(&error, "coolant");
	dk_error_range(&error, -60, 250, "degC");
	json_t *object = dk_json_error(&error);
	char *text = dk_json_dump(object);
	assert_non_null(strstr(text, "\"message\":\"coolant: too hot; allowed: -60 to 250 degC\""));
	assert_non_null(strstr(text, "\"high\":250.0"));
	assert_non_null(strstr(text, "\"file\":null"));
	free(text);
	json_decref(object);
}

static dk_status parse(const char *text, dk_arena *arena, const dk_node **root, dk_error *error)
{
	memset(error, 0, sizeof *error);
	return dk_json_parse(text, strlen(text), "request", arena, root, error);
}

static void test_parse(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	dk_error error;
	const dk_node *root;
	assert_int_equal(
	    parse("{\"a\": [1, 2.5, true, null, \"x\"], \"b\": {\"c\": \"\"}}", arena, &root, &error), DK_OK);
	const dk_node *list = dk_node_get(root, "a");
	assert_string_equal(list->item[0]->text, "1");
	assert_string_equal(list->item[1]->text, "2.5");
	assert_string_equal(list->item[2]->text, "true");
	assert_true(dk_node_is_empty(list->item[3]));
	assert_false(dk_node_is_empty(dk_node_get(dk_node_get(root, "b"), "c")));
	static const char *const bad[] = { "", "{", "{\"a\":1,\"a\":2}", "{\"a\":1} x", "[1,]",
		"{\"a\":\"\\u0007\"}", "nul", "[\"\\u0000\"]", "{\"a\": 1e999}" };
	for (size_t i = 0; i < sizeof bad / sizeof bad[0]; ++i)
		assert_int_not_equal(parse(bad[i], arena, &root, &error), DK_OK);
	char deep[200001];
	memset(deep, '[', 200000), deep[200000] = 0;
	assert_int_equal(parse(deep, arena, &root, &error), DK_TOO_LARGE);
	assert_int_equal(parse("[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]", arena, &root, &error), DK_OK);
	assert_int_equal(parse("[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]", arena, &root, &error), DK_TOO_LARGE);
	dk_arena_free(arena);
}

static void test_file(void **state)
{
	(void)state;
	char folder[] = "/tmp/dk_file_XXXXXX", path[80], other[80];
	dk_arena *arena = dk_arena_new();
	dk_error error;
	char *bytes = NULL, **paths = NULL, text[DK_ERROR_TEXT];
	size_t size = 0;
	int count = 0;
	assert_non_null(mkdtemp(folder));
	snprintf(path, sizeof path, "%s/a.yaml", folder);
	snprintf(other, sizeof other, "%s/none/a.yaml", folder);
	assert_int_equal(dk_file_write(path, "abc", 3, &error), DK_OK);
	assert_int_equal(dk_file_write(path, "hello", 5, &error), DK_OK);
	assert_int_equal(dk_file_read(path, 5, arena, &bytes, &size, &error), DK_OK);
	assert_int_equal(size, 5);
	assert_string_equal(bytes, "hello");
	assert_int_equal(dk_file_read(path, 4, arena, &bytes, &size, &error), DK_TOO_LARGE);
	assert_int_equal(dk_file_read(other, 4, arena, &bytes, &size, &error), DK_NO_FILE);
	assert_non_null(strstr(dk_error_text(&error, text, sizeof text), "there is no such file"));
	assert_int_equal(dk_file_read(folder, 4, arena, &bytes, &size, &error), DK_FILE_FAILED);
	assert_int_equal(dk_file_write(other, "x", 1, &error), DK_NO_FILE);

	// nothing half done is left beside the file
	assert_int_equal(dk_file_list(folder, "", arena, &paths, &count, &error), DK_OK);
	assert_int_equal(count, 1);
	assert_string_equal(paths[0], path);
	assert_int_equal(dk_file_list(other, "", arena, &paths, &count, &error), DK_NO_FILE);

	// a folder that may not be written to; root may, so the check is of others only
	if (geteuid() != 0)
	{
		chmod(folder, 0500);
		assert_int_equal(dk_file_write(path, "x", 1, &error), DK_NO_PERMISSION);
		chmod(folder, 0700);
	}
	unlink(path);
	rmdir(folder);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_dump), cmocka_unit_test(test_error_object),
		cmocka_unit_test(test_parse), cmocka_unit_test(test_file) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
