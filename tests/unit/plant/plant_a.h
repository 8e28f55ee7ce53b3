#pragma once
// What the tests of starting, oil and driveline share: defaults from the table, and one comparison.
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "engine/defs.h"

#if DK_LANES == 1
#define DEFAULT(system, name, unit, low, def, ...) .name = def,
static inline dk_starting_def default_starting(void)
{
	return (dk_starting_def){ DK_PARAMS_STARTING(DEFAULT) };
}
static inline dk_oil_def default_oil(void)
{
	return (dk_oil_def){ DK_PARAMS_OIL(DEFAULT) };
}
static inline dk_driveline_def default_driveline(void)
{
	return (dk_driveline_def){ DK_PARAMS_DRIVELINE(DEFAULT) };
}
#undef DEFAULT
#endif

static const double kRpm = 0.10471975511965977; // rad/s

// Fails with both numbers and where the wanted one is from.
static inline void expect_near(double got, double want, double within, const char *source)
{
	if (fabs(got - want) <= within) return;
	fail_msg("want %.9g within %.3g, got %.9g (%s)", want, within, got, source);
}

// Fails unless `more` is above `less` by at least `by`.
static inline void expect_above(double more, double less, double by, const char *what)
{
	if (more >= less + by) return;
	fail_msg("%s: %.9g is not above %.9g by %.3g", what, more, less, by);
}
