// serve and demo: open a boat, start the sums in the background, serve the page on loopback.
#include "cli/page.h"
#include "base/file.h"
#include "base/units.h"
#include "serve/api.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

static void say_ready(void *context, int port)
{
	(void)context;
	printf("donkeyman serves this boat's page on http://127.0.0.1:%d/  (this machine only; Ctrl-C ends it)\n",
	    port);
	fflush(stdout);
}

static dk_status read_port(const dk_arguments *arguments, int *port, dk_error *error)
{
	double value = dk_default_serve_options().port;
	if (arguments->port)
		DK_TRY(dk_unit_read_range(arguments->port, "-", DK_BARE_TABLE, 0, 65535, "--port", &value, error));
	if (value != (int)value)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%s' is not a whole number", arguments->port);
		return dk_error_field(error, "--port");
	}
	*port = (int)value;
	return DK_OK;
}

// serves an open boat until it is told to end
static int serve_boat(const dk_arguments *arguments, const dk_boat *boat, const dk_numbers *numbers, int port)
{
	dk_banks_order order = dk_default_banks_order();
	order.cache_folder = arguments->switches.cache_folder;
	order.seed = numbers->seed;
	order.threads = numbers->threads;
	order.lanes = numbers->lanes;
	order.severities = numbers->severities;
	dk_api api = { .boat = boat, .data_folder = arguments->switches.data_folder, .seed = numbers->seed };
	api.keeper = dk_keeper_open(boat, &order);
	if (!api.keeper) return 2;
	const dk_said nothing_said = { 0 };
	dk_serve_options options = dk_default_serve_options();
	options.port = port;
	options.routes = dk_api_routes;
	options.route_count = dk_api_route_count;
	options.assets = dk_page_assets;
	options.context = &api;
	options.ready = say_ready;

	char message[512] = "";
	dk_keeper_banks(api.keeper, &nothing_said, true);
	const int code = dk_serve(&options, message, sizeof message);
	if (code != DK_SERVE_DONE) fprintf(stderr, "donkeyman: %s\n", message);
	dk_keeper_close(api.keeper);
	return code == DK_SERVE_DONE ? 0 : 2;
}

int dk_page_serve(dk_arguments *arguments)
{
	dk_boat *boat = NULL;
	dk_numbers numbers;
	dk_error error;
	int port = 0;
	dk_serve_hold_signals();
	dk_status status = read_port(arguments, &port, &error);
	if (status == DK_OK) status = dk_switches_numbers(&arguments->switches, &numbers, &error);
	if (status == DK_OK) status = dk_switches_boat(&arguments->switches, &boat, &error);
	if (status != DK_OK)
	{
		char sentence[DK_ERROR_TEXT];
		fprintf(stderr, "donkeyman: %s\n", dk_error_text(&error, sentence, sizeof sentence));
		return 2;
	}
	const int code = serve_boat(arguments, boat, &numbers, port);
	dk_boat_close(boat);
	return code;
}

// copies the demo boat's record into a scratch folder, so that it can be edited without harm
static dk_status make_demo(const char *data_folder, char *path, size_t size, dk_error *error)
{
	char from[4096], folder[] = "/tmp/donkeyman-demo-XXXXXX";
	snprintf(from, sizeof from, "%s/engines/three_indirect.yaml", data_folder);
	dk_arena *arena = dk_arena_new();
	char *bytes;
	size_t length;
	dk_status status = dk_file_read(from, 1 << 20, arena, &bytes, &length, error);
	if (status == DK_OK && !mkdtemp(folder))
		status = dk_error_set(error, DK_NO_PERMISSION, "a scratch folder can't be made in /tmp");
	if (status == DK_OK)
	{
		snprintf(path, size, "%s/three_indirect.yaml", folder);
		status = dk_file_write(path, bytes, length, error);
	}
	dk_arena_free(arena);
	return status;
}

int dk_page_demo(dk_arguments *arguments)
{
	char path[512];
	dk_error error;
	if (make_demo(arguments->switches.data_folder, path, sizeof path, &error) != DK_OK)
	{
		char sentence[DK_ERROR_TEXT];
		fprintf(stderr, "donkeyman: %s\n", dk_error_text(&error, sentence, sizeof sentence));
		return 2;
	}
	printf("An invented boat with an invented engine. Its record: %s\n", path);
	arguments->switches.engine = path;
	return dk_page_serve(arguments);
}
