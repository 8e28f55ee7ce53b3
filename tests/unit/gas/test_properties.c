// Energy and temperature of a charge: the lanes' fits against the species, and back again.
#include "gas/properties.h"
#include "gas/species.h"
#include "near.h"

static dk_gas_pair pair_of(double humidity)
{
	dk_gas_table table;
	dk_gas_pair pair;
	dk_gas_table_fill(&table);
	dk_gas_pair_fill(&table, humidity, &pair);
	return pair;
}

static void test_burned_gas_is_the_sum_of_its_species(void **state)
{
	(void)state;
	const dk_gas_pair pair = pair_of(0);

	// CH1.86 + 1.465 (O2 + 3.7279 N2 + 0.04459 Ar + 0.00172 CO2): moles after the burn
	const double o2 = 1.465, per_o2 = o2 / 0.20946;
	const double n2 = 0.78084 * per_o2, ar = 0.00934 * per_o2, co2 = 0.00036 * per_o2 + 1, h2o = 0.93;
	const double mass = n2 * 28.0134e-3 + ar * 39.948e-3 + co2 * 44.0095e-3 + h2o * 18.01528e-3;
	int bad = 0;
	for (double t = 250; t < 2900; t += 75)
	{
		const double h = n2 * dk_species_enthalpy(DK_N2, t) + ar * dk_species_enthalpy(DK_AR, t) +
		                 co2 * dk_species_enthalpy(DK_CO2, t) + h2o * dk_species_enthalpy(DK_H2O, t);
		const dk_gas_energy got = dk_gas_energy_of(&pair, 0, 1, t);
		bad += miss("h of burned gas", got.u_j + pair.burned_r * t, h / mass, 1e-6 * fabs(h / mass) + 1e-3,
		    "identity");
		const dk_gas_energy near = dk_gas_energy_of(&pair, 0, 1, t + 0.01);
		bad += miss_share("cv", got.c_j_k, (near.u_j - got.u_j) / 0.01, 1e-4, "derivative");
	}
	assert_int_equal(bad, 0);
}

static void test_temperature_comes_back(void **state)
{
	(void)state;
	int bad = 0;
	for (double w = 0; w < 0.03; w += 0.01)
	{
		const dk_gas_pair pair = pair_of(w);
		for (double t = 240; t < 3000; t += 53)
		{
			const dk_gas_energy at = dk_gas_energy_of(&pair, 3e-4, 2e-4, t);
			const double h = at.u_j + dk_gas_mr(&pair, 3e-4, 2e-4) * t;
			bad += miss("T of u", dk_gas_temperature(&pair, 3e-4, 2e-4, at.u_j), t, 1e-6, "identity");
			bad += miss("T of h", dk_gas_temperature_of_enthalpy(&pair, 3e-4, 2e-4, h), t, 1e-6, "identity");
		}
	}
	assert_int_equal(bad, 0);
}

static void test_humid_air(void **state)
{
	(void)state;
	const dk_gas_pair dry = pair_of(0), humid = pair_of(0.02);
	int bad = 0;

	// R = (Ra + w Rv)/(1 + w), Rv 461.52; a kg of humid air holds less oxygen
	bad += miss("R", humid.air_r, (dry.air_r + 0.02 * 461.523) / 1.02, 1e-2, "gas mixture");
	bad += miss_share("air per fuel", humid.air_per_fuel, dry.air_per_fuel * 1.02, 1e-12, "oxygen balance");

	// what burns keeps its water: u of products of 1 kg fuel and 14.59 kg dry air, and 0.02 x 14.59 kg vapour
	dk_gas_table table;
	dk_gas_table_fill(&table);
	const double a = table.air_per_fuel, t = 1500;
	const double want =
	    ((1 + a) * dk_gas_fit_energy(&table.burned, t) + 0.02 * a * dk_gas_fit_energy(&table.water, t)) /
	    (1 + 1.02 * a);
	bad += miss_share(
	    "u of humid burned gas", dk_gas_energy_of(&humid, 0, 1, t).u_j, want, 1e-12, "mass balance");
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_burned_gas_is_the_sum_of_its_species),
		cmocka_unit_test(test_temperature_comes_back),
		cmocka_unit_test(test_humid_air),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
