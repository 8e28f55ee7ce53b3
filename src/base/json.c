#include "base/json.h"
#include "base/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

json_t *dk_json_number(double value)
{
	if (!isfinite(value)) return json_null();
	return json_real(value == 0 ? 0 : value);
}

json_t *dk_json_capped(double value, double cap)
{
	return value >= cap ? json_null() : dk_json_number(value);
}

json_t *dk_json_text(const char *text)
{
	json_t *value = text ? json_string(text) : NULL;
	return value ? value : json_null();
}

json_t *dk_json_texts(const char *const *texts, int count)
{
	json_t *list = json_array();
	for (int i = 0; i < count; ++i) json_array_append_new(list, dk_json_text(texts[i]));
	return list;
}

json_t *dk_json_hash(unsigned long long hash)
{
	char text[20];
	snprintf(text, sizeof text, "%016llx", hash);
	return json_string(text);
}

json_t *dk_json_error(const dk_error *error)
{
	char text[DK_ERROR_TEXT];
	json_t *object = json_object();
	json_object_set_new(object, "message", dk_json_text(dk_error_text(error, text, sizeof text)));
	json_object_set_new(object, "status", dk_json_text(dk_status_text(error->status)));
	json_object_set_new(object, "field", dk_json_text(error->field[0] ? error->field : NULL));
	json_object_set_new(object, "file", dk_json_text(error->file[0] ? error->file : NULL));
	json_object_set_new(object, "line", error->line > 0 ? json_integer(error->line) : json_null());
	json_object_set_new(object, "column", error->line > 0 ? json_integer(error->column) : json_null());
	json_object_set_new(object, "unit", dk_json_text(error->has_range ? error->unit : NULL));
	json_object_set_new(object, "low", error->has_range ? dk_json_number(error->low) : json_null());
	json_object_set_new(object, "high", error->has_range ? dk_json_number(error->high) : json_null());
	return object;
}

enum
{
	CANONICAL = JSON_SORT_KEYS | JSON_REAL_PRECISION(6) | JSON_ENCODE_ANY
};

char *dk_json_dump(const json_t *value)
{
	return json_dumps(value, CANONICAL | JSON_COMPACT);
}

char *dk_json_dump_pretty(const json_t *value)
{
	return json_dumps(value, CANONICAL | JSON_INDENT(2));
}

typedef struct reader
{
	dk_arena *arena;
	const char *name;
	int nodes, depth;
	dk_error *error;
} reader;

static dk_status refuse(reader *r, dk_status status, const char *what)
{
	dk_error_set(r->error, status, "%s", what);
	dk_error_at(r->error, r->name, 0, 0);
	return status;
}

static dk_status convert(reader *r, const json_t *value, dk_node **out);

static dk_status convert_text(reader *r, const char *text, size_t length, bool quoted, dk_node *node)
{
	if (length > DK_YAML_SCALAR) return refuse(r, DK_TOO_LARGE, "a text is longer than 8192 bytes");
	if (!dk_text_is_clean(text, length, NULL, NULL))
		return refuse(r, DK_BAD_INPUT, "a text holds a control character");
	node->kind = DK_NODE_TEXT;
	node->text = dk_arena_bytes(r->arena, text, length);
	node->quoted = quoted;
	return DK_OK;
}

static dk_status convert_list(reader *r, const json_t *value, dk_node *node)
{
	const size_t n = json_array_size(value);
	node->kind = DK_NODE_LIST;
	node->item = dk_arena_array(r->arena, n + 1, sizeof *node->item);
	for (size_t i = 0; i < n; ++i)
	{
		const dk_status status = convert(r, json_array_get(value, i), &node->item[i]);
		if (status != DK_OK) return status;
	}
	node->count = (int)n;
	return DK_OK;
}

