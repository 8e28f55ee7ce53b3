#pragma once
// What the builder of an engine decided, one struct a system, made from engine/params.def so that every
// table and every formula uses one list. Lane structs: each field holds the value of every engine.
// A per-class field holds one class's value; the engine fills one struct for the sound cylinders and
// one for the hit ones.
#include "engine/params.def"
#include "num/real.h"

#define DK_DEF_FIELD(                                                                                        \
    system, name, unit, low, def, high, neutral, plate, fitted, group, per_class, about, source)             \
	dk_real name;

typedef struct dk_starting_def
{
	DK_PARAMS_STARTING(DK_DEF_FIELD)
} dk_starting_def;
typedef struct dk_fuel_def
{
	DK_PARAMS_FUEL(DK_DEF_FIELD)
} dk_fuel_def;
typedef struct dk_air_def
{
	DK_PARAMS_AIR(DK_DEF_FIELD)
} dk_air_def;
typedef struct dk_cylinder_def
{
	DK_PARAMS_CYLINDER(DK_DEF_FIELD)
} dk_cylinder_def;
typedef struct dk_exhaust_def
{
	DK_PARAMS_EXHAUST(DK_DEF_FIELD)
} dk_exhaust_def;
typedef struct dk_cooling_def
{
	DK_PARAMS_COOLING(DK_DEF_FIELD)
} dk_cooling_def;
typedef struct dk_oil_def
{
	DK_PARAMS_OIL(DK_DEF_FIELD)
} dk_oil_def;
typedef struct dk_driveline_def
{
	DK_PARAMS_DRIVELINE(DK_DEF_FIELD)
} dk_driveline_def;

#undef DK_DEF_FIELD
