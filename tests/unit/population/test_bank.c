// A bank built from a made-up engine (stub_engine.h): the same at any threads and lanes, right slopes, clean
// stops.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/hash.h"
#include "population/bank.h"
#include "stub_engine.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#define assert_near(got, want, within) assert_true(fabs((got) - (want)) <= (within))

static double base[DK_PARAM_COUNT];
static dk_breaking *breaking;

static int set_up(void **state)
{
	(void)state;
	dk_param_defaults(base);
	return dk_breaking_open(&kStubCatalog, &breaking, NULL);
}

static int tear_down(void **state)
{
	(void)state;
	dk_breaking_free(breaking);
	return 0;
}

static dk_bank_request request_of(int severities)
{
	dk_bank_request request = dk_default_bank_request();
	request.breaking = breaking;
	request.base = base;
	request.severities = severities;
	request.model_version = "stub";
	return request;
}

static dk_bank *built(const dk_bank_request *request)
{
	dk_bank *bank = NULL;
	dk_error error;
	assert_int_equal(dk_bank_build(request, &bank, &error), DK_OK);
	return bank;
}

// a hash of everything a build fills
static uint64_t hash_of(const dk_bank *bank)
{
	uint64_t hash = dk_hash_bytes(DK_HASH_START, bank->store, bank->bytes);
	hash = dk_hash_bytes(hash, bank->group_of_fault, (size_t)bank->fault_count * sizeof(int));
	return dk_hash_double(dk_hash_int(hash, bank->group_count), bank->cruise_lever);
}

static void test_strata(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(16);
	dk_bank *bank = built(&request);

	// healthy; all, one, 1..3 of three; five of all cylinders
	const int want[][2] = { { -1, 0 }, { STUB_BORE_ALL, 0 }, { STUB_BORE_ONE, 1 }, { STUB_BORE_SOME, 1 },
		{ STUB_BORE_SOME, 2 }, { STUB_BORE_SOME, 3 }, { STUB_ELBOW, 0 }, { STUB_LEAK, 0 }, { STUB_DIRT, 0 },
		{ STUB_POWER, 0 }, { STUB_FILTER, 0 } };
	assert_int_equal(bank->stratum_count, sizeof want / sizeof *want);
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		const dk_stratum *stratum = &bank->stratum[s];
		assert_int_equal(stratum->fault_count, s > 0);
		assert_int_equal(stratum->n, s > 0 ? 16 : 1);
		assert_int_equal(stratum->hit_count, want[s][1]);
		if (s == 0) continue;
		assert_int_equal(stratum->fault[0], want[s][0]);
		assert_int_equal(dk_bank_find(bank, stratum->fault[0], stratum->hit_count), s);
		for (int i = 0; i < 16; ++i) assert_near(stratum->severity[3 * i], (i + 0.5) / 16, 0);
	}
	assert_int_equal(dk_bank_find(bank, STUB_ELBOW, 1), -1);
	assert_int_equal(bank->bad, 0);
	dk_bank_free(bank);
}

// readings and statuses are those of the engine with these parameters
static void test_readings(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(64);
	dk_bank *bank = built(&request);
	for (int s = 0; s < bank->stratum_count; ++s)
		for (int i = 0; i < bank->stratum[s].n; i += 7)
			for (int point = 0; point < DK_POINT_COUNT; ++point)
			{
				const dk_stratum *stratum = &bank->stratum[s];
				double param[DK_PARAM_COUNT], x[DK_READING_COUNT];
				dk_bank_engine(bank, stratum, i, param);
				const int status =
				    stub_run(param, request.node.air_k, request.node.sea_k, point, bank->cruise_lever, x);
				assert_int_equal(dk_stratum_status(stratum, point, i), status);
				for (int r = 0; r < DK_READING_COUNT; ++r)
					assert_true(dk_stratum_reading(stratum, point, r, i) == (float)x[r]);
			}

	// by hand: bore.some in 2 of 3 at severity 1/2 + 1/128
	const dk_stratum *some = &bank->stratum[dk_bank_find(bank, STUB_BORE_SOME, 2)];
	const double factor = pow(12, some->severity[3 * 32]);
	double param[DK_PARAM_COUNT];
	dk_bank_engine(bank, some, 32, param);
	const double sound = base[DK_PARAM_cylinder_ring_leak_m2];
	assert_near(param[DK_PARAM_B_cylinder_ring_leak_m2] / sound, factor, 1e-9);
	assert_true(param[DK_PARAM_cylinder_ring_leak_m2] == sound);
	assert_true(param[DK_PARAM_cylinder_hit_count] == 2);

	// the eye looks at the hit cylinders, and at the sound ones where none is hit
	assert_near(dk_bank_parameter(bank, some, 32, DK_PARAM_cylinder_ring_leak_m2) / sound, factor, 1e-9);
	assert_near(dk_bank_parameter(bank, some, 32, DK_PARAM_B_cylinder_ring_leak_m2) / sound, factor, 1e-9);
	assert_true(dk_bank_parameter(bank, &bank->stratum[0], 0, DK_PARAM_cylinder_ring_leak_m2) == sound);
	assert_near(dk_stratum_reading(some, DK_POINT_cruise, DK_READING_crankcase_pressure, 32),
	    50 * (1 + 2 * factor) / 3, 1e-3);
	dk_bank_free(bank);
}

