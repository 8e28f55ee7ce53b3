#pragma once
// Two faults in one engine. Composed from the two singles for a first look, simulated before a pair is
// shown as probable.
#include "population/bank.h"

// Whether two strata can be in one engine: one fault each, not the same, and no two counts of hit cylinders
// that differ (all k-of-n faults of an engine are in the same cylinders).
bool dk_bank_can_pair(const dk_bank *bank, int a, int b);

// Severities of engine i of a pair, 0 .. DK_BANK_SEVERITIES-1; severity[0] is a's. The points depend on the
// seed and the two fault ids, not on the order of a and b.
void dk_bank_pair_severity(const dk_bank *bank, int a, int b, int i, double severity[2]);

// One value of a composed pair: t_a(s_a) + t_b(s_b) - t_healthy, transformed.
// Source: contract, Priors and strata.
double dk_bank_pair_at(
    const dk_bank *bank, int a, int b, int point, int reading, double severity_a, double severity_b);

/// A pair composed from its singles at 64 points in (s_a, s_b), no run of the engine. Its readings are
/// brought back to reading units; its status is the worst of the engines it is made of.
/// Returns: DK_OK and `out` filled, arrays to be freed with dk_stratum_free; DK_NO_MEMORY.
dk_status dk_bank_compose(const dk_bank *bank, int a, int b, dk_stratum *out);

/// The same pair, simulated at the same points of (s_a, s_b) and every operating point. Sensitivities stay
/// composed (dk_bank_jac). Allocates, uses up to `threads` threads.
/// Returns: DK_OK and `out` filled, arrays to be freed with dk_stratum_free; DK_NO_MEMORY.
dk_status dk_bank_simulate(const dk_bank *bank, int a, int b, int threads, int lanes, dk_stratum *out);

// Frees the arrays of a stratum from one of the above; never one of the bank's own.
void dk_stratum_free(dk_stratum *stratum);
