// Fuzz target: whatever a file may hold, as an engine record, as a case, and as rows of every kind of the
// catalogue. It must come back with DK_OK or with a status and one clean sentence; nothing else.
#include "base/text.h"
#include "catalog/catalog.h"
#include "catalog/observation.h"
#include "catalog/record.h"
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char signs[] =
    "- {id: where, question: q, default_point: key_on, kind: nominal, source: x, answers: [{id: a, text: a}, "
    "{id: b, text: b}]}\n"
    "- {id: since, question: q, default_point: key_on, kind: nominal, source: x, answers: [{id: a, text: a}, "
    "{id: b, text: b}]}\n"
    "- {id: smoke, question: q, default_point: cruise, kind: flag, source: x, answers: [{id: no, text: a, "
    "normal: true}, {id: "
    "yes, text: b}], from: [{reading: soot, answer: yes, threshold: 1, width: 1, sense: above}]}\n";
static const char repairs[] = "- {id: bleed, name: n, minutes: 1}\n";
static const char gates[] =
    "- {id: g, asks: q, answers: [{id: y, text: y}, {id: n, text: n}], opens_with: [y], blocked: b}\n";

// a failed call must say something, in clean text, and a good one must leave ranges kept
static void judge(dk_status status, const dk_error *error)
{
	char text[DK_ERROR_TEXT];
	if (status == DK_OK) return;
	if (error->status == DK_OK || !error->what[0]) abort();
	dk_error_text(error, text, sizeof text);
	if (!text[0] || !dk_text_is_clean(text, strlen(text), NULL, NULL)) abort();
}

static void rows(const char *text, int kind, const char *with_repairs, dk_arena *arena)
{
	dk_error error = { 0 };
	const dk_catalog *catalog = NULL;
	dk_catalog_texts texts = { .signs = signs, .repairs = with_repairs, .gates = gates };
	const char **fields[] = { &texts.faults, &texts.signs, &texts.checks, &texts.repairs, &texts.gates,
		&texts.red_rules, &texts.limits };
	*fields[kind] = text;
	if (kind == 1) texts.gates = NULL;
	judge(dk_catalog_parse(&texts, arena, &catalog, &error), &error);
}

// the small catalogue that cases are read against: made once, never changed
static const dk_catalog *small_catalogue(void)
{
	static const dk_catalog *catalog;
	static dk_arena *arena;
	const dk_catalog_texts texts = { .signs = signs, .repairs = repairs, .gates = gates };
	if (catalog) return catalog;
	arena = dk_arena_new();
	if (dk_catalog_parse(&texts, arena, &catalog, NULL) != DK_OK) abort();
	return catalog;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static dk_record record;
	if (size > 20000) return 0;
	char *text = malloc(size + 1);
	memcpy(text, data, size);
	text[size] = 0;
	dk_arena *arena = dk_arena_new();
	dk_error error = { 0 };
	judge(dk_record_parse(text, size, "f.yaml", "f", arena, &record, &error), &error);

	// as rows of every kind, where it is a list at all
	const dk_node *list = NULL;
	const bool is_list =
	    dk_yaml_parse(text, size, "f.yaml", arena, &list, NULL) == DK_OK && list->kind == DK_NODE_LIST;
	for (int kind = 0; is_list && kind < 7 && !memchr(text, 0, size); ++kind)
		rows(text, kind, repairs, arena);

	const dk_catalog *catalog = small_catalogue();
	const dk_node *root = NULL;
	dk_request request;
	memset(&error, 0, sizeof error);
	dk_status status = dk_yaml_parse(text, size, "f.yaml", arena, &root, &error);
	if (status == DK_OK) status = dk_request_from_node(root, catalog, arena, &request, &error);
	judge(status, &error);
	dk_arena_free(arena);
	free(text);
	return 0;
}