// what the whole bank hashes to does not depend on how many threads or lanes made it
static void test_threads_and_lanes(void **state)
{
	(void)state;
	dk_bank_request request = request_of(64);
	dk_bank *bank = built(&request);
	const uint64_t want = hash_of(bank);
	dk_bank_free(bank);
	const int way[][2] = { { 1, 1 }, { 2, 1 }, { 3, 4 }, { 7, 2 }, { 16, 8 } };
	for (size_t i = 0; i < sizeof way / sizeof *way; ++i)
	{
		request.threads = way[i][0];
		request.lanes = way[i][1];
		bank = built(&request);
		assert_true(hash_of(bank) == want);
		dk_bank_free(bank);
	}

	// but on what it is made from it does
	base[DK_PARAM_cylinder_friction_factor] = 1.01;
	bank = built(&request);
	assert_true(hash_of(bank) != want);
	dk_bank_free(bank);
	base[DK_PARAM_cylinder_friction_factor] = 1;
}

// the engines of a stratum at one point are one batch
static void test_batches(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(64);
	atomic_store(&stub_engines, 0);
	atomic_store(&stub_batches, 0);
	atomic_store(&stub_largest, 0);
	dk_bank *bank = built(&request);
	assert_int_equal(atomic_load(&stub_batches), bank->stratum_count * DK_POINT_COUNT);
	assert_int_equal(atomic_load(&stub_largest), 64 + 8 * 2 * 7);
	assert_int_equal(atomic_load(&stub_engines), dk_bank_engines(&request));
	assert_int_equal(dk_bank_engines(&request), 8 * (1 + 14 + 10 * (64 + 112)));
	dk_bank_free(bank);
}

// slopes against differences of the stub taken here, one column and side at a time
static void test_slopes(void **state)
{
	(void)state;
	dk_bank_request request = request_of(64);
	request.air_scale_k = 3;
	request.sea_scale_k = 2;
	dk_bank *bank = built(&request);
	for (int s = 0; s < bank->stratum_count; ++s)
		for (int knot = 0; knot < DK_BANK_KNOTS; ++knot)
			for (int point = 0; point < DK_POINT_COUNT; ++point)
				for (int side = 0; side < 2; ++side)
					for (int z = 0; z < DK_Z_COUNT; ++z)
					{
						const dk_stratum *stratum = &bank->stratum[s];
						const int engine = dk_bank_knot(stratum->n, knot);
						const double step = side ? 1 : -1;
						double param[DK_PARAM_COUNT], x0[DK_READING_COUNT], x1[DK_READING_COUNT],
						    column[DK_Z_COUNT];
						dk_bank_engine(bank, stratum, engine, param);
						if (stub_run(param, 288.15, 288.15, point, bank->cruise_lever, x0) == DK_NOT_SETTLED)
							continue;
						memcpy(param, base, sizeof param);
						dk_breaking_spread(param, z, step, false);
						const dk_broken broken = { stratum->fault[0], stratum->severity[3 * engine],
							breaking->fault[stratum->fault[0]].cylinders == DK_CYLINDERS_K
							    ? stratum->hit_count
							    : 0 };
						dk_breaking_apply(breaking, &broken, stratum->fault_count, param, NULL);
						stub_run(param, 288.15 + (z == DK_Z_AIR_TEMPERATURE ? step * 3 : 0),
						    288.15 + (z == DK_Z_SEA_TEMPERATURE ? step * 2 : 0), point, bank->cruise_lever,
						    x1);
						for (int r = 0; r < DK_READING_COUNT; ++r)
						{
							if (!(dk_reading_info[r].points & (1u << point))) continue;
							const double want =
							    (dk_reading_transform(r, x1[r]) - dk_reading_transform(r, x0[r])) * step;
							dk_bank_jac(bank, stratum, engine, point, r, side, column);
							assert_near(column[z], want, 1e-6 * fabs(want) + 1e-12);
						}
					}

	// a kink shows: more load slows the engine at full, less load does not make it faster than its governor
	const dk_stratum *healthy = &bank->stratum[0];
	double less[DK_Z_COUNT], more[DK_Z_COUNT];
	dk_bank_jac(bank, healthy, 0, DK_POINT_full, DK_READING_engine_speed, 0, less);
	dk_bank_jac(bank, healthy, 0, DK_POINT_full, DK_READING_engine_speed, 1, more);
	assert_true(more[DK_Z_FRICTION] < -100);
	assert_true(fabs(less[DK_Z_SEA_TEMPERATURE]) == 0);
	dk_bank_jac(bank, healthy, 0, DK_POINT_cruise, DK_READING_engine_speed, 1, more);
	assert_near(more[DK_Z_FRICTION], 0, 0);
	dk_bank_free(bank);
}

