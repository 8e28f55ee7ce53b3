#include "serve/reply.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const char kJsonType[] = "application/json";

// ---- complaints ----

// longest text taken into a complaint [byte]; longer ones are cut
enum
{
	LONGEST_TEXT = 400
};

// where a body grows; `at` may not pass `end`
typedef struct pen
{
	char *at, *end;
} pen;

static void put(pen *pen, const char *text)
{
	while (*text != '\0' && pen->at < pen->end) *pen->at++ = *text++;
}

// how much of a text is taken: all, or up to the last whole letter that fits
static size_t taken_length(const char *text)
{
	const size_t length = strlen(text);
	if (length <= LONGEST_TEXT) return length;
	size_t cut = LONGEST_TEXT;
	while (cut > 0 && ((unsigned char)text[cut] & 0xc0) == 0x80) --cut;
	return cut;
}

// a JSON string; control characters, and what is no UTF-8, are left out
static void put_quoted(pen *pen, const char *text)
{
	const size_t length = taken_length(text);
	const bool plain_only = !dk_serve_is_text(text, length);
	put(pen, "\"");
	for (size_t i = 0; i < length; ++i)
	{
		const unsigned char c = (unsigned char)text[i];
		if (c < 0x20 || c == 0x7f || (plain_only && c > 0x7f)) continue;
		const char pair[3] = { '\\', (char)c, '\0' };
		put(pen, c == '"' || c == '\\' ? pair : pair + 1);
	}
	put(pen, "\"");
}

dk_serve_answer dk_serve_complaint(int status, const char *what, const char *field, const char *remedy)
{
	// three texts, each byte at most doubled, and the keys
	const size_t room = 3 * 2 * LONGEST_TEXT + 64;
	char *body = malloc(room);
	if (body == NULL) return (dk_serve_answer){ 500, NULL, 0, kJsonType };
	pen pen = { body, body + room };

	// keys in alphabetical order, as in every answer
	put(&pen, "{\"error\":{");
	if (remedy != NULL)
	{
		put(&pen, "\"do\":");
		put_quoted(&pen, remedy);
		put(&pen, ",");
	}
	if (field != NULL)
	{
		put(&pen, "\"field\":");
		put_quoted(&pen, field);
		put(&pen, ",");
	}
	put(&pen, "\"what\":");
	put_quoted(&pen, what);
	put(&pen, "}}\n");
	return (dk_serve_answer){ status, body, (size_t)(pen.at - body), kJsonType };
}

dk_serve_answer dk_serve_json(char *body, size_t length)
{
	return (dk_serve_answer){ 200, body, length, kJsonType };
}

// an answer becomes a reply; one without a body says so
static dk_serve_reply reply_from(dk_serve_answer answer)
{
	if (answer.body == NULL)
	{
		answer = dk_serve_complaint(500, "The boat's computer ran out of memory.", NULL, "Try it again.");
	}
	dk_serve_reply reply = { 0 };
	reply.status = answer.status;
	reply.type = answer.type != NULL ? answer.type : kJsonType;
	reply.owned = answer.body;
	reply.length = answer.body != NULL ? answer.length : 0;
	return reply;
}

static dk_serve_reply refuse(int status, const char *what, const char *field, const char *remedy)
{
	return reply_from(dk_serve_complaint(status, what, field, remedy));
}

// ---- who may ask ----

// the port behind a host name: nothing, or ':' and one to five digits
static bool is_port(const char *text)
{
	if (*text == '\0') return true;
	if (*text != ':') return false;
	const size_t digits = strspn(text + 1, "0123456789");
	return digits >= 1 && digits <= 5 && text[1 + digits] == '\0';
}

bool dk_serve_host_is_loopback(const char *host)
{
	static const char *const names[] = { "127.0.0.1", "localhost", "[::1]" };
	if (host == NULL) return false;
	for (size_t i = 0; i < sizeof names / sizeof *names; ++i)
	{
		const size_t length = strlen(names[i]);
		if (strncasecmp(host, names[i], length) == 0 && is_port(host + length)) return true;
	}
	return false;
}

