#pragma once
// The number type of every formula in gas/, cycle/, plant/ and engine/: one engine (DK_LANES 1) or
// several side by side (2, 4, 8). The same file is compiled once a width; a test compares them bit for
// bit, so: no branch on a dk_real, no libm, no loop whose count depends on the data.
//
// DK_FN(f) names a function by its width (f_w1 .. f_w8), so that all widths live in one program and
// the width is chosen at run time (engine/batch.h).
#include <math.h>
#include <stdbool.h>
#include <string.h>

#ifndef DK_LANES
#define DK_LANES 1
#endif

#define DK_JOIN2(f, w) f##_w##w
#define DK_JOIN(f, w) DK_JOIN2(f, w)
#define DK_FN(f) DK_JOIN(f, DK_LANES)

#if DK_LANES == 1

typedef double dk_real;
typedef long long dk_mask; // 1 where true, 0 where not

static inline dk_real dk_set(double x)
{
	return x;
}
static inline double dk_lane(dk_real x, int lane)
{
	return (void)lane, x;
}
static inline void dk_put(dk_real *x, int lane, double value)
{
	(void)lane, *x = value;
}
static inline bool dk_mask_lane(dk_mask m, int lane)
{
	return (void)lane, m != 0;
}
static inline dk_mask dk_mask_set(bool on)
{
	return on;
}
static inline dk_mask dk_not(dk_mask m)
{
	return !m;
}
static inline bool dk_any(dk_mask m)
{
	return m != 0;
}
static inline dk_real dk_choose(dk_mask where, dk_real yes, dk_real no)
{
	return where ? yes : no;
}
static inline dk_real dk_sqrt(dk_real x)
{
	return __builtin_sqrt(x);
}
static inline dk_real dk_min(dk_real a, dk_real b)
{
	return a < b ? a : b;
}
static inline dk_real dk_max(dk_real a, dk_real b)
{
	return a > b ? a : b;
}
static inline dk_real dk_abs(dk_real x)
{
	return __builtin_fabs(x);
}

#else

typedef double dk_real __attribute__((vector_size(DK_LANES * sizeof(double))));
typedef long long dk_mask __attribute__((vector_size(DK_LANES * sizeof(long long)))); // -1 where true

// Where the target has the width, its own instructions are named for what gcc 12 does not find itself:
// min, max and square root (each bit-equal to the plain form), and the blend under a mask.
#if (DK_LANES == 8 && defined(__AVX512DQ__)) || (DK_LANES == 4 && defined(__AVX__)) ||                       \
    (DK_LANES == 2 && defined(__SSE2__))
#define DK_NATIVE 1
#include <immintrin.h>
#endif
#if DK_LANES == 8
#define DK_OP(name) _mm512_##name
#define DK_RAW(x) ((__m512d)(x))
#elif DK_LANES == 4
#define DK_OP(name) _mm256_##name
#define DK_RAW(x) ((__m256d)(x))
#else
#define DK_OP(name) _mm_##name
#define DK_RAW(x) ((__m128d)(x))
#endif

static inline dk_real dk_set(double x)
{
	return x - (dk_real){ 0 };
}
static inline double dk_lane(dk_real x, int lane)
{
	return x[lane];
}
static inline void dk_put(dk_real *x, int lane, double value)
{
	(*x)[lane] = value;
}
static inline bool dk_mask_lane(dk_mask m, int lane)
{
	return m[lane] != 0;
}
static inline dk_mask dk_mask_set(bool on)
{
	return (dk_mask){ 0 } - (long long)on;
}
static inline dk_mask dk_not(dk_mask m)
{
	return ~m;
}

static inline bool dk_any(dk_mask m)
{
	long long any = 0;
	for (int i = 0; i < DK_LANES; ++i) any |= m[i];
	return any != 0;
}

// Per lane: yes where the mask is set, no elsewhere. Both sides are always computed.
static inline dk_real dk_choose(dk_mask where, dk_real yes, dk_real no)
{
#if DK_LANES == 8 && defined(DK_NATIVE)
	return (dk_real)_mm512_mask_blend_pd(_mm512_movepi64_mask((__m512i)where), DK_RAW(no), DK_RAW(yes));
#elif DK_LANES == 4 && defined(DK_NATIVE)
	return (dk_real)_mm256_blendv_pd(DK_RAW(no), DK_RAW(yes), DK_RAW(where));
#else
	return (dk_real)((where & (dk_mask)yes) | (~where & (dk_mask)no));
#endif
}

// The instructions give b when a and b are equal or either is not a number: so does a < b ? a : b.
static inline dk_real dk_min(dk_real a, dk_real b)
{
#ifdef DK_NATIVE
	return (dk_real)DK_OP(min_pd)(DK_RAW(a), DK_RAW(b));
#else
	return dk_choose(a < b, a, b);
#endif
}

static inline dk_real dk_max(dk_real a, dk_real b)
{
#ifdef DK_NATIVE
	return (dk_real)DK_OP(max_pd)(DK_RAW(a), DK_RAW(b));
#else
	return dk_choose(a > b, a, b);
#endif
}

static inline dk_real dk_abs(dk_real x)
{
	return (dk_real)((dk_mask)x & 0x7fffffffffffffffLL);
}

static inline dk_real dk_sqrt(dk_real x)
{
#ifdef DK_NATIVE
	return (dk_real)DK_OP(sqrt_pd)(DK_RAW(x));
#else
	dk_real root;
	for (int i = 0; i < DK_LANES; ++i) root[i] = __builtin_sqrt(x[i]);
	return root;
#endif
}

#endif

static inline bool dk_all(dk_mask m)
{
	return !dk_any(dk_not(m));
}
static inline dk_real dk_clip(dk_real x, double low, double high)
{
	return dk_min(dk_max(x, dk_set(low)), dk_set(high));
}

// Below: num/wide_math.c, one code for every width, error bounds stated there and swept against libm.
dk_real DK_FN(dk_exp)(dk_real x);            // -700 .. 700; below gives 0, above the value at 700
dk_real DK_FN(dk_log)(dk_real x);            // x > 0 (normal numbers)
dk_real DK_FN(dk_pow)(dk_real x, dk_real y); // x > 0: exp(y log x)
dk_real DK_FN(dk_floor)(dk_real x);          // |x| < 2^51
dk_real DK_FN(dk_norm_cdf)(dk_real x);       // standard normal distribution function
dk_real DK_FN(dk_tanh)(dk_real x);           // smooth step, |x| unbounded
#define dk_exp DK_FN(dk_exp)
#define dk_log DK_FN(dk_log)
#define dk_pow DK_FN(dk_pow)
#define dk_floor DK_FN(dk_floor)
#define dk_norm_cdf DK_FN(dk_norm_cdf)
#define dk_tanh DK_FN(dk_tanh)

// A piecewise linear table as a sum of ramps: no gather, no branch. `at` rises strictly; outside the
// table the end values hold. The slopes are formed here, so a table costs count-1 clips.
static inline dk_real dk_ramp(dk_real x, const double *at, const double *value, int count)
{
	dk_real sum = dk_set(value[0]);
	for (int i = 1; i < count; ++i)
	{
		const double slope = (value[i] - value[i - 1]) / (at[i] - at[i - 1]);
		sum = sum + slope * (dk_clip(x, at[i - 1], at[i]) - at[i - 1]);
	}
	return sum;
}