static void test_knots(void **state)
{
	(void)state;
	for (int k = 0; k < 8; ++k)
	{
		assert_int_equal(dk_bank_knot(64, k), 9 * k);
		assert_int_equal(dk_bank_knot(8, k), k);
		assert_int_equal(dk_bank_knot(1, k), 0);
	}
	for (int n = 2; n < 200; ++n)
	{
		assert_int_equal(dk_bank_knot(n, 0), 0);
		assert_int_equal(dk_bank_knot(n, 7), n - 1);
		for (int k = 1; k < 8; ++k) assert_true(dk_bank_knot(n, k) >= dk_bank_knot(n, k - 1));
	}
}

// between knots the slope is linear; the knots themselves are hit
static void test_between_knots(void **state)
{
	(void)state;
	const int n[] = { 64, 16, 9, 3 };
	for (size_t c = 0; c < sizeof n / sizeof *n; ++c)
	{
		const dk_bank_request request = request_of(n[c]);
		dk_bank *bank = built(&request);
		dk_stratum *stratum = &bank->stratum[dk_bank_find(bank, STUB_FILTER, 0)];
		const int point = DK_POINT_full, r = DK_READING_boat_speed, z = DK_Z_LOAD;
		float *at = (float *)dk_stratum_jac(stratum, 1, z, point, r);
		for (int k = 0; k < DK_BANK_KNOTS; ++k) at[k] = (float)(3 * dk_bank_knot(n[c], k) + 1);
		for (int i = 0; i < n[c]; ++i)
		{
			double column[DK_Z_COUNT];
			dk_bank_jac(bank, stratum, i, point, r, 1, column);
			assert_near(column[z], 3 * i + 1, 1e-5 * n[c]);
			dk_bank_jac_at(bank, stratum, stratum->severity[3 * i], point, r, 1, column);
			assert_near(column[z], 3 * i + 1, 1e-5 * n[c]);
		}

		// below the first severity it goes to the healthy engine's
		double healthy[DK_Z_COUNT], column[DK_Z_COUNT];
		dk_bank_jac(bank, &bank->stratum[0], 0, point, r, 1, healthy);
		dk_bank_jac_at(bank, stratum, 0, point, r, 1, column);
		assert_near(column[z], healthy[z], 1e-9);
		dk_bank_jac_at(bank, stratum, 0.25 / n[c], point, r, 1, column);
		assert_near(column[z], (healthy[z] + 1) / 2, 1e-6);
		dk_bank_free(bank);
	}
}

// a value at any severity: hits the engines, linear between, healthy at 0, flat beyond the last
static void test_at(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(16);
	dk_bank *bank = built(&request);
	const dk_stratum *stratum = &bank->stratum[dk_bank_find(bank, STUB_ELBOW, 0)];
	const int point = DK_POINT_cruise, r = DK_READING_back_pressure;
	double t[16];
	for (int i = 0; i < 16; ++i)
	{
		t[i] = log(dk_stratum_reading(stratum, point, r, i));
		assert_near(dk_bank_at(bank, stratum, point, r, stratum->severity[3 * i]), t[i], 1e-12);
	}
	const double healthy = log(dk_stratum_reading(&bank->stratum[0], point, r, 0));
	assert_near(dk_bank_at(bank, stratum, point, r, 0), healthy, 1e-12);
	assert_near(dk_bank_at(bank, stratum, point, r, 1.0 / 64), (healthy + t[0]) / 2, 1e-12);
	assert_near(dk_bank_at(bank, stratum, point, r, 5.0 / 16), (t[4] + t[5]) / 2, 1e-12);
	assert_near(dk_bank_at(bank, stratum, point, r, 1), t[15], 0);
	assert_near(dk_bank_at(bank, &bank->stratum[0], point, r, 0.4), healthy, 0);
	dk_bank_free(bank);
}

