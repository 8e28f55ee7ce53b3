#pragma once
// Breaks an engine: faults of the catalogue, joined with the parameters they move, applied to one
// parameter vector. A fault moves parameters and nothing else; what it shows is what the physics computes.
#include "base/error.h"
#include "catalog/catalog.h"
#include "engine/tables.h"
#include <stdint.h>

// One parameter that a fault moves.
typedef struct dk_shift
{
	int parameter; // DK_PARAM_..., the row of the sound cylinders when it is per class
	dk_how how;
	dk_curve curve;
	double to; // factor, difference or value at severity 1, in the parameter's unit
} dk_shift;

// One fault with its moves found in the parameter table.
typedef struct dk_breakage
{
	char *id;
	int system; // DK_SYSTEM_...
	dk_cylinders cylinders;
	int shift_count;
	dk_shift *shift;
} dk_breakage;

// Every fault of a catalogue, in the catalogue's order (by id): one index for both.
typedef struct dk_breaking
{
	int count;
	dk_breakage *fault; // [count]
	uint64_t hash;      // over ids, systems, cylinders and moves: what a bank depends on
} dk_breaking;

// A fault of one engine.
typedef struct dk_broken
{
	int fault;       // index into dk_breaking
	double severity; // 0 .. 1
	int hit_count;   // cylinders it is in, 1 .. cylinder.count; 0 = not said: one, or what another fault says
} dk_broken;

/// Joins the faults of a catalogue with the parameter table.
///
/// Given:   catalog     as read from data/; not kept
/// Returns: DK_OK and a new dk_breaking in `out` (dk_breaking_free); DK_UNKNOWN_NAME for a parameter that is
///          not there, with file, line and column of the row; DK_BAD_INPUT when the rows are not in order of
///          id, a move names a .b row, or a k-of-n fault moves no per-class parameter; DK_NO_MEMORY.
dk_status dk_breaking_open(const dk_catalog *catalog, dk_breaking **out, dk_error *error);

// NULL is allowed.
void dk_breaking_free(dk_breaking *breaking);

// Marks with 1 the faults that a boat can't have (their `fitted_when` does not hold): left_out[fault_count].
void dk_breaking_left_out(const dk_catalog *catalog, const dk_installation *boat, unsigned char *left_out);

// A copy. NULL when memory ran out; so also below.
dk_breaking *dk_breaking_copy(const dk_breaking *breaking);

// A copy in which, within each system, every fault has the moves and cylinders of the next one by id (the
// last those of the first). It tells physics from tuned priors: a score must collapse with it.
dk_breaking *dk_breaking_exchange(const dk_breaking *breaking);

// The fault whose moves fault f has in dk_breaking_exchange.
int dk_breaking_partner(const dk_breaking *breaking, int fault);

// Index of a fault by id, -1 when there is none.
int dk_breaking_find(const dk_breaking *breaking, const char *id);

/// Breaks an engine.
///
/// Given:   param       [DK_PARAM_COUNT] the healthy engine, in the units of params.def
///          broken      [count] the faults and how bad, in any order; each fault at most once; count <= 8
/// Returns: DK_OK and `param` moved. First every `times`, then every `add`, then every `set`, within each
///          in order of fault id, each starting from what the one before left; then the parameters that
///          moved are held to low..high of params.def. A k-of-n fault moves the .b row of a per-class
///          parameter, a fault of all cylinders both rows; a k-of-n fault sets cylinder.hit_count, and
///          several are in the same cylinders. Severity 0 leaves every bit as it was.
///          With p before and f = s, s^2 or (e^4s - 1)/(e^4 - 1) for linear, square, log:
///          times p(1 + f(to - 1)), or p to^s on the log curve; add p + to f; set p + (to - p) f.
///          DK_OUT_OF_RANGE and `param` untouched: a severity outside 0..1, a count of cylinders outside
///          1..cylinder.count. DK_CONTRADICTION: two counts that differ, a count for a fault of all cylinders
///          or above 1 for a fault of one, a fault given twice, more than 8.
/// Source:  contract, Faults
dk_status dk_breaking_apply(
    const dk_breaking *breaking, const dk_broken *broken, int count, double *param, dk_error *error);

// Moves the healthy engine by z of one group: every parameter of the group by z times its signed
// spread, .b rows too, then held to its range. `group` is DK_Z_LOAD .. DK_Z_FRICTION, others do nothing.
void dk_breaking_spread(double *param, int group, double z, bool fitted);
