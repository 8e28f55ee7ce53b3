#include "catalog/catalog.h"
#include "base/file.h"
#include "base/hash.h"
#include "base/text.h"
#include "catalog/loading.h"
#include "engine/tables.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum
{
	MOST_ROWS = 2000
};

// ---- rows of all files of a kind, in the order of their ids

static dk_status add_rows(dk_loading *l, dk_kind kind, const dk_node *root)
{
	dk_rows *rows = &l->rows[kind];
	if (root->kind == DK_NODE_MAP && !root->count) return DK_OK;
	if (root->kind != DK_NODE_LIST)
		return dk_load_wrong(
		    l, root, NULL, DK_BAD_INPUT, "the file must be a list of rows, each starting with '- id:'");
	if (rows->count + root->count > MOST_ROWS)
		return dk_load_wrong(l, root, NULL, DK_TOO_LARGE, "there are more than %d rows of a kind", MOST_ROWS);
	const size_t count = (size_t)rows->count + (size_t)root->count + 1;
	const dk_node **row = dk_arena_array(l->arena, count, sizeof *row);
	if (rows->count) memcpy(row, rows->row, (size_t)rows->count * sizeof *row);
	for (int i = 0; i < root->count; ++i)
	{
		const char *id = NULL;
		DK_TRY(dk_node_text(root->item[i], "id", &id, l->error));
		if (!dk_text_is_id(id))
			return dk_load_wrong(l, dk_node_get(root->item[i], "id"), "id", DK_BAD_INPUT,
			    "'%.40s' cannot be an id: use lower-case letters, digits, '_' and '.'", id);
		row[rows->count + i] = root->item[i];
	}
	rows->row = row;
	rows->count += root->count;
	return DK_OK;
}

static int by_id(const void *a, const void *b)
{
	const dk_node *const *x = a, *const *y = b;
	const int order = strcmp(dk_node_get(*x, "id")->text, dk_node_get(*y, "id")->text);
	if (order) return order;
	return (*x)->line < (*y)->line ? -1 : 1;
}

static dk_status order_rows(dk_loading *l, dk_rows *rows)
{
	if (rows->count) qsort(rows->row, (size_t)rows->count, sizeof *rows->row, by_id);
	rows->id = dk_arena_array(l->arena, (size_t)rows->count + 1, sizeof *rows->id);
	for (int i = 0; i < rows->count; ++i)
	{
		rows->id[i] = dk_node_get(rows->row[i], "id")->text;
		if (!i || strcmp(rows->id[i], rows->id[i - 1])) continue;
		dk_load_wrong(l, rows->row[i], "id", DK_BAD_INPUT, "the id '%s' stands twice", rows->id[i]);
		return dk_error_advice(
		    l->error, "the other is in %s, line %d", rows->row[i - 1]->file, rows->row[i - 1]->line);
	}
	return DK_OK;
}

// ---- kind by kind, each after what it refers to

#define LOAD_ALL(l, KIND, type, field, load)                                                                 \
	do                                                                                                       \
	{                                                                                                        \
		const dk_rows *rows_ = &(l)->rows[KIND];                                                             \
		type *list_ = dk_arena_array((l)->arena, (size_t)rows_->count + 1, sizeof *list_);                   \
		for (int i_ = 0; i_ < rows_->count; ++i_) DK_TRY(load(l, rows_->row[i_], &list_[i_]));               \
		(l)->catalog->field = list_;                                                                         \
		(l)->catalog->field##_count = rows_->count;                                                          \
	} while (0)

static dk_status load_faults(dk_loading *l)
{
	const dk_rows *rows = &l->rows[DK_KIND_FAULT];
	dk_fault *list = dk_arena_array(l->arena, (size_t)rows->count + 1, sizeof *list);
	for (int i = 0; i < rows->count; ++i) DK_TRY(dk_fault_load(l, rows->row[i], &list[i]));
	dk_fault_shares(list, rows->count);
	l->catalog->fault = list;
	l->catalog->fault_count = rows->count;
	return DK_OK;
}

// the three signs that the program itself knows by name: where he is, since when, after what
static int known_sign(const dk_loading *l, const char *id)
{
	const dk_rows *rows = &l->rows[DK_KIND_SIGN];
	return dk_text_index(id, rows->id, rows->count);
}

static uint64_t hash_node(uint64_t hash, const dk_node *node)
{
	hash = dk_hash_int(hash, node->kind);
	if (node->kind == DK_NODE_TEXT) return dk_hash_text(hash, node->text);
	hash = dk_hash_int(hash, node->count);
	for (int i = 0; i < node->count; ++i)
	{
		if (node->kind == DK_NODE_MAP) hash = dk_hash_text(hash, node->key[i]->text);
		hash = hash_node(hash, node->item[i]);
	}
	return hash;
}

static uint64_t hash_rows(const dk_loading *l)
{
	uint64_t hash = DK_HASH_START;
	for (int kind = 0; kind < DK_KIND_COUNT; ++kind)
	{
		hash = dk_hash_int(hash, l->rows[kind].count);
		for (int i = 0; i < l->rows[kind].count; ++i) hash = hash_node(hash, l->rows[kind].row[i]);
	}
	return hash;
}

