#include "gas/species.h"
#include <math.h>
#include <string.h>

// One row a gas: molar mass, limit between the two ranges, a1..a7 below and above. [GRI30]
static const struct
{
	const char *name;
	double molar_kg;
	double low[7], high[7];
} kSpecies[DK_SPECIES_COUNT] = {
	{ "N2", 28.0134e-3,
	    { 3.298677, 1.4082404e-3, -3.963222e-6, 5.641515e-9, -2.444854e-12, -1020.8999, 3.950372 },
	    { 2.92664, 1.4879768e-3, -5.68476e-7, 1.0097038e-10, -6.753351e-15, -922.7977, 5.980528 } },
	{ "O2", 31.9988e-3,
	    { 3.78245636, -2.99673416e-3, 9.84730201e-6, -9.68129509e-9, 3.24372837e-12, -1063.94356,
	        3.65767573 },
	    { 3.28253784, 1.48308754e-3, -7.57966669e-7, 2.09470555e-10, -2.16717794e-14, -1088.45772,
	        5.45323129 } },
	{ "CO2", 44.0095e-3,
	    { 2.35677352, 8.98459677e-3, -7.12356269e-6, 2.45919022e-9, -1.43699548e-13, -48371.9697,
	        9.90105222 },
	    { 3.85746029, 4.41437026e-3, -2.21481404e-6, 5.23490188e-10, -4.72084164e-14, -48759.166,
	        2.27163806 } },
	{ "H2O", 18.01528e-3,
	    { 4.19864056, -2.0364341e-3, 6.52040211e-6, -5.48797062e-9, 1.77197817e-12, -30293.7267,
	        -0.849032208 },
	    { 3.03399249, 2.17691804e-3, -1.64072518e-7, -9.7041987e-11, 1.68200992e-14, -30004.2971,
	        4.9667701 } },
	{ "Ar", 39.948e-3, { 2.5, 0, 0, 0, 0, -745.375, 4.366 }, { 2.5, 0, 0, 0, 0, -745.375, 4.366 } },
	{ "CO", 28.0101e-3,
	    { 3.57953347, -6.1035368e-4, 1.01681433e-6, 9.07005884e-10, -9.04424499e-13, -14344.086, 3.50840928 },
	    { 2.71518561, 2.06252743e-3, -9.98825771e-7, 2.30053008e-10, -2.03647716e-14, -14151.8724,
	        7.81868772 } },
};

// Mole shares of dry air.
static const double kAir[DK_SPECIES_COUNT] = { 0.78084, 0.20946, 0.00036, 0, 0.00934, 0 };

// Hydrogen per carbon of the model fuel, and atomic masses.
static const double kHydrogen = 1.86;
static const double kCarbonMolar = 12.011e-3;
static const double kHydrogenMolar = 1.008e-3;

int dk_species_find(const char *name)
{
	for (int i = 0; i < DK_SPECIES_COUNT; ++i)
		if (strcmp(name, kSpecies[i].name) == 0) return i;
	return -1;
}

double dk_species_molar_mass(dk_species which)
{
	return kSpecies[which].molar_kg;
}

static const double *coefficients(dk_species which, double t)
{
	return t < 1000 ? kSpecies[which].low : kSpecies[which].high;
}

double dk_species_cp(dk_species which, double t)
{
	const double *a = coefficients(which, t);
	return DK_R_MOLAR * (a[0] + t * (a[1] + t * (a[2] + t * (a[3] + t * a[4]))));
}

static double absolute_enthalpy(dk_species which, double t)
{
	const double *a = coefficients(which, t);
	const double series = a[0] + t * (a[1] / 2 + t * (a[2] / 3 + t * (a[3] / 4 + t * a[4] / 5)));
	return DK_R_MOLAR * (t * series + a[5]);
}

double dk_species_enthalpy(dk_species which, double t)
{
	return absolute_enthalpy(which, t) - absolute_enthalpy(which, 298.15);
}

double dk_species_entropy(dk_species which, double t)
{
	const double *a = coefficients(which, t);
	const double series = t * (a[1] + t * (a[2] / 2 + t * (a[3] / 3 + t * a[4] / 4)));
	return DK_R_MOLAR * (a[0] * log(t) + series + a[6]);
}

