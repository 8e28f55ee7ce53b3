#pragma once
// Inside of the catalogue's loader: what its parts share while rows are read. Not for other rooms.
#include "base/yaml.h"
#include "catalog/catalog.h"

typedef enum dk_kind
{
	DK_KIND_FAULT,
	DK_KIND_SIGN,
	DK_KIND_CHECK,
	DK_KIND_REPAIR,
	DK_KIND_GATE,
	DK_KIND_RED_RULE,
	DK_KIND_LIMIT,
	DK_KIND_COUNT
} dk_kind;

// The rows of one kind, in the order of their ids, ids unique.
typedef struct dk_rows
{
	const dk_node **row;
	const char **id;
	int count;
} dk_rows;

typedef struct dk_loading
{
	dk_arena *arena;
	dk_error *error;
	dk_rows rows[DK_KIND_COUNT];
	dk_catalog *catalog; // filled kind by kind
	int since, after;    // signs, -1 when absent
} dk_loading;

// One row each; the kinds that a row refers to must be read before (their ids suffice where only an index
// is kept).
dk_status dk_fault_load(dk_loading *l, const dk_node *row, dk_fault *fault);
dk_status dk_sign_load(dk_loading *l, const dk_node *row, dk_sign *sign);
dk_status dk_check_load(dk_loading *l, const dk_node *row, dk_check *check);
dk_status dk_repair_load(dk_loading *l, const dk_node *row, dk_repair *repair);
dk_status dk_gate_load(dk_loading *l, const dk_node *row, dk_gate *gate);
dk_status dk_red_rule_load(dk_loading *l, const dk_node *row, dk_red_rule *rule);
dk_status dk_limit_load(dk_loading *l, const dk_node *row, dk_limit *limit);

// Shares of each system brought to sum 1. Before it `share` is what the row says: a rate is held as a
// negative number.
void dk_fault_shares(dk_fault *fault, int count);

// ---- pieces of rows

dk_mark dk_load_mark(const dk_node *node);

// An error at a node: status, field, and the clause in printf form.
dk_status dk_load_wrong(dk_loading *l, const dk_node *node, const char *field, dk_status status,
    const char *what, ...) __attribute__((format(printf, 5, 6)));

// The id of another row in `field`, as an index into the kind; a wrong one names the nearest.
dk_status dk_load_reference(dk_loading *l, const dk_node *node, const char *field, dk_kind kind, int *index);
dk_status dk_load_references(
    dk_loading *l, const dk_node *map, const char *field, dk_kind kind, const int **index, int *count);

dk_status dk_load_texts(dk_loading *l, const dk_node *map, const char *field, dk_texts *texts);
dk_status dk_load_points(
    dk_loading *l, const dk_node *map, const char *field, unsigned otherwise, unsigned *points);
dk_status dk_load_point(dk_loading *l, const dk_node *map, const char *field, int otherwise, int *point);
dk_status dk_load_when(dk_loading *l, const dk_node *map, const char *field, dk_whens *whens);

// A reading or parameter id that must exist; gives the id and its unit.
dk_status dk_load_reading(dk_loading *l, const dk_node *map, const char *field, const char **id, int *index);
dk_status dk_load_parameter(
    dk_loading *l, const dk_node *map, const char *field, const char **id, int *index);

// A difference in `unit`: 5 K is 5 degC here.
dk_status dk_load_difference(
    dk_loading *l, const dk_node *map, const char *field, const char *unit, double *value);

// answers of a row; and the whole look: kind, relation, answers, from, miss, false, source
dk_status dk_load_answers(
    dk_loading *l, const dk_node *map, bool need_normal, const dk_answer **answer, int *count);
dk_status dk_load_look(dk_loading *l, const dk_node *row, dk_look *look);

// A list of {sign, answer, points, when}.
dk_status dk_load_conditions(
    dk_loading *l, const dk_node *map, const char *field, const dk_condition_row **condition, int *count);
