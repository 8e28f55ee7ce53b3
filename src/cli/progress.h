#pragma once
// Progress of a bank on the terminal: one line on standard error, only where that is a terminal.

// For dk_banks_order.progress; context is not used.
void dk_progress_print(void *context, int done, int total);
