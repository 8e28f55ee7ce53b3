#pragma once
// Small things with text: the nearest name, numbers for people, tests of form.
#include <stdbool.h>
#include <stddef.h>

// Least number of letters put in, left out, changed or swapped with a neighbour between two words.
// Words over 63 letters count as far apart (returns 64).
int dk_text_distance(const char *a, const char *b);

// Index of the nearest name, for "did you mean": -1 when none is within a third of the word's length (at
// most 3) and none holds it whole, or when the word has under three letters. Ties go to the first.
int dk_text_nearest(const char *word, const char *const *names, int count);

// Index of the name that equals the word, -1 when there is none.
int dk_text_index(const char *word, const char *const *names, int count);

// A number with `digits` significant digits, no exponent between 1e-4 and 1e7, no trailing zeros.
// Non-finite gives "unknown". Writes at most size bytes; returns `text`.
char *dk_text_number(double value, int digits, char *text, size_t size);

// An id: lower-case letters, digits, '_' and '.', 1 to 63 long, starting with a letter, no two dots together.
bool dk_text_is_id(const char *text);

// Valid UTF-8 with no control characters but tab, line feed, and carriage return before line feed.
// Gives the line and column (both from 1) of the first fault; these may be NULL. A zero byte is a fault.
bool dk_text_is_clean(const char *text, size_t size, int *line, int *column);

// Puts a question mark in the place of each byte that is no clean UTF-8 text or controls a terminal (line
// ends too).
void dk_text_tame(char *text);
