#include "base/units.h"
#include "base/text.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct unit
{
	const char *name;
	dk_quantity quantity;
	double factor, offset; // SI = (value + offset) x factor
	bool shown;            // named in errors and help
} unit;

// Exact by definition unless said; source: the SI brochure and the definitions of the inch (25.4 mm), pound
// (0.45359237 kg), gallons (231 in3; 4.54609 l), standard gravity (9.80665 m/s2).  [SI9]
static const unit units[] = {
	{ "-", DK_Q_NUMBER, 1, 0, false },
	{ "", DK_Q_NUMBER, 1, 0, false },
	{ "%", DK_Q_NUMBER, 0.01, 0, true },
	{ "percent", DK_Q_NUMBER, 0.01, 0, false },
	{ "mm", DK_Q_LENGTH, 1e-3, 0, true },
	{ "cm", DK_Q_LENGTH, 1e-2, 0, true },
	{ "m", DK_Q_LENGTH, 1, 0, true },
	{ "in", DK_Q_LENGTH, 0.0254, 0, true },
	{ "inch", DK_Q_LENGTH, 0.0254, 0, false },
	{ "\"", DK_Q_LENGTH, 0.0254, 0, false },
	{ "ft", DK_Q_LENGTH, 0.3048, 0, true },
	{ "um", DK_Q_LENGTH, 1e-6, 0, false },
	{ "km", DK_Q_LENGTH, 1e3, 0, false },
	{ "nmi", DK_Q_LENGTH, 1852, 0, false },
	{ "mm2", DK_Q_AREA, 1e-6, 0, true },
	{ "cm2", DK_Q_AREA, 1e-4, 0, true },
	{ "m2", DK_Q_AREA, 1, 0, true },
	{ "in2", DK_Q_AREA, 0.0254 * 0.0254, 0, true },
	{ "ft2", DK_Q_AREA, 0.3048 * 0.3048, 0, false },
	{ "l", DK_Q_VOLUME, 1e-3, 0, true },
	{ "ml", DK_Q_VOLUME, 1e-6, 0, true },
	{ "cl", DK_Q_VOLUME, 1e-5, 0, false },
	{ "litre", DK_Q_VOLUME, 1e-3, 0, false },
	{ "litres", DK_Q_VOLUME, 1e-3, 0, false },
	{ "liter", DK_Q_VOLUME, 1e-3, 0, false },
	{ "liters", DK_Q_VOLUME, 1e-3, 0, false },
	{ "cm3", DK_Q_VOLUME, 1e-6, 0, true },
	{ "cc", DK_Q_VOLUME, 1e-6, 0, false },
	{ "mm3", DK_Q_VOLUME, 1e-9, 0, false },
	{ "dm3", DK_Q_VOLUME, 1e-3, 0, false },
	{ "m3", DK_Q_VOLUME, 1, 0, true },
	{ "usgal", DK_Q_VOLUME, 231 * 0.0254 * 0.0254 * 0.0254, 0, true },
	{ "impgal", DK_Q_VOLUME, 4.54609e-3, 0, true },
	{ "kg", DK_Q_MASS, 1, 0, true },
	{ "g", DK_Q_MASS, 1e-3, 0, true },
	{ "mg", DK_Q_MASS, 1e-6, 0, true },
	{ "t", DK_Q_MASS, 1e3, 0, true },
	{ "lb", DK_Q_MASS, 0.45359237, 0, true },
	{ "lbs", DK_Q_MASS, 0.45359237, 0, false },
	{ "s", DK_Q_TIME, 1, 0, true },
	{ "ms", DK_Q_TIME, 1e-3, 0, true },
	{ "sec", DK_Q_TIME, 1, 0, false },
	{ "seconds", DK_Q_TIME, 1, 0, false },
	{ "min", DK_Q_TIME, 60, 0, true },
	{ "minutes", DK_Q_TIME, 60, 0, false },
	{ "h", DK_Q_TIME, 3600, 0, true },
	{ "hr", DK_Q_TIME, 3600, 0, false },
	{ "hours", DK_Q_TIME, 3600, 0, false },
	{ "kn", DK_Q_SPEED, 1852.0 / 3600, 0, true },
	{ "kt", DK_Q_SPEED, 1852.0 / 3600, 0, false },
	{ "kts", DK_Q_SPEED, 1852.0 / 3600, 0, false },
	{ "knots", DK_Q_SPEED, 1852.0 / 3600, 0, false },
	{ "m/s", DK_Q_SPEED, 1, 0, true },
	{ "mm/s", DK_Q_SPEED, 1e-3, 0, true },
	{ "km/h", DK_Q_SPEED, 1 / 3.6, 0, true },
	{ "mph", DK_Q_SPEED, 1609.344 / 3600, 0, true },
	{ "rpm", DK_Q_ROTATION, 6.283185307179586 / 60, 0, true },
	{ "1/min", DK_Q_ROTATION, 6.283185307179586 / 60, 0, false },
	{ "/min", DK_Q_ROTATION, 6.283185307179586 / 60, 0, false },
	{ "rev/min", DK_Q_ROTATION, 6.283185307179586 / 60, 0, false },
	{ "rad/s", DK_Q_ROTATION, 1, 0, true },
	{ "bar", DK_Q_PRESSURE, 1e5, 0, true },
	{ "mbar", DK_Q_PRESSURE, 100, 0, true },
	{ "kPa", DK_Q_PRESSURE, 1e3, 0, true },
	{ "hPa", DK_Q_PRESSURE, 100, 0, true },
	{ "MPa", DK_Q_PRESSURE, 1e6, 0, true },
	{ "Pa", DK_Q_PRESSURE, 1, 0, true },
	{ "psi", DK_Q_PRESSURE, 6894.757293168361, 0, true },
	{ "inHg", DK_Q_PRESSURE, 3386.389, 0, true },      // conventional
	{ "mmHg", DK_Q_PRESSURE, 133.322387415, 0, true }, // conventional
	{ "mmH2O", DK_Q_PRESSURE, 9.80665, 0, true },
	{ "cmH2O", DK_Q_PRESSURE, 98.0665, 0, false },
	{ "inH2O", DK_Q_PRESSURE, 249.08891, 0, true },
	{ "kgf/cm2", DK_Q_PRESSURE, 98066.5, 0, true },
	{ "kg/cm2", DK_Q_PRESSURE, 98066.5, 0, false },
	{ "atm", DK_Q_PRESSURE, 101325, 0, false },
	{ "C", DK_Q_TEMPERATURE, 1, 273.15, true },
	{ "degC", DK_Q_TEMPERATURE, 1, 273.15, false },
	{ "\xc2\xb0"
	  "C",
	    DK_Q_TEMPERATURE, 1, 273.15, false },
	{ "F", DK_Q_TEMPERATURE, 5.0 / 9, 459.67, true },
	{ "degF", DK_Q_TEMPERATURE, 5.0 / 9, 459.67, false },
	{ "\xc2\xb0"
	  "F",
	    DK_Q_TEMPERATURE, 5.0 / 9, 459.67, false },
	{ "K", DK_Q_TEMPERATURE, 1, 0, true },
	{ "kW", DK_Q_POWER, 1e3, 0, true },
	{ "W", DK_Q_POWER, 1, 0, true },
	{ "hp", DK_Q_POWER, 550 * 0.3048 * 0.45359237 * 9.80665, 0, true },
	{ "bhp", DK_Q_POWER, 550 * 0.3048 * 0.45359237 * 9.80665, 0, false },
	{ "PS", DK_Q_POWER, 75 * 9.80665, 0, true },
	{ "cv", DK_Q_POWER, 75 * 9.80665, 0, false },
	{ "Nm", DK_Q_TORQUE, 1, 0, true },
	{ "N m", DK_Q_TORQUE, 1, 0, false },
	{ "kgf m", DK_Q_TORQUE, 9.80665, 0, true },
	{ "lbf ft", DK_Q_TORQUE, 0.45359237 * 9.80665 * 0.3048, 0, true },
	{ "ft lb", DK_Q_TORQUE, 0.45359237 * 9.80665 * 0.3048, 0, false },
	{ "l/min", DK_Q_FLOW, 1e-3 / 60, 0, true },
	{ "l/h", DK_Q_FLOW, 1e-3 / 3600, 0, true },
	{ "l/s", DK_Q_FLOW, 1e-3, 0, false },
	{ "ml/h", DK_Q_FLOW, 1e-6 / 3600, 0, false },
	{ "ml/min", DK_Q_FLOW, 1e-6 / 60, 0, false },
	{ "m3/h", DK_Q_FLOW, 1.0 / 3600, 0, true },
	{ "m3/s", DK_Q_FLOW, 1, 0, true },
	{ "usgal/h", DK_Q_FLOW, 231 * 0.0254 * 0.0254 * 0.0254 / 3600, 0, true },
	{ "impgal/h", DK_Q_FLOW, 4.54609e-3 / 3600, 0, true },
	{ "kg/s", DK_Q_MASS_FLOW, 1, 0, true },
	{ "kg/h", DK_Q_MASS_FLOW, 1.0 / 3600, 0, true },
	{ "g/s", DK_Q_MASS_FLOW, 1e-3, 0, true },
	{ "g/h", DK_Q_MASS_FLOW, 1e-3 / 3600, 0, true },
	{ "V", DK_Q_VOLTAGE, 1, 0, true },
	{ "mV", DK_Q_VOLTAGE, 1e-3, 0, true },
	{ "A", DK_Q_CURRENT, 1, 0, true },
	{ "mA", DK_Q_CURRENT, 1e-3, 0, true },
	{ "ohm", DK_Q_RESISTANCE, 1, 0, true },
	{ "mOhm", DK_Q_RESISTANCE, 1e-3, 0, true },
	{ "milliohm", DK_Q_RESISTANCE, 1e-3, 0, false },
	{ "Ah", DK_Q_CHARGE, 3600, 0, true },
	{ "As", DK_Q_CHARGE, 1, 0, false },
	{ "deg", DK_Q_ANGLE, 0.017453292519943295, 0, true },
	{ "\xc2\xb0", DK_Q_ANGLE, 0.017453292519943295, 0, false },
	{ "degrees", DK_Q_ANGLE, 0.017453292519943295, 0, false },
	{ "rad", DK_Q_ANGLE, 1, 0, true },
	{ "cSt", DK_Q_KINEMATIC, 1e-6, 0, true },
	{ "mm2/s", DK_Q_KINEMATIC, 1e-6, 0, true },
	{ "m2/s", DK_Q_KINEMATIC, 1, 0, true },
	{ "Pa s", DK_Q_VISCOSITY, 1, 0, true },
	{ "mPa s", DK_Q_VISCOSITY, 1e-3, 0, true },
	{ "cP", DK_Q_VISCOSITY, 1e-3, 0, true },
	{ "J", DK_Q_ENERGY, 1, 0, true },
	{ "kJ", DK_Q_ENERGY, 1e3, 0, true },
	{ "kWh", DK_Q_ENERGY, 3.6e6, 0, true },
	{ "Wh", DK_Q_ENERGY, 3600, 0, true },
	{ "J/kg", DK_Q_HEATING_VALUE, 1, 0, true },
	{ "kJ/kg", DK_Q_HEATING_VALUE, 1e3, 0, true },
	{ "MJ/kg", DK_Q_HEATING_VALUE, 1e6, 0, true },
	{ "kg/m3", DK_Q_DENSITY, 1, 0, true },
	{ "g/m3", DK_Q_DENSITY, 1e-3, 0, true },
	{ "mg/m3", DK_Q_DENSITY, 1e-6, 0, true },
	{ "kg/l", DK_Q_DENSITY, 1e3, 0, true },
	{ "g/cm3", DK_Q_DENSITY, 1e3, 0, false },
	{ "g/kWh", DK_Q_FUEL_USE, 1e-3 / 3.6e6, 0, true },
	{ "kg/J", DK_Q_FUEL_USE, 1, 0, false },
	{ "Hz", DK_Q_FREQUENCY, 1, 0, true },
	{ "fsn", DK_Q_SMOKE, 1, 0, true },
	{ "FSN", DK_Q_SMOKE, 1, 0, false },
	{ "Pa/rad", DK_Q_PRESSURE_RISE, 1, 0, false },
	{ "bar/deg", DK_Q_PRESSURE_RISE, 1e5 / 0.017453292519943295, 0, true },
	{ "V s/rad", DK_Q_MOTOR_CONSTANT, 1, 0, true },
	{ "Pa s/m3", DK_Q_FLOW_RESISTANCE, 1, 0, true },
	{ "kPa h/l", DK_Q_FLOW_RESISTANCE, 1e3 * 3600 / 1e-3, 0, true },
	{ "m3/(Pa s)", DK_Q_FLOW_CONDUCTANCE, 1, 0, true },
	{ "Pa s2/kg2", DK_Q_DRAG_MASS, 1, 0, true },
	{ "Pa s2/m6", DK_Q_DRAG_VOLUME, 1, 0, true },
	{ "W/K", DK_Q_CONDUCTANCE, 1, 0, true },
	{ "kW/K", DK_Q_CONDUCTANCE, 1e3, 0, true },
	{ "J/K", DK_Q_HEAT_CAPACITY, 1, 0, true },
	{ "kJ/K", DK_Q_HEAT_CAPACITY, 1e3, 0, true },
	{ "W/(m2 K)", DK_Q_HEAT_TRANSFER, 1, 0, true },
	{ "K/W", DK_Q_HEAT_RISE, 1, 0, true },
	{ "K/kW", DK_Q_HEAT_RISE, 1e-3, 0, true },
	{ "J/(kg K)", DK_Q_SPECIFIC_HEAT, 1, 0, true },
	{ "kJ/(kg K)", DK_Q_SPECIFIC_HEAT, 1e3, 0, true },
};

