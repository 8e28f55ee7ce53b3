#pragma once
// Draws the severities of virtual engines. Low-discrepancy points, scrambled by a stream that depends on
// the seed and on the fault's own id only, so adding a fault moves no other fault's engines.
#include <stdint.h>

// Severity of engine i of n with one fault: (i + 1/2)/n, i = 0 .. n-1. Source: contract, Priors and strata.
double dk_draw_severity(int i, int n);

/// Severities of engine i of n with two faults: points of a two-dimensional digital net, each
/// dimension shifted bit by bit by the fault's own random word.
///
/// Given:   seed, id_a, id_b   the stream; the faults in order of id, so that a pair has one set of points
///          i                  0 .. n-1; n a power of two makes every (s_a, s_b) row and column hold one
/// Returns: severity[0] of a, severity[1] of b, each in (0, 1)
/// Source:  contract, Priors and strata; [SOBOL67]; Philox key (seed, hash of id), counter (0, dimension)
void dk_draw_pair(uint64_t seed, const char *id_a, const char *id_b, int i, double severity[2]);
