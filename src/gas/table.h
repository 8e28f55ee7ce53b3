#pragma once
// Thermodynamic constants of the two gases of the cycle, in plain double: humid air is made from dry air
// and water vapour per engine (gas/properties.h), burned gas from stoichiometric products of CH1.86.
// Filled once (it rides in every crank grid); a lane function only reads it.

// u(T) = c[0] + c[1] T + .. + c[5] T^5 [J/kg], h(298.15 K) = 0, below and above 1000 K.
typedef struct dk_gas_fit
{
	double low[6], high[6];
	double r_j_kgk; // gas constant
} dk_gas_fit;

typedef struct dk_gas_table
{
	dk_gas_fit air;      // dry
	dk_gas_fit burned;   // stoichiometric products of CH1.86 and dry air
	dk_gas_fit water;    // water vapour
	double air_per_fuel; // kg of dry air to burn 1 kg of fuel, 14.59
} dk_gas_table;

/// Fills the table from the species polynomials (gas/species.h).
/// Source: GRI-Mech 3.0 thermodynamic data [GRI30]; dry air N2 .78084, O2 .20946, Ar .00934, CO2 .00036.
void dk_gas_table_fill(dk_gas_table *table);
