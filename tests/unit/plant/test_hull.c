#include "plant/hull.h"
#include "plant_a.h"

static void friction_line(void **state)
{
	(void)state;
	expect_near(dk_hull_ittc57_w1(1e6), 0.0046875, 1e-12, "[ITTC57]");
	expect_near(dk_hull_ittc57_w1(1e7), 0.003, 1e-12, "[ITTC57]");
	expect_near(dk_hull_ittc57_w1(5e6), 0.00339669, 5e-9, "[ITTC57]");
	expect_near(dk_hull_ittc57_w1(1e8), 0.00208333, 5e-9, "[ITTC57]");
	expect_near(dk_hull_ittc57_w1(1e9), 0.00153061, 5e-9, "[ITTC57]");
	for (double re = 1e5; re < 1e9; re *= 1.3)
		assert_true(dk_hull_ittc57_w1(re) > dk_hull_ittc57_w1(re * 1.3));
}

// the 40-foot cruising yacht of the textbook; waterplane and centre of flotation are not printed there
static const dk_hull_form kYacht = { .lwl_m = 10.02,
	.bwl_m = 3.17,
	.draught_m = 0.57,
	.volume_m3 = 7.63,
	.wetted_m2 = 25.2,
	.waterplane_m2 = 22,
	.prismatic = 0.56,
	.midship = 0.75,
	.lcb = 0.535,
	.lcf = 0.55 };

static void residuary_of_a_known_yacht(void **state)
{
	(void)state;
	dk_real row[DK_HULL_KS98_ROWS];
	dk_hull_ks98_rows_w1(&kYacht, row);
	const double weight = 7.63 * 1025 * 9.80665;
	expect_near(dk_hull_ks98_w1(row, 0.35), 0.006848, 5e-7, "[KS98] ratio at 0.35");
	expect_near(weight * dk_hull_ks98_w1(row, 0.35), 525.2, 0.06, "[KS98] 0.35");
	expect_near(weight * dk_hull_ks98_w1(row, 0.30), 222.0, 0.06, "[KS98] 0.30");
	expect_near(weight * dk_hull_ks98_w1(row, 0.45), 3180.8, 0.06, "[KS98] 0.45");
	expect_near(weight * dk_hull_kk08_w1(&kYacht, 0.35), 520.7, 0.06, "[KK08] 0.35");
	expect_near(weight * dk_hull_kk08_w1(&kYacht, 0.40), 1517.2, 0.06, "[KK08] 0.40");

	// straight between rows, nothing at rest, held beyond the last
	expect_near(dk_hull_ks98_w1(row, 0.325), 0.5 * (row[4] + row[5]), 1e-15, "identity");
	assert_true(dk_hull_ks98_w1(row, 0) == 0);
	expect_near(dk_hull_ks98_w1(row, 0.9), row[10], 1e-12, "identity");
}

static void waterplane(void **state)
{
	(void)state;
	// 22 m2 is the assumption of those who quote the yacht; the coefficient formula gives 5 % less
	const double area = dk_hull_waterplane_m2_w1(10.02, 3.17, 0.57, 7.63, 0.75);
	expect_near(area, 22, 0.06 * 22, "[SCHNEEKLUTH] against the quoted 22 m2");
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(friction_line),
		cmocka_unit_test(residuary_of_a_known_yacht),
		cmocka_unit_test(waterplane),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
