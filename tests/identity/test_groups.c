// Two faults that are alike but stand in two systems become one group, though their names and priors differ.
#include "base/arena.h"
#include "catalog/catalog.h"
#include "catalog/record.h"
#include "population/bank.h"
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

static void test_alike_in_two_systems(void **state)
{
	(void)state;
	dk_arena *arena = dk_arena_new();
	const dk_catalog *catalog;
	dk_record record;
	dk_breaking *breaking = NULL;
	assert_int_equal(dk_catalog_load("data", arena, &catalog, NULL), DK_OK);
	assert_int_equal(dk_record_find("data", "three_indirect", arena, &record, NULL), DK_OK);
	assert_int_equal(dk_breaking_open(catalog, &breaking, NULL), DK_OK);

	// the first fault twice, the second time in another system; and one that is something else
	const int first = dk_breaking_find(breaking, catalog->fault[0].id);
	dk_breakage row[3] = { breaking->fault[first], breaking->fault[first],
		breaking->fault[breaking->count - 1] };
	char own[3][8] = { "a.one", "b.twin", "c.other" };
	for (int i = 0; i < 3; ++i) row[i].id = own[i];
	row[1].system = (row[0].system + 1) % DK_SYSTEM_COUNT;
	const dk_breaking alike = { .count = 3, .fault = row, .hash = 1 };

	dk_bank_request request = dk_default_bank_request();
	request.breaking = &alike;
	request.base = record.param;
	request.severities = 16;
	dk_bank *bank = NULL;
	assert_int_equal(dk_bank_build(&request, &bank, NULL), DK_OK);
	assert_int_equal(bank->group_of_fault[0], bank->group_of_fault[1]);
	assert_int_not_equal(bank->group_of_fault[0], bank->group_of_fault[2]);
	assert_int_equal(bank->group_count, 2);
	dk_bank_free(bank);
	dk_breaking_free(breaking);
	dk_arena_free(arena);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_alike_in_two_systems) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
