#pragma once
// What went wrong, in parts, so that one clear sentence can be made of it wherever it is shown: what, the
// field, the unit, the range that is allowed, file, line and column, and what to do. No globals: the
// caller owns the struct. Every function that takes a `dk_error *` accepts NULL (then only the status tells).
#include "base/status.h"
#include <stdbool.h>
#include <stddef.h>

typedef struct dk_error
{
	dk_status status;
	char what[240];   // a clause, no full stop: "the bore is 840 mm"
	char file[160];   // "" = not from a file
	int line, column; // from 1; 0 = unknown
	char field[96];   // the field, sign, switch or key at fault; "" = none
	char unit[24];    // unit of low and high
	double low, high; // allowed range, used when has_range
	bool has_range;
	char advice[240]; // what to do, a clause: "did you mean 'crank.turns'?"; "" = none
} dk_error;

// Longest sentence that dk_error_text makes, with its end.
enum
{
	DK_ERROR_TEXT = 900
};

// Fills the error: status and the clause (printf form); everything else is cleared. Returns status.
dk_status dk_error_set(dk_error *error, dk_status status, const char *what, ...)
    __attribute__((format(printf, 3, 4)));

// Add to an error that was set. Each returns the error's status, so `return dk_error_range(...)` reads well;
// with a NULL error they return DK_BAD_INPUT.
dk_status dk_error_field(dk_error *error, const char *field);
dk_status dk_error_range(dk_error *error, double low, double high, const char *unit);
dk_status dk_error_at(dk_error *error, const char *file, int line, int column);
dk_status dk_error_advice(dk_error *error, const char *advice, ...) __attribute__((format(printf, 2, 3)));

// Adds "did you mean 'x'?" when one of the names is near to the word; nothing otherwise.
dk_status dk_error_nearest(dk_error *error, const char *word, const char *const *names, int count);

// The error as one sentence: "FILE:LINE:COLUMN: FIELD: WHAT; allowed LOW to HIGH UNIT; ADVICE". Writes at
// most `size` bytes, ends with a zero, replaces control characters. Returns `text`.
char *dk_error_text(const dk_error *error, char *text, size_t size);
