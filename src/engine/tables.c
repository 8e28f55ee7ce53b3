// The flat tables, expanded from their .def lists.
#include "engine/tables.h"
#include <math.h>
#include <string.h>

const dk_point_row dk_point_info[DK_POINT_COUNT] = {
#define X(id, about) { #id, about },
	DK_POINT_LIST(X)
#undef X
};

const char *const dk_z_name[DK_Z_COUNT] = { "air_temperature", "sea_temperature", "load", "air", "fuel",
	"heat", "friction" };

const char *const dk_system_name[DK_SYSTEM_COUNT] = { "starting", "fuel", "air", "cylinder", "exhaust",
	"cooling", "oil", "driveline" };

#define DK_ROW(                                                                                              \
    system, name, suffix, unit, low, def, high, neutral, plate, fitted, group, twin, about, source)          \
	{ #system "." #name suffix, unit, low, def, high, neutral, plate, fitted, DK_Z_##group, twin,            \
		DK_SYSTEM_##system, about, source },

const dk_param_row dk_param_info[DK_PARAM_COUNT] = {
#define TWIN_0(system, name) -1
#define TWIN_1(system, name) DK_PARAM_B_##system##_##name
#define X(system, name, unit, low, def, high, neutral, plate, fitted, group, per_class, about, source)       \
	DK_ROW(system, name, "", unit, low, def, high, neutral, plate, fitted, group,                            \
	    TWIN_##per_class(system, name), about, source)
	DK_PARAM_LIST(X)
#undef X
#define B_0(...)
#define B_1(...) DK_ROW(__VA_ARGS__)
#define X(system, name, unit, low, def, high, neutral, plate, fitted, group, per_class, about, source)       \
	B_##per_class(system, name, ".b", unit, low, def, high, neutral, plate, fitted, group,                   \
	    DK_PARAM_##system##_##name, about, source)
	    DK_PARAM_LIST(X)
#undef X
};

const dk_reading_row dk_reading_info[DK_READING_COUNT] = {
#define X(id, unit, transform, floor, cap, system, gauge, gauge_sd, bias_sd, model_sd, low, high, points)    \
	{ #id, unit, DK_##transform, floor, cap, DK_SYSTEM_##system, #gauge, gauge_sd, bias_sd, model_sd, low,   \
		high, points },
	DK_READING_LIST(X)
#undef X
};

int dk_point_find(const char *id)
{
	for (int i = 0; i < DK_POINT_COUNT; ++i)
		if (!strcmp(id, dk_point_info[i].id)) return i;
	return -1;
}

int dk_system_find(const char *name)
{
	for (int i = 0; i < DK_SYSTEM_COUNT; ++i)
		if (!strcmp(name, dk_system_name[i])) return i;
	return -1;
}

int dk_param_find(const char *id)
{
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
		if (!strcmp(id, dk_param_info[i].id)) return i;
	return -1;
}

void dk_param_defaults(double *param)
{
	for (int i = 0; i < DK_PARAM_COUNT; ++i) param[i] = dk_param_info[i].def;
}

int dk_reading_find(const char *id)
{
	for (int i = 0; i < DK_READING_COUNT; ++i)
		if (!strcmp(id, dk_reading_info[i].id)) return i;
	return -1;
}

int dk_reading_gauge(int reading)
{
	// what no gauge shows shares no bias
	if (!strcmp(dk_reading_info[reading].gauge, "none")) return reading;
	for (int i = 0; i < reading; ++i)
		if (!strcmp(dk_reading_info[i].gauge, dk_reading_info[reading].gauge)) return i;
	return reading;
}

// brings a value into floor..cap, the range where the transform is defined
static double held(int reading, double value)
{
	return fmin(fmax(value, dk_reading_info[reading].floor), dk_reading_info[reading].cap);
}

double dk_reading_transform(int reading, double value)
{
	const double x = held(reading, value);
	switch (dk_reading_info[reading].transform)
	{
	case DK_LOG: return log(x);
	case DK_LOGIT: return log(x / (1 - x));
	default: return x;
	}
}

double dk_reading_slope(int reading, double value)
{
	const double x = held(reading, value);
	switch (dk_reading_info[reading].transform)
	{
	case DK_LOG: return 1 / x;
	case DK_LOGIT: return 1 / (x * (1 - x));
	default: return 1;
	}
}

double dk_reading_restore(int reading, double transformed)
{
	switch (dk_reading_info[reading].transform)
	{
	case DK_LOG: return held(reading, exp(transformed));
	case DK_LOGIT: return held(reading, 1 / (1 + exp(-transformed)));
	default: return held(reading, transformed);
	}
}
