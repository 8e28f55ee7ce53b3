#ifndef DONKEYMAN_H
#define DONKEYMAN_H
// The door of the donkeyman library: open an engine record, see its parameters and readings, run an operating
// point, build the virtual engines, weigh what was seen, and take the next check. Nothing else of the library
// is promised.
//
// Texts go in as on the command line, units written beside numbers ("5 C", "1.0 bar"). Every function that
// can fail returns DK_DOOR_OK or another code, and one clear sentence in `problem`, which may be NULL.
// Nothing here is global: two doors do not know each other. A door may be read by several threads at once;
// dk_door_bank needs it alone.
//
// The program computes, the owner decides: what comes out defers to the engine's manual, local rules and
// licensed practice. Red rules of an answer win over everything else in it.
#include <stddef.h>
#include <stdint.h>

// C++ programs see C names
#ifdef __cplusplus
#define DK_DOOR_BEGIN                                                                                        \
	extern "C"                                                                                               \
	{
#define DK_DOOR_END }
#else
#define DK_DOOR_BEGIN
#define DK_DOOR_END
#endif
DK_DOOR_BEGIN

typedef enum dk_door_code
{
	DK_DOOR_OK,
	DK_DOOR_BAD_INPUT, // something given is not right; `problem` says which field, and its range
	DK_DOOR_FAILED     // memory, files or sums
} dk_door_code;

// One boat with its engine, fitted to its plate.
typedef struct dk_door dk_door;

/// Opens a record.
///
/// Given:   data_folder  where data/ stands
///          engine       FILE or NAME of a record in data/engines, NULL = three_indirect
/// Returns: *door, to be closed with dk_door_close
dk_door_code dk_door_open(
    const char *data_folder, const char *engine, dk_door **door, char *problem, size_t size);
void dk_door_close(dk_door *door); // NULL is allowed

// ---- the two tables

// A model parameter of this engine. Texts live as long as the program.
typedef struct dk_door_param
{
	const char *id, *unit, *meaning, *source;
	double low, high, value; // in unit
} dk_door_param;

// A reading that can be taken or computed.
typedef struct dk_door_reading
{
	const char *id, *unit;
	double floor, cap; // in unit
	int aboard;        // 1 when this boat has the gauge, or a skipper's own means
} dk_door_reading;

// Number of rows, and one of them: 0 .. count-1; *row is left alone outside, and 0 returned, else 1.
int dk_door_param_count(const dk_door *door);
int dk_door_param_at(const dk_door *door, int index, dk_door_param *row);
int dk_door_reading_count(const dk_door *door);
int dk_door_reading_at(const dk_door *door, int index, dk_door_reading *row);

// ---- one operating point

// What to run. Zero it; NULL is the default of the command (donkeyman run --help).
typedef struct dk_door_point
{
	const char *point;                           // cruise, full, cold_crank, ...
	const char *air, *sea, *pressure, *humidity; // "5 C", "1.0 bar", "0.6"
	const char *rpm, *lever;
	const char *const *fault; // "ID=SEVERITY[:CYLINDERS]"
	int fault_count;
	const char *const *set; // "PARAMETER=VALUE"
	int set_count;
} dk_door_point;

// One reading of the point; NaN where it does not happen, or the engine can't be there.
typedef struct dk_door_value
{
	const char *id, *unit; // live as long as the program
	double broken, healthy;
} dk_door_value;

// The readings of the point, healthy and broken side by side.
typedef struct dk_door_run
{
	int reached; // 1: the numbers agree with each other; 0: stalled, it does not turn, or it did not
	             // settle
	int count;
	dk_door_value *value;
} dk_door_run;

dk_door_code dk_door_run_point(
    const dk_door *door, const dk_door_point *point, dk_door_run *run, char *problem, size_t size);
void dk_door_run_free(dk_door_run *run);

// ---- virtual engines, and what was seen

// How the virtual engines are made. Start from dk_default_door_order().
typedef struct dk_door_order
{
	const char *air, *sea;    // as the skipper says them; NULL = not said: three conditions are weighed
	const char *cache_folder; // where banks are kept from one run to the next; NULL = nowhere
	uint64_t seed;
	int threads, severities; // 1 .. 64; 4 .. 1024, 64 as designed, fewer for a quick look
} dk_door_order;
dk_door_order dk_default_door_order(void);

/// Builds the bank, or takes it from the cache; it replaces the one before. A minute on two cores as
/// designed.
dk_door_code dk_door_bank(dk_door *door, const dk_door_order *order, char *problem, size_t size);

// One cause of the ranking.
typedef struct dk_door_cause
{
	const char *id, *name, *repair; // name and repair "" for the rest of the pairs
	double probability, low, high;  // low..high 90 %
} dk_door_cause;

// What to look at next.
typedef struct dk_door_check
{
	const char *id, *name, *place;
	double bits, minutes;
	int gates;             // gates that stand before it: read them in the JSON before doing it
	const char *held_back; // why it may not be done now, "" when it may
} dk_door_check;

typedef struct dk_door_answer
{
	const char *json;  // the whole answer, the same bytes as `donkeyman trace --json`
	const char *order; // of the red rule that holds, "" when none does: it comes first
	double healthy, none_of_these;
	int cause_count;
	const dk_door_cause *cause;
	int check_count;
	const dk_door_check *check; // the next check first
	void *inside;
} dk_door_answer;

/// Weighs a request: the keys of a case file as JSON, e.g. {"observed": {"crank.turns": "slow"}}.
///
/// Given:   door     with a bank; without one only red rules, gates and priors answer
///          request  [length] JSON
/// Returns: *answer, to be freed with dk_door_answer_free
dk_door_code dk_door_weigh(const dk_door *door, const char *request, size_t length, dk_door_answer *answer,
    char *problem, size_t size);
void dk_door_answer_free(dk_door_answer *answer);

DK_DOOR_END
#endif
