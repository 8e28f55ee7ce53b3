#pragma once
// The bank: readings of every virtual engine at every operating point, and how each reading moves with
// what nobody knows about a healthy boat. It holds continuous readings only; answers are made when asked.
// Everything is a plain array that infer may read directly; the functions below do the arithmetic on it.
// Kept on disk by bank_file.h, pairs of faults in bank_pair.h, groups of faults in bank_group.h.
#include "engine/batch.h"
#include "population/breaking.h"
#include <stdatomic.h>
#include <stdint.h>

enum
{
	DK_BANK_SEVERITIES = 64, // engines of a stratum, unless asked otherwise
	DK_BANK_KNOTS = 8,       // severities that have sensitivities
	DK_BANK_SIDES = 2        // sensitivities are taken at z = -1 (side 0) and z = +1 (side 1)
};

// Engines with the same faults in the same number of cylinders.
typedef struct dk_stratum
{
	int fault[3], fault_count; // indices into the catalogue; count 0 = healthy
	int hit_count;             // cylinders hit by its k-of-n faults; 0 = none of its faults is k-of-n
	int n;                     // engines; healthy: 1
	int part[2];               // the strata of the bank that a pair is made of; -1 else
	float *severity;           // [n][3], fault by fault; rises with the engine where there is one fault
	unsigned char *status;     // [DK_POINT_COUNT][n] dk_point_status
	float *reading;            // [DK_POINT_COUNT][DK_READING_COUNT][n], reading units; what does not exist
	                           // at a point holds what the engine left there
	float *jac;                // [2][7][DK_POINT_COUNT][DK_READING_COUNT][8] d t(reading)/dz, + is upwards on
	                           // both sides, at engines dk_bank_knot(n, 0..7); NULL in a pair
} dk_stratum;

typedef struct dk_bank
{
	uint64_t hash, seed; // what it was made from (dk_bank_hash); the random stream
	dk_condition node;
	double air_scale_k, sea_scale_k;
	double cruise_lever;
	bool fitted;                 // which spreads z is in
	double base[DK_PARAM_COUNT]; // the healthy engine
	int fault_count;
	int *group_of_fault; // [fault_count] 0 .. group_count-1, numbered by the first fault id in each;
	                     // -1 for a fault that is left out
	int group_count;
	int stratum_count;
	dk_stratum *stratum;   // healthy first, then by fault id and hit_count
	dk_breaking *breaking; // the joined faults, a copy of its own
	int severities;        // engines of a stratum of one fault
	long cycles;           // cylinder cycles the build took; 0 when it came from a file
	long bad;              // engines of the build that gave something that is no number; should be 0
	size_t bytes;          // size of the arrays
	void *store;           // the one block that holds them; NULL in a view
} dk_bank;

// What a bank is made from. Start from dk_default_bank_request().
typedef struct dk_bank_request
{
	const dk_breaking *breaking;
	const unsigned char *left_out; // [breaking->count] 1 = a fault this boat can't have; NULL = none
	const double *base;            // [DK_PARAM_COUNT] healthy, fitted centre
	bool fitted;                   // spreads: false the plate's, true the fitted ones
	dk_condition node;
	double air_scale_k, sea_scale_k; // one z of the air and sea columns                        0.1 .. 30 K
	int severities;                  // engines of a stratum of one fault                         2 .. 1024
	uint64_t seed;
	const char *model_version;    // of the physics; part of the hash
	const unsigned char *present; // [DK_READING_COUNT] 1 = the boat can get it (for groups); NULL = all
	                              // but those that no gauge shows (gauge "none")
	int threads;                  // the answer does not depend on it                             1 .. 64
	int lanes;                    // 1, 2, 4, 8, 0 = widest; the answer does not depend on it
	void (*progress)(void *context, int done, int total); // engines done; by one thread at a time, but any
	void *context;                                        // thread; NULL = none
	const atomic_bool *cancel;                            // true stops the build; NULL = can't be stopped
} dk_bank_request;

// 64 severities, plate spreads, 15 degC air and sea, scales 5 K and 4 K, seed 1, one thread, widest lanes,
// model version "". `base` and `breaking` are the caller's to set.
dk_bank_request dk_default_bank_request(void);

