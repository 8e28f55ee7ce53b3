#pragma once
// Keeps the banks of the page's traces: builds them in a thread of its own, says how far it is, and hands a
// finished one out again and again. One build at a time; asking for another condition stops the one that is
// going on.
#include "app/banks.h"

typedef struct dk_keeper dk_keeper;

typedef enum dk_keeper_state
{
	DK_KEEPER_NONE,
	DK_KEEPER_BUILDING,
	DK_KEEPER_READY,
	DK_KEEPER_STOPPED,
	DK_KEEPER_FAILED
} dk_keeper_state;
extern const char *const dk_keeper_state_name[5];

typedef struct dk_keeper_progress
{
	dk_keeper_state state;
	int done, total;
	double seconds_left;      // NAN: not known yet
	char what[DK_ERROR_TEXT]; // why it failed
} dk_keeper_progress;

// A keeper for one boat, which must outlive it. NULL = no memory.
dk_keeper *dk_keeper_open(const dk_boat *boat, const dk_banks_order *order);
// Stops a build and waits for it.
void dk_keeper_close(dk_keeper *keeper);

// The banks of a condition, or NULL: then they are being built (unless `start` is false). They stay good
// until dk_keeper_close.
dk_banks *dk_keeper_banks(dk_keeper *keeper, const dk_said *said, bool start);

void dk_keeper_progress_of(dk_keeper *keeper, dk_keeper_progress *out);
void dk_keeper_stop(dk_keeper *keeper);
