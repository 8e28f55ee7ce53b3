#pragma once
// JSON in one canonical form: keys sorted, six significant digits, no spaces, null for what does not
// happen; so that the command's bytes and the page's are the same. A thin layer over jansson.
#include "base/arena.h"
#include "base/error.h"
#include "base/yaml.h"
#include <jansson.h>

// A number, or null when it is not finite.
json_t *dk_json_number(double value);

// A number, or null when it is not finite or has reached its cap (a reading that does not happen holds its
// cap).
json_t *dk_json_capped(double value, double cap);

// A text, or null for NULL. Text that is not UTF-8 gives null.
json_t *dk_json_text(const char *text);

// A list of texts.
json_t *dk_json_texts(const char *const *texts, int count);

// A hash as 16 hex digits.
json_t *dk_json_hash(unsigned long long hash);

// {status, message, field, file, line, column, unit, low, high}: an error as the page and --json show it.
json_t *dk_json_error(const dk_error *error);

// Canonical bytes, in memory the caller frees with free(); one line, no line end. NULL when the value
// cannot be written.
char *dk_json_dump(const json_t *value);

// The same for people, two spaces a level.
char *dk_json_dump_pretty(const json_t *value);

// Reads a JSON text of at most DK_YAML_BYTES into the tree of yaml.h: numbers, true, false and null become
// unquoted texts. The same limits of depth, count and length hold; duplicate keys are refused. Errors carry
// line and column.
dk_status dk_json_parse(
    const char *text, size_t size, const char *name, dk_arena *arena, const dk_node **root, dk_error *error);