bool dk_serve_origin_is_host(const char *origin, const char *host)
{
	static const char scheme[] = "http://";
	if (origin == NULL || host == NULL) return false;
	const size_t length = sizeof scheme - 1;
	return strncmp(origin, scheme, length) == 0 && strcasecmp(origin + length, host) == 0;
}

// how many bytes the letter at `text` takes, 0 when it is none [RFC3629 section 4]
static size_t letter_length(const unsigned char *text, size_t left)
{
	const unsigned char c = text[0];
	if (c == 0) return 0;
	if (c < 0x80) return 1;
	size_t length = 0;
	if (c >= 0xc2 && c <= 0xdf) length = 2;
	if (c >= 0xe0 && c <= 0xef) length = 3;
	if (c >= 0xf0 && c <= 0xf4) length = 4;
	if (length == 0 || length > left) return 0;
	for (size_t i = 1; i < length; ++i)
	{
		if ((text[i] & 0xc0) != 0x80) return 0;
	}

	// the second byte rules out the overlong, the surrogates and what lies above U+10FFFF
	const unsigned char second = text[1];
	if (c == 0xe0 && second < 0xa0) return 0;
	if (c == 0xed && second > 0x9f) return 0;
	if (c == 0xf0 && second < 0x90) return 0;
	if (c == 0xf4 && second > 0x8f) return 0;
	return length;
}

bool dk_serve_is_text(const char *bytes, size_t length)
{
	for (size_t i = 0; i < length;)
	{
		const size_t step = letter_length((const unsigned char *)bytes + i, length - i);
		if (step == 0) return false;
		i += step;
	}
	return true;
}

// ---- which route ----

bool dk_serve_path_fits(const char *route, const char *path, const char **tail)
{
	const char *star = strchr(route, '*');
	*tail = "";
	if (star == NULL) return strcmp(route, path) == 0;

	// '*' is one last part: not empty, no further slash
	const size_t before = (size_t)(star - route);
	if (strncmp(route, path, before) != 0) return false;
	const char *rest = path + before;
	if (*rest == '\0' || strchr(rest, '/') != NULL) return false;
	*tail = rest;
	return true;
}

// HEAD is answered as GET; the socket side leaves the body out
static const char *method_of(const dk_serve_head *head)
{
	return strcmp(head->method, "HEAD") == 0 ? "GET" : head->method;
}

static dk_serve_reply nothing_here(void)
{
	return refuse(404, "There is nothing at this path.", "path", "GET /api lists the routes.");
}

// the route of this method and path, else NULL; *allow gets the methods that the path knows
static const dk_serve_route *find_route(
    const dk_serve_options *options, const dk_serve_head *head, const char **tail, const char **allow)
{
	bool get = false, post = false;
	for (int i = 0; i < options->route_count; ++i)
	{
		const dk_serve_route *route = &options->routes[i];
		if (!dk_serve_path_fits(route->path, head->path, tail)) continue;
		if (strcmp(route->method, method_of(head)) == 0) return route;
		get |= strcmp(route->method, "GET") == 0;
		post |= strcmp(route->method, "POST") == 0;
	}
	*allow = get && post ? "GET, HEAD, POST" : get ? "GET, HEAD" : post ? "POST" : NULL;
	return NULL;
}

static const dk_page_asset *find_asset(const dk_serve_options *options, const char *path)
{
	if (options->assets == NULL) return NULL;
	for (const dk_page_asset *asset = options->assets; asset->path != NULL; ++asset)
	{
		if (strcmp(asset->path, path) == 0) return asset;
	}
	return NULL;
}

// whether the content type is application/json, with or without parameters
static bool is_kJsonType(const char *type)
{
	const size_t length = sizeof kJsonType - 1;
	if (type == NULL || strncasecmp(type, kJsonType, length) != 0) return false;
	return type[length] == '\0' || type[length] == ';' || type[length] == ' ';
}

// whether the request is for the one route that serve answers itself: the list of routes
static bool asks_for_list(const dk_serve_head *head)
{
	return strcmp(head->path, "/api") == 0 && strcmp(method_of(head), "GET") == 0;
}