static uint64_t hash_faults(const dk_catalog *catalog)
{
	uint64_t hash = DK_HASH_START;
	for (int i = 0; i < catalog->fault_count; ++i)
	{
		const dk_fault *fault = &catalog->fault[i];
		hash = dk_hash_int(dk_hash_text(hash, fault->id), fault->cylinders);
		for (int k = 0; k < fault->move_count; ++k)
		{
			const dk_move *move = &fault->move[k];
			hash = dk_hash_int(dk_hash_int(dk_hash_text(hash, move->parameter), move->how), move->curve);
			hash = dk_hash_double(hash, move->to);
		}
	}
	return hash;
}

static dk_status load_kinds(dk_loading *l)
{
	for (int kind = 0; kind < DK_KIND_COUNT; ++kind) DK_TRY(order_rows(l, &l->rows[kind]));
	l->catalog->where = known_sign(l, "where");
	l->since = l->catalog->since = known_sign(l, "since");
	l->after = l->catalog->after = known_sign(l, "after");
	LOAD_ALL(l, DK_KIND_REPAIR, dk_repair, repair, dk_repair_load);
	LOAD_ALL(l, DK_KIND_SIGN, dk_sign, sign, dk_sign_load);
	LOAD_ALL(l, DK_KIND_GATE, dk_gate, gate, dk_gate_load);
	LOAD_ALL(l, DK_KIND_CHECK, dk_check, check, dk_check_load);
	LOAD_ALL(l, DK_KIND_RED_RULE, dk_red_rule, red_rule, dk_red_rule_load);
	LOAD_ALL(l, DK_KIND_LIMIT, dk_limit, limit, dk_limit_load);
	DK_TRY(load_faults(l));
	l->catalog->hash = hash_rows(l);
	l->catalog->fault_hash = hash_faults(l->catalog);
	return DK_OK;
}

// ---- from a folder, or from texts

static const struct
{
	dk_kind kind;
	const char *name;
	bool folder;
} places[] = {
	{ DK_KIND_FAULT, "faults", true },
	{ DK_KIND_SIGN, "signs", true },
	{ DK_KIND_CHECK, "checks", true },
	{ DK_KIND_REPAIR, "repairs.yaml", false },
	{ DK_KIND_GATE, "gates.yaml", false },
	{ DK_KIND_RED_RULE, "red_rules.yaml", false },
	{ DK_KIND_LIMIT, "limits.yaml", false },
};

static dk_status read_file(dk_loading *l, dk_kind kind, const char *path)
{
	const dk_node *root = NULL;
	DK_TRY(dk_yaml_read(path, l->arena, &root, l->error));
	return add_rows(l, kind, root);
}

dk_status dk_catalog_load(const char *folder, dk_arena *arena, const dk_catalog **catalog, dk_error *error)
{
	dk_loading l = { .arena = arena, .error = error, .catalog = dk_arena_take(arena, sizeof(dk_catalog)) };
	for (size_t i = 0; i < sizeof places / sizeof places[0]; ++i)
	{
		char *path = dk_arena_format(arena, "%s/%s", folder, places[i].name);
		if (!places[i].folder)
		{
			DK_TRY(read_file(&l, places[i].kind, path));
			continue;
		}
		char **paths = NULL;
		int count = 0;
		DK_TRY(dk_file_list(path, ".yaml", arena, &paths, &count, error));
		for (int k = 0; k < count; ++k) DK_TRY(read_file(&l, places[i].kind, paths[k]));
	}
	DK_TRY(load_kinds(&l));
	*catalog = l.catalog;
	return DK_OK;
}

dk_status dk_catalog_parse(
    const dk_catalog_texts *texts, dk_arena *arena, const dk_catalog **catalog, dk_error *error)
{
	dk_loading l = { .arena = arena, .error = error, .catalog = dk_arena_take(arena, sizeof(dk_catalog)) };
	const char *const text[DK_KIND_COUNT] = { texts->faults, texts->signs, texts->checks, texts->repairs,
		texts->gates, texts->red_rules, texts->limits };
	for (int kind = 0; kind < DK_KIND_COUNT; ++kind)
	{
		const dk_node *root = NULL;
		if (!text[kind]) continue;
		DK_TRY(dk_yaml_parse(text[kind], strlen(text[kind]), places[kind].name, arena, &root, error));
		DK_TRY(add_rows(&l, (dk_kind)kind, root));
	}
	DK_TRY(load_kinds(&l));
	*catalog = l.catalog;
	return DK_OK;
}

// ---- by id

#define FIND(name, field)                                                                                    \
	int name(const dk_catalog *catalog, const char *id)                                                      \
	{                                                                                                        \
		for (int i = 0; i < catalog->field##_count; ++i)                                                     \
			if (!strcmp(id, catalog->field[i].id)) return i;                                                 \
		return -1;                                                                                           \
	}

FIND(dk_fault_find, fault)
FIND(dk_sign_find, sign)
FIND(dk_check_find, check)
FIND(dk_repair_find, repair)
FIND(dk_gate_find, gate)
FIND(dk_red_rule_find, red_rule)
FIND(dk_limit_find, limit)
