#pragma once
// Whole files in and out. Reading is bounded; writing goes to a temporary name beside the target, is synced
// and then renamed, so that a file is there whole or not at all.
#include "base/arena.h"
#include "base/error.h"
#include <stddef.h>

// Reads a whole regular file of at most `limit` bytes into the arena, with a zero after the end.
// Errors: DK_NO_FILE, DK_NO_PERMISSION, DK_TOO_LARGE, DK_FILE_FAILED.
dk_status dk_file_read(
    const char *path, size_t limit, dk_arena *arena, char **bytes, size_t *size, dk_error *error);

// Writes a file in one go (temporary name, fsync, rename, fsync of the folder).
// Errors: DK_NO_PERMISSION, DK_NO_FILE (no such folder), DK_FILE_FAILED. On an error nothing is left behind.
dk_status dk_file_write(const char *path, const void *bytes, size_t size, dk_error *error);

// Names (with the folder) of the files in a folder that end in `suffix`, in byte order, in the arena. Names
// that start with a dot are left out. At most 1000. Errors as dk_file_read.
dk_status dk_file_list(
    const char *folder, const char *suffix, dk_arena *arena, char ***paths, int *count, dk_error *error);