dk_serve_reply dk_serve_admit(const dk_serve_options *options, const dk_serve_head *head)
{
	if (!dk_serve_host_is_loopback(head->host))
	{
		return refuse(403, "This page answers only to 127.0.0.1 and localhost.", "Host",
		    "Open it by the address that donkeyman printed.");
	}
	if (head->origin != NULL && !dk_serve_origin_is_host(head->origin, head->host))
	{
		return refuse(403, "Another page asked; only its own page is answered.", "Origin", NULL);
	}
	if (!dk_serve_is_text(head->path, strlen(head->path)))
	{
		return refuse(400, "The path is not UTF-8 text.", "path", NULL);
	}

	// a file or a route, by this method?
	const char *tail, *allow = NULL;
	const bool asks = strcmp(method_of(head), "GET") == 0;
	const bool asset = find_asset(options, head->path) != NULL;
	if (asset && asks) return (dk_serve_reply){ 0 };
	if (asks_for_list(head)) return (dk_serve_reply){ 0 };
	const dk_serve_route *route = asset ? NULL : find_route(options, head, &tail, &allow);
	if (asset) allow = "GET, HEAD";
	if (route == NULL && allow != NULL)
	{
		dk_serve_reply reply = refuse(405, "This path does not know that method.", "method", NULL);
		reply.allow = allow;
		return reply;
	}
	if (route == NULL) return nothing_here();
	if (!asks && !is_kJsonType(head->type))
	{
		return refuse(415, "The body must be JSON.", "Content-Type", "Send it as application/json.");
	}
	return (dk_serve_reply){ 0 };
}

static dk_serve_reply reply_with_asset(const dk_page_asset *asset)
{
	dk_serve_reply reply = { 0 };
	reply.status = 200;
	reply.type = asset->type;
	reply.etag = asset->sha256;
	reply.bytes = asset->bytes;
	reply.length = asset->length;

	// a path that carries the first twelve digits of its hash can never mean other bytes
	char version[16];
	snprintf(version, sizeof version, ".%.12s.", asset->sha256);
	reply.keep = strstr(asset->path, version) != NULL;
	return reply;
}

// {"routes": [{"about", "method", "path"}]} from the table
static dk_serve_reply reply_with_list(const dk_serve_options *options)
{
	size_t room = 64;
	for (int i = 0; i < options->route_count; ++i)
	{
		const dk_serve_route *route = &options->routes[i];
		room += 2 * (strlen(route->about) + strlen(route->method) + strlen(route->path)) + 64;
	}
	char *body = malloc(room);
	if (body == NULL) return reply_from((dk_serve_answer){ 500, NULL, 0, NULL });
	pen pen = { body, body + room };
	put(&pen, "{\"routes\":[");
	for (int i = 0; i < options->route_count; ++i)
	{
		const dk_serve_route *route = &options->routes[i];
		put(&pen, i > 0 ? ",\n{\"about\":" : "\n{\"about\":");
		put_quoted(&pen, route->about);
		put(&pen, ",\"method\":");
		put_quoted(&pen, route->method);
		put(&pen, ",\"path\":");
		put_quoted(&pen, route->path);
		put(&pen, "}");
	}
	put(&pen, "]}\n");
	return reply_from(dk_serve_json(body, (size_t)(pen.at - body)));
}

dk_serve_reply dk_serve_reply_to(
    const dk_serve_options *options, const dk_serve_head *head, const char *body, size_t length)
{
	const dk_page_asset *asset = find_asset(options, head->path);
	if (asset != NULL) return reply_with_asset(asset);
	if (asks_for_list(head)) return reply_with_list(options);

	const char *tail, *allow;
	const dk_serve_route *route = find_route(options, head, &tail, &allow);
	if (route == NULL) return nothing_here();
	if (length > options->body_limit) return dk_serve_too_long(options);
	if (!dk_serve_is_text(body, length))
	{
		return refuse(400, "The body is not UTF-8 text.", "body", NULL);
	}
	const dk_serve_request request = { route->method, head->path, tail, body, length };
	return reply_from(route->answer(options->context, &request));
}

dk_serve_reply dk_serve_too_long(const dk_serve_options *options)
{
	char what[96];
	snprintf(what, sizeof what, "The body is longer than %zu bytes.", options->body_limit);
	return refuse(413, what, "body", "Send fewer observations.");
}
