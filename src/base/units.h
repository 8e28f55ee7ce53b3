#pragma once
// People's units to SI and back, by quantity: "92 mm", "38 hp", "1.4 bar", "98 C". The only place where
// units are converted. A unit belongs to one quantity; a value in a unit of another quantity is an error
// that says what was expected. Used at the edges, in app, report and catalog; nothing below them sees
// anything but SI and table units.
#include "base/error.h"
#include <stdbool.h>

// Quantities: enum name, words, SI unit (what "to SI" means).
#define DK_QUANTITY_LIST(X)                                                                                  \
	X(NUMBER, "a plain number", "-")                                                                         \
	X(LENGTH, "a length", "m")                                                                               \
	X(AREA, "an area", "m2")                                                                                 \
	X(VOLUME, "a volume", "m3")                                                                              \
	X(MASS, "a mass", "kg")                                                                                  \
	X(TIME, "a time", "s")                                                                                   \
	X(SPEED, "a speed", "m/s")                                                                               \
	X(ROTATION, "a speed of rotation", "rad/s")                                                              \
	X(PRESSURE, "a pressure", "Pa")                                                                          \
	X(TEMPERATURE, "a temperature", "K")                                                                     \
	X(POWER, "a power", "W")                                                                                 \
	X(TORQUE, "a torque", "Nm")                                                                              \
	X(FLOW, "a volume flow", "m3/s")                                                                         \
	X(MASS_FLOW, "a mass flow", "kg/s")                                                                      \
	X(VOLTAGE, "a voltage", "V")                                                                             \
	X(CURRENT, "a current", "A")                                                                             \
	X(RESISTANCE, "a resistance", "ohm")                                                                     \
	X(CHARGE, "an electric charge", "As")                                                                    \
	X(ANGLE, "an angle", "rad")                                                                              \
	X(KINEMATIC, "a kinematic viscosity", "m2/s")                                                            \
	X(VISCOSITY, "a dynamic viscosity", "Pa s")                                                              \
	X(ENERGY, "an energy", "J")                                                                              \
	X(HEATING_VALUE, "an energy per mass", "J/kg")                                                           \
	X(DENSITY, "a density", "kg/m3")                                                                         \
	X(FUEL_USE, "a fuel use per energy", "kg/J")                                                             \
	X(FREQUENCY, "a frequency", "Hz")                                                                        \
	X(SMOKE, "a smoke number", "fsn")                                                                        \
	X(PRESSURE_RISE, "a pressure rise per crank angle", "Pa/rad")                                            \
	X(MOTOR_CONSTANT, "a motor constant", "V s/rad")                                                         \
	X(FLOW_RESISTANCE, "a flow resistance", "Pa s/m3")                                                       \
	X(FLOW_CONDUCTANCE, "a flow per pressure", "m3/(Pa s)")                                                  \
	X(DRAG_MASS, "a resistance to mass flow squared", "Pa s2/kg2")                                           \
	X(DRAG_VOLUME, "a resistance to volume flow squared", "Pa s2/m6")                                        \
	X(CONDUCTANCE, "a heat flow per kelvin", "W/K")                                                          \
	X(HEAT_CAPACITY, "a heat capacity", "J/K")                                                               \
	X(HEAT_TRANSFER, "a heat transfer coefficient", "W/(m2 K)")                                              \
	X(HEAT_RISE, "a temperature rise per power", "K/W")                                                      \
	X(SPECIFIC_HEAT, "a specific heat", "J/(kg K)")

typedef enum dk_quantity
{
#define X(name, words, si) DK_Q_##name,
	DK_QUANTITY_LIST(X)
#undef X
	    DK_QUANTITY_COUNT,
	DK_Q_NONE = DK_QUANTITY_COUNT // no such unit
} dk_quantity;

// Words ("a pressure") and SI unit ("Pa") of a quantity.
const char *dk_quantity_words(dk_quantity quantity);
const char *dk_quantity_si(dk_quantity quantity);

// Quantity of a unit by its text, DK_Q_NONE when the unit is not known. "" and "-" are plain numbers.
dk_quantity dk_unit_quantity(const char *unit);

// Value in `unit` to SI, and SI to `unit`. NAN when the unit is not known.
double dk_unit_to_si(double value, const char *unit);
double dk_unit_from_si(double si, const char *unit);

// Between two units of one quantity; NAN when one is not known or the quantities differ.
double dk_unit_convert(double value, const char *from, const char *to);

// Splits "98 C" into 98 and "C" ("" when there is none). Plain decimal numbers only: no nan, inf, hex.
// Errors: DK_BAD_INPUT (not a number, a decimal comma).
dk_status dk_number_parse(const char *text, double *value, const char **unit, dk_error *error);

// How a number without a unit is taken by dk_unit_read.
typedef enum dk_bare
{
	DK_BARE_REFUSED, // an error that names the units that fit (plain numbers, "-", need no unit)
	DK_BARE_TABLE    // it is in the wanted unit already
} dk_bare;

// Reads "92 mm" into the unit `want` (a unit of people or of a table: "m", "Pa s/m3", "degC", "l/min").
//
// Given:   text, the wanted unit, what a bare number means, the field's name for the error
// Returns: the value in `want`
// Errors:  DK_BAD_INPUT (no number, no unit), DK_WRONG_UNIT (unit unknown or of another quantity;
//          the sentence says what was expected). `value` is written only on DK_OK.
dk_status dk_unit_read(
    const char *text, const char *want, dk_bare bare, const char *field, double *value, dk_error *error);

// The same with a range in `want`: outside it DK_OUT_OF_RANGE, naming low, high and unit.
dk_status dk_unit_read_range(const char *text, const char *want, dk_bare bare, double low, double high,
    const char *field, double *value, dk_error *error);

// Units of a quantity as people may write them, for an error or a help text: "mm, cm, m, in, ft". Writes at
// most size bytes.
char *dk_unit_examples(dk_quantity quantity, char *text, size_t size);
