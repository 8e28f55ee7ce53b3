// From head and body to the reply: who may ask, which route, what is said when it is none. No socket.
// serve is an edge and in no library, so its socket-free half is compiled into this test.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../../src/serve/reply.c"

#define COUNT(list) ((int)(sizeof(list) / sizeof *(list)))

static dk_serve_answer repeat(void *context, const dk_serve_request *request)
{
	(void)context;
	char *body = malloc(request->length + strlen(request->tail) + 32);
	const size_t room = request->length + strlen(request->tail) + 32;
	const int length = snprintf(body, room, "{\"tail\":\"%s\",\"size\":%zu}", request->tail, request->length);
	return dk_serve_json(body, (size_t)length);
}

static dk_serve_answer nothing(void *context, const dk_serve_request *request)
{
	(void)context;
	(void)request;
	return (dk_serve_answer){ 200, NULL, 0, NULL };
}

static const dk_serve_route kRoutes[] = {
	{ "GET", "/api/bank", repeat, "how far the engines are" },
	{ "POST", "/api/trace", repeat, "a \"quoted\" word" },
	{ "GET", "/api/list/*", repeat, "rows" },
	{ "GET", "/api/none", nothing, "memory gone" },
};
#define BYTES(text) (const unsigned char *)text, sizeof text - 1
static const dk_page_asset kAssets[] = {
	{ "/", "text/html; charset=utf-8", "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff",
	    BYTES("page") },
	{ "/app.001122334455.js", "text/javascript",
	    "001122334455ff77aa00112233445566778899aabbccddeeff0011223344556677", BYTES("js") },
	{ NULL, NULL, NULL, NULL, 0 },
};

static dk_serve_options options(void)
{
	dk_serve_options made = dk_default_serve_options();
	made.body_limit = 64;
	made.routes = kRoutes;
	made.route_count = COUNT(kRoutes);
	made.assets = kAssets;
	return made;
}

dk_serve_options dk_default_serve_options(void)
{
	return (dk_serve_options){ 0 };
}

// the status that a request gets, head first, then body; the body must be JSON when it is no asset
static int status_of(dk_serve_head head, const char *body)
{
	const dk_serve_options made = options();
	dk_serve_reply reply = dk_serve_admit(&made, &head);
	if (reply.status == 0) reply = dk_serve_reply_to(&made, &head, body, strlen(body));
	const int status = reply.status;
	if (reply.owned != NULL)
	{
		json_t *tree = json_loadb(reply.owned, reply.length, JSON_REJECT_DUPLICATES, NULL);
		assert_non_null(tree);
		if (status != 200)
		{
			const char *what = json_string_value(json_object_get(json_object_get(tree, "error"), "what"));
			assert_non_null(what);
			assert_int_equal(what[strlen(what) - 1], '.');
		}
		json_decref(tree);
		free(reply.owned);
	}
	else
		assert_int_equal(status, 200);
	return status;
}

