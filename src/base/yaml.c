#include "base/yaml.h"
#include "base/file.h"
#include "base/text.h"
#include "base/units.h"
#include <stdio.h>
#include <string.h>
#include <yaml.h>

// what one reading of a text needs
typedef struct reader
{
	yaml_parser_t parser;
	dk_arena *arena;
	const char *file;
	int nodes, depth;
	dk_error *error;
} reader;

// a list that grows while a node's end is not seen yet
typedef struct growing
{
	dk_node **item, **key;
	int count, room;
} growing;

static dk_status refuse(reader *r, dk_status status, yaml_mark_t mark, const char *what, const char *advice)
{
	dk_error_set(r->error, status, "%s", what);
	if (advice) dk_error_advice(r->error, "%s", advice);
	dk_error_at(r->error, r->file, (int)mark.line + 1, (int)mark.column + 1);
	return status;
}

static dk_status next_event(reader *r, yaml_event_t *event)
{
	if (yaml_parser_parse(&r->parser, event)) return DK_OK;
	const yaml_parser_t *p = &r->parser;
	char what[200];
	snprintf(what, sizeof what, "%s%s%s", p->problem ? p->problem : "this cannot be read as YAML",
	    p->context ? " " : "", p->context ? p->context : "");
	yaml_mark_t mark = p->problem_mark;
	if (p->error == YAML_MEMORY_ERROR) return refuse(r, DK_NO_MEMORY, mark, "out of memory", NULL);
	return refuse(
	    r, DK_BAD_INPUT, mark, what, "check indents, colons and quotes on this line and the one above");
}

static dk_node *new_node(reader *r, dk_node_kind kind, yaml_mark_t mark)
{
	dk_node *node = dk_arena_take(r->arena, sizeof *node);
	node->kind = kind;
	node->file = r->file;
	node->line = (int)mark.line + 1;
	node->column = (int)mark.column + 1;
	return node;
}

static void add(reader *r, growing *g, dk_node *key, dk_node *item)
{
	if (g->count == g->room)
	{
		const int room = g->room ? g->room * 2 : 8;
		dk_node **items = dk_arena_array(r->arena, (size_t)room, sizeof *items);
		dk_node **keys = dk_arena_array(r->arena, (size_t)room, sizeof *keys);
		if (g->count) memcpy(items, g->item, (size_t)g->count * sizeof *items);
		if (g->count) memcpy(keys, g->key, (size_t)g->count * sizeof *keys);
		g->item = items, g->key = keys, g->room = room;
	}
	g->item[g->count] = item;
	g->key[g->count++] = key;
}

static dk_status read_node(reader *r, yaml_event_t *event, dk_node **node);

static dk_status scalar(reader *r, const yaml_event_t *event, dk_node **node)
{
	const size_t length = event->data.scalar.length;
	const char *value = (const char *)event->data.scalar.value;
	if (length > DK_YAML_SCALAR)
		return refuse(r, DK_TOO_LARGE, event->start_mark, "a text is longer than 8192 bytes", NULL);

	// an escape in quotes can smuggle in what the first look at the bytes has refused
	if (!dk_text_is_clean(value, length, NULL, NULL))
		return refuse(r, DK_BAD_INPUT, event->start_mark, "a text holds a control character", NULL);
	*node = new_node(r, DK_NODE_TEXT, event->start_mark);
	(*node)->text = dk_arena_bytes(r->arena, value, length);
	(*node)->quoted = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
	return DK_OK;
}

static dk_status add_key(reader *r, const growing *g, const yaml_event_t *event, dk_node **key)
{
	if (event->type != YAML_SCALAR_EVENT)
		return refuse(r, DK_BAD_INPUT, event->start_mark, "a key must be a plain text", NULL);
	const dk_status status = scalar(r, event, key);
	if (status != DK_OK) return status;
	for (int i = 0; i < g->count; ++i)
	{
		if (strcmp(g->key[i]->text, (*key)->text)) continue;
		refuse(r, DK_BAD_INPUT, event->start_mark, "this key is given twice", NULL);
		dk_error_advice(r->error, "the first is on line %d; keep one of them", g->key[i]->line);
		return dk_error_field(r->error, (*key)->text);
	}
	return DK_OK;
}

// the children of a list or map, up to its end
static dk_status children(reader *r, yaml_event_type_t end, bool map, dk_node *node)
{
	growing g = { 0 };
	for (;;)
	{
		yaml_event_t event;
		dk_status status = next_event(r, &event);
		if (status != DK_OK) return status;
		if (event.type == end)
		{
			yaml_event_delete(&event);
			break;
		}
		dk_node *key = NULL, *item = NULL;
		if (map)
		{
			status = add_key(r, &g, &event, &key);
			yaml_event_delete(&event);
			if (status == DK_OK) status = next_event(r, &event);
			if (status != DK_OK) return status;
		}
		status = read_node(r, &event, &item);
		yaml_event_delete(&event);
		if (status != DK_OK) return status;
		add(r, &g, key, item);
	}
	node->item = g.item;
	node->key = map ? g.key : NULL;
	node->count = g.count;
	return DK_OK;
}