/// Builds a bank. The engines of a stratum at one point are one dk_batch; threads take these in turn and
/// write apart from each other, so the answer is the same for any threads and lanes, bit for bit.
///
/// Returns: DK_OK and a new bank in `out` (dk_bank_free); DK_OUT_OF_RANGE with field and range (severities,
///          scales, threads, base outside params.def); DK_CANCELLED; DK_NO_MEMORY. `out` is written on DK_OK
///          only. Allocates.
dk_status dk_bank_build(const dk_bank_request *request, dk_bank **out, dk_error *error);

// Engines that dk_bank_build will run, all points and sensitivities, for a forecast of the time.
int dk_bank_engines(const dk_bank_request *request);

// Hash over record (base, spreads), params.def, readings.def, faults, node, scales, severities,
// left_out, present, model version and seed. Equal hash, equal bank.
uint64_t dk_bank_hash(const dk_bank_request *request);

// NULL is allowed.
void dk_bank_free(dk_bank *bank);

// ---- reading it

static inline float dk_stratum_reading(const dk_stratum *stratum, int point, int reading, int engine)
{
	return stratum->reading[((size_t)point * DK_READING_COUNT + reading) * stratum->n + engine];
}

static inline dk_point_status dk_stratum_status(const dk_stratum *stratum, int point, int engine)
{
	return (dk_point_status)stratum->status[(size_t)point * stratum->n + engine];
}

// The 8 sensitivities of one reading; side 0: z = -1, side 1: z = +1.
static inline const float *dk_stratum_jac(const dk_stratum *stratum, int side, int z, int point, int reading)
{
	const size_t column = ((size_t)side * DK_Z_COUNT + z) * DK_POINT_COUNT + point;
	return stratum->jac + (column * DK_READING_COUNT + reading) * DK_BANK_KNOTS;
}

// The engine whose sensitivities are knot 0..7 of n engines: spread evenly, both ends among them.
int dk_bank_knot(int n, int knot);

/// Sensitivity of one reading of one engine, linear between the knots.
///
/// Returns: column[z] = d t(reading)/dz towards `side` (0: z = -1, 1: z = +1), z in the order of DK_Z_...;
///          for a pair J_a + J_b - J_healthy at its two severities.
/// Source:  contract, Observation model
void dk_bank_jac(const dk_bank *bank, const dk_stratum *stratum, int engine, int point, int reading, int side,
    double column[DK_Z_COUNT]);

// The nearest engines of lower and higher severity that settled at this point, -1 where there is none. In a
// pair both are -1: its engines have no order.
void dk_bank_neighbours(const dk_stratum *stratum, int point, int engine, int *below, int *above);

// t(reading) of a stratum of one fault (or the healthy one) at any severity 0..1: linear in severity
// between its engines and down to the healthy engine at 0; engines that did not settle are passed over.
double dk_bank_at(const dk_bank *bank, const dk_stratum *stratum, int point, int reading, double severity);

// The same for the sensitivities: linear in severity, the healthy engine's at 0.
void dk_bank_jac_at(const dk_bank *bank, const dk_stratum *stratum, double severity, int point, int reading,
    int side, double column[DK_Z_COUNT]);

// The parameters of one engine: param[DK_PARAM_COUNT], both classes of cylinders, in the units of params.def.
// z is not in it. `stratum` may be a pair.
void dk_bank_engine(const dk_bank *bank, const dk_stratum *stratum, int engine, double *param);

// Value of one parameter of one engine, for checks by eye: of a per-class parameter the hit cylinders' when
// there are any, since those are the ones that are looked at.
double dk_bank_parameter(const dk_bank *bank, const dk_stratum *stratum, int engine, int parameter);

// Stratum of one fault and hit count (0 for a fault of all cylinders), -1 when there is none.
int dk_bank_find(const dk_bank *bank, int fault, int hit_count);

// ---- views: copies that share the arrays of `bank`, which must outlive them. End with dk_bank_free;
// NULL = no memory.

// The faults' moves exchanged within each system (as dk_breaking_exchange), without a run: a stratum keeps
// its engines and changes its name. Its hit_count may then differ from what the fault's row says.
dk_bank *dk_bank_exchanged(const dk_bank *bank);

// One fault left out: its strata are gone, its group is -1, the others keep their groups.
dk_bank *dk_bank_without(const dk_bank *bank, int fault);