static void test_status(void **state)
{
	(void)state;
	static const struct
	{
		const char *method, *path, *host, *origin, *type, *body;
		int want;
	} kRows[] = {
		{ "GET", "/", "127.0.0.1:8137", NULL, NULL, "", 200 },
		{ "HEAD", "/", "127.0.0.1:8137", NULL, NULL, "", 200 },
		{ "POST", "/", "127.0.0.1:8137", NULL, "application/json", "", 405 },
		{ "GET", "/app.001122334455.js", "localhost:8137", NULL, NULL, "", 200 },
		{ "GET", "/app.001122334456.js", "localhost:8137", NULL, NULL, "", 404 },
		{ "GET", "/../etc/passwd", "localhost", NULL, NULL, "", 404 },
		{ "GET", "/api", "[::1]:8137", NULL, NULL, "", 200 },
		{ "GET", "/api/bank", "LOCALHOST", NULL, NULL, "", 200 },
		{ "PUT", "/api/bank", "localhost", NULL, NULL, "", 405 },
		{ "POST", "/api/bank", "localhost", NULL, "application/json", "{}", 405 },
		{ "GET", "/api/trace", "localhost", NULL, NULL, "", 405 },
		{ "POST", "/api/trace", "localhost", NULL, "application/json; charset=utf-8", "{}", 200 },
		{ "POST", "/api/trace", "localhost", NULL, "text/plain", "{}", 415 },
		{ "POST", "/api/trace", "localhost", NULL, NULL, "{}", 415 },
		{ "POST", "/api/trace", "localhost", NULL, "application/jsonx", "{}", 415 },
		{ "POST", "/api/trace", "localhost", NULL, "application/json", "\xc3(", 400 },
		{ "POST", "/api/trace", "localhost", NULL, "application/json",
		    "0123456789012345678901234567890123456789012345678901234567890123x", 413 },
		{ "GET", "/api/list/signs", "localhost", NULL, NULL, "", 200 },
		{ "GET", "/api/list/", "localhost", NULL, NULL, "", 404 },
		{ "GET", "/api/list/a/b", "localhost", NULL, NULL, "", 404 },
		{ "GET", "/api/none", "localhost", NULL, NULL, "", 500 },
		{ "GET", "/\xff", "localhost", NULL, NULL, "", 400 },
		{ "GET", "/", "boat.example:8137", NULL, NULL, "", 403 },
		{ "GET", "/", "127.0.0.1.example", NULL, NULL, "", 403 },
		{ "GET", "/", "localhost:", NULL, NULL, "", 403 },
		{ "GET", "/", "localhost:123456", NULL, NULL, "", 403 },
		{ "GET", "/", "", NULL, NULL, "", 403 },
		{ "GET", "/", NULL, NULL, NULL, "", 403 },
		{ "POST", "/api/trace", "localhost:8137", "http://localhost:8137", "application/json", "{}", 200 },
		{ "POST", "/api/trace", "localhost:8137", "http://localhost:9000", "application/json", "{}", 403 },
		{ "POST", "/api/trace", "localhost:8137", "null", "application/json", "{}", 403 },
		{ "POST", "/api/trace", "localhost:8137", "https://evil.example", "application/json", "{}", 403 },
	};
	for (int i = 0; i < COUNT(kRows); ++i)
	{
		const dk_serve_head head = { kRows[i].method, kRows[i].path, kRows[i].host, kRows[i].origin,
			kRows[i].type };
		const int got = status_of(head, kRows[i].body);
		if (got != kRows[i].want) printf("# %s %s: want %d", kRows[i].method, kRows[i].path, kRows[i].want);
		assert_int_equal(got, kRows[i].want);
	}
}

static void test_allow_and_keep(void **state)
{
	(void)state;
	const dk_serve_options made = options();
	const dk_serve_head post = { "POST", "/api/bank", "localhost", NULL, "application/json" };
	dk_serve_reply reply = dk_serve_admit(&made, &post);
	assert_string_equal(reply.allow, "GET, HEAD");
	free(reply.owned);

	// a path with its hash may be kept, the page itself may not
	const dk_serve_head page = { "GET", "/", "localhost", NULL, NULL };
	assert_false(dk_serve_reply_to(&made, &page, "", 0).keep);
	const dk_serve_head script = { "GET", "/app.001122334455.js", "localhost", NULL, NULL };
	reply = dk_serve_reply_to(&made, &script, "", 0);
	assert_true(reply.keep);
	assert_string_equal(reply.etag, kAssets[1].sha256);
	assert_int_equal(reply.length, 2);
}

