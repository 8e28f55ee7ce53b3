// Fuzz target: the body of a request, and the texts of the command line. It must come back with DK_OK or
// with a status and one clean sentence.
#include "base/text.h"
#include "catalog/catalog.h"
#include "catalog/observation.h"
#include "catalog/record.h"
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char signs[] = "- {id: where, question: q, default_point: key_on, kind: nominal, source: x, "
                            "answers: [{id: a, text: a}, {id: b, text: b}]}\n"
                            "- {id: bilge, question: q, default_point: key_on, kind: nominal, several: true, "
                            "source: x, answers: [{id: none, text: a}, "
                            "{id: oil, text: b}]}\n"
                            "- {id: smoke, question: q, default_point: cruise, points: [cruise, full], kind: "
                            "flag, source: x, answers: [{id: no, text: "
                            "a, normal: true}, {id: yes, text: b}], from: [{reading: soot, answer: yes, "
                            "threshold: 1, width: 1, sense: above}]}\n";
static const char repairs[] = "- {id: bleed, name: n, minutes: 1}\n";
static const char checks[] =
    "- {id: rest, name: n, gives: {reading: battery_rest}, point: key_on, steps: [s], minutes: 1, place: "
    "aft}\n"
    "- {id: look, name: n, gives: {sign: smoke}, point: full, steps: [s], minutes: 1, place: aft}\n";
static const char faults[] =
    "- {id: oil.low, name: n, system: oil, part: p, repair: bleed, moves: [{parameter: oil.level, "
    "how: set, to: 0.3}]}\n";

static void judge(dk_status status, const dk_error *error)
{
	char text[DK_ERROR_TEXT];
	if (status == DK_OK) return;
	if (error->status == DK_OK || !error->what[0]) abort();
	dk_error_text(error, text, sizeof text);
	if (!text[0] || !dk_text_is_clean(text, strlen(text), NULL, NULL)) abort();
}

// what came through must be inside the tables
static void sound(const dk_request *request, const dk_catalog *catalog)
{
	for (int i = 0; i < request->observation_count; ++i)
	{
		const dk_observation *o = &request->observation[i];
		if (o->point < 0 || o->point >= DK_POINT_COUNT || o->row < 0 || o->n < 1 || o->n > 100) abort();
		if (o->kind == DK_SEEN_SIGN && o->row >= catalog->sign_count) abort();
		if (o->kind == DK_SEEN_CHECK && o->row >= catalog->check_count) abort();
		if (o->reading < 0 || o->special) continue;
		const dk_reading_row *row = &dk_reading_info[o->reading];
		if (!(o->value >= row->floor && o->value <= row->cap)) abort();
	}
}

// the small catalogue that requests are read against: made once, never changed
static const dk_catalog *small_catalogue(void)
{
	static const dk_catalog *catalog;
	static dk_arena *arena;
	const dk_catalog_texts texts = { .signs = signs, .repairs = repairs, .checks = checks, .faults = faults };
	if (catalog) return catalog;
	arena = dk_arena_new();
	if (dk_catalog_parse(&texts, arena, &catalog, NULL) != DK_OK) abort();
	return catalog;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (size > 20000) return 0;
	char *text = malloc(size + 1);
	memcpy(text, data, size);
	text[size] = 0;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog = small_catalogue();
	dk_error error = { 0 };
	dk_request request = dk_default_request();
	const dk_status status = dk_request_from_json(text, size, catalog, arena, &request, &error);
	judge(status, &error);
	if (status == DK_OK) sound(&request, catalog);

	static const char kinds[] = "srdtawp";
	for (const char *kind = kinds; *kind; ++kind)
	{
		dk_request line = dk_default_request();
		memset(&error, 0, sizeof error);
		const dk_status added = dk_request_add(&line, *kind, text, catalog, arena, &error);
		judge(added, &error);
		if (added == DK_OK) sound(&line, catalog);
	}

	static dk_record record;
	dk_param_defaults(record.param);
	memset(&error, 0, sizeof error);
	judge(dk_record_set(&record, text, arena, &error), &error);
	dk_arena_free(arena);
	free(text);
	return 0;
}
