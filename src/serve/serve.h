#pragma once
// The page and its routes on loopback. It carries bytes and does no sums: every answer of /api comes
// from a handler that app supplies, every other file from the table in serve/page.h.
#include "serve/page.h"
#include <stddef.h>

// What a handler is given. All of it is only good for the length of the call.
typedef struct dk_serve_request
{
	const char *method; // "GET" or "POST"
	const char *path;   // without query, never NULL: "/api/list/signs"
	const char *tail;   // what stands in the place of '*' in the route's path, else ""
	const char *body;   // POST: valid UTF-8 without NUL, not terminated; GET: ""
	size_t length;      // [byte]
} dk_serve_request;

// What a handler gives back. `body` is from malloc and is freed by serve; NULL counts as 500.
typedef struct dk_serve_answer
{
	int status; // 200, or 4xx/5xx with a body made by dk_serve_complaint()
	char *body;
	size_t length;    // [byte]
	const char *type; // static; NULL = "application/json"
} dk_serve_answer;

// One route's work. Called from several threads at once, so `context` must bear that.
typedef dk_serve_answer dk_serve_fn(void *context, const dk_serve_request *request);

// One row registers a route and its help.
typedef struct dk_serve_route
{
	const char *method; // "GET" or "POST"
	const char *path;   // "/api/trace", or "/api/list/*" (one last part, never empty)
	dk_serve_fn *answer;
	const char *about; // one line for docs/http.md and GET /api
} dk_serve_route;

// Start from dk_default_serve_options().
typedef struct dk_serve_options
{
	int port;             // 1 .. 65535; 0 = any free one
	size_t body_limit;    // longest request body taken [byte], 1 .. 1<<24
	int connection_limit; // open connections at once, 1 .. 256
	const dk_serve_route *routes;
	int route_count;
	const dk_page_asset *assets;            // ends with path NULL; NULL = no page
	void *context;                          // handed to every handler and to ready()
	void (*ready)(void *context, int port); // called once, when it listens; NULL = nobody asks
} dk_serve_options;

enum
{
	DK_SERVE_DONE = 0, // ended by SIGINT or SIGTERM
	DK_SERVE_BAD_OPTION = 1,
	DK_SERVE_PORT_TAKEN = 2,
	DK_SERVE_FAILED = 3,
};

// Port 8137, bodies up to 256 KiB, 32 connections, no routes, no page.
dk_serve_options dk_default_serve_options(void);

// Keeps SIGINT and SIGTERM for dk_serve(). Call it in main before any thread is started: threads
// inherit it, and a signal then reaches dk_serve() alone, which shuts down cleanly.
void dk_serve_hold_signals(void);

/// Listens on 127.0.0.1 until SIGINT or SIGTERM, then lets running answers end and closes.
///
/// Given:   options     see above; must outlive the call
///          message     room for one clear sentence when it fails; may be NULL
///          size        of message                                    [byte]
/// Returns: DK_SERVE_DONE, or another DK_SERVE_ value and the sentence
/// Threads: one a connection. Calls dk_serve_hold_signals() itself, too.
int dk_serve(const dk_serve_options *options, char *message, size_t size);

// A 4xx or 5xx answer {"error": {"what", "field"?, "do"?}} with each text escaped; NULL leaves a key out.
dk_serve_answer dk_serve_complaint(int status, const char *what, const char *field, const char *remedy);

// A 200 answer that takes over `body` (from malloc, may be NULL).
dk_serve_answer dk_serve_json(char *body, size_t length);
