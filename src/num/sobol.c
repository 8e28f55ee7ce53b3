#include "num/sobol.h"

// degree s, inner coefficients a of the primitive polynomial, first s direction numbers m; dimension 0 has
// none
static const struct
{
	unsigned char s, a;
	unsigned char m[8];
} kSobol[DK_SOBOL_DIMENSIONS] = {
	{ 0, 0, { 0 } },
	{ 1, 0, { 1 } },
	{ 2, 1, { 1, 3 } },
	{ 3, 1, { 1, 3, 1 } },
	{ 3, 2, { 1, 1, 1 } },
	{ 4, 1, { 1, 1, 3, 3 } },
	{ 4, 4, { 1, 3, 5, 13 } },
	{ 5, 2, { 1, 1, 5, 5, 17 } },
	{ 5, 4, { 1, 1, 5, 5, 5 } },
	{ 5, 7, { 1, 1, 7, 11, 19 } },
	{ 5, 11, { 1, 1, 5, 1, 1 } },
	{ 5, 13, { 1, 1, 1, 3, 11 } },
	{ 5, 14, { 1, 3, 5, 5, 31 } },
	{ 6, 1, { 1, 3, 3, 9, 7, 49 } },
	{ 6, 13, { 1, 1, 1, 15, 21, 21 } },
	{ 6, 16, { 1, 3, 1, 13, 27, 49 } },
	{ 6, 19, { 1, 1, 1, 15, 7, 5 } },
	{ 6, 22, { 1, 3, 1, 15, 13, 25 } },
	{ 6, 25, { 1, 1, 5, 5, 19, 61 } },
	{ 7, 1, { 1, 3, 7, 11, 23, 15, 103 } },
	{ 7, 4, { 1, 3, 7, 13, 13, 15, 69 } },
	{ 7, 7, { 1, 1, 3, 13, 7, 35, 63 } },
	{ 7, 8, { 1, 3, 5, 9, 1, 25, 53 } },
	{ 7, 14, { 1, 3, 1, 13, 9, 35, 107 } },
	{ 7, 19, { 1, 3, 1, 5, 27, 61, 31 } },
	{ 7, 21, { 1, 1, 5, 11, 19, 41, 61 } },
	{ 7, 28, { 1, 3, 5, 3, 3, 13, 69 } },
	{ 7, 31, { 1, 1, 7, 13, 1, 19, 1 } },
	{ 7, 32, { 1, 3, 7, 5, 13, 19, 59 } },
	{ 7, 37, { 1, 1, 3, 9, 25, 29, 41 } },
	{ 7, 41, { 1, 3, 5, 13, 23, 1, 55 } },
	{ 7, 42, { 1, 3, 7, 3, 13, 59, 17 } },
	{ 7, 50, { 1, 3, 1, 3, 5, 53, 69 } },
	{ 7, 55, { 1, 1, 5, 5, 23, 33, 13 } },
	{ 7, 56, { 1, 1, 7, 7, 1, 61, 123 } },
	{ 7, 59, { 1, 1, 7, 9, 13, 61, 49 } },
	{ 7, 62, { 1, 3, 3, 5, 3, 55, 33 } },
	{ 8, 14, { 1, 3, 1, 15, 31, 13, 49, 245 } },
	{ 8, 21, { 1, 3, 5, 15, 31, 59, 63, 97 } },
	{ 8, 22, { 1, 3, 1, 11, 11, 11, 77, 249 } },
};

// direction numbers v_k = m_k 2^(32-k), continued by the recurrence of the polynomial
static void directions(int dimension, uint32_t v[32])
{
	const int s = kSobol[dimension].s;
	for (int k = 0; k < 32; ++k)
	{
		if (s == 0)
			v[k] = 1u << (31 - k);
		else if (k < s)
			v[k] = (uint32_t)kSobol[dimension].m[k] << (31 - k);
		else
		{
			v[k] = v[k - s] ^ (v[k - s] >> s);
			for (int j = 1; j < s; ++j)
				if (kSobol[dimension].a >> (s - 1 - j) & 1u) v[k] ^= v[k - j];
		}
	}
}

static uint32_t sobol_bits(uint32_t index, int dimension)
{
	uint32_t v[32], bits = 0;
	directions(dimension, v);
	uint32_t gray = index ^ index >> 1;
	for (int k = 0; gray; ++k, gray >>= 1)
		if (gray & 1u) bits ^= v[k];
	return bits;
}

double dk_sobol(uint32_t index, int dimension)
{
	return sobol_bits(index, dimension) * 0x1p-32;
}

double dk_sobol_open(uint32_t index, int dimension)
{
	return (sobol_bits(index, dimension) + 0.5) * 0x1p-32;
}

int dk_sobol_degree(int dimension)
{
	return kSobol[dimension].s;
}

uint32_t dk_sobol_polynomial(int dimension)
{
	const int s = kSobol[dimension].s;
	return 1u << s | (uint32_t)kSobol[dimension].a << 1 | 1u;
}
