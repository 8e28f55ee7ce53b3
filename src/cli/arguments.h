#pragma once
// The command line as texts: what was asked, which switches, in one struct.
#include "app/switches.h"

enum
{
	DK_WORDS_MOST = 64
};

typedef struct dk_arguments
{
	const char *command;             // NULL: none given
	const char *word[DK_WORDS_MOST]; // what is no switch
	int words;
	dk_switches switches;
	const char *port;
	bool json, help, list, ask, version;
} dk_arguments;

// Reads the command line. A switch that is not known, or lacks its value, is one sentence. argv stays the
// owner of the texts.
dk_status dk_arguments_read(int argc, char **argv, dk_arguments *out, dk_error *error);

// Help of one command by name, or of all.
void dk_arguments_help(const char *command);
