#pragma once
// donkeyman crank: will it fire, in how many seconds, what that takes from the battery, and how long until
// the wet exhaust could flood the engine, over several tries.
#include "app/switches.h"
#include "plant/flood.h"

/// The flood account of this engine after the tries so far.
///
/// Given:   param, condition, attempt[] "SECONDS[,REST]" texts
/// Returns: the account; with no tries that of a boat at first sight.
dk_status dk_app_flood(const double *param, const dk_condition *condition, const dk_switch_list *attempt,
    dk_flood_left *left, dk_error *error);

/// Returns: DK_OK and *out {engine, condition, faults[], healthy {...}, tries_asked, tries[] {seconds, rest,
/// turns,
///          fires, seconds_to_fire, ...}, remarks[] (rests that are short), flood_left, caution}. The first
///          try that fires is the last of tries[].
dk_status dk_app_crank(const dk_switches *switches, json_t **out, dk_error *error);
