// Arena, hashes, status words and the sentence of an error.
#include "base/arena.h"
#include "base/error.h"
#include "base/hash.h"
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

static void test_arena(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	unsigned char *kept[200];
	for (int i = 0; i < 200; ++i)
	{
		const size_t size = (size_t)i * 997 + 1;
		kept[i] = dk_arena_take(arena, size);
		assert_int_equal((uintptr_t)kept[i] % 16, 0);
		for (size_t k = 0; k < size; ++k) assert_int_equal(kept[i][k], 0);
		memset(kept[i], i + 1, size);
	}
	for (int i = 0; i < 200; ++i)
	{
		const size_t size = (size_t)i * 997 + 1;
		assert_int_equal(kept[i][0], (unsigned char)(i + 1));
		assert_int_equal(kept[i][size - 1], (unsigned char)(i + 1));
	}
	assert_string_equal(dk_arena_text(arena, "abc"), "abc");
	assert_string_equal(dk_arena_bytes(arena, "abcdef", 3), "abc");
	assert_string_equal(dk_arena_format(arena, "%d-%s", 7, "x"), "7-x");
	assert_true(dk_arena_used(arena) > 200 * 199 / 2 * 997);
	dk_arena_free(arena);
	dk_arena_free(NULL);
}

static void test_hash(void **state)
{
	(void)state;

	// test vectors printed with the definition of FNV-1a, 64 bit, and the check value of CRC-32
	assert_true(dk_hash_bytes(DK_HASH_START, "", 0) == UINT64_C(0xcbf29ce484222325));
	assert_true(dk_hash_bytes(DK_HASH_START, "a", 1) == UINT64_C(0xaf63dc4c8601ec8c));
	assert_true(dk_hash_bytes(DK_HASH_START, "foobar", 6) == UINT64_C(0x85944171f73967e8));
	assert_true(dk_crc32(0, "123456789", 9) == UINT32_C(0xcbf43926));
	assert_true(dk_crc32(dk_crc32(0, "12345", 5), "6789", 4) == UINT32_C(0xcbf43926));

	// identities: pieces differ from the whole, -0 is 0, every NaN is one
	assert_true(dk_hash_text(dk_hash_text(DK_HASH_START, "a"), "bc") !=
	            dk_hash_text(dk_hash_text(DK_HASH_START, "ab"), "c"));
	assert_true(dk_hash_double(DK_HASH_START, -0.0) == dk_hash_double(DK_HASH_START, 0.0));
	assert_true(dk_hash_double(DK_HASH_START, NAN) == dk_hash_double(DK_HASH_START, -NAN));
	assert_true(dk_hash_double(DK_HASH_START, 1) != dk_hash_double(DK_HASH_START, nextafter(1, 2)));
}

static void test_error(void **state)
{
	(void)state;
	dk_error error;
	char text[DK_ERROR_TEXT];
	assert_int_equal(dk_error_set(&error, DK_OUT_OF_RANGE, "the bore is %d mm", 840), DK_OUT_OF_RANGE);
	dk_error_field(&error, "bore");
	dk_error_range(&error, 50, 250, "mm");
	dk_error_at(&error, "engine.yaml", 12, 9);
	assert_int_equal(dk_error_advice(&error, "check the manual"), DK_OUT_OF_RANGE);
	assert_string_equal(dk_error_text(&error, text, sizeof text),
	    "engine.yaml:12:9: bore: the bore is 840 mm; allowed: 50 to 250 mm; check the manual");

	// a terminal is not upset, a long text says that it was cut, a small buffer is kept
	dk_error_set(&error, DK_BAD_INPUT, "a\x1b[2Jb");
	assert_string_equal(dk_error_text(&error, text, sizeof text), "a?[2Jb");
	char longer[1000], small[10];
	memset(longer, 'x', 999), longer[999] = 0;
	dk_error_set(&error, DK_BAD_INPUT, "%s", longer);
	assert_string_equal(error.what + strlen(error.what) - 3, "...");
	assert_int_equal(strlen(dk_error_text(&error, small, sizeof small)), 9);
	static const char *const names[] = { "crank.turns" };
	dk_error_set(&error, DK_UNKNOWN_NAME, "no");
	dk_error_nearest(&error, "crank.turn", names, 1);
	assert_string_equal(dk_error_text(&error, text, sizeof text), "no; did you mean 'crank.turns'?");
	dk_error_set(&error, DK_UNKNOWN_NAME, "no");
	dk_error_nearest(&error, "xyz", names, 1);
	assert_string_equal(dk_error_text(&error, text, sizeof text), "no");

	// nobody asked for the words
	assert_int_equal(dk_error_set(NULL, DK_NO_FILE, "x"), DK_NO_FILE);
	assert_int_equal(dk_error_field(NULL, "x"), DK_BAD_INPUT);
	for (int i = 0; i < DK_STATUS_COUNT; ++i) assert_true(strlen(dk_status_text((dk_status)i)) > 1);
	assert_true(strlen(dk_status_text((dk_status)99)) > 1);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_arena), cmocka_unit_test(test_hash),
		cmocka_unit_test(test_error) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
