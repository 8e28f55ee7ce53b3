#pragma once
// Gates: preconditions of a step. A step is shown only when every one of its gates was answered so that it
// opens, and not at all while something seen shuts one of them. No path reaches a gated step without its
// gate.
#include "catalog/observation.h"
#include <stdbool.h>

typedef enum dk_gate_state
{
	DK_GATE_OPEN, // answered so that it opens
	DK_GATE_ASK,  // not answered yet
	DK_GATE_SHUT  // shut by what was seen; asking would not open it
} dk_gate_state;

dk_gate_state dk_gate_state_of(const dk_catalog *catalog, const dk_request *request, int gate);

/// Gates in the way of a check.
/// Returns: how many are still to be answered, their indices in ask[] (room for check->gate_count); -1 when
/// one is
///          shut, its index in *shut (may be NULL)
int dk_gates_before(
    const dk_catalog *catalog, const dk_request *request, const dk_check *check, int *ask, int *shut);

// Whether the steps of a check may be shown now: all its gates open.
bool dk_gates_open(const dk_catalog *catalog, const dk_request *request, const dk_check *check);
