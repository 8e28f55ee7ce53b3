#pragma once
// What the skipper says, measures and has tried, in one form for the command line, case files and HTTP.
// Texts in, indices and table units out; every mistake is one sentence that names the field, the unit and
// the range.
#include "base/arena.h"
#include "base/error.h"
#include "base/yaml.h"
#include "catalog/catalog.h"
#include "engine/tables.h"
#include <stdbool.h>

typedef enum dk_seen
{
	DK_SEEN_SIGN,    // an answer to a sign
	DK_SEEN_READING, // a number from a gauge
	DK_SEEN_CHECK    // a check that was done: a number or an answer, as its row gives
} dk_seen;

typedef struct dk_observation
{
	dk_seen kind;
	int row;            // index into sign or check of the catalogue; for a reading DK_READING_...
	int reading;        // DK_READING_... when it carries a number, else -1
	int point;          // DK_POINT_...
	dk_special special; // not_looked, not_sure, odd, cannot; else DK_SPECIAL_NONE
	unsigned answers;  // bit per answer of the row's look: more than one = one of these (or all, when the row
	                   // is `several`)
	double value;      // in the reading's unit; meaningful when reading >= 0
	bool before;       // seen earlier: when = before
	bool volunteered;  // said unasked: how = volunteered
	int n;             // times it was repeated, 1 .. 100
	const char *id;    // as in the catalogue
	const char *given; // the answer or value as it was given
	dk_mark mark;      // line 0 for the command line
} dk_observation;

typedef enum dk_result
{
	DK_RESULT_NO_BETTER,
	DK_RESULT_BETTER,
	DK_RESULT_CURED,
	DK_RESULT_WORSE,
	DK_RESULT_COUNT
} dk_result;
extern const char *const dk_result_name[DK_RESULT_COUNT];

typedef struct dk_tried
{
	int repair; // index into the catalogue
	dk_result result;
	dk_mark mark;
} dk_tried;

typedef enum dk_order
{
	DK_ORDER_UNKNOWN,
	DK_ORDER_LIKELIHOOD,
	DK_ORDER_NUMERIC
} dk_order;

typedef enum dk_expect
{
	DK_EXPECT_NOTHING,
	DK_EXPECT_KEEP_OPEN,
	DK_EXPECT_NONE_OF_THESE,
	DK_EXPECT_SYSTEM
} dk_expect;

// Condition as far as it was said. Defaults are the caller's.
typedef struct dk_said
{
	bool air, sea, pressure, humidity, soak, heel; // said at all
	double air_k, sea_k, pressure_pa;              // absolute
	double humidity_share, soak_h, heel_deg;
} dk_said;

typedef struct dk_request
{
	const char *id, *family, *source, *story; // case files; NULL when absent
	const char *engine;                       // NAME or FILE, NULL when absent
	dk_said said;
	int where;                         // index into the answers of sign `where`, -1 when not said
	const dk_observation *observation; // in the order given; `where` is left out of it
	int observation_count;
	const dk_tried *tried;
	int tried_count;
	dk_texts tools; // tools aboard; has_tools false = not said (all are assumed)
	bool has_tools;
	const int *cannot; // checks that can't be done, indices
	int cannot_count;
	const int *passed; // gates already answered so that they open, indices
	int passed_count;

	// what a case file expects, for scoring
	const int *cause, *set; // faults that the catalogue has, indices
	int cause_count, set_count;
	dk_texts cause_ids, set_ids; // all of them, also those that are not modelled yet
	dk_order order;
	dk_expect expect;
	int expect_system;   // DK_SYSTEM_... with DK_EXPECT_SYSTEM
	int red_rule;        // index; -1: none expected; -2: not said
	const int *must_not; // checks, indices
	int must_not_count;
	dk_texts must_not_acts; // other acts, as text
} dk_request;

dk_request dk_default_request(void);

// A case file, or the body of a request: the same keys. `catalog` resolves the ids.
// Keys: id family source story engine air sea pressure humidity soak heel where observed before readings done
// tried tools cannot passed cause set order expect red_rule must_not. Errors name what is wrong, with the
// nearest id.
dk_status dk_request_from_node(
    const dk_node *root, const dk_catalog *catalog, dk_arena *arena, dk_request *request, dk_error *error);
dk_status dk_case_read(
    const char *path, const dk_catalog *catalog, dk_arena *arena, dk_request *request, dk_error *error);
dk_status dk_request_from_json(const char *text, size_t size, const dk_catalog *catalog, dk_arena *arena,
    dk_request *request, dk_error *error);

// Command-line texts, each repeatable; called in any order on a request that started as dk_default_request():
// kind 's': --sign ID[@POINT]=ANSWER[,ANSWER…] a list is 'one of these'; "before:ID=…" for what was seen
// earlier
//   kind 'r': --reading ID[@POINT]="98 C"
//   kind 'd': --done    CHECK[@POINT]=ANSWER or "12.4 V"
//   kind 't': --tried   REPAIR=no_better|better|cured|worse
//   kind 'a', 'w', 'p': --air, --sea, --pressure texts
dk_status dk_request_add(dk_request *request, char kind, const char *text, const dk_catalog *catalog,
    dk_arena *arena, dk_error *error);

// A tool that some check of the catalogue needs; else the sentence with the nearest one.
dk_status dk_tool_known(const dk_catalog *catalog, const char *tool, dk_arena *arena, dk_error *error);

// The point a reading is taken at when nobody says: cruise, else warm_idle, cold_crank, key_on, the first
// that it has.
int dk_reading_default_point(int reading);

// Last step, called by the two readers themselves and by a command line after its dk_request_add calls:
// refuses answers that contradict each other (one sign, one point, one time, no answer in common), and
// signs asked where they can't be seen.
dk_status dk_request_check(const dk_request *request, const dk_catalog *catalog, dk_error *error);
