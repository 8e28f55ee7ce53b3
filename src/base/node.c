// Looking into the tree of yaml.h: lookups and typed reads.
#include "base/text.h"
#include "base/units.h"
#include "base/yaml.h"
#include <stdio.h>
#include <string.h>

const dk_node *dk_node_get(const dk_node *map, const char *key)
{
	if (!map || map->kind != DK_NODE_MAP) return NULL;
	for (int i = 0; i < map->count; ++i)
		if (!strcmp(map->key[i]->text, key)) return map->item[i];
	return NULL;
}

bool dk_node_is_empty(const dk_node *node)
{
	if (!node || node->kind != DK_NODE_TEXT || node->quoted) return false;
	return !*node->text || !strcmp(node->text, "null") || !strcmp(node->text, "~");
}

dk_status dk_node_blame(const dk_node *node, const char *field, dk_error *error)
{
	if (!error) return DK_BAD_INPUT;
	if (node && node->file) dk_error_at(error, node->file, node->line, node->column);
	if (field && !error->field[0]) dk_error_field(error, field);
	return error->status;
}

// set, blame, return the status
static dk_status wrong(
    const dk_node *node, const char *field, dk_status status, const char *what, dk_error *error)
{
	dk_error_set(error, status, "%s", what);
	dk_node_blame(node, field, error);
	return status;
}

static dk_status absent(const dk_node *map, const char *field, dk_error *error)
{
	return wrong(map, field, DK_MISSING, "this is missing", error);
}

// the allowed names in a row, for an error
static void name_all(const char *const *names, int count, char *text, size_t size)
{
	size_t n = 0;
	for (int i = 0; i < count && n < size; ++i)
	{
		const int put = snprintf(text + n, size - n, "%s%s", i ? ", " : "", names[i]);
		if (put < 0) break;
		n += (size_t)put;
	}
}

dk_status dk_node_only(
    const dk_node *map, const char *what, const char *const *keys, int count, dk_error *error)
{
	char line[200];
	if (!map || map->kind != DK_NODE_MAP)
	{
		snprintf(line, sizeof line, "%s must be a set of 'key: value' lines", what);
		return wrong(map, NULL, DK_BAD_INPUT, line, error);
	}
	for (int i = 0; i < map->count; ++i)
	{
		const char *key = map->key[i]->text;
		if (dk_text_index(key, keys, count) >= 0) continue;
		dk_error_set(error, DK_UNKNOWN_NAME, "%s has no key '%.60s'", what, key);
		dk_node_blame(map->key[i], key, error);
		const int near = dk_text_nearest(key, keys, count);
		name_all(keys, count, line, sizeof line);
		if (near >= 0)
			dk_error_advice(error, "did you mean '%s'?", keys[near]);
		else
			dk_error_advice(error, "known keys: %s", line);
		return DK_UNKNOWN_NAME;
	}
	return DK_OK;
}

dk_status dk_node_text(const dk_node *map, const char *field, const char **text, dk_error *error)
{
	const dk_node *node = dk_node_get(map, field);
	if (!node || dk_node_is_empty(node)) return absent(node ? node : map, field, error);
	if (node->kind != DK_NODE_TEXT) return wrong(node, field, DK_BAD_INPUT, "a text is expected here", error);
	if (!*node->text) return wrong(node, field, DK_BAD_INPUT, "this text is empty", error);
	*text = node->text;
	return DK_OK;
}

dk_status dk_node_text_or(
    const dk_node *map, const char *field, const char *otherwise, const char **text, dk_error *error)
{
	const dk_node *node = dk_node_get(map, field);
	if (node && !dk_node_is_empty(node)) return dk_node_text(map, field, text, error);
	*text = otherwise;
	return DK_OK;
}