static dk_status convert_map(reader *r, json_t *value, dk_node *node)
{
	const size_t n = json_object_size(value);
	node->kind = DK_NODE_MAP;
	node->item = dk_arena_array(r->arena, n + 1, sizeof *node->item);
	node->key = dk_arena_array(r->arena, n + 1, sizeof *node->key);
	int i = 0;
	for (void *it = json_object_iter(value); it; it = json_object_iter_next(value, it), ++i)
	{
		const char *key = json_object_iter_key(it);
		node->key[i] = dk_arena_take(r->arena, sizeof *node->key[i]);
		node->key[i]->file = r->name;
		dk_status status = convert_text(r, key, strlen(key), true, node->key[i]);
		if (status == DK_OK) status = convert(r, json_object_iter_value(it), &node->item[i]);
		if (status != DK_OK) return status;
	}
	node->count = i;
	return DK_OK;
}

static dk_status convert_scalar(reader *r, const json_t *value, dk_node *node)
{
	char line[64];
	switch (json_typeof(value))
	{
	case JSON_STRING: return convert_text(r, json_string_value(value), json_string_length(value), true, node);
	case JSON_INTEGER: snprintf(line, sizeof line, "%lld", (long long)json_integer_value(value)); break;
	case JSON_REAL: snprintf(line, sizeof line, "%.17g", json_real_value(value)); break;
	case JSON_TRUE: snprintf(line, sizeof line, "true"); break;
	case JSON_FALSE: snprintf(line, sizeof line, "false"); break;
	default: snprintf(line, sizeof line, "null"); break;
	}
	return convert_text(r, line, strlen(line), false, node);
}

static dk_status convert(reader *r, const json_t *value, dk_node **out)
{
	if (++r->nodes > DK_YAML_NODES) return refuse(r, DK_TOO_LARGE, "there are more than 100000 values");
	dk_node *node = dk_arena_take(r->arena, sizeof *node);
	node->file = r->name;
	*out = node;
	if (!json_is_array(value) && !json_is_object(value)) return convert_scalar(r, value, node);
	if (r->depth >= DK_YAML_DEPTH) return refuse(r, DK_TOO_LARGE, "values are nested more than 16 deep");
	++r->depth;
	const dk_status status =
	    json_is_array(value) ? convert_list(r, value, node) : convert_map(r, (json_t *)value, node);
	--r->depth;
	return status;
}

// jansson goes as deep as the text says, so the brackets are counted first
static bool too_deep(const char *text, size_t size)
{
	int depth = 0;
	bool quoted = false;
	for (size_t i = 0; i < size; ++i)
	{
		const char c = text[i];
		if (quoted && c == '\\')
			++i;
		else if (c == '"')
			quoted = !quoted;
		else if (!quoted && (c == '[' || c == '{'))
		{
			if (++depth > DK_YAML_DEPTH) return true;
		}
		else if (!quoted && (c == ']' || c == '}'))
			--depth;
	}
	return false;
}

dk_status dk_json_parse(
    const char *text, size_t size, const char *name, dk_arena *arena, const dk_node **root, dk_error *error)
{
	reader r = { .arena = arena, .name = dk_arena_text(arena, name), .error = error };
	if (size > DK_YAML_BYTES) return refuse(&r, DK_TOO_LARGE, "the text is larger than 1024 kB");
	if (too_deep(text, size)) return refuse(&r, DK_TOO_LARGE, "values are nested more than 16 deep");
	json_error_t trouble;
	json_t *value = json_loadb(text, size, JSON_REJECT_DUPLICATES, &trouble);
	if (!value)
	{
		dk_error_set(error, DK_BAD_INPUT, "this cannot be read as JSON: %s", trouble.text);
		dk_error_at(error, r.name, trouble.line, trouble.column);
		return DK_BAD_INPUT;
	}
	dk_node *node = NULL;
	const dk_status status = convert(&r, value, &node);
	json_decref(value);
	if (status == DK_OK) *root = node;
	return status;
}
