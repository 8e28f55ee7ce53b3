// The bank on disk: what goes in comes out, and nothing that was changed gets in.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/hash.h"
#include "population/bank_file.h"
#include "stub_engine.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static double base[DK_PARAM_COUNT];
static dk_breaking *breaking;
static dk_bank *bank;
static char folder[64], path[128];

static dk_bank_request request_of(int severities)
{
	dk_bank_request request = dk_default_bank_request();
	request.breaking = breaking;
	request.base = base;
	request.severities = severities;
	request.model_version = "stub";
	return request;
}

static int set_up(void **state)
{
	(void)state;
	dk_param_defaults(base);
	snprintf(folder, sizeof folder, "/tmp/dk_bank_XXXXXX");
	if (!mkdtemp(folder)) return -1;
	snprintf(path, sizeof path, "%s/a.bank", folder);
	if (dk_breaking_open(&kStubCatalog, &breaking, NULL) != DK_OK) return -1;
	const dk_bank_request request = request_of(8);
	if (dk_bank_build(&request, &bank, NULL) != DK_OK) return -1;
	return dk_bank_save(bank, path, NULL);
}

static int tear_down(void **state)
{
	(void)state;
	dk_bank_free(bank);
	dk_breaking_free(breaking);
	unlink(path);
	return rmdir(folder);
}

static char *slurp(const char *from, size_t *size)
{
	FILE *file = fopen(from, "rb");
	assert_non_null(file);
	fseek(file, 0, SEEK_END);
	*size = (size_t)ftell(file);
	rewind(file);
	char *bytes = malloc(*size + 1);
	assert_int_equal(fread(bytes, 1, *size, file), *size);
	fclose(file);
	return bytes;
}

static void spill(const char *to, const char *bytes, size_t size)
{
	FILE *file = fopen(to, "wb");
	assert_non_null(file);
	assert_int_equal(fwrite(bytes, 1, size, file), size);
	fclose(file);
}

static void test_round_trip(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(8);
	dk_bank *again = NULL;
	dk_bank_finding finding = DK_BANK_DAMAGED;
	const long runs = atomic_load(&stub_engines);
	assert_int_equal(dk_bank_load(&request, path, &again, &finding, NULL), DK_OK);
	assert_int_equal(finding, DK_BANK_GOOD);
	assert_int_equal(atomic_load(&stub_engines), runs);
	assert_int_equal(again->bytes, bank->bytes);
	assert_memory_equal(again->store, bank->store, bank->bytes);
	assert_memory_equal(again->group_of_fault, bank->group_of_fault, (size_t)bank->fault_count * sizeof(int));
	assert_int_equal(again->group_count, bank->group_count);
	assert_true(again->cruise_lever == bank->cruise_lever);
	assert_true(
	    again->hash == bank->hash && again->seed == bank->seed && again->node.air_k == bank->node.air_k);
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		assert_int_equal(again->stratum[s].fault[0], bank->stratum[s].fault[0]);
		assert_int_equal(again->stratum[s].hit_count, bank->stratum[s].hit_count);
	}
	dk_bank_free(again);
}

static void loads_as(const dk_bank_request *request, const char *from, dk_bank_finding want)
{
	dk_bank *again = NULL;
	dk_bank_finding finding = DK_BANK_GOOD;
	dk_error error;
	const dk_status status = dk_bank_load(request, from, &again, &finding, &error);
	assert_int_equal(finding, want);
	if (want == DK_BANK_GOOD)
	{
		assert_int_equal(status, DK_OK);
		dk_bank_free(again);
		return;
	}
	assert_null(again);
	assert_int_equal(status, want == DK_BANK_ABSENT ? DK_NO_FILE : DK_BAD_FILE);
	if (want == DK_BANK_STALE) assert_non_null(strstr(error.what, "stale"));
	if (want == DK_BANK_DAMAGED) assert_non_null(strstr(error.what, "damaged"));
}

// another record, node, model, count or seed: stale
static void test_stale(void **state)
{
	(void)state;
	const dk_bank_request good = request_of(8);
	loads_as(&good, path, DK_BANK_GOOD);
	for (int i = 0; i < 5; ++i)
	{
		dk_bank_request other = good;
		double changed[DK_PARAM_COUNT];
		memcpy(changed, base, sizeof changed);
		changed[DK_PARAM_oil_level] = 0.5;
		switch (i)
		{
		case 0: other.base = changed; break;
		case 1: other.node.air_k -= 5; break;
		case 2: other.model_version = "stub 2"; break;
		case 3: other.severities = 16; break;
		default: other.seed = 9; break;
		}
		loads_as(&other, path, DK_BANK_STALE);
	}
	char elsewhere[160];
	snprintf(elsewhere, sizeof elsewhere, "%s/none.bank", folder);
	loads_as(&good, elsewhere, DK_BANK_ABSENT);
}

// one bit changed anywhere is found: every byte of the head and of the first block, then a stride through the
// file that meets every stratum and every array, then the last blocks
static void test_flipped(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(8);
	size_t size;
	char *bytes = slurp(path, &size);
	char bad[160];
	snprintf(bad, sizeof bad, "%s/bad.bank", folder);
	int tried = 0;
	for (size_t i = 0; i < size; i += i < 400 || i + 200 > size     ? 1
	                                  : size - i > size / 300 + 200 ? size / 300 | 1
	                                                                : size - i - 199)
	{
		bytes[i] ^= (char)(1 << (i % 8));
		spill(bad, bytes, size);
		dk_bank *again = NULL;
		dk_bank_finding finding;
		assert_int_equal(dk_bank_load(&request, bad, &again, &finding, NULL), DK_BAD_FILE);
		assert_null(again);
		assert_true(finding == DK_BANK_DAMAGED || (finding == DK_BANK_STALE && i >= 8 && i < 16));
		bytes[i] ^= (char)(1 << (i % 8));
		++tried;
	}
	assert_true(tried > 700);
	spill(bad, bytes, size);
	loads_as(&request, bad, DK_BANK_GOOD);
	unlink(bad);
	free(bytes);
}

