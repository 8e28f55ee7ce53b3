#pragma once
// The routes under /api: each reads a request, calls one use case of app and hands its bytes back.
#include "app/session.h"
#include "serve/keeper.h"
#include "serve/serve.h"

// What the routes stand on; must outlive dk_serve().
typedef struct dk_api
{
	const dk_boat *boat;
	const char *data_folder;
	dk_keeper *keeper;
	uint64_t seed;
} dk_api;

// The table for dk_serve_options.routes.
extern const dk_serve_route dk_api_routes[];
extern const int dk_api_route_count;
