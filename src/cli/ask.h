#pragma once
// The trace as a conversation in a terminal: one question or check at a time, and what each answer leaves.
#include "cli/arguments.h"

// Reads answers from standard input until it ends or 'q'. Returns the exit code.
int dk_ask_run(dk_arguments *arguments);