enum
{
	UNIT_COUNT = sizeof units / sizeof units[0],
	LONGEST_UNIT = 24
};

// signs that are typed in several ways, brought to one spelling
static const struct
{
	const char *from, *to;
} spellings[] = {
	{ "\xc2\xb2", "2" },
	{ "\xc2\xb3", "3" },
	{ "\xce\xa9", "ohm" },
	{ "\xe2\x84\xa6", "ohm" },
	{ "\xc2\xb7", " " },
	{ "\xc2\xb5", "u" },
	{ "\xce\xbc", "u" },
	{ "\xe2\x84\x83", "C" },
	{ "\xc2\xba", "\xc2\xb0" },
};

static void spell(const char *text, char *out, size_t size)
{
	size_t n = 0;
	while (*text && n + 1 < size)
	{
		const char *put = NULL;
		size_t skip = 1;
		for (size_t i = 0; i < sizeof spellings / sizeof spellings[0] && !put; ++i)
		{
			const size_t length = strlen(spellings[i].from);
			if (!strncmp(text, spellings[i].from, length)) put = spellings[i].to, skip = length;
		}
		if (!put) out[n++] = *text;
		for (; put && *put && n + 1 < size; ++put) out[n++] = *put;
		text += skip;
	}
	while (n && out[n - 1] == ' ') --n;
	out[n] = 0;
}

