#pragma once
// The switches that all physics commands share, as texts from an edge, and what they mean.
#include "app/boat.h"
#include "engine/batch.h"
#include "population/breaking.h"
#include <jansson.h>

enum
{
	DK_SWITCH_MOST = 64
};

// A repeatable switch.
typedef struct dk_switch_list
{
	const char *text[DK_SWITCH_MOST];
	int count;
} dk_switch_list;

// What the edges hand in. NULL = not given.
typedef struct dk_switches
{
	const char *data_folder;  // never NULL
	const char *cache_folder; // where banks are kept; NULL = nowhere
	const char *engine;       // NULL = three_indirect
	const char *point, *rpm, *lever, *air, *sea, *pressure, *humidity;
	dk_switch_list fault, set;                 // ID=S[:k], PARAM=VALUE
	dk_switch_list sign, reading, done, tried; // trace
	dk_switch_list prior, without, attempt, can_not, passed, tool;
	const char *case_file, *score_folder;
	bool flat_priors, rebuild;
	const char *seed, *threads, *lanes;
	const char *severities; // engines of a stratum; 64 when not given
} dk_switches;

// Numbers of the common switches, checked against their ranges; defaults where not given.
typedef struct dk_numbers
{
	uint64_t seed;
	int threads, lanes, severities;
} dk_numbers;
dk_status dk_switches_numbers(const dk_switches *switches, dk_numbers *out, dk_error *error);

// The condition, defaults of dk_default_condition() where nothing is said.
dk_status dk_switches_condition(const dk_switches *switches, dk_condition *out, dk_error *error);

// The faults of --fault, in the order given.
dk_status dk_switches_faults(
    const dk_switches *switches, const dk_boat *boat, dk_broken *broken, int *count, dk_error *error);

// The operating point, `fallback` when not given.
dk_status dk_switches_point(const dk_switches *switches, int fallback, int *point, dk_error *error);

// The lever of a point: at cruise and stopped_hot --lever, --rpm (a healthy engine turns it), or the cruise
// lever of the healthy engine; the other points set their own, and refuse both switches.
dk_status dk_switches_lever(const dk_switches *switches, const dk_boat *boat, const dk_condition *condition,
    int point, double *lever, dk_error *error);

// Opens the boat that --engine and --set name.
dk_status dk_switches_boat(const dk_switches *switches, dk_boat **boat, dk_error *error);

// The condition and the faults as every answer shows them.
json_t *dk_json_condition(const dk_condition *condition);
json_t *dk_json_broken(const dk_boat *boat, const dk_broken *broken, int count);
