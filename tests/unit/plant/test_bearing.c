#include "plant/bearing.h"
#include "plant_a.h"

static void textbook_bearing(void **state)
{
	(void)state;
	const double r = 0.01905, c = 38.1e-6, l = 0.0381, mu = 0.0276;
	expect_near(dk_bearing_petroff_nm_w1(mu, 30, r, c, l), 0.2260, 5e-5, "[SHIGLEY 12-3]");

	// 222 psi; the load per area is what the book rounds, S is printed to three digits
	expect_near(
	    dk_bearing_sommerfeld_w1(r, c, 27.579e-3, 30, 222 * 6894.757), 0.1351, 5e-5, "[SHIGLEY 12-4]");

	// chart value at that S: f r/c 3.50 gives a torque of 2.62 lbf in; Petroff is below it (eccentric film
	// drags more)
	const double chart_nm = 2.62 * 0.112985;
	assert_true(dk_bearing_petroff_nm_w1(mu, 30, r, c, l) < chart_nm);
}

static void groove_flow(void **state)
{
	(void)state;
	const double flow = dk_bearing_flow_w1(0.012, 3e5, 0.01905, 38.1e-6, 0.015, 0);
	expect_near(flow * 1e6, 1.839, 5e-4, "[SHIGLEY 12-12]");
	expect_near(dk_bearing_flow_w1(0.012, 3e5, 0.01905, 76.2e-6, 0.015, 0), 8 * flow, 1e-15,
	    "identity: clearance cubed");
	expect_near(dk_bearing_flow_w1(0.012, 3e5, 0.01905, 38.1e-6, 0.015, 1), 2.5 * flow, 1e-15,
	    "identity: 1 + 1.5 e^2");
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(textbook_bearing), cmocka_unit_test(groove_flow) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
