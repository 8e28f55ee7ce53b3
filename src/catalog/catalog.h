#pragma once
// The catalogue: everything in data/ that says what can break, what can be seen, what can be checked, what
// mends, what must not be done. Rows only: no physics and no pairing of a fault with a sign (but for
// `onset` and `after`). Names of parameters and readings stay text; population joins them to the tables,
// and each row keeps its place in the file so that an error can name it. They are checked to exist when the
// catalogue is loaded. The exact form of each file is in docs/data.md. Strict: an unknown key, a wrong
// word, a broken reference or a second row with one id is an error with file, line and column. All of it
// lives in one arena and is never changed after loading.
#include "base/arena.h"
#include "base/error.h"
#include "catalog/install.h"
#include <stdbool.h>
#include <stdint.h>

// Where a row stands, for errors.
typedef struct dk_mark
{
	const char *file;
	int line, column;
} dk_mark;

// A list of texts.
typedef struct dk_texts
{
	const char *const *item;
	int count;
} dk_texts;

// One condition on the installation: the boat's answer to `question` is one of the bits. All of a row's
// must hold.
typedef struct dk_when
{
	int question;     // DK_INSTALL_...
	unsigned answers; // bit per answer
} dk_when;

typedef struct dk_whens
{
	const dk_when *item;
	int count;
} dk_whens;

// ---------------------------------------------------------------- faults: data/faults/*.yaml

// Order in which several faults on one parameter act: all times, then add, then set.
typedef enum dk_how
{
	DK_HOW_TIMES, // p (1 + f (to - 1)); curve log: p to^s
	DK_HOW_ADD,   // p + to f
	DK_HOW_SET    // p + (to - p) f
} dk_how;

// f(s): s, s squared, (e^4s - 1)/(e^4 - 1)
typedef enum dk_curve
{
	DK_CURVE_LINEAR,
	DK_CURVE_SQUARE,
	DK_CURVE_LOG
} dk_curve;

typedef struct dk_move
{
	const char *parameter; // an id of params.def without ".b"; population picks the class
	dk_how how;
	double to; // in the parameter's own unit (times: a factor)
	dk_curve curve;
	dk_mark mark;
} dk_move;

// Which cylinders a fault hits: all (moves act on both classes), one, or k (1..n; one stratum for each
// hit_count).
typedef enum dk_cylinders
{
	DK_CYLINDERS_ALL,
	DK_CYLINDERS_ONE,
	DK_CYLINDERS_K
} dk_cylinders;

// A factor on a prior for one answer of `since` (onset) or `after`.
typedef struct dk_factor
{
	int answer;     // index into the answers of sign `since` or `after`; see dk_catalog.since, .after
	const char *id; // the answer's id
	double factor;  // 0.01 .. 100
	const char *source;
} dk_factor;

typedef struct dk_factors
{
	const dk_factor *item;
	int count;
} dk_factors;

// Sudden when the largest factor is at sudden or hours, creeping when at weeks or seasons, else neither.
typedef enum dk_onset
{
	DK_ONSET_NEITHER,
	DK_ONSET_SUDDEN,
	DK_ONSET_CREEPING
} dk_onset;

typedef struct dk_fault
{
	const char *id, *name;
	int system;       // DK_SYSTEM_...
	const char *part; // region of the engine map
	int repair;       // index into dk_catalog.repair
	const dk_move *move;
	int move_count;
	dk_cylinders cylinders;
	double share;       // of its system; the shares of a system's faults sum to 1
	bool share_assumed; // nobody said: equal to its neighbours
	const char *prior_source;
	dk_factors onset, after;
	dk_onset onset_kind;
	const int *leads_to; // indices into dk_catalog.fault
	int leads_to_count;
	const char *measure_text,
	    *measure_unit;                 // "bore about half closed" with {} for the number, NULL when absent
	double measure_at_0, measure_at_1; // the number at severity 0 and 1
	double mend_minutes;               // of the repair on this fault; the repair's minutes when absent
	dk_texts mend_needs;
	const char *mend_danger; // NULL when there is none
	dk_whens fitted;         // `fitted_when`: the fault exists only on such a boat
	dk_mark mark;
} dk_fault;

