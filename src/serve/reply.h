#pragma once
// From a request's head and body to the reply, without any socket: who may ask, which route or file
// it is, and what is said when it is none. serve.c does the sockets; a fuzz target calls this.
#include "serve/serve.h"
#include <stdbool.h>

// The lines of a request that decide anything. A line that was not sent is NULL.
typedef struct dk_serve_head
{
	const char *method;
	const char *path;   // decoded, without query
	const char *host;   // "127.0.0.1:8137"
	const char *origin; // "http://127.0.0.1:8137", sent by pages
	const char *type;   // Content-Type
} dk_serve_head;

// What goes back. Exactly one of `owned` (free it) and `bytes` (of an asset) holds the body.
typedef struct dk_serve_reply
{
	int status;
	const char *type;  // Content-Type
	const char *etag;  // of an asset, else NULL
	const char *allow; // for 405: the methods that path knows, else NULL
	bool keep;         // the path carries its version: may be cached for good
	char *owned;
	const unsigned char *bytes;
	size_t length; // [byte]
} dk_serve_reply;

// Whether a Host line names this machine's loopback: 127.0.0.1, localhost or [::1], with or without a
// port. Anything else may be a foreign name that was pointed here (DNS rebinding).
bool dk_serve_host_is_loopback(const char *host);

// Whether an Origin line is "http://" and the Host line, letter for letter.
bool dk_serve_origin_is_host(const char *origin, const char *host);

// Whether the bytes are UTF-8 as RFC 3629 has it (no surrogates, nothing overlong), without NUL.
bool dk_serve_is_text(const char *bytes, size_t length);

// Whether `path` is the route's; sets *tail to what stands for '*', else "".
bool dk_serve_path_fits(const char *route, const char *path, const char **tail);

// Whether the head may go on to its body: admitted = status 0, else the reply that refuses it.
dk_serve_reply dk_serve_admit(const dk_serve_options *options, const dk_serve_head *head);

// The whole answer; calls the route's handler. The head must have been admitted.
dk_serve_reply dk_serve_reply_to(
    const dk_serve_options *options, const dk_serve_head *head, const char *body, size_t length);

// The reply to a body longer than options->body_limit.
dk_serve_reply dk_serve_too_long(const dk_serve_options *options);
