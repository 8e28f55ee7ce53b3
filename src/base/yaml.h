#pragma once
// Text files people write, as a tree of texts, lists and maps that knows its lines. YAML is read by libyaml
// behind guards: UTF-8 and no control characters, no directives, one document, no anchors, aliases or tags,
// no duplicate keys, keys are plain texts, bounded size, depth and count. Every scalar stays text: its
// meaning (number, unit, id) is decided by whoever reads the field. JSON (json.h) is turned into the same
// tree.
#include "base/arena.h"
#include "base/error.h"
#include <stdbool.h>
#include <stddef.h>

enum
{
	DK_YAML_BYTES = 1 << 20, // largest text taken
	DK_YAML_DEPTH = 16,      // deepest nesting
	DK_YAML_NODES = 100000,  // most nodes in all
	DK_YAML_SCALAR = 8192    // longest single text
};

typedef enum dk_node_kind
{
	DK_NODE_TEXT,
	DK_NODE_LIST,
	DK_NODE_MAP
} dk_node_kind;

// One node. Lives in the arena of the reader and is never changed.
typedef struct dk_node
{
	dk_node_kind kind;
	const char *text;      // text: the scalar; NULL otherwise
	bool quoted;           // text: written in quotes (or a JSON string); an unquoted "" or "null" is empty
	int count;             // list, map: how many
	struct dk_node **item; // list, map: the values
	struct dk_node **key;  // map: the keys, as text nodes
	const char *file;      // shared by all nodes of a file
	int line, column;      // from 1; 0 when unknown (JSON)
} dk_node;

// Reads a YAML text. `file` is the name used in errors. An empty text gives a map with nothing in it.
// Errors: DK_BAD_INPUT, DK_TOO_LARGE with line and column. Memory from the arena.
dk_status dk_yaml_parse(
    const char *text, size_t size, const char *file, dk_arena *arena, const dk_node **root, dk_error *error);

// Reads a YAML file (dk_file_read with DK_YAML_BYTES).
dk_status dk_yaml_read(const char *path, dk_arena *arena, const dk_node **root, dk_error *error);

// ---- looking into a tree; no function here fails on a NULL node: it is as if the key were absent

// Value of a key, NULL when it is absent, or when the node is no map.
const dk_node *dk_node_get(const dk_node *map, const char *key);

// True for an unquoted empty text, `null` or `~`.
bool dk_node_is_empty(const dk_node *node);

// Refuses keys that are not in the list: names the key, its place, and the nearest name. Refuses a node
// that is no map.
dk_status dk_node_only(
    const dk_node *map, const char *what, const char *const *keys, int count, dk_error *error);

// Puts file, line and column of the node on the error, and the field's name unless one is there already.
// Returns its status.
dk_status dk_node_blame(const dk_node *node, const char *field, dk_error *error);

// ---- typed reads of a map's value. `field` is the key. An absent key: DK_MISSING, or for the _or forms
// the default. Wrong ---- kind, form or range: an error with place, field, unit and range. Results are
// written only on DK_OK.

// A text that is not empty. Lives as long as the tree.
dk_status dk_node_text(const dk_node *map, const char *field, const char **text, dk_error *error);
dk_status dk_node_text_or(
    const dk_node *map, const char *field, const char *otherwise, const char **text, dk_error *error);

// A number in `unit` within low..high; the text may carry any unit of the same quantity, a bare number is
// in `unit`.
dk_status dk_node_number(const dk_node *map, const char *field, const char *unit, double low, double high,
    double *value, dk_error *error);
dk_status dk_node_number_or(const dk_node *map, const char *field, const char *unit, double low, double high,
    double otherwise, double *value, dk_error *error);

// true or false, yes or no.
dk_status dk_node_flag_or(
    const dk_node *map, const char *field, bool otherwise, bool *value, dk_error *error);

// One word of a list, as its index; `what` names the kind of word.
dk_status dk_node_word(
    const dk_node *map, const char *field, const char *const *words, int count, int *index, dk_error *error);

// A list of texts (a single text is a list of one); absent = none. Array in the arena.
dk_status dk_node_texts(const dk_node *map, const char *field, dk_arena *arena, const char *const **texts,
    int *count, dk_error *error);

// A list (of anything) of at least `least` items; absent counts as an empty list.
dk_status dk_node_list(
    const dk_node *map, const char *field, int least, const dk_node **list, dk_error *error);
