#pragma once
// What every use case starts from: the catalogue, one engine record fitted to its plate, its faults joined to
// the parameters, and what of the catalogue makes sense on this boat. Read once, never changed, so that any
// number of answers may be made from it at once.
#include "base/arena.h"
#include "base/error.h"
#include "catalog/catalog.h"
#include "catalog/record.h"
#include "population/breaking.h"
#include "population/fit.h"

// Version of the physics: it changes with every equation or number that moves a reading, and banks of another
// version are built anew.
extern const char *const dk_model_version;

typedef struct dk_boat
{
	dk_arena *arena;    // owns everything below
	const char *engine; // FILE or NAME as it was asked for
	const dk_catalog *catalog;
	dk_record record;
	dk_fitted fitted;
	dk_breaking *breaking;
	bool *fault_possible;                    // [fault_count] the part is aboard
	bool *sign_possible;                     // [sign_count]
	bool *check_possible;                    // [check_count]
	unsigned char present[DK_READING_COUNT]; // 1 where this boat has the gauge, or a skipper's own means
} dk_boat;

/// Opens a boat.
///
/// Given:   data_folder  where data/ stands
///          engine       FILE or NAME of a record
///          set          [count] PARAM=VALUE texts
/// Returns: DK_OK and a new boat (dk_boat_close); or the loader's error.
dk_status dk_boat_open(const char *data_folder, const char *engine, const char *const *set, int count,
    dk_boat **out, dk_error *error);
void dk_boat_close(dk_boat *boat);