// cut short anywhere, too long, empty, not a bank, a folder
static void test_cut(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(8);
	size_t size;
	char *bytes = slurp(path, &size);
	char bad[160];
	snprintf(bad, sizeof bad, "%s/bad.bank", folder);
	const size_t length[] = { 0, 1, 8, 143, 144, 145, 1000, size / 2, size - 1 };
	for (size_t i = 0; i < sizeof length / sizeof *length; ++i)
	{
		spill(bad, bytes, length[i]);
		loads_as(&request, bad, DK_BANK_DAMAGED);
	}
	char *longer = calloc(1, size + 100);
	memcpy(longer, bytes, size);
	spill(bad, longer, size + 100);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	free(longer);
	spill(bad, "engine: three\n", 14);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	unlink(bad);
	free(bytes);
	dk_bank *again = NULL;
	dk_bank_finding finding;
	assert_int_not_equal(dk_bank_load(&request, folder, &again, &finding, NULL), DK_OK);
	assert_null(again);
	assert_int_not_equal(finding, DK_BANK_GOOD);
}

// bytes made by somebody who can make a CRC: numbers that no build makes, and sizes that are not the
// request's
static void test_hostile(void **state)
{
	(void)state;
	const dk_bank_request request = request_of(8);
	char bad[160];
	snprintf(bad, sizeof bad, "%s/bad.bank", folder);
	dk_stratum *stratum = &bank->stratum[3];
	float *reading = &stratum->reading[100], *jac = &stratum->jac[1000], keep_reading = *reading,
	      keep_jac = *jac;

	*reading = NAN;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	*reading = keep_reading;

	*jac = INFINITY;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	*jac = keep_jac;

	const unsigned char keep_status = stratum->status[5];
	stratum->status[5] = 77;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	stratum->status[5] = keep_status;

	const int keep_group = bank->group_of_fault[2];
	bank->group_of_fault[2] = 1 << 30;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	bank->group_of_fault[2] = keep_group;

	const int keep_hit = stratum->hit_count;
	stratum->hit_count = 99;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	stratum->hit_count = keep_hit;

	const double keep_lever = bank->cruise_lever;
	bank->cruise_lever = NAN;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	bank->cruise_lever = keep_lever;

	stratum->severity[3] = 0.9f;
	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_DAMAGED);
	stratum->severity[3] = 1.5f / 8;

	assert_int_equal(dk_bank_save(bank, bad, NULL), DK_OK);
	loads_as(&request, bad, DK_BANK_GOOD);
	unlink(bad);
}

// the cache: built once, taken after, replaced when stale or damaged
static void test_open(void **state)
{
	(void)state;
	dk_bank_request request = request_of(8);
	char cache[160], text[600];
	snprintf(cache, sizeof cache, "%s/cache", folder);
	dk_bank *a = NULL;
	dk_bank_kept kept;
	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_ABSENT);
	assert_true(kept.saved && a->cycles > 0);
	assert_null(strstr(kept.path + strlen(cache), ".."));
	assert_int_equal(access(kept.path, R_OK), 0);
	dk_bank_free(a);

	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_GOOD);
	assert_true(!kept.saved && a->cycles == 0);
	assert_memory_equal(a->store, bank->store, bank->bytes);
	dk_bank_free(a);

	// another model: stale, built anew in the same file
	request.model_version = "stub 2";
	snprintf(text, sizeof text, "%s", kept.path);
	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_STALE);
	assert_true(kept.saved);
	assert_string_equal(kept.path, text);
	dk_bank_free(a);

	// other scales: a file of its own, the first stays good
	dk_bank_request scaled = request;
	scaled.air_scale_k = 2;
	assert_int_equal(dk_bank_open(&scaled, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_ABSENT);
	assert_string_not_equal(kept.path, text);
	dk_bank_free(a);
	unlink(kept.path);
	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_GOOD);
	dk_bank_free(a);

	// damaged: built anew
	assert_int_equal(truncate(kept.path, 5000), 0);
	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, &kept, NULL), DK_OK);
	assert_int_equal(kept.finding, DK_BANK_DAMAGED);
	assert_true(kept.saved);
	dk_bank_free(a);
	assert_int_equal(dk_bank_open(&request, cache, "My Engine/../2", &a, NULL, NULL), DK_OK);
	assert_true(a->cycles == 0);
	dk_bank_free(a);
	unlink(kept.path);
	rmdir(cache);

	// no folder, and a folder that can't be made: built, not kept
	assert_int_equal(dk_bank_open(&request, NULL, "x", &a, &kept, NULL), DK_OK);
	assert_true(!kept.saved && !kept.path[0]);
	dk_bank_free(a);
	assert_int_equal(dk_bank_open(&request, "/proc/none/such", "x", &a, &kept, NULL), DK_OK);
	assert_true(!kept.saved);
	dk_bank_free(a);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_round_trip),
		cmocka_unit_test(test_stale),
		cmocka_unit_test(test_flipped),
		cmocka_unit_test(test_cut),
		cmocka_unit_test(test_hostile),
		cmocka_unit_test(test_open),
	};
	return cmocka_run_group_tests(tests, set_up, tear_down);
}
