#pragma once
// Weighted mixtures over hypotheses: the arithmetic that posteriors, information and intervals share. The
// trace uses it on virtual engines; the same functions weigh a small network of states (dk_mix_states).
#include <stdint.h>

/// Shares from natural logarithms of weights.
/// Given:   log_weight  [count], -inf for an impossible one
/// Returns: share[count], sum 1 (all 0 when every one is impossible); the logarithm of the sum, -inf then
double dk_mix_shares(const double *log_weight, int count, double *share);

/// Mutual information between a class and an answer, plug-in.
/// Given:   joint       [classes][answers] weights >= 0, any sum
/// Returns: bits, 0 .. log2(min(classes, answers)); 0 for an empty table
double dk_mix_bits(const double *joint, int classes, int answers);

/// The same with the bias of a finite bank taken off, by the delta method: the entropy of a mean chance p is
/// low by Var(p)/(2 p) summed over the answers, in each class and in all.
/// Given:   joint       [classes][answers] weights, sum w p over the members of a class
///          spread      [classes][answers] variance of the class's mean chance of an answer (dk_mix_spread)
/// Returns: bits, never below 0. For members that answer with certainty, N in all with even weights, what is
///          taken off is (K-1)(B-1)/(2 N ln 2).
/// Source:  contract, Observation model; [MILLER55] bias of plug-in entropy
double dk_mix_bits_corrected(const double *joint, const double *spread, int classes, int answers);

/// Variance of a weighted mean from its members.
/// Given:   sums over members of w, w p, w^2, w^2 p, w^2 p^2
/// Returns: sum w^2 (p - mean)^2 / (sum w)^2, corrected for the mean being theirs (at most twofold)
double dk_mix_spread(double w, double wp, double ww, double wwp, double wwpp);

// Effective number of equally weighted members, (sum w)^2 / sum w^2. Source: [KONG92]
double dk_mix_effective(const double *weight, int count);

// A small network whose joint states are listed one by one: what the trace is when nothing is continuous.
typedef struct dk_mix_states
{
	int states, checks;
	const double *prior;         // [states]
	const int *answers;          // [checks] number of answers
	const double *const *chance; // [checks] -> [states][answers]
} dk_mix_states;

/// Posterior over states.
/// Given:   seen        [checks] index of the answer, -1 = not looked
/// Returns: share[states]; the probability of what was seen
double dk_mix_weigh(const dk_mix_states *net, const int *seen, double *share);

/// Information that one check would give now.
/// Given:   share       [states] as from dk_mix_weigh
///          class_of    [states] 0 .. classes-1, what is to be told apart
/// Returns: bits
double dk_mix_state_bits(
    const dk_mix_states *net, const double *share, int check, const int *class_of, int classes);
