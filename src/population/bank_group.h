#pragma once
// Faults whose readings can't be told apart form a group: the answer shows one line for them, with the check
// by eye that parts them.
#include "population/bank.h"

// Marks with 1 the readings that a boat can get: those that a sign or a check which it can be asked gives, or
// looks at for its answers. For `present` below and in dk_bank_request.
void dk_bank_present_for(
    const dk_catalog *catalog, const dk_installation *boat, unsigned char present[DK_READING_COUNT]);

/// The distance between two faults: the largest, over severities 0.3, 0.5, 0.7, 0.9 and the hit counts of
/// either, of the least, over all severities and hit counts of the other, of the largest difference over all
/// readings and points this boat can get, in units of sqrt(gauge_sd^2 + bias_sd^2 + model_sd^2).
///
/// Given:   present     [DK_READING_COUNT] 1 = the boat can get it; NULL = all but gauge "none"
///          enough      above this the search stops: a returned value above it is only 'more than enough'
/// Source:  contract, Faults
double dk_bank_distance(const dk_bank *bank, const unsigned char *present, int f, int g, double enough);

/// Groups of faults at 1.5 or less of each other: complete linkage, nearest first, ties by id.
///
/// Returns: DK_OK, group[fault_count] numbered by the first fault id in each, and group_count; DK_NO_MEMORY
/// Source:  contract, Faults
dk_status dk_bank_groups(const dk_bank *bank, const unsigned char *present, int *group, int *group_count);

/// How many readings each fault moves beyond the error of their gauge, sqrt(gauge_sd^2 + bias_sd^2), at
/// severity 0.7 at any point, in one cylinder when it is k-of-n. For the honesty gate.
///
/// Given:   base        [DK_PARAM_COUNT] the healthy engine
///          present     as above
/// Returns: DK_OK and count[breaking->count]; DK_NO_MEMORY
/// Source:  contract, Honesty gates
dk_status dk_population_moves_enough(const dk_breaking *breaking, const double *base,
    const dk_condition *node, const unsigned char *present, int lanes, int *count);