// ---------------------------------------------------------------- signs: data/signs/*.yaml

typedef enum dk_sign_kind
{
	DK_SIGN_ORDINAL, // answers in order along one quantity, a boundary between neighbours
	DK_SIGN_NOMINAL, // one of several; each that is not normal has its own visibility, as for smoke
	DK_SIGN_FLAG     // no or yes (two answers)
} dk_sign_kind;

typedef enum dk_relation
{
	DK_RELATION_ABSOLUTE,
	DK_RELATION_AGAINST_HEALTHY // against this engine's own healthy value at the point
} dk_relation;

typedef enum dk_sense
{
	DK_SENSE_ABOVE, // the answer speaks when x is above the threshold
	DK_SENSE_BELOW
} dk_sense;

// How x is made of a reading's value v and, against_healthy, the healthy value h at the point.
typedef enum dk_compare
{
	DK_COMPARE_VALUE,     // x = v (absolute)
	DK_COMPARE_RATIO,     // x = v / h
	DK_COMPARE_DIFFERENCE // x = v - h
} dk_compare;

// The scale on which the boundary is a normal distribution: probability = Phi(+-(g(x) - g(threshold)) /
// width), with g the identity, ln, or ln(x/(1-x)). Absent in the file: log for a reading whose transform is
// log (by value or ratio), logit for one that is logit (by value), else lin. With log and logit, width has
// no unit.
typedef enum dk_scale
{
	DK_SCALE_LIN,
	DK_SCALE_LOG,
	DK_SCALE_LOGIT
} dk_scale;

// One boundary. Ordinal and flag: the probability that the answer is `answer` or one further away from
// normal on the same side. Nominal: the visibility of `answer`; several rows with one answer must all hold
// (their product).
typedef struct dk_from
{
	const char *reading;   // an id of readings.def, or NULL
	const char *parameter; // an id of params.def, or NULL
	int answer;            // index into the row's answers
	double threshold;      // in the reading's or parameter's unit; a factor when compare is ratio
	double width;          // standard deviation of the boundary on `scale`
	dk_sense sense;
	dk_compare compare;
	dk_scale scale;
	int point; // DK_POINT_... where the reading is taken, -1: at the point of the observation
	const char *source;
	dk_mark mark;
} dk_from;

enum
{
	DK_ANSWERS_MOST = 16
};

typedef struct dk_answer
{
	const char *id, *text;
	bool normal; // what a healthy engine gives; at least one answer of a row is
} dk_answer;

// Answers that every row has besides its own.
typedef enum dk_special
{
	DK_SPECIAL_NONE,       // an answer of the row
	DK_SPECIAL_NOT_LOOKED, // no observation, and not the same as 'none'
	DK_SPECIAL_NOT_SURE,   // looked, could not tell: no factor
	DK_SPECIAL_ODD,        // something was not right
	DK_SPECIAL_CANNOT      // a check that can't be done here
} dk_special;

// What a look tells: shared by signs and by checks with answers.
typedef struct dk_look
{
	dk_sign_kind kind;
	dk_relation relation;
	const dk_answer *answer;
	int answer_count; // 0 for a check that gives a number
	bool several;     // several answers may hold at once (a list then means all of these)
	const dk_from *from;
	int from_count;      // 0 for `where`, `since`, `after`
	double miss;         // chance that something not normal is answered as normal
	double false_report; // chance that something normal is answered otherwise
	const char *source;  // of miss, false, report and of the boundaries that name none
} dk_look;

typedef struct dk_sign
{
	const char *id, *question;
	int default_point; // DK_POINT_...
	unsigned points;   // mask of 1u << DK_POINT_...: where it can be asked
	dk_look look;
	dk_whens ask_when;
	double report;     // chance that the skipper says it unasked when it is not normal
	const char *group; // where he stands when he sees it: cockpit, engine_face, ... or NULL
	dk_mark mark;
} dk_sign;

// ---------------------------------------------------------------- repairs, gates