// engines that did not settle are passed over by values and slopes, and their neighbours can be found
static void test_unsettled(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(64);
	dk_bank *bank = built(&request);
	const dk_stratum *stratum = &bank->stratum[dk_bank_find(bank, STUB_LEAK, 0)];
	const int point = DK_POINT_warm_idle, r = DK_READING_fuel_air_share;
	int first = -1, last = -1;
	for (int i = 0; i < 64; ++i)
		if (dk_stratum_status(stratum, point, i) == DK_NOT_SETTLED)
		{
			if (first < 0) first = i;
			last = i;
		}
	assert_true(first > 0 && last < 63 && last > first);
	int below, above;
	dk_bank_neighbours(stratum, point, (first + last) / 2, &below, &above);
	assert_int_equal(below, first - 1);
	assert_int_equal(above, last + 1);
	dk_bank_neighbours(stratum, point, 0, &below, &above);
	assert_int_equal(below, -1);
	assert_int_equal(above, 1);
	dk_bank_neighbours(stratum, point, 63, &below, &above);
	assert_int_equal(above, -1);

	// the false 0.9 of those engines is not seen: a value half way is half way between the settled ones
	const double t0 = log(dk_stratum_reading(stratum, point, r, first - 1));
	const double t1 = log(dk_stratum_reading(stratum, point, r, last + 1));
	const double s0 = stratum->severity[3 * (first - 1)], s1 = stratum->severity[3 * (last + 1)];
	assert_near(dk_bank_at(bank, stratum, point, r, (s0 + s1) / 2), (t0 + t1) / 2, 1e-9);
	assert_true(log(0.9) > t1 + 1);

	// a knot in the stretch takes the nearest knot's slope
	for (int knot = 0; knot < DK_BANK_KNOTS; ++knot)
	{
		const float slope = dk_stratum_jac(stratum, 1, DK_Z_LOAD, point, r)[knot];
		assert_true(isfinite(slope) && fabs(slope) < 1e-6);
	}
	dk_bank_free(bank);
}

static void test_progress_and_stop(void **state);

typedef struct watch
{
	int calls, last, total, stop_at;
	atomic_bool cancel;
} watch;

static void seen(void *context, int done, int total)
{
	watch *w = context;
	assert_true(done > w->last && done <= total);
	w->last = done;
	w->total = total;
	if (++w->calls == w->stop_at) atomic_store(&w->cancel, true);
}

static void test_progress_and_stop(void **state)
{
	(void)state;
	dk_bank_request request = request_of(16);
	watch all = { .stop_at = -1 };
	request.progress = seen;
	request.context = &all;
	request.cancel = &all.cancel;
	request.threads = 3;
	dk_bank *bank = built(&request);
	assert_int_equal(all.last, all.total);
	assert_int_equal(all.total, dk_bank_engines(&request));
	assert_int_equal(all.calls, bank->stratum_count * DK_POINT_COUNT);
	dk_bank_free(bank);

	// stopped half way: no bank, a sentence, few more batches than were under way
	watch half = { .stop_at = 20 };
	request.context = &half;
	request.cancel = &half.cancel;
	bank = NULL;
	dk_error error;
	assert_int_equal(dk_bank_build(&request, &bank, &error), DK_CANCELLED);
	assert_null(bank);
	assert_non_null(strstr(error.what, "stopped"));
	assert_true(half.calls >= 20 && half.calls < 20 + 3);
}