// exact first; then in any case of letters, when that means one thing only
static const unit *find(const char *name)
{
	char line[LONGEST_UNIT * 2];
	if (!name || strlen(name) > LONGEST_UNIT) return NULL;
	spell(name, line, sizeof line);
	for (int i = 0; i < UNIT_COUNT; ++i)
		if (!strcmp(line, units[i].name)) return &units[i];
	const unit *found = NULL;
	for (int i = 0; i < UNIT_COUNT; ++i)
	{
		if (strcasecmp(line, units[i].name)) continue;
		if (found && (found->quantity != units[i].quantity || found->factor != units[i].factor)) return NULL;
		found = &units[i];
	}
	return found;
}

const char *dk_quantity_words(dk_quantity quantity)
{
	static const char *const words[] = {
#define X(name, text, si) text,
		DK_QUANTITY_LIST(X)
#undef X
		    "a value"
	};
	return words[(unsigned)quantity < DK_Q_NONE ? quantity : DK_Q_NONE];
}

const char *dk_quantity_si(dk_quantity quantity)
{
	static const char *const words[] = {
#define X(name, text, si) si,
		DK_QUANTITY_LIST(X)
#undef X
		    ""
	};
	return words[(unsigned)quantity < DK_Q_NONE ? quantity : DK_Q_NONE];
}