// anchors and tags are refused wherever they stand
static dk_status marked(reader *r, const yaml_event_t *event)
{
	const yaml_char_t *anchor = NULL, *tag = NULL;
	if (event->type == YAML_SCALAR_EVENT) anchor = event->data.scalar.anchor, tag = event->data.scalar.tag;
	if (event->type == YAML_SEQUENCE_START_EVENT)
		anchor = event->data.sequence_start.anchor, tag = event->data.sequence_start.tag;
	if (event->type == YAML_MAPPING_START_EVENT)
		anchor = event->data.mapping_start.anchor, tag = event->data.mapping_start.tag;
	if (event->type == YAML_ALIAS_EVENT || anchor)
		return refuse(r, DK_BAD_INPUT, event->start_mark, "anchors and aliases (& and *) are not accepted",
		    "write the value out, or put it in quotes");
	if (tag)
		return refuse(
		    r, DK_BAD_INPUT, event->start_mark, "tags (!) are not accepted", "put the text in quotes");
	return DK_OK;
}

static dk_status read_node(reader *r, yaml_event_t *event, dk_node **node)
{
	dk_status status = marked(r, event);
	if (status != DK_OK) return status;
	if (++r->nodes > DK_YAML_NODES)
		return refuse(r, DK_TOO_LARGE, event->start_mark, "the file holds more than 100000 values", NULL);
	if (event->type == YAML_SCALAR_EVENT) return scalar(r, event, node);
	const bool map = event->type == YAML_MAPPING_START_EVENT;
	if (!map && event->type != YAML_SEQUENCE_START_EVENT)
		return refuse(r, DK_BAD_INPUT, event->start_mark, "this cannot be read as YAML", NULL);
	if (r->depth >= DK_YAML_DEPTH)
		return refuse(r, DK_TOO_LARGE, event->start_mark, "values are nested more than 16 deep", NULL);
	*node = new_node(r, map ? DK_NODE_MAP : DK_NODE_LIST, event->start_mark);
	++r->depth;
	status = children(r, map ? YAML_MAPPING_END_EVENT : YAML_SEQUENCE_END_EVENT, map, *node);
	--r->depth;
	return status;
}

// stream start, document start, one node, document end, stream end
static dk_status document(reader *r, const dk_node **root)
{
	yaml_event_t event;
	dk_node *node = NULL;
	bool started = false;
	for (;;)
	{
		dk_status status = next_event(r, &event);
		if (status != DK_OK) return status;
		const yaml_event_type_t type = event.type;
		const yaml_mark_t mark = event.start_mark;
		if (type == YAML_DOCUMENT_START_EVENT)
		{
			const bool directive = event.data.document_start.version_directive ||
			                       event.data.document_start.tag_directives.start !=
			                           event.data.document_start.tag_directives.end;
			if (directive)
				status = refuse(r, DK_BAD_INPUT, mark, "directives (%) are not accepted", "remove this line");
			else if (started)
				status = refuse(r, DK_BAD_INPUT, mark, "a second document starts here", "keep one in a file");
			started = true;
		}
		else if (type != YAML_STREAM_START_EVENT && type != YAML_DOCUMENT_END_EVENT &&
		         type != YAML_STREAM_END_EVENT)
			status = read_node(r, &event, &node);
		yaml_event_delete(&event);
		if (status != DK_OK) return status;
		if (type == YAML_STREAM_END_EVENT) break;
	}
	if (!node || (node->kind == DK_NODE_TEXT && dk_node_is_empty(node)))
		node = new_node(r, DK_NODE_MAP, (yaml_mark_t){ 0 });
	*root = node;
	return DK_OK;
}

dk_status dk_yaml_parse(
    const char *text, size_t size, const char *file, dk_arena *arena, const dk_node **root, dk_error *error)
{
	reader r = { .arena = arena, .file = dk_arena_text(arena, file), .error = error };
	int line = 1, column = 1;
	if (size > DK_YAML_BYTES)
		return refuse(&r, DK_TOO_LARGE, (yaml_mark_t){ 0 }, "the text is larger than 1024 kB", NULL);
	if (!dk_text_is_clean(text, size, &line, &column))
	{
		yaml_mark_t mark = { .line = (size_t)line - 1, .column = (size_t)column - 1 };
		return refuse(&r, DK_BAD_INPUT, mark, "this is not UTF-8 text, or it holds a control character",
		    "save the file as UTF-8 (plain) text");
	}
	if (!yaml_parser_initialize(&r.parser))
		return refuse(&r, DK_NO_MEMORY, (yaml_mark_t){ 0 }, "out of memory", NULL);
	yaml_parser_set_encoding(&r.parser, YAML_UTF8_ENCODING);
	yaml_parser_set_input_string(&r.parser, (const unsigned char *)text, size);
	const dk_status status = document(&r, root);
	yaml_parser_delete(&r.parser);
	return status;
}

dk_status dk_yaml_read(const char *path, dk_arena *arena, const dk_node **root, dk_error *error)
{
	char *bytes = NULL;
	size_t size = 0;
	const dk_status status = dk_file_read(path, DK_YAML_BYTES, arena, &bytes, &size, error);
	if (status != DK_OK) return status;
	return dk_yaml_parse(bytes, size, path, arena, root, error);
}
