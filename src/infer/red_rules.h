#pragma once
// Red rules: pure sign to order. No bank, no probability: within one tap, before any ranking, never outvoted.
#include "catalog/observation.h"
#include "infer/trace.h"

// Whether a condition row (of a gate or a rule) is met by what was seen. An answer given as 'one of these'
// meets it when any of them does: the side that errs towards stopping.
bool dk_red_condition(const dk_catalog *catalog, const dk_request *request, const dk_condition_row *row);

// Whether a rule holds.
bool dk_red_holds(const dk_catalog *catalog, const dk_request *request, const dk_red_rule *rule);

/// The rule that holds and comes first (people, fire, flooding, engine; then by id), its order and steps for
/// this place, and the others that wait. Returns: red->rule -1 when none holds
void dk_red_rules(const dk_catalog *catalog, const dk_request *request, dk_arena *arena, dk_red *red);