static void test_tail_and_list(void **state)
{
	(void)state;
	const dk_serve_options made = options();
	const dk_serve_head rows = { "GET", "/api/list/signs", "localhost", NULL, NULL };
	dk_serve_reply reply = dk_serve_reply_to(&made, &rows, "", 0);
	json_t *tree = json_loadb(reply.owned, reply.length, 0, NULL);
	assert_string_equal(json_string_value(json_object_get(tree, "tail")), "signs");
	json_decref(tree);
	free(reply.owned);

	// the list of routes is made from the table, quotes and all
	const dk_serve_head list = { "GET", "/api", "localhost", NULL, NULL };
	reply = dk_serve_reply_to(&made, &list, "", 0);
	tree = json_loadb(reply.owned, reply.length, 0, NULL);
	assert_non_null(tree);
	const json_t *routes = json_object_get(tree, "routes");
	assert_int_equal(json_array_size(routes), COUNT(kRoutes));
	const json_t *about = json_object_get(json_array_get(routes, 1), "about");
	assert_string_equal(json_string_value(about), "a \"quoted\" word");
	json_decref(tree);
	free(reply.owned);
}

static void test_utf8(void **state)
{
	(void)state;
	static const struct
	{
		const char *bytes;
		size_t length;
		bool want;
	} kRows[] = {
		{ "", 0, true },
		{ "abc", 3, true },
		{ "a\0b", 3, false },
		{ "\xc2\xb0", 2, true },
		{ "\xc2", 1, false },
		{ "\xc0\x80", 2, false },
		{ "\xe0\x80\x80", 3, false },
		{ "\xe2\x82\xac", 3, true },
		{ "\xed\xa0\x80", 3, false },
		{ "\xf0\x9f\x9b\xa5", 4, true },
		{ "\xf0\x80\x80\x80", 4, false },
		{ "\xf4\x90\x80\x80", 4, false },
		{ "\xff", 1, false },
		{ "\x80", 1, false },
		{ "\xe2\x82", 2, false },
	};
	for (int i = 0; i < COUNT(kRows); ++i)
	{
		if (dk_serve_is_text(kRows[i].bytes, kRows[i].length) != kRows[i].want) printf("# row %d\n", i);
		assert_int_equal(dk_serve_is_text(kRows[i].bytes, kRows[i].length), kRows[i].want);
	}
}

// a complaint is JSON whatever its texts hold, also when they are cut
static void test_complaint(void **state)
{
	(void)state;
	char hard[1200] = "";
	for (size_t i = 0; i + 4 < sizeof hard; i += 3) memcpy(hard + i, i % 2 ? "\"\\\n" : "\xe2\x82\xac", 4);
	static const char *const kTexts[] = { "plain.", "\"quoted\" \\ and \x01 control", "\xff\xfe no text" };
	for (int i = 0; i <= COUNT(kTexts); ++i)
	{
		const char *text = i < COUNT(kTexts) ? kTexts[i] : hard;
		const dk_serve_answer answer = dk_serve_complaint(400, text, text, text);
		json_t *tree = json_loadb(answer.body, answer.length, JSON_REJECT_DUPLICATES, NULL);
		assert_non_null(tree);
		assert_int_equal(json_object_size(json_object_get(tree, "error")), 3);
		json_decref(tree);
		free(answer.body);
	}

	// found by the fuzzer: a cut after any number of bytes of a letter of two, three or four
	static const char *const kLetters[] = { "\xc2\xb0", "\xe2\x82\xac", "\xf3\xa0\xa0\xa8" };
	for (int shift = 0; shift < 5; ++shift)
	{
		for (int i = 0; i < COUNT(kLetters); ++i)
		{
			char text[1000] = "xxxxx";
			text[shift] = '\0';
			const size_t step = strlen(kLetters[i]);
			for (size_t at = strlen(text); at < 600; at += step) memcpy(text + at, kLetters[i], step + 1);
			const dk_serve_answer answer = dk_serve_complaint(400, text, NULL, NULL);
			json_t *tree = json_loadb(answer.body, answer.length, 0, NULL);
			assert_non_null(tree);
			json_decref(tree);
			free(answer.body);
		}
	}
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_status),
		cmocka_unit_test(test_allow_and_keep),
		cmocka_unit_test(test_tail_and_list),
		cmocka_unit_test(test_utf8),
		cmocka_unit_test(test_complaint),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
