#pragma once
// The bank on disk: a cache, never more. It is verified whole when it is read, and whatever is wrong with
// it the answer is the same: build it anew.
//
// Form, little-endian: header {magic, format version, hash, seed, condition, counts, sizes, CRC}; then blocks
// {tag, length, bytes, CRC}: the healthy engine, each stratum, groups.
#include "population/bank.h"

// What was found where a bank should be.
typedef enum dk_bank_finding
{
	DK_BANK_GOOD,
	DK_BANK_ABSENT, // no such file, or it can't be read
	DK_BANK_STALE,  // of another record, catalogue, condition, model or format
	DK_BANK_DAMAGED // cut short or changed
} dk_bank_finding;

/// Writes a bank: temporary name beside `path`, fsync, rename, fsync of the folder.
/// Returns: DK_OK, DK_NO_MEMORY, or what dk_file_write gives.
dk_status dk_bank_save(const dk_bank *bank, const char *path, dk_error *error);

/// Reads a bank and checks every part of it. Sizes follow from the request, never from the file.
///
/// Returns: DK_OK and a new bank in `out`; DK_BAD_FILE with a sentence that says 'stale' or 'damaged';
///          DK_NO_MEMORY; or what dk_file_read gives. `finding` tells which (NULL allowed).
dk_status dk_bank_load(const dk_bank_request *request, const char *path, dk_bank **out,
    dk_bank_finding *finding, dk_error *error);

// What dk_bank_open did.
typedef struct dk_bank_kept
{
	dk_bank_finding finding; // of the file in the folder; anything but good: the bank was built
	bool saved;              // the bank that was built is in the folder now
	char path[512];          // the file; "" without a folder
} dk_bank_kept;

/// Takes a bank from the cache folder, or builds and keeps it. One file for each label, condition, scales,
/// faults left out, spreads, seed and number of severities; when record, tables, catalogue or model
/// changed, or it is damaged, it is replaced. A folder that can't be written is no error.
///
/// Given:   folder      made when missing (its parent must be there); NULL = no cache
///          label       short name of the engine for the file name; what is not a-z 0-9 becomes _
///          kept        what was done; NULL allowed
/// Returns: as dk_bank_build
dk_status dk_bank_open(const dk_bank_request *request, const char *folder, const char *label, dk_bank **out,
    dk_bank_kept *kept, dk_error *error);