dk_quantity dk_unit_quantity(const char *name)
{
	const unit *u = find(name);
	return u ? u->quantity : DK_Q_NONE;
}

double dk_unit_to_si(double value, const char *name)
{
	const unit *u = find(name);
	return u ? (value + u->offset) * u->factor : NAN;
}

double dk_unit_from_si(double si, const char *name)
{
	const unit *u = find(name);
	return u ? si / u->factor - u->offset : NAN;
}

double dk_unit_convert(double value, const char *from, const char *to)
{
	const unit *a = find(from), *b = find(to);
	if (!a || !b || a->quantity != b->quantity) return NAN;
	if (a->factor == b->factor) return value + (a->offset - b->offset);

	// dividing by the reciprocal keeps 92 mm at 0.092 and 12 ml at 12e-6, as written
	const double up = (value + a->offset) * a->factor;
	if (b->factor == 1 && a->factor < 1 && a->offset == 0)
	{
		const double back = round(1 / a->factor);
		if (fabs(back * a->factor - 1) < 1e-15) return value / back;
	}
	return up / b->factor - b->offset;
}

// length of a plain decimal number at the start, 0 when there is none
static size_t number_length(const char *s)
{
	size_t i = s[0] == '+' || s[0] == '-';
	size_t digits = 0;
	for (; s[i] >= '0' && s[i] <= '9'; ++i) ++digits;
	if (s[i] == '.')
		for (++i; s[i] >= '0' && s[i] <= '9'; ++i) ++digits;
	if (!digits) return 0;
	if (s[i] == 'e' || s[i] == 'E')
	{
		size_t j = i + 1;
		if (s[j] == '+' || s[j] == '-') ++j;
		if (s[j] >= '0' && s[j] <= '9')
		{
			for (; s[j] >= '0' && s[j] <= '9'; ++j)
			{
			}
			i = j;
		}
	}
	return i;
}

