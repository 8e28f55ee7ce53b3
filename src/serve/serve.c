#include "serve/serve.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include <microhttpd.h>

#include "serve/reply.h"

// how long a connection may stay silent [s]: a phone's sleep must not hold a thread for ever
enum
{
	SILENT_S = 60
};

// what the page may do: run and show its own files and ask its own host, nothing else
static const char content_policy[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

// one request under way; its body grows here
typedef struct upload
{
	bool refused; // a reply was queued before the body came
	bool too_long;
	size_t length;
	char *body; // body_limit bytes at most, grown by doubling
	size_t room;
} upload;

dk_serve_options dk_default_serve_options(void)
{
	dk_serve_options options = { 0 };
	options.port = 8137;
	options.body_limit = 256 * 1024;
	options.connection_limit = 32;
	return options;
}

static sigset_t stop_signals(void)
{
	sigset_t set;
	sigemptyset(&set);
	sigaddset(&set, SIGINT);
	sigaddset(&set, SIGTERM);
	return set;
}

void dk_serve_hold_signals(void)
{
	const sigset_t set = stop_signals();
	pthread_sigmask(SIG_BLOCK, &set, NULL);
}

// ---- one request ----

// adds the header lines that every reply carries
static void add_headers(struct MHD_Response *response, const dk_serve_reply *reply)
{
	MHD_add_response_header(response, "Content-Type", reply->type);
	MHD_add_response_header(response, "Content-Security-Policy", content_policy);
	MHD_add_response_header(response, "X-Content-Type-Options", "nosniff");
	MHD_add_response_header(response, "Referrer-Policy", "no-referrer");
	MHD_add_response_header(response, "Cross-Origin-Resource-Policy", "same-origin");
	MHD_add_response_header(response, "Cross-Origin-Opener-Policy", "same-origin");
	MHD_add_response_header(
	    response, "Cache-Control", reply->keep ? "public, max-age=31536000, immutable" : "no-store");
	if (reply->allow != NULL) MHD_add_response_header(response, "Allow", reply->allow);
	if (reply->etag != NULL)
	{
		char quoted[80];
		snprintf(quoted, sizeof quoted, "\"%.64s\"", reply->etag);
		MHD_add_response_header(response, "ETag", quoted);
	}
}

// queues the reply and hands its body over
static enum MHD_Result send_reply(struct MHD_Connection *connection, dk_serve_reply reply)
{
	struct MHD_Response *response;
	if (reply.owned != NULL)
	{
		response = MHD_create_response_from_buffer(reply.length, reply.owned, MHD_RESPMEM_MUST_FREE);
		if (response == NULL) free(reply.owned);
	}
	else
	{
		// an asset lies in the binary for good; libmicrohttpd's pointer is not const, but it only reads
		response = MHD_create_response_from_buffer(reply.length, (void *)reply.bytes, MHD_RESPMEM_PERSISTENT);
	}
	if (response == NULL) return MHD_NO;
	add_headers(response, &reply);
	const enum MHD_Result queued = MHD_queue_response(connection, (unsigned)reply.status, response);
	MHD_destroy_response(response);
	return queued;
}

// takes in one piece of a body; too long a body is read to its end and dropped, so that the reply arrives
static void take_piece(const dk_serve_options *options, upload *upload, const char *piece, size_t size)
{
	if (upload->too_long || size > options->body_limit - upload->length)
	{
		upload->too_long = true;
		return;
	}
	const size_t need = upload->length + size;
	if (need > upload->room)
	{
		const size_t room = need > 2 * upload->room ? need : 2 * upload->room;
		char *grown = realloc(upload->body, room);
		if (grown == NULL)
		{
			upload->too_long = true;
			return;
		}
		upload->body = grown;
		upload->room = room;
	}
	memcpy(upload->body + upload->length, piece, size);
	upload->length = need;
}

static dk_serve_head head_of(struct MHD_Connection *connection, const char *method, const char *path)
{
	dk_serve_head head = { 0 };
	head.method = method;
	head.path = path;
	head.host = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, "Host");
	head.origin = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, "Origin");
	head.type = MHD_lookup_connection_value(connection, MHD_HEADER_KIND, "Content-Type");
	return head;
}

