#include "plant/propeller.h"
#include "plant_a.h"

static void coefficients_add_up(void **state)
{
	(void)state;
	double sum[2] = { 0, 0 }, size[2] = { 0, 0 };
	for (int torque = 0; torque < 2; ++torque)
		for (int i = 0; i < (torque ? DK_PROPELLER_KQ_TERMS : DK_PROPELLER_KT_TERMS); ++i)
		{
			int power[4];
			const double c = dk_propeller_term(torque, i, power);
			sum[torque] += c, size[torque] += fabs(c);
		}
	expect_near(sum[0], -0.0337731941, 5e-11, "[BERNITSAS81] sum of 39 terms");
	expect_near(size[0], 2.3598490919, 5e-11, "[BERNITSAS81] sum of 39 sizes");
	expect_near(sum[1], 0.0098693749, 5e-11, "[BERNITSAS81] sum of 47 terms");
	expect_near(size[1], 0.9169450425, 5e-11, "[BERNITSAS81] sum of 47 sizes");
}

static const struct
{
	double z, area, pitch, j, kt, ten_kq, eta; // eta < 0: not given
} kOpen[] = {
	{ 4, 0.65, 1.40, 0, 0.603799, 1.234363, -1 },
	{ 4, 0.65, 1.40, 0.80, 0.326564, 0.712687, 0.58342 },
	{ 3, 0.50, 0.70, 0, 0.277685, 0.301093, -1 },
	{ 3, 0.50, 0.70, 0.2, 0.220678, 0.247745, 0.28353 },
	{ 3, 0.50, 0.70, 0.5, 0.113810, 0.147954, 0.61213 },
	{ 3, 0.50, 0.80, 0.5, 0.157893, 0.214808, 0.58493 },
	{ 2, 0.35, 0.70, 0.35, 0.151593, 0.164916, 0.51204 },
};

static void open_water(void **state)
{
	(void)state;
	dk_propeller p;
	for (size_t i = 0; i < sizeof kOpen / sizeof *kOpen; ++i)
	{
		dk_propeller_b_series_w1(kOpen[i].pitch, kOpen[i].area, kOpen[i].z, &p);
		const double kt = dk_propeller_kt_w1(&p, kOpen[i].j), kq = dk_propeller_kq_w1(&p, kOpen[i].j);
		expect_near(kt, kOpen[i].kt, 6e-7, "[OOSTERVELD75] KT");
		expect_near(10 * kq, kOpen[i].ten_kq, 6e-7, "[OOSTERVELD75] 10 KQ");
		if (kOpen[i].eta >= 0)
			expect_near(dk_propeller_efficiency_w1(kOpen[i].j, kt, kq), kOpen[i].eta, 6e-6,
			    "[OOSTERVELD75] efficiency");
	}
	dk_propeller_b_series_w1(0.70, 0.50, 3, &p);
	expect_near(p.zero_thrust_j, 0.778229, 6e-7, "[OOSTERVELD75] zero thrust");
}

// the cubics hold what a plain sum of the published terms gives, by libm
static void cubics_equal_the_plain_sum(void **state)
{
	(void)state;
	for (int n = 0; n < 200; ++n)
	{
		const double pitch = 0.5 + 0.9 * fmod(n * 0.618, 1), area = 0.3 + 0.75 * fmod(n * 0.414, 1);
		const double z = 2 + n % 6, j = 1.2 * fmod(n * 0.732, 1);
		dk_propeller p;
		dk_propeller_b_series_w1(pitch, area, z, &p);
		for (int torque = 0; torque < 2; ++torque)
		{
			double sum = 0;
			for (int i = 0; i < (torque ? DK_PROPELLER_KQ_TERMS : DK_PROPELLER_KT_TERMS); ++i)
			{
				int e[4];
				const double c = dk_propeller_term(torque, i, e);
				sum += c * pow(j, e[0]) * pow(pitch, e[1]) * pow(area, e[2]) * pow(z, e[3]);
			}
			expect_near(torque ? dk_propeller_kq_w1(&p, j) : dk_propeller_kt_w1(&p, j), sum, 1e-12,
			    "identity: two ways");
		}
	}
}

static void reynolds_correction(void **state)
{
	(void)state;
	double kt, kq;
	dk_propeller_reynolds_w1(0.6, 1.0, 0.65, 4, 2e7, &kt, &kq);
	expect_near(kt, 0.000545101, 6e-8, "[OOSTERVELD75] dKT");
	expect_near(kq, -0.001014680, 1.1e-7, "[OOSTERVELD75] dKQ");

	// it is the difference from 2e6, so there it should be next to nothing
	double mean = 0;
	int count = 0;
	for (double j = 0.3; j < 0.95; j += 0.2)
		for (double pitch = 0.6; pitch < 1.25; pitch += 0.2)
			for (double area = 0.45; area < 0.8; area += 0.15)
				for (int z = 3; z <= 5; ++z, ++count)
				{
					dk_propeller_reynolds_w1(j, pitch, area, z, 2e6, &kt, &kq);
					mean += fabs(kt);
				}
	assert_true(mean / count < 0.0003);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(coefficients_add_up),
		cmocka_unit_test(open_water),
		cmocka_unit_test(cubics_equal_the_plain_sum),
		cmocka_unit_test(reynolds_correction),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