static void test_refused(void **state)
{
	(void)state;
	const struct
	{
		const char *field;
		int severities, threads;
		double air, sea, ring;
	} row[] = {
		{ "severities", 1, 1, 5, 4, 1e-7 },
		{ "severities", 5000, 1, 5, 4, 1e-7 },
		{ "threads", 64, 0, 5, 4, 1e-7 },
		{ "air scale", 64, 1, 0, 4, 1e-7 },
		{ "sea scale", 64, 1, 5, NAN, 1e-7 },
		{ "cylinder.ring_leak_m2", 64, 1, 5, 4, -1 },
		{ "cylinder.ring_leak_m2", 64, 1, 5, 4, NAN },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		double odd[DK_PARAM_COUNT];
		memcpy(odd, base, sizeof odd);
		odd[DK_PARAM_cylinder_ring_leak_m2] = row[i].ring;
		dk_bank_request request = request_of(row[i].severities);
		request.base = odd;
		request.threads = row[i].threads;
		request.air_scale_k = row[i].air;
		request.sea_scale_k = row[i].sea;
		dk_bank *bank = NULL;
		dk_error error;
		assert_int_equal(dk_bank_build(&request, &bank, &error), DK_OUT_OF_RANGE);
		assert_string_equal(error.field, row[i].field);
		assert_true(error.has_range);
		assert_null(bank);
	}
}

// the hash follows everything that a bank depends on, and threads and lanes are not among it
static void test_hash(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(64);
	const uint64_t want = dk_bank_hash(&request);
	dk_bank_request other = request;
	other.threads = 7;
	other.lanes = 4;
	assert_true(dk_bank_hash(&other) == want);
	unsigned char left_out[STUB_FAULTS] = { [STUB_ELBOW] = 1 }, present[DK_READING_COUNT] = { 0 };
	double changed[DK_PARAM_COUNT];
	memcpy(changed, base, sizeof changed);
	changed[DK_PARAM_oil_level] = 0.9999999;
	dk_breaking *exchanged = dk_breaking_exchange(breaking);
	for (int i = 0; i < 13; ++i)
	{
		other = request;
		switch (i)
		{
		case 0: other.base = changed; break;
		case 1: other.fitted = true; break;
		case 2: other.node.air_k += 0.5; break;
		case 3: other.node.sea_k += 0.5; break;
		case 4: other.node.pressure_pa += 100; break;
		case 5: other.node.soak_h += 1; break;
		case 6: other.air_scale_k += 1; break;
		case 7: other.severities = 16; break;
		case 8: other.seed = 2; break;
		case 9: other.model_version = "stub 2"; break;
		case 10: other.left_out = left_out; break;
		case 11: other.present = present; break;
		default: other.breaking = exchanged; break;
		}
		assert_true(dk_bank_hash(&other) != want);
	}
	dk_breaking_free(exchanged);
}

static void test_left_out(void **state)
{
	(void)state;
	unsigned char left_out[STUB_FAULTS] = { [STUB_BORE_SOME] = 1, [STUB_FILTER] = 1 };
	dk_bank_request request = request_of(16);
	request.left_out = left_out;
	dk_bank *bank = built(&request);
	assert_int_equal(bank->stratum_count, 7);
	assert_int_equal(dk_bank_find(bank, STUB_BORE_SOME, 1), -1);
	assert_int_equal(bank->group_of_fault[STUB_FILTER], -1);
	assert_true(bank->group_of_fault[STUB_DIRT] >= 0);

	// a fault left out moves no other: the rest is bit for bit what it is in the full bank
	request.left_out = NULL;
	dk_bank *full = built(&request);
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		const dk_stratum *a = &bank->stratum[s];
		const dk_stratum *b =
		    s ? &full->stratum[dk_bank_find(full, a->fault[0], a->hit_count)] : &full->stratum[0];
		assert_memory_equal(
		    a->reading, b->reading, (size_t)DK_POINT_COUNT * DK_READING_COUNT * a->n * sizeof(float));
		assert_memory_equal(a->jac, b->jac,
		    (size_t)2 * DK_Z_COUNT * DK_POINT_COUNT * DK_READING_COUNT * DK_BANK_KNOTS * sizeof(float));
	}

	// and a view without it is the same again
	dk_bank *without = dk_bank_without(full, STUB_FILTER);
	assert_int_equal(without->stratum_count, full->stratum_count - 1);
	assert_int_equal(without->group_of_fault[STUB_FILTER], -1);
	assert_int_equal(dk_bank_find(without, STUB_FILTER, 0), -1);
	dk_bank_free(without);
	dk_bank_free(full);
	dk_bank_free(bank);
}

