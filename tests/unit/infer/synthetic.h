#pragma once
// A bank without an engine: readings that follow the parameters of each virtual engine by fixed made-up
// slopes, so that the inference can be tested by itself, fast, against sums done another way. No physics in
// it.
#include "base/hash.h"
#include "infer/lens.h"
#include "infer/trace.h"
#include "population/bank_store.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// A number in -1..1 from two indices and a salt.
static inline double toy_number(int a, int b, int salt)
{
	uint64_t h = dk_hash_int(dk_hash_int(dk_hash_int(DK_HASH_START, a), b), salt);
	h ^= h >> 29;
	h *= UINT64_C(0x9E3779B97F4A7C15);
	h ^= h >> 32;
	return (double)(h & 0xffffff) / 0x7fffff - 1;
}

// How far a reading moves in units of its own error, from a parameter that moved by `g` of its range. A
// parameter moves a few readings.
static inline double toy_slope(int parameter, int reading)
{
	if (reading == DK_READING_energy_residual) return 0; // a reading that tells nothing
	const double pick = toy_number(parameter, reading, 1);
	return pick > 0 ? 6 * toy_number(parameter, reading, 2) : 0;
}

static inline double toy_error(int reading, double x)
{
	const dk_reading_row *r = &dk_reading_info[reading];
	return dk_lens_spread(
	    reading, x, sqrt(r->gauge_sd * r->gauge_sd + r->bias_sd * r->bias_sd + r->model_sd * r->model_sd));
}

// A healthy value in the middle of what its signs can tell apart.
static inline double toy_healthy(int reading)
{
	const dk_reading_row *r = &dk_reading_info[reading];
	const double low = dk_reading_transform(reading, r->span_low),
	             high = dk_reading_transform(reading, r->span_high);
	return dk_reading_restore(reading, low + (high - low) * (0.5 + 0.3 * toy_number(reading, 0, 3)));
}

static inline double toy_value(const dk_bank *bank, const double *param, int point, int reading)
{
	const double healthy = toy_healthy(reading);
	double t = dk_reading_transform(reading, healthy);
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
	{
		const double range = dk_param_info[p].high - dk_param_info[p].low;
		if (param[p] == bank->base[p] || range <= 0) continue;
		const double g = tanh(4 * (param[p] - bank->base[p]) / range);
		t += g * toy_slope(p, reading) * toy_error(reading, healthy) * (0.7 + 0.1 * point);
	}
	return dk_reading_restore(reading, t);
}

static inline void toy_stratum(const dk_bank *bank, dk_stratum *s, double jacobian)
{
	double param[DK_PARAM_COUNT];
	for (int i = 0; i < s->n; ++i)
	{
		memcpy(param, bank->base, sizeof param);
		dk_stratum_break(bank, s, i, param);
		for (int point = 0; point < DK_POINT_COUNT; ++point)
			for (int r = 0; r < DK_READING_COUNT; ++r)
				s->reading[((size_t)point * DK_READING_COUNT + (size_t)r) * (size_t)s->n + (size_t)i] =
				    (float)toy_value(bank, param, point, r);
	}
	for (int side = 0; side < 2 && s->jac; ++side)
		for (int z = 0; z < DK_Z_COUNT; ++z)
			for (int point = 0; point < DK_POINT_COUNT; ++point)
				for (int r = 0; r < DK_READING_COUNT; ++r)
					for (int k = 0; k < DK_BANK_KNOTS; ++k)
						s->jac[((((size_t)side * DK_Z_COUNT + (size_t)z) * DK_POINT_COUNT + (size_t)point) *
						               DK_READING_COUNT +
						           (size_t)r) *
						           DK_BANK_KNOTS +
						       (size_t)k] =
						    (float)(jacobian * toy_number(z, r, 4) * toy_error(r, toy_healthy(r)));
}

/// A bank over the faults of a catalogue. Ends the program when it can't be made.
/// Given:   jacobian    size of the run columns, in errors of the reading; 0 = none
static inline dk_bank *toy_bank(const dk_catalog *catalog, int severities, double jacobian)
{
	dk_error error = { 0 };
	dk_breaking *breaking = NULL;
	dk_bank *bank = NULL;
	double base[DK_PARAM_COUNT];
	dk_param_defaults(base);
	dk_bank_request request = dk_default_bank_request();
	request.base = base;
	request.severities = severities;
	if (dk_breaking_open(catalog, &breaking, &error) != DK_OK)
	{
		printf("%s\n", error.what);
		exit(1);
	}
	request.breaking = breaking;
	if (dk_bank_lay_out(&request, &bank, &error) != DK_OK)
	{
		printf("%s\n", error.what);
		exit(1);
	}
	for (int s = 0; s < bank->stratum_count; ++s) toy_stratum(bank, &bank->stratum[s], jacobian);
	for (int f = 0; f < bank->fault_count; ++f) bank->group_of_fault[f] = f;
	bank->group_count = bank->fault_count;
	dk_breaking_free(breaking);
	return bank;
}
