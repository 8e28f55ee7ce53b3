#pragma once
// The door to the physics: any number of engines at one operating point, run in lanes. Plain doubles
// outside, so that nobody above needs to know how wide the lanes are.
#include "engine/tables.h"

// What surrounds boat and engine, the same for every engine of a batch.
typedef struct dk_condition
{
	double air_k;       // air temperature                      233 .. 328 K
	double sea_k;       // sea temperature                      271 .. 308 K
	double pressure_pa; // barometer                            60e3 .. 110e3 Pa
	double humidity;    // relative                             0 .. 1
	double soak_h;      // hours since it last ran              0 .. 10,000 h
	double heel_deg;    // heel                                 0 .. 45 deg
} dk_condition;

// 15 degC air and sea, 1013.25 hPa, 60 %, twelve hours' rest, upright.
dk_condition dk_default_condition(void);

typedef enum dk_point_status
{
	DK_REACHED,     // the engine is there and its numbers agree with each other
	DK_NOT_REACHED, // it can't be there: stalled, or it won't turn
	DK_NOT_SETTLED  // the numbers still moved when the cap was met; they are kept, and count for less
} dk_point_status;

typedef struct dk_batch
{
	int count;                   // engines
	const double *param;         // [DK_PARAM_COUNT][count], SI of params.def
	const double *air_k, *sea_k; // [count], or NULL: the condition's
	dk_condition condition;
	int point;             // DK_POINT_...
	double lever;          // 0 .. 1, the cruise lever; the other points set their own
	double *reading;       // [DK_READING_COUNT][count], reading units; filled
	unsigned char *status; // [count], dk_point_status; filled
	long cycles;           // cylinder cycles spent, summed over engines; filled
} dk_batch;

// Runs a batch. `lanes` is 1, 2, 4 or 8; 0, or a width this program or CPU lacks, takes the widest it
// has. The answer does not depend on it, bit for bit. Allocates nothing; thread-safe.
void dk_batch_run(dk_batch *batch, int lanes);

// The widest lanes of this program on this CPU.
int dk_batch_widest(void);

// The lever at which this engine turns `rpm` in gear at `condition`; held to 0 .. 1.
double dk_engine_lever(const double *param, const dk_condition *condition, double rpm);

// The same for 0.70 of its rated speed: the cruise lever, when the engine given is the healthy one.
double dk_engine_cruise_lever(const double *param, const dk_condition *condition);
