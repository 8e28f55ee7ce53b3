#pragma once
// Sobol's low-discrepancy sequence: points that fill a box more evenly than random ones.
#include <stdint.h>

enum
{
	DK_SOBOL_DIMENSIONS = 40
};

/// Coordinate of point `index` (from 0) in `dimension` (0 .. 39), in [0, 1), Gray-code order, unscrambled.
/// Point 0 is the origin: skip it, or add a shift, where 0 must not come.
/// Source: [JOEKUO08] direction numbers (new-joe-kuo-6), [BRATLEYFOX88] order
double dk_sobol(uint32_t index, int dimension);

// The same, set in the middle of its interval of 2^-32 and so within (0, 1): for inversion.
double dk_sobol_open(uint32_t index, int dimension);

// The defining polynomial of a dimension > 0: degree and inner coefficients, for tests.
int dk_sobol_degree(int dimension);
uint32_t dk_sobol_polynomial(int dimension);
