#pragma once
// donkeyman trace --score FOLDER: how often the right cause comes first over a folder of case files, with
// flat priors and with the faults' moves exchanged beside it: physics must survive the one and collapse with
// the other.
#include "app/trace.h"

/// Returns: DK_OK and *out {cases[] {id, family, cause, rank, first, first_check, red_rule, unsafe}, totals
/// {priors,
///          flat_priors, exchanged, and one a family: {cases, top1, top1_low, top1_high, top3, top5,
///          set_coverage, unsafe, starter_seconds, parts_in_vain}}}. The interval is Wilson's at 95 %.
dk_status dk_app_score(
    const dk_switches *switches, const dk_banks_order *order, json_t **out, dk_error *error);
