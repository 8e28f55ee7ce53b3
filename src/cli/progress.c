// One line that is written over itself.
#include "cli/progress.h"
#include <stdio.h>
#include <unistd.h>

void dk_progress_print(void *context, int done, int total)
{
	(void)context;
	if (!isatty(STDERR_FILENO)) return;
	fprintf(stderr, "\r%d of %d virtual engines%s", done, total, done >= total ? "\n" : "");
	fflush(stderr);
}