typedef struct dk_repair
{
	const char *id, *name;
	double efficacy; // 0..1
	double minutes;
	dk_texts needs;     // parts and tools
	const char *danger; // NULL when there is none
	const char *proves; // how the skipper sees that it worked, NULL when absent
	dk_mark mark;
} dk_repair;

// An observation that a gate or a red rule looks for.
typedef struct dk_condition_row
{
	int sign;         // index into dk_catalog.sign
	unsigned answers; // bit per answer, any of them
	unsigned points;  // mask; all points when the file names none
	bool before;      // asked of what was seen earlier
	dk_mark mark;
} dk_condition_row;

// A precondition of a step. The step is offered only behind its question, and not at all while `closed_by`
// holds.
typedef struct dk_gate
{
	const char *id, *asks;
	const dk_answer *answer;
	int answer_count;
	unsigned opens;                    // bit per answer that opens the gate
	const char *blocked;               // said when an answer does not open it
	const dk_condition_row *closed_by; // any of these observations shuts it without asking
	int closed_by_count;
	dk_texts cautions;
	dk_mark mark;
} dk_gate;

// ---------------------------------------------------------------- checks: data/checks/*.yaml

typedef enum dk_place
{
	DK_PLACE_COCKPIT,
	DK_PLACE_ENGINE_FACE,
	DK_PLACE_ENGINE_BACK,
	DK_PLACE_AFT,
	DK_PLACE_OUTLET,
	DK_PLACE_COUNT
} dk_place;
extern const char *const dk_place_name[DK_PLACE_COUNT];

// What a check needs of the engine and the boat, as bits.
// clang-format off
#define DK_NEED_LIST(X) \
	X(stopped, "engine stopped") \
	X(running, "engine running") \
	X(cold, "engine cold") \
	X(warm, "engine warm") \
	X(hot, "engine hot") \
	X(key_on, "key on") \
	X(cranking, "starter turning") \
	X(neutral, "in neutral") X(in_gear, "in gear") X(alongside, "tied up alongside") \
	X(under_way, "under way") X(afloat, "somebody in or at the water") X(two_people, "two people") \
	X(daylight, "daylight or a lamp")
// clang-format on
enum
{
#define X(id, words) DK_NEED_BIT_##id,
	DK_NEED_LIST(X)
#undef X
	    DK_NEED_COUNT
};
extern const char *const dk_need_name[DK_NEED_COUNT];
extern const char *const dk_need_words[DK_NEED_COUNT];
#define DK_NEED(id) (1u << DK_NEED_BIT_##id)

typedef enum dk_gives
{
	DK_GIVES_READING, // a number in the reading's unit
	DK_GIVES_ANSWER,  // answers of its own; `from` says which reading or parameter they look at
	DK_GIVES_SIGN     // the answers of a sign (one id, one answer set)
} dk_gives;

typedef struct dk_check
{
	const char *id, *name;
	dk_gives gives;
	const char *reading; // DK_GIVES_READING, else NULL
	const char
	    *parameter;  // `gives: {parameter: ...}`: what is seen by eye; its answers are in look; else NULL
	int sign;        // DK_GIVES_SIGN, else -1
	int point;       // DK_POINT_... where it is done
	dk_look look;    // DK_GIVES_ANSWER: its own; DK_GIVES_SIGN: a copy of the sign's
	double error_sd; // DK_GIVES_READING: standard deviation of one look; 0: the reading's gauge_sd
	dk_texts steps, tools, cautions;
	double minutes;
	dk_place place;
	double crank_seconds; // what it spends of the cranking account
	unsigned needs;       // DK_NEED bits
	const char *opens;    // cover, NULL when none; checks with one cover share the trip
	const char *undo;     // what must be put back (bleeding, refilling), NULL when nothing
	double undo_minutes;
	const char *removes; // pump, nozzles, head, turbo, gearbox: a big strip-down; NULL when none
	const int *gate;     // indices into dk_catalog.gate
	int gate_count;
	dk_whens ask_when;
	dk_mark mark;
} dk_check;

// ---------------------------------------------------------------- red rules, limits

