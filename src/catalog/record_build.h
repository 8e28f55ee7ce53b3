#pragma once
// Inside of the record reader: what its two halves share. Not for other rooms.
#include "catalog/record.h"

typedef struct dk_record_building
{
	dk_arena *arena;
	dk_error *error;
	const char *file_source; // `source:` of the file, NULL when absent
	dk_record record;
	double fuel_at_rated_m3_s; // 0 when not given
	double pitch_m;            // 0 when not given
} dk_record_building;

// Fills what the file leaves out: defaults by type of injection, by size, by what is fitted; notes what is
// missing.
void dk_record_complete(dk_record_building *b);

// Marks a parameter as derived from others: the value, and how in words.
void dk_record_derive(dk_record_building *b, int param, double value, const char *how);

// The value of a field (its index in dk_record_fields) as one would write it, and the unit with it.
double dk_record_written(int field, const double *param, const char **unit);

// Figures that map onto no parameter.
typedef struct dk_record_plain
{
	const char *section, *name, *unit; // unit it is written in
	const char *si;                    // unit it is held in
	size_t offset;                     // of the double in dk_record_building
	double low, high;                  // in `unit`
	const char *about, *costs;
	bool plate;
} dk_record_plain;
extern const dk_record_plain dk_record_plains[];
extern const int dk_record_plain_count;