dk_status dk_number_parse(const char *text, double *value, const char **unit_text, dk_error *error)
{
	while (*text == ' ' || *text == '\t') ++text;
	const size_t length = number_length(text);
	if (!length)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.40s' is not a number", text);
		return DK_BAD_INPUT;
	}
	const bool comma = text[length] == ',' && text[length + 1] >= '0' && text[length + 1] <= '9';
	char line[64];
	if (length >= sizeof line || comma)
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.40s' is not a number", text);
		dk_error_advice(
		    error, comma ? "write decimals with a point, and no thousands sign" : "write fewer digits");
		return DK_BAD_INPUT;
	}
	memcpy(line, text, length);
	line[length] = 0;
	const double number = strtod(line, NULL);
	if (!isfinite(number))
	{
		dk_error_set(error, DK_BAD_INPUT, "'%.40s' is too large a number", text);
		return DK_BAD_INPUT;
	}
	const char *rest = text + length;
	while (*rest == ' ' || *rest == '\t') ++rest;
	*value = number;
	*unit_text = rest;
	return DK_OK;
}

char *dk_unit_examples(dk_quantity quantity, char *text, size_t size)
{
	size_t n = 0;
	if (size) text[0] = 0;
	for (int i = 0; i < UNIT_COUNT; ++i)
	{
		if (units[i].quantity != quantity || !units[i].shown) continue;
		const int put = snprintf(text + n, size - n, "%s%s", n ? ", " : "", units[i].name);
		if (put < 0 || (size_t)put >= size - n)
		{
			text[n] = 0;
			break;
		}
		n += (size_t)put;
	}
	return text;
}

// the value has no unit, an unknown one, or one of another quantity
static dk_status wrong_unit(const char *given, const char *want, const char *field, dk_error *error)
{
	const dk_quantity quantity = dk_unit_quantity(want), got = dk_unit_quantity(given);
	char examples[160];
	dk_unit_examples(quantity, examples, sizeof examples);
	dk_status status = DK_WRONG_UNIT;
	if (!*given)
		dk_error_set(
		    error, status = DK_BAD_INPUT, "%s is expected and no unit is given", dk_quantity_words(quantity));
	else if (got == DK_Q_NONE)
		dk_error_set(error, status, "the unit '%.30s' is not known; %s is expected", given,
		    dk_quantity_words(quantity));
	else
		dk_error_set(error, status, "'%.30s' is %s; %s is expected", given,
		    got == DK_Q_NUMBER ? "a share" : dk_quantity_words(got), dk_quantity_words(quantity));
	dk_error_field(error, field);
	if (quantity == DK_Q_NUMBER)
		dk_error_advice(error, "write a number without a unit, or in %%");
	else
		dk_error_advice(error, "units that fit: %s", examples);
	return status;
}

dk_status dk_unit_read(
    const char *text, const char *want, dk_bare bare, const char *field, double *value, dk_error *error)
{
	double number = 0;
	const char *given = "";
	const dk_status status = dk_number_parse(text, &number, &given, error);
	if (status != DK_OK)
	{
		dk_error_field(error, field);
		return status;
	}
	const bool plain = dk_unit_quantity(want) == DK_Q_NUMBER;
	if (!*given && (plain || bare == DK_BARE_TABLE))
	{
		*value = number;
		return DK_OK;
	}
	if (!*given) return wrong_unit(given, want, field, error);
	const double converted = dk_unit_convert(number, given, want);
	if (!isfinite(converted)) return wrong_unit(given, want, field, error);
	*value = converted;
	return DK_OK;
}

dk_status dk_unit_read_range(const char *text, const char *want, dk_bare bare, double low, double high,
    const char *field, double *value, dk_error *error)
{
	double got = 0;
	const dk_status status = dk_unit_read(text, want, bare, field, &got, error);
	if (status != DK_OK) return status;

	// half a unit of the sixth digit: a limit typed in another unit is not outside by rounding
	const double slack = 1e-9 * (fabs(low) + fabs(high));
	if (got < low - slack || got > high + slack)
	{
		dk_error_set(error, DK_OUT_OF_RANGE, "%.60s is out of range", text);
		dk_error_field(error, field);
		dk_error_range(error, low, high, want);
		return DK_OUT_OF_RANGE;
	}
	*value = got < low ? low : got > high ? high : got;
	return DK_OK;
}