typedef enum dk_concern // who or what is at stake, first things first when two rules hold
{
	DK_CONCERN_PEOPLE,
	DK_CONCERN_FIRE,
	DK_CONCERN_FLOODING,
	DK_CONCERN_ENGINE,
	DK_CONCERN_COUNT
} dk_concern;

// What a rule says at one place (an answer of sign `where`).
typedef struct dk_order_at
{
	int where;         // index into the answers of `where`
	const char *order; // NULL: the rule's own
	dk_texts then;
} dk_order_at;

typedef struct dk_red_rule
{
	const char *id, *name;
	const dk_condition_row *condition;
	int condition_count;
	bool all;         // all conditions, else any
	const int *limit; // indices of limits: a reading seen beyond one of them is as good as the sign
	int limit_count;
	const char *order; // "Stop the engine now."
	dk_texts then;     // what to do next
	const dk_order_at *at;
	int at_count;
	dk_concern concern;
	const char *reason, *source;
	dk_mark mark;
} dk_red_rule;

typedef struct dk_limit
{
	const char *id, *text;
	const char *reading;
	unsigned points;    // mask
	double value;       // in the reading's unit
	double from_rpm;    // it holds at these revs and above; 0: at all
	dk_sense sense;     // beyond is above, or below
	bool can_be_undone; // false: crossing it does lasting damage
	dk_whens fitted;    // `fitted_when`
	const char *source;
	dk_mark mark;
} dk_limit;

// ---------------------------------------------------------------- the whole

typedef struct dk_catalog
{
	const dk_fault *fault;
	int fault_count;
	const dk_sign *sign;
	int sign_count;
	const dk_check *check;
	int check_count;
	const dk_repair *repair;
	int repair_count;
	const dk_gate *gate;
	int gate_count;
	const dk_red_rule *red_rule;
	int red_rule_count;
	const dk_limit *limit;
	int limit_count;
	int where, since, after; // indices of these three signs; -1 when absent
	uint64_t hash;           // over all rows in the order of ids: what a trace answer names
	uint64_t fault_hash;     // over id, moves and cylinders of the faults only: what a bank depends on
} dk_catalog;

// Loads and checks data/ (FOLDER/faults/*.yaml, signs/*.yaml, checks/*.yaml, repairs.yaml, gates.yaml,
// red_rules.yaml, limits.yaml). Rows are in the order of their ids, whatever file they stand in.
//
// Given:   the data folder; an arena that outlives the catalogue
// Returns: the catalogue in *catalog on DK_OK
// Errors:  those of yaml.h and file.h; DK_UNKNOWN_NAME, DK_BAD_INPUT, DK_OUT_OF_RANGE, DK_MISSING with place
dk_status dk_catalog_load(const char *folder, dk_arena *arena, const dk_catalog **catalog, dk_error *error);

// The same from texts in memory (tests, fuzzing): one text a kind, NULL for none. `name` is shown in errors.
typedef struct dk_catalog_texts
{
	const char *faults, *signs, *checks, *repairs, *gates, *red_rules, *limits;
} dk_catalog_texts;
dk_status dk_catalog_parse(
    const dk_catalog_texts *texts, dk_arena *arena, const dk_catalog **catalog, dk_error *error);

// Index by id, -1 when there is none.
int dk_fault_find(const dk_catalog *catalog, const char *id);
int dk_sign_find(const dk_catalog *catalog, const char *id);
int dk_check_find(const dk_catalog *catalog, const char *id);
int dk_repair_find(const dk_catalog *catalog, const char *id);
int dk_gate_find(const dk_catalog *catalog, const char *id);
int dk_red_rule_find(const dk_catalog *catalog, const char *id);
int dk_limit_find(const dk_catalog *catalog, const char *id);

// Index of an answer of a look by id, -1 when there is none.
int dk_answer_find(const dk_look *look, const char *id);

// True when all conditions hold for this boat (an empty list holds).
bool dk_when_holds(const dk_whens *whens, const dk_installation *installation);

// The severity in the fault's own measure ("bore about half closed"): measure_text with {} replaced by the
// number and the unit. Without a measure: "slight", "marked", "severe". Writes at most size bytes.
char *dk_fault_measure(const dk_fault *fault, double severity, char *text, size_t size);
