#pragma once
// The pure gases from which the working gases are made, and dry air as the model sees it. Plain double.
#include "gas/table.h"

typedef enum dk_species
{
	DK_N2,
	DK_O2,
	DK_CO2,
	DK_H2O,
	DK_AR,
	DK_CO,
	DK_SPECIES_COUNT
} dk_species;

#define DK_R_MOLAR 8.314462618 // J/(mol K) [CODATA18]

// Index by formula as people write it (N2, O2, CO2, H2O, Ar, CO), -1 when there is none.
int dk_species_find(const char *name);

// Molar mass [kg/mol].
double dk_species_molar_mass(dk_species which);

/// Heat capacity [J/(mol K)], enthalpy over that at 298.15 K [J/mol], entropy at 1 atm [J/(mol K)].
///
/// Given:   temperature_k 200 .. 3500. Below 300 K N2 is used outside its fit: cp within about 0.3 %.
/// Source:  [GRI30] 7-coefficient polynomials; within 0.25 % of JANAF in cp (H2O at 2000 K 1.2 %).
double dk_species_cp(dk_species which, double temperature_k);
double dk_species_enthalpy(dk_species which, double temperature_k);
double dk_species_entropy(dk_species which, double temperature_k);

// Dry air from the very fit that the cycle integrates.
typedef struct dk_gas_air_result
{
	double cp, gamma; // J/(kg K), -
	double h, s;      // over the values at 300 K, s at equal pressure: J/kg, J/(kg K)
	double pr;        // relative pressure over that at 300 K: exp(s/R)
} dk_gas_air_result;
dk_gas_air_result dk_gas_air(double temperature_k);

// u [J/kg] and du/dT of one fit at a temperature; s over that at 300 K at equal pressure.
double dk_gas_fit_energy(const dk_gas_fit *fit, double temperature_k);
double dk_gas_fit_cv(const dk_gas_fit *fit, double temperature_k);
double dk_gas_fit_entropy(const dk_gas_fit *fit, double temperature_k);

/// Net calorific value of distillate fuel [J/kg] by its density at 15 degC [kg/m3].
/// Given:   shares of water, ash, sulphur by mass. Valid: 750 .. 1000 kg/m3.
/// Source:  [ISO8217] annex on specific energy.
double dk_gas_lhv(double density_kg_m3, double water, double ash, double sulphur);

/// Dry exhaust of complete lean combustion of CH1.86: volume shares of CO2 and O2.
/// Given:   lambda >= 1. Source: element balance; air with O2 20.95 %, 3.7733 mol of the rest a mol of O2.
void dk_gas_dry_exhaust(double lambda, double *co2, double *o2);
