#pragma once
// A trace that goes on: boat and banks are opened once, and each answer given so far is weighed anew. Used by
// the terminal and by the page's server; stateless in between: every call gets all observations.
#include "app/trace.h"

typedef struct dk_session
{
	const dk_boat *boat;
	dk_banks *banks; // NULL: not there yet
} dk_session;

/// One answer from texts of the command line.
dk_status dk_session_switches(
    const dk_session *session, const dk_switches *switches, json_t **out, dk_error *error);

/// One answer from the body of a request (contract: the case file's keys as JSON).
dk_status dk_session_json(
    const dk_session *session, const char *text, size_t size, uint64_t seed, json_t **out, dk_error *error);
