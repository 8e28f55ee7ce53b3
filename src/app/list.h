#pragma once
// donkeyman list: what the tables and the catalogue hold.
#include "app/switches.h"

/// Given:   kind     faults signs checks readings params engines repairs gates red_rules points
/// Returns: DK_OK and *out, an array of rows in the order of their ids
dk_status dk_app_list(const dk_switches *switches, const char *kind, json_t **out, dk_error *error);

// The same from a boat that is open already: only what makes sense aboard it carries "aboard": true.
dk_status dk_app_list_of(
    const dk_boat *boat, const char *data_folder, const char *kind, json_t **out, dk_error *error);
