#pragma once
// donkeyman engine: the record as the program understood it: every figure with its source, what was solved
// from the plate, what is missing and what that costs in certainty.
#include "app/switches.h"

/// Returns: DK_OK and *out {id, name, invented, engines, installation {}, figures[] {id, value, unit, given,
///          source, spread}, solved {}, missing[] {field, taken, unit, costs},
///          warnings[] (sentences)}.
dk_status dk_app_engine(const dk_switches *switches, json_t **out, dk_error *error);
dk_status dk_app_engine_of(const dk_boat *boat, json_t **out);
