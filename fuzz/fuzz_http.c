// libFuzzer: any head and body through admission, routing and the reading of the body as JSON. No socket.
// Input: method, path, Host, Origin, Content-Type, one a line; the rest is the body.
// clang-14 -g -O1 -fsanitize=fuzzer,address,undefined -D_GNU_SOURCE -Isrc fuzz/fuzz_http.c
//   src/serve/reply.c -ljansson
#include <jansson.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "serve/reply.h"

// reads the body as app does: JSON, no key twice
static dk_serve_answer read_body(void *context, const dk_serve_request *request)
{
	(void)context;
	json_error_t error;
	json_t *tree = json_loadb(request->body, request->length, JSON_REJECT_DUPLICATES, &error);
	if (tree == NULL) return dk_serve_complaint(400, error.text, request->tail, request->path);
	char *text = json_dumps(tree, JSON_COMPACT | JSON_SORT_KEYS | JSON_ENCODE_ANY);
	json_decref(tree);
	return dk_serve_json(text, text != NULL ? strlen(text) : 0);
}

static const dk_serve_route kRoutes[] = {
	{ "GET", "/api/start", read_body, "record and catalogue" },
	{ "POST", "/api/trace", read_body, "observations in, answer out" },
	{ "GET", "/api/list/*", read_body, "rows" },
};
static const dk_page_asset kAssets[] = {
	{ "/", "text/html", "0011223344556677", (const unsigned char *)"page", 4 },
	{ NULL, NULL, NULL, NULL, 0 },
};

// cuts the next line off; an empty one stands for a line that was not sent
static char *next_line(char **rest)
{
	char *line = strsep(rest, "\n");
	return line != NULL && *line != '\0' ? line : NULL;
}

static void answer(const dk_serve_head *head, const char *body, size_t length)
{
	const dk_serve_options options = {
		.body_limit = 4096, .routes = kRoutes, .route_count = 3, .assets = kAssets
	};
	dk_serve_reply reply = dk_serve_admit(&options, head);
	if (reply.status == 0) reply = dk_serve_reply_to(&options, head, body, length);

	// a reply has one body; what is refused is JSON and names what is wrong
	if ((reply.owned != NULL) == (reply.bytes != NULL)) abort();
	if (reply.status < 200 || reply.status > 599) abort();
	if (reply.owned != NULL)
	{
		json_t *tree = json_loadb(reply.owned, reply.length, JSON_REJECT_DUPLICATES, NULL);
		if (tree == NULL) abort();
		if (reply.status != 200 && json_object_get(json_object_get(tree, "error"), "what") == NULL) abort();
		json_decref(tree);
		free(reply.owned);
	}

	// nobody but loopback gets anything
	if (reply.status == 200 && !dk_serve_host_is_loopback(head->host)) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size)
{
	char *copy = malloc(size + 1);
	if (copy == NULL) return 0;
	memcpy(copy, bytes, size);
	copy[size] = '\0';

	char *rest = copy;
	dk_serve_head head = { 0 };
	const char *method = next_line(&rest), *path = next_line(&rest);
	head.method = method != NULL ? method : "GET";
	head.path = path != NULL ? path : "/";
	head.host = next_line(&rest);
	head.origin = next_line(&rest);
	head.type = next_line(&rest);
	if (rest != NULL)
		answer(&head, rest, (size_t)(copy + size - rest));
	else
		answer(&head, "", 0);
	free(copy);
	return 0;
}
