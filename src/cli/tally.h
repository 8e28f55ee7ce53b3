#pragma once
// A hundred engines acting like this one, as whole counts: the ranking of a trace answer for people.
#include <jansson.h>
#include <stdbool.h>

enum
{
	DK_TALLY_MOST = 256
};

typedef struct dk_tally_line
{
	const char *id, *name; // texts of the answer; id NULL: not a cause (the last two, and the others)
	double share;
	int count;
	int joined; // how many small lines this one stands for; 0: itself
} dk_tally_line;

/// The lines as shown: by count, those below 2 joined into one, then 'nothing broken' and 'something we don't
/// know', which have a stroke each at least.
///
/// Given:   answer, the trace answer; its texts must outlive the lines
/// Returns: the number of lines; their counts sum to 100
int dk_tally_make(const json_t *answer, dk_tally_line line[DK_TALLY_MOST]);