// called by libmicrohttpd once for the head, once a piece of body, and once at the end
static enum MHD_Result on_request(void *closure, struct MHD_Connection *connection, const char *path,
    const char *method, const char *version, const char *piece, size_t *size, void **state)
{
	(void)version;
	const dk_serve_options *options = closure;
	const dk_serve_head head = head_of(connection, method, path);
	upload *upload = *state;
	if (upload == NULL)
	{
		upload = calloc(1, sizeof *upload);
		if (upload == NULL) return MHD_NO;
		*state = upload;

		// refused before any body is read
		const dk_serve_reply refusal = dk_serve_admit(options, &head);
		upload->refused = refusal.status != 0;
		return upload->refused ? send_reply(connection, refusal) : MHD_YES;
	}
	if (upload->refused) return MHD_YES;
	if (*size > 0)
	{
		take_piece(options, upload, piece, *size);
		*size = 0;
		return MHD_YES;
	}
	if (upload->too_long) return send_reply(connection, dk_serve_too_long(options));
	const char *body = upload->body != NULL ? upload->body : "";
	return send_reply(connection, dk_serve_reply_to(options, &head, body, upload->length));
}

static void on_completed(
    void *closure, struct MHD_Connection *connection, void **state, enum MHD_RequestTerminationCode code)
{
	(void)closure;
	(void)connection;
	(void)code;
	upload *upload = *state;
	if (upload == NULL) return;
	free(upload->body);
	free(upload);
	*state = NULL;
}

// ---- listening ----

__attribute__((format(printf, 4, 5))) static int fail(
    int code, char *message, size_t size, const char *format, ...)
{
	if (message != NULL && size > 0)
	{
		va_list list;
		va_start(list, format);
		vsnprintf(message, size, format, list);
		va_end(list);
	}
	return code;
}

static int check_options(const dk_serve_options *options, char *message, size_t size)
{
	if (options->port < 0 || options->port > 65535)
	{
		return fail(DK_SERVE_BAD_OPTION, message, size,
		    "port %d: it must be 1 to 65535, or 0 for any free one.", options->port);
	}
	if (options->body_limit < 1 || options->body_limit > 1 << 24)
	{
		return fail(DK_SERVE_BAD_OPTION, message, size, "body limit %zu bytes: it must be 1 to %d.",
		    options->body_limit, 1 << 24);
	}
	if (options->connection_limit < 1 || options->connection_limit > 256)
	{
		return fail(DK_SERVE_BAD_OPTION, message, size, "connection limit %d: it must be 1 to 256.",
		    options->connection_limit);
	}
	return DK_SERVE_DONE;
}

// opens 127.0.0.1:port; -1 and errno when it can't
static int open_listener(int port)
{
	const int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
	if (fd < 0) return -1;

	// a port in its closing wait may be taken again at once; one that listens may not
	const int on = 1;
	setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
	struct sockaddr_in address = { 0 };
	address.sin_family = AF_INET;
	address.sin_port = htons((unsigned short)port);
	address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
	if (bind(fd, (struct sockaddr *)&address, sizeof address) == 0 && listen(fd, 16) == 0) return fd;
	const int kept = errno;
	close(fd);
	errno = kept;
	return -1;
}

static int port_of(int fd)
{
	struct sockaddr_in address;
	socklen_t length = sizeof address;
	return getsockname(fd, (struct sockaddr *)&address, &length) == 0 ? ntohs(address.sin_port) : 0;
}

// waits for SIGINT or SIGTERM, however often another signal interrupts
static void wait_for_stop(void)
{
	const sigset_t set = stop_signals();
	int signal_number = 0;
	while (sigwait(&set, &signal_number) != 0)
	{
	}
}

int dk_serve(const dk_serve_options *options, char *message, size_t size)
{
	if (message != NULL && size > 0) message[0] = '\0';
	const int bad = check_options(options, message, size);
	if (bad != DK_SERVE_DONE) return bad;
	dk_serve_hold_signals();

	// a taken port is the one failure a skipper meets: say it as such
	const int fd = open_listener(options->port);
	if (fd < 0 && errno == EADDRINUSE)
	{
		return fail(DK_SERVE_PORT_TAKEN, message, size,
		    "port %d is in use by another program: stop that one, or choose another with --port.",
		    options->port);
	}
	if (fd < 0) return fail(DK_SERVE_FAILED, message, size, "port %d: %s.", options->port, strerror(errno));

	const unsigned ways =
	    MHD_USE_THREAD_PER_CONNECTION | MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_USE_ITC;
	struct MHD_Daemon *daemon = MHD_start_daemon(ways, 0, NULL, NULL, on_request, (void *)options,
	    MHD_OPTION_LISTEN_SOCKET, (MHD_socket)fd, MHD_OPTION_CONNECTION_LIMIT,
	    (unsigned)options->connection_limit, MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)SILENT_S,
	    MHD_OPTION_NOTIFY_COMPLETED, on_completed, NULL, MHD_OPTION_END);
	if (daemon == NULL)
	{
		close(fd);
		return fail(DK_SERVE_FAILED, message, size, "no page could be started on port %d.", options->port);
	}
	if (options->ready != NULL) options->ready(options->context, port_of(fd));
	wait_for_stop();
	MHD_stop_daemon(daemon);
	return DK_SERVE_DONE;
}
