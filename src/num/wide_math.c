// Elementary functions in lanes. One code for every width: no branch, no table look-up, no fused
// multiply-add, so each lane does the same operations in the same order and the bits agree.
//
// The polynomial coefficients were fitted for this file (Chebyshev nodes, 40 digits); the fit error
// stands beside each. Worst errors against libm, swept in tests/unit/num/test_wide_math.c:
//   dk_exp  2 ulp        dk_log  2 ulp        dk_pow  2 ulp + 1.2 ulp x |y log x|
//   dk_norm_cdf 4e-15 absolute, 3e-13 relative down to -37        dk_tanh 3e-16 absolute
#include "num/real.h"

#if DK_LANES == 1
typedef unsigned long long dk_bits;
static inline dk_bits dk_bits_of(dk_real x)
{
	dk_bits bits;
	memcpy(&bits, &x, sizeof bits);
	return bits;
}
static inline dk_real dk_real_of(dk_bits bits)
{
	dk_real x;
	memcpy(&x, &bits, sizeof x);
	return x;
}
#else
typedef unsigned long long dk_bits __attribute__((vector_size(DK_LANES * sizeof(unsigned long long))));
static inline dk_bits dk_bits_of(dk_real x)
{
	return (dk_bits)x;
}
static inline dk_real dk_real_of(dk_bits bits)
{
	return (dk_real)bits;
}
#endif

// adding and subtracting 1.5 x 2^52 rounds to the nearest integer; the integer then stands in the low bits
#define ROUND 6755399441055744.0

dk_real dk_floor(dk_real x)
{
	const dk_real near = (x + ROUND) - ROUND;
	return near - dk_choose(near > x, dk_set(1), dk_set(0));
}

dk_real dk_exp(dk_real x)
{
	const dk_real held = dk_clip(x, -700, 700);

	// x = n ln 2 + r, |r| <= ln 2 / 2; ln 2 in two pieces so that n ln 2 is exact
	const dk_real shifted = held * 1.4426950408889634074 + ROUND;
	const dk_real n = shifted - ROUND;
	const dk_real r = (held - n * 0.693147180369123816490) - n * 1.90821492927058770002e-10;

	// e^r = 1 + r + r^2 q(r), fit error 1.3e-17; the pairs shorten the chain of dependent operations
	const dk_real r2 = r * r;
	const dk_real r4 = r2 * r2;
	const dk_real q01 = 0.50000000000000010211 + r * 0.16666666666666667452;
	const dk_real q23 = 0.041666666666624161903 + r * 0.0083333333333300644495;
	const dk_real q45 = 0.0013888888917196719077 + r * 0.00019841269863040545271;
	const dk_real q67 = 0.000024801521322368693266 + r * 2.7557268480310025526e-6;
	const dk_real q89 = 2.7620075879983366586e-7 + r * 2.5100375832561233664e-8;
	const dk_real q = (q01 + r2 * q23) + r4 * ((q45 + r2 * q67) + r4 * q89);
	const dk_real mantissa = 1 + (r + r2 * q);

	// times 2^n through the exponent bits
	const dk_bits power = (dk_bits_of(shifted) + 1023) << 52;
	return dk_choose(x < -700, dk_set(0), mantissa * dk_real_of(power));
}

dk_real dk_log(dk_real x)
{
	// x = 2^n m with m in sqrt(1/2) .. sqrt(2): the constant is the bit pattern of sqrt(1/2)
	const dk_bits offset = dk_bits_of(x) - 0x3fe6a09e667f3bcdULL;
	const dk_bits n_bits = (offset >> 52) + 0x4330000000000000ULL;

	// offset >> 52 is n modulo 4096: shifted so that a number read as 2^52 + k gives n = k or k - 4096
	const dk_real k = dk_real_of(n_bits) - 4503599627370496.0;
	const dk_real n = k - dk_choose(k > 2048, dk_set(4096), dk_set(0));
	const dk_real m = dk_real_of((offset & 0x000fffffffffffffULL) + 0x3fe6a09e667f3bcdULL);

	// log m = 2 atanh s, s = (m - 1)/(m + 1), written f - s (f - s^2 w) to keep the last bit; fit error 1e-17
	const dk_real f = m - 1;
	const dk_real s = f / (2 + f);
	const dk_real z = s * s;
	const dk_real z2 = z * z;
	const dk_real w01 = 0.66666666666666696862 + z * 0.3999999999989950449;
	const dk_real w23 = 0.28571428625975484921 + z * 0.22222211134795079855;
	const dk_real w45 = 0.1818288912526172208 + z * 0.15331721600556041269;
	const dk_real w = w01 + z2 * (w23 + z2 * (w45 + z2 * 0.1461644968504340586));
	const dk_real series = f - s * (f - z * w);
	return n * 0.693147180369123816490 + (series + n * 1.90821492927058770002e-10);
}

dk_real dk_pow(dk_real x, dk_real y)
{
	return dk_exp(y * dk_log(x));
}

dk_real dk_tanh(dk_real x)
{
	const dk_real t = dk_exp(-2 * dk_abs(x));
	const dk_real y = (1 - t) / (1 + t);
	return dk_choose(x < 0, -y, y);
}

// Upper tail of the normal distribution: Q(a) = e^(-a^2/2) g(t), t = 1/(1 + 0.35 a), 0 <= a <= 38.
// g fitted on 1/14.3 .. 1, absolute error 4.1e-16.
dk_real dk_norm_cdf(dk_real x)
{
	static const double g[22] = { 3.0387458554241646392e-11, 0.13962979562046315333, 0.13962989291081441663,
		0.12252299770629704669, 0.088348886794010076569, 0.042921911887719729245, 0.0030484717079178085823,
		-0.045831313537817473801, 0.069560501957470831338, -0.38010466883757405952, 1.189137569768877927,
		-2.8352249326845137441, 5.5082129838852991707, -8.2392942724629789097, 9.1829891945373920464,
		-7.534804588334989668, 4.4835872155707197924, -1.8690222124690697822, 0.50440471689479245994,
		-0.070970495144256919324, 0.0003423888837522776005, 0.00091595531528653736116 };
	const dk_real a = dk_min(dk_abs(x), dk_set(38));
	const dk_real t = 1 / (1 + 0.35 * a);
	dk_real sum = dk_set(g[21]);
	for (int i = 20; i >= 0; --i) sum = sum * t + g[i];
	const dk_real tail = dk_exp(-0.5 * (a * a)) * sum;
	return dk_choose(x < 0, tail, 1 - tail);
}
