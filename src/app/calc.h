#pragma once
// donkeyman calc: one equation of the model by name. Every row calls the very function that the model calls,
// at width 1; it is how a published number meets the code.
#include "base/error.h"
#include <jansson.h>

enum
{
	DK_CALC_ARGUMENTS = 16,
	DK_CALC_RESULTS = 12,
	DK_CALC_WORDS = 8
};

// One argument. A number in `unit` (people may write any unit of the same kind; a bare number is in `unit`),
// or one of a few words, whose value is then its place among them.
typedef struct dk_calc_argument
{
	const char *name, *unit;
	double fallback; // NAN: must be given; INFINITY: may be left out, and is INFINITY then
	double low, high;
	const char *word[DK_CALC_WORDS]; // first NULL: a number
} dk_calc_argument;

typedef struct dk_calc_result
{
	const char *name, *unit;
} dk_calc_result;

typedef struct dk_calc_row
{
	const char *name, *about;
	dk_calc_argument argument[DK_CALC_ARGUMENTS];
	dk_calc_result result[DK_CALC_RESULTS];
	// in[i]: value of argument[i] in its unit
	void (*work)(const double *in, double *out);
	// NULL: any arguments in their ranges go together; else a clause that says why these do not, or NULL
	const char *(*refuse)(const double *in);
} dk_calc_row;

// The rows of gas and cylinder, and those of the plant; ends with name NULL.
extern const dk_calc_row dk_calc_cylinder[], dk_calc_plant[];

/// Given:   name, text[count] "key=value"
/// Returns: DK_OK and *out {name, arguments {key: {value, unit}}, results {key: {value, unit}}}
dk_status dk_app_calc(const char *name, const char *const *text, int count, json_t **out, dk_error *error);

// Names, arguments, units, ranges and results of every row.
json_t *dk_app_calc_list(void);