dk_status dk_node_number(const dk_node *map, const char *field, const char *unit, double low, double high,
    double *value, dk_error *error)
{
	const dk_node *node = dk_node_get(map, field);
	if (!node || dk_node_is_empty(node)) return absent(node ? node : map, field, error);
	if (node->kind != DK_NODE_TEXT)
		return wrong(node, field, DK_BAD_INPUT, "a number is expected here", error);
	const dk_status status =
	    dk_unit_read_range(node->text, unit, DK_BARE_TABLE, low, high, field, value, error);
	if (status != DK_OK) dk_node_blame(node, field, error);
	return status;
}

dk_status dk_node_number_or(const dk_node *map, const char *field, const char *unit, double low, double high,
    double otherwise, double *value, dk_error *error)
{
	const dk_node *node = dk_node_get(map, field);
	if (node && !dk_node_is_empty(node)) return dk_node_number(map, field, unit, low, high, value, error);
	*value = otherwise;
	return DK_OK;
}

dk_status dk_node_flag_or(const dk_node *map, const char *field, bool otherwise, bool *value, dk_error *error)
{
	static const char *const words[] = { "false", "no", "true", "yes" };
	const dk_node *node = dk_node_get(map, field);
	if (!node || dk_node_is_empty(node))
	{
		*value = otherwise;
		return DK_OK;
	}
	const int i = node->kind == DK_NODE_TEXT ? dk_text_index(node->text, words, 4) : -1;
	if (i < 0) return wrong(node, field, DK_BAD_INPUT, "true or false is expected here", error);
	*value = i >= 2;
	return DK_OK;
}

dk_status dk_node_word(
    const dk_node *map, const char *field, const char *const *words, int count, int *index, dk_error *error)
{
	const char *text = NULL;
	const dk_status status = dk_node_text(map, field, &text, error);
	if (status != DK_OK) return status;
	const int i = dk_text_index(text, words, count);
	if (i >= 0)
	{
		*index = i;
		return DK_OK;
	}
	char line[200] = "";
	name_all(words, count, line, sizeof line);
	dk_error_set(error, DK_UNKNOWN_NAME, "'%.60s' is not known here", text);
	dk_error_advice(error, "one of: %s", line);
	dk_error_nearest(error, text, words, count);
	dk_node_blame(dk_node_get(map, field), field, error);
	return DK_UNKNOWN_NAME;
}

dk_status dk_node_list(
    const dk_node *map, const char *field, int least, const dk_node **list, dk_error *error)
{
	static const dk_node nothing = { .kind = DK_NODE_LIST };
	const dk_node *node = dk_node_get(map, field);
	if (!node || dk_node_is_empty(node))
	{
		if (least > 0) return absent(node ? node : map, field, error);
		*list = &nothing;
		return DK_OK;
	}
	if (node->kind != DK_NODE_LIST) return wrong(node, field, DK_BAD_INPUT, "a list is expected here", error);
	if (node->count < least) return wrong(node, field, DK_MISSING, "this list is too short", error);
	*list = node;
	return DK_OK;
}

dk_status dk_node_texts(const dk_node *map, const char *field, dk_arena *arena, const char *const **texts,
    int *count, dk_error *error)
{
	const dk_node *node = dk_node_get(map, field);
	*texts = NULL;
	*count = 0;
	if (!node || dk_node_is_empty(node)) return DK_OK;
	const bool single = node->kind == DK_NODE_TEXT;
	if (node->kind == DK_NODE_MAP)
		return wrong(node, field, DK_BAD_INPUT, "a list of texts is expected here", error);
	const int n = single ? 1 : node->count;
	const char **list = dk_arena_array(arena, (size_t)n + 1, sizeof *list);
	for (int i = 0; i < n; ++i)
	{
		const dk_node *item = single ? node : node->item[i];
		if (item->kind != DK_NODE_TEXT || !*item->text)
			return wrong(item, field, DK_BAD_INPUT, "a text is expected here", error);
		list[i] = item->text;
	}
	*texts = list;
	*count = n;
	return DK_OK;
}