// u = h - R T of a mixture as one polynomial a range, h = 0 at 298.15 K.
static dk_gas_fit mix(const double moles[DK_SPECIES_COUNT])
{
	dk_gas_fit fit = { 0 };
	double mass = 0, total = 0, h0 = 0;
	for (int i = 0; i < DK_SPECIES_COUNT; ++i)
	{
		mass += moles[i] * kSpecies[i].molar_kg;
		total += moles[i];
		h0 += moles[i] * absolute_enthalpy((dk_species)i, 298.15);
	}
	for (int i = 0; i < DK_SPECIES_COUNT; ++i)
	{
		const double r = moles[i] * DK_R_MOLAR / mass;
		for (int k = 0; k < 5; ++k)
		{
			fit.low[k + 1] += r * kSpecies[i].low[k] / (k + 1);
			fit.high[k + 1] += r * kSpecies[i].high[k] / (k + 1);
		}
		fit.low[0] += r * kSpecies[i].low[5];
		fit.high[0] += r * kSpecies[i].high[5];
	}
	fit.r_j_kgk = total * DK_R_MOLAR / mass;
	fit.low[0] -= h0 / mass;
	fit.high[0] -= h0 / mass;
	fit.low[1] -= fit.r_j_kgk;
	fit.high[1] -= fit.r_j_kgk;
	return fit;
}

void dk_gas_table_fill(dk_gas_table *table)
{
	const double water[DK_SPECIES_COUNT] = { [DK_H2O] = 1 };
	table->air = mix(kAir);
	table->water = mix(water);

	// CH_y + (1 + y/4) O2 -> CO2 + y/2 H2O, the rest of the air unchanged
	const double oxygen = 1 + kHydrogen / 4;
	double burned[DK_SPECIES_COUNT], air_mass = 0;
	for (int i = 0; i < DK_SPECIES_COUNT; ++i)
	{
		const double moles = kAir[i] / kAir[DK_O2] * oxygen;
		burned[i] = i == DK_O2 ? 0 : moles;
		air_mass += moles * kSpecies[i].molar_kg;
	}
	burned[DK_CO2] += 1;
	burned[DK_H2O] += kHydrogen / 2;
	table->burned = mix(burned);
	table->air_per_fuel = air_mass / (kCarbonMolar + kHydrogen * kHydrogenMolar);
}

double dk_gas_fit_energy(const dk_gas_fit *fit, double t)
{
	const double *c = t < 1000 ? fit->low : fit->high;
	return c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * (c[4] + t * c[5]))));
}

double dk_gas_fit_cv(const dk_gas_fit *fit, double t)
{
	const double *c = t < 1000 ? fit->low : fit->high;
	return c[1] + t * (2 * c[2] + t * (3 * c[3] + t * (4 * c[4] + t * 5 * c[5])));
}

// integral of cp/T within one range
static double entropy_between(const double *c, double r, double from, double to)
{
	double sum = (c[1] + r) * log(to / from), high = 1, low = 1;
	for (int k = 2; k <= 5; ++k)
	{
		high *= to;
		low *= from;
		sum += c[k] * k / (k - 1) * (high - low);
	}
	return sum;
}

double dk_gas_fit_entropy(const dk_gas_fit *fit, double t)
{
	if (t <= 1000) return entropy_between(fit->low, fit->r_j_kgk, 300, t);
	return entropy_between(fit->low, fit->r_j_kgk, 300, 1000) +
	       entropy_between(fit->high, fit->r_j_kgk, 1000, t);
}

dk_gas_air_result dk_gas_air(double t)
{
	dk_gas_table table;
	dk_gas_table_fill(&table);
	const double r = table.air.r_j_kgk, cv = dk_gas_fit_cv(&table.air, t);
	const double h = dk_gas_fit_energy(&table.air, t) + r * t;
	const double h300 = dk_gas_fit_energy(&table.air, 300) + r * 300;
	const double s = dk_gas_fit_entropy(&table.air, t);
	return (dk_gas_air_result){ cv + r, 1 + r / cv, h - h300, s, exp(s / r) };
}

double dk_gas_lhv(double density, double water, double ash, double sulphur)
{
	const double dry = 46.423 - 8.792e-6 * density * density + 3.170e-3 * density;
	return 1e6 * (dry * (1 - water - ash - sulphur) + 9.420 * sulphur - 2.449 * water);
}

void dk_gas_dry_exhaust(double lambda, double *co2, double *o2)
{
	const double oxygen = 1 + kHydrogen / 4;
	const double moles = 1 + oxygen * (lambda - 1) + 3.7733 * oxygen * lambda;
	*co2 = 1 / moles;
	*o2 = oxygen * (lambda - 1) / moles;
}
