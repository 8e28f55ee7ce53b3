#pragma once
// A row by row comparison that prints every miss before the test fails. For num, gas and cycle.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

// after the headers it needs
#include <cmocka.h>

#define COUNT(a) ((int)(sizeof(a) / sizeof((a)[0])))

// 1 and a line when got is not within `within` of want (or not a number), else 0.
static inline int miss(const char *what, double got, double want, double within, const char *source)
{
	if (fabs(got - want) <= within) return 0;
	printf("%s: want %.8g within %.2g, got %.8g (%s)\n", what, want, within, got, source);
	return 1;
}

// The same relative to want.
static inline int miss_share(const char *what, double got, double want, double share, const char *source)
{
	return miss(what, got, want, share * fabs(want), source);
}

// 1 and a line when got is outside low..high.
static inline int miss_band(const char *what, double got, double low, double high, const char *source)
{
	if (got >= low && got <= high) return 0;
	printf("%s: want %.6g .. %.6g, got %.6g (%s)\n", what, low, high, got, source);
	return 1;
}
