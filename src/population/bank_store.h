#pragma once
// Private to population: how the arrays of a bank lie in memory, and the runs that fill them.
#include "population/bank.h"

// A new bank with its strata named and their arrays zero. Checks the request.
dk_status dk_bank_lay_out(const dk_bank_request *request, dk_bank **out, dk_error *error);

// Bytes of the arrays of a stratum of n engines, a multiple of 64.
size_t dk_stratum_bytes(int n, bool with_jac);

// Points the arrays of a stratum of `stratum->n` engines into a block of that size.
void dk_stratum_place(dk_stratum *stratum, bool with_jac, void *block);

// Breaks a parameter vector as one engine of a stratum is broken.
void dk_stratum_break(const dk_bank *bank, const dk_stratum *stratum, int engine, double *param);

// The engines of one stratum at one point, and what the batch needs around them. All in one block.
typedef struct dk_bench
{
	double *param;         // [DK_PARAM_COUNT][engines]
	double *air_k, *sea_k; // [engines]
	double *reading;       // [DK_READING_COUNT][engines]
	unsigned char *status; // [engines]
	void *block;
} dk_bench;

// Room for so many engines; false when memory ran out.
bool dk_bench_open(dk_bench *bench, int engines);
void dk_bench_close(dk_bench *bench);

// Engines run for a stratum at one point: its own and those of its sensitivities.
int dk_bank_run_engines(int n, bool with_jac);

// Runs a stratum at one point and fills its arrays there. Returns the cylinder cycles spent; engines that
// gave something that is no number are added to `bad`.
long dk_bank_run(const dk_bank *bank, dk_stratum *stratum, int point, int lanes, dk_bench *bench, long *bad);

// Takes jobs 0 .. count-1 in turn in up to `threads` threads, this one among them; job(context, thread,
// index) false ends the rest. Returns whether all were done.
typedef bool dk_job_fn(void *context, int thread, int index);
bool dk_jobs_run(int count, int threads, dk_job_fn *job, void *context);

// Whether the boat can get a reading: `present` of the request, or its default.
static inline bool dk_bank_present(const unsigned char *present, int reading)
{
	if (present) return present[reading] != 0;
	const char *gauge = dk_reading_info[reading].gauge;
	return gauge[0] != 'n' || gauge[1] != 'o' || gauge[2] != 'n' || gauge[3] != 'e' || gauge[4];
}
