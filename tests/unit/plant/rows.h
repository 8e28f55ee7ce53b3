#pragma once
// Shared by the tests of the plant rooms: default defs at width 1, and a table check that prints every
// row that fails and not only the first.
#include "engine/defs.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#define ROWS_FIELD(system, name, unit, low, def, ...) .name = def,
#define COUNT(array) ((int)(sizeof(array) / sizeof(array)[0]))

// One value against one source. `within` has a reason: half the last printed digit unless it says more.
typedef struct row
{
	const char *what;
	double got, want, within;
	const char *source;
} row;

static inline int rows_bad(const row *rows, int count)
{
	int bad = 0;
	for (int i = 0; i < count; ++i)
	{
		if (fabs(rows[i].got - rows[i].want) <= rows[i].within) continue;
		fprintf(stderr, "%s: want %.6g within %.2g, got %.6g (%s)\n", rows[i].what, rows[i].want,
		    rows[i].within, rows[i].got, rows[i].source);
		++bad;
	}
	return bad;
}
