#pragma once
// Energy and temperature of the charge in lanes. The charge is two gases, humid air and burned gas, each
// with u(T) as a polynomial of degree 5 below and above 1000 K. Inline: this is the innermost work of a
// cycle.
//
// Below 300 K the polynomial of N2 is used outside its fit (cp within about 0.3 % down to 250 K).
#include "gas/table.h"
#include "num/real.h"

// The two gases of each engine; humidity makes them differ between engines.
typedef struct dk_gas_pair
{
	dk_real air_low[6], air_high[6];
	dk_real burned_low[6], burned_high[6];
	dk_real air_r, burned_r; // J/(kg K)
	dk_real air_per_fuel;    // kg of humid air to burn 1 kg of fuel
} dk_gas_pair;

// Internal energy of a charge at a temperature and its derivative (mass times cv).
typedef struct dk_gas_energy
{
	dk_real u_j, c_j_k;
} dk_gas_energy;

// Humid air with humidity kg of vapour per kg of dry air, and what it burns to.
static inline void dk_gas_pair_fill(const dk_gas_table *table, dk_real humidity, dk_gas_pair *pair)
{
	// by mass: dry air 1, vapour w; burned: products of 1 kg fuel with a kg air, and the vapour of that air
	const dk_real air_water = humidity / (1 + humidity);
	const dk_real burned_water =
	    table->air_per_fuel * humidity / (1 + table->air_per_fuel + table->air_per_fuel * humidity);
	for (int k = 0; k < 6; ++k)
	{
		const dk_gas_fit *a = &table->air, *b = &table->burned, *w = &table->water;
		pair->air_low[k] = a->low[k] + air_water * (w->low[k] - a->low[k]);
		pair->air_high[k] = a->high[k] + air_water * (w->high[k] - a->high[k]);
		pair->burned_low[k] = b->low[k] + burned_water * (w->low[k] - b->low[k]);
		pair->burned_high[k] = b->high[k] + burned_water * (w->high[k] - b->high[k]);
	}
	const double ra = table->air.r_j_kgk, rb = table->burned.r_j_kgk, rw = table->water.r_j_kgk;
	pair->air_r = ra + air_water * (rw - ra);
	pair->burned_r = rb + burned_water * (rw - rb);
	pair->air_per_fuel = table->air_per_fuel * (1 + humidity);
}

// Internal energy and cv of each gas, per kg, at one temperature.
typedef struct dk_gas_each
{
	dk_real air_u, air_c, burned_u, burned_c; // J/kg, J/(kg K)
} dk_gas_each;

// Horner for the value and the derivative together, the range chosen per lane.
static inline void dk_gas_polynomial(
    const dk_real *low, const dk_real *high, dk_mask is_low, dk_real t, dk_real *u, dk_real *c)
{
	dk_real value = dk_choose(is_low, low[5], high[5]), slope = value;
	for (int k = 4; k >= 1; --k)
	{
		value = value * t + dk_choose(is_low, low[k], high[k]);
		slope = slope * t + value;
	}
	*u = value * t + dk_choose(is_low, low[0], high[0]);
	*c = slope;
}

static inline dk_gas_each dk_gas_each_at(const dk_gas_pair *pair, dk_real t)
{
	const dk_mask is_low = t < 1000;
	dk_gas_each each;
	dk_gas_polynomial(pair->air_low, pair->air_high, is_low, t, &each.air_u, &each.air_c);
	dk_gas_polynomial(pair->burned_low, pair->burned_high, is_low, t, &each.burned_u, &each.burned_c);
	return each;
}

static inline dk_gas_energy dk_gas_sum(const dk_gas_each *each, dk_real air_kg, dk_real burned_kg)
{
	return (dk_gas_energy){ air_kg * each->air_u + burned_kg * each->burned_u,
		air_kg * each->air_c + burned_kg * each->burned_c };
}

// Energy of air_kg and burned_kg at temperature t.
static inline dk_gas_energy dk_gas_energy_of(
    const dk_gas_pair *pair, dk_real air_kg, dk_real burned_kg, dk_real t)
{
	const dk_gas_each each = dk_gas_each_at(pair, t);
	return dk_gas_sum(&each, air_kg, burned_kg);
}

// One Newton step towards the temperature that belongs to an energy; quadratic, so that a start 1 K off
// ends within 2e-4 K.
static inline dk_real dk_gas_newton(dk_gas_energy at, dk_real energy_j, dk_real t)
{
	return t + (energy_j - at.u_j) / at.c_j_k;
}

// Gas constant times mass [J/K].
static inline dk_real dk_gas_mr(const dk_gas_pair *pair, dk_real air_kg, dk_real burned_kg)
{
	return air_kg * pair->air_r + burned_kg * pair->burned_r;
}

/// Temperature of a charge of known internal energy: eight fixed Newton steps from 700 K, held within
/// 150 .. 4000 K. Given: masses [kg], energy [J]. Returns K.
static inline dk_real dk_gas_temperature(
    const dk_gas_pair *pair, dk_real air_kg, dk_real burned_kg, dk_real energy_j)
{
	dk_real t = dk_set(700);
	for (int i = 0; i < 8; ++i)
		t = dk_clip(dk_gas_newton(dk_gas_energy_of(pair, air_kg, burned_kg, t), energy_j, t), 150, 4000);
	return t;
}

/// Temperature at which air_kg and burned_kg have an enthalpy u + R T of enthalpy_j.
static inline dk_real dk_gas_temperature_of_enthalpy(
    const dk_gas_pair *pair, dk_real air_kg, dk_real burned_kg, dk_real enthalpy_j)
{
	const dk_real mr = dk_gas_mr(pair, air_kg, burned_kg);
	dk_real t = dk_set(700);
	for (int i = 0; i < 8; ++i)
	{
		const dk_gas_energy at = dk_gas_energy_of(pair, air_kg, burned_kg, t);
		t = dk_clip(t + (enthalpy_j - at.u_j - mr * t) / (at.c_j_k + mr), 150, 4000);
	}
	return t;
}
