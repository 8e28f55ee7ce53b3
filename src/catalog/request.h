#pragma once
// Inside of the request reader: what its halves share. Not for other rooms.
#include "catalog/observation.h"

typedef struct dk_asking
{
	dk_request *request;
	const dk_catalog *catalog;
	dk_arena *arena;
	dk_error *error;
} dk_asking;

typedef enum dk_named
{
	DK_NAMED_SIGN,
	DK_NAMED_CHECK,
	DK_NAMED_REPAIR,
	DK_NAMED_FAULT,
	DK_NAMED_GATE,
	DK_NAMED_RED_RULE,
	DK_NAMED_READING,
	DK_NAMED_POINT
} dk_named;

// The ids of a kind, for errors.
const char *const *dk_request_names(dk_asking *a, dk_named kind, int *count);

// An error at a node (or on the command line: NULL).
dk_status dk_request_wrong(
    dk_asking *a, const dk_node *node, const char *field, dk_status status, const char *what);
dk_status dk_request_unknown(dk_asking *a, const dk_node *node, const char *field, const char *kind,
    const char *id, const char *const *names, int count);

// The list with room for one more.
void *dk_request_grow(dk_arena *arena, const void *list, int count, size_t size);
void dk_request_append(dk_asking *a, const dk_observation *seen);

// One observation: `seen` carries kind, before, volunteered, n and mark; the rest follows from key
// ("ID[@POINT]") and texts.
dk_status dk_request_observe(dk_asking *a, const dk_node *node, const char *key, const char *const *texts,
    int count, dk_observation *seen);

// Temperature, pressure and so on of the surroundings: field is air, sea, pressure, humidity, soak or heel.
dk_status dk_request_condition(dk_asking *a, const dk_node *node, const char *field, const char *text);

// REPAIR and its result.
dk_status dk_request_tried(dk_asking *a, const dk_node *node, const char *repair, const char *result);
