#pragma once
// donkeyman run: one operating point of this engine, broken as asked, beside the healthy one.
#include "app/switches.h"

/// Returns: DK_OK and *out {engine, point, status, lever, condition, faults[], readings {id: {value, healthy,
///          unit, system}}}; a reading that does not happen is null. The caller owns *out.
dk_status dk_app_run(const dk_switches *switches, json_t **out, dk_error *error);