// an exchanged view is the bank of the exchanged faults, but for the run
static void test_exchanged(void **state)
{
	(void)state;
	dk_bank_request request = request_of(16);
	dk_bank *bank = built(&request);
	dk_breaking *other = dk_breaking_exchange(breaking);
	request.breaking = other;
	dk_bank *run = built(&request), *view = dk_bank_exchanged(bank);
	assert_non_null(view);
	assert_int_equal(view->stratum_count, run->stratum_count);
	int changed = 0;
	for (int s = 1; s < run->stratum_count; ++s)
	{
		const dk_stratum *a = &run->stratum[s];
		const int at = dk_bank_find(view, a->fault[0], a->hit_count);
		assert_true(at > 0);
		const dk_stratum *b = &view->stratum[at];
		assert_memory_equal(
		    a->reading, b->reading, (size_t)DK_POINT_COUNT * DK_READING_COUNT * a->n * sizeof(float));
		for (int p = 0; p < DK_PARAM_COUNT; ++p)
			assert_true(dk_bank_parameter(run, a, 9, p) == dk_bank_parameter(view, b, 9, p));
		changed += b->reading != bank->stratum[dk_bank_find(bank, a->fault[0], a->hit_count) > 0
		                                           ? dk_bank_find(bank, a->fault[0], a->hit_count)
		                                           : 0]
		                             .reading;
	}
	assert_true(changed > 0);
	assert_int_equal(view->group_count, run->group_count);
	assert_memory_equal(view->group_of_fault, run->group_of_fault, STUB_FAULTS * sizeof(int));
	dk_bank_free(view);
	dk_bank_free(run);
	dk_bank_free(bank);
	dk_breaking_free(other);
}

// 16 severities see the same engine as 64, only coarser
static void test_coarser(void **state)
{
	(void)state;
	const dk_bank_request few = request_of(16), many = request_of(64);
	dk_bank *a = built(&few), *b = built(&many);
	assert_true(a->bytes < b->bytes && a->hash != b->hash);
	for (int s = 1; s < a->stratum_count; ++s)
		for (double severity = 0; severity <= 1; severity += 0.05)
		{
			const double x = dk_bank_at(a, &a->stratum[s], DK_POINT_full, DK_READING_engine_speed, severity);
			const double y = dk_bank_at(b, &b->stratum[s], DK_POINT_full, DK_READING_engine_speed, severity);

			// the curve bends by at most its steepest slope times half a coarse step
			assert_near(x, y, 3000 * 4.6 / 32);
		}
	dk_bank_free(a);
	dk_bank_free(b);
}

// with so many bytes left the build says that memory is short, or does it; nothing else. In a child of its
// own.
static int build_within(size_t bytes)
{
	const pid_t child = fork();
	if (child == 0)
	{
		long pages = 0;
		FILE *file = fopen("/proc/self/statm", "r");
		if (!file || fscanf(file, "%ld", &pages) != 1) _exit(99);
		fclose(file);
		const rlim_t most = (rlim_t)pages * (rlim_t)sysconf(_SC_PAGESIZE) + bytes;
		const struct rlimit limit = { most, most };
		if (setrlimit(RLIMIT_AS, &limit)) _exit(99);
		dk_bank_request request = request_of(1024);
		request.threads = 3;
		dk_bank *bank = NULL;
		const dk_status status = dk_bank_build(&request, &bank, NULL);
		if (status != DK_OK && bank) _exit(98);
		dk_bank_free(bank);
		_exit(status);
	}
	int status = 0;
	if (child < 0 || waitpid(child, &status, 0) != child || !WIFEXITED(status)) return -1;
	return WEXITSTATUS(status);
}

static void test_short_of_memory(void **state)
{
	(void)state;
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
	skip();
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
	skip();
#endif
#endif
	const size_t megabytes[] = { 0, 1, 4, 12, 24, 26, 28, 30, 34, 40, 60, 4000 };
	int refused = 0, done = 0;
	for (size_t i = 0; i < sizeof megabytes / sizeof *megabytes; ++i)
	{
		const int status = build_within(megabytes[i] << 20);
		assert_true(status == DK_OK || status == DK_NO_MEMORY);
		refused += status == DK_NO_MEMORY;
		done += status == DK_OK;
	}
	assert_true(refused >= 4 && done >= 1);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_strata),
		cmocka_unit_test(test_readings),
		cmocka_unit_test(test_threads_and_lanes),
		cmocka_unit_test(test_batches),
		cmocka_unit_test(test_slopes),
		cmocka_unit_test(test_knots),
		cmocka_unit_test(test_between_knots),
		cmocka_unit_test(test_at),
		cmocka_unit_test(test_unsettled),
		cmocka_unit_test(test_progress_and_stop),
		cmocka_unit_test(test_refused),
		cmocka_unit_test(test_hash),
		cmocka_unit_test(test_left_out),
		cmocka_unit_test(test_exchanged),
		cmocka_unit_test(test_coarser),
		cmocka_unit_test(test_short_of_memory),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
