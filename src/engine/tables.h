#pragma once
// The flat tables that everything shares: parameters, readings and operating points, by index and by id.
// No lanes here: any room may include it.
#include "engine/params.def"
#include "engine/points.def"
#include "engine/readings.def"
#include <stdbool.h>

// ---- operating points
#define DK_AT(point) (1u << DK_POINT_##point)
enum
{
#define X(id, about) DK_POINT_##id,
	DK_POINT_LIST(X)
#undef X
	    DK_POINT_COUNT
};

typedef struct dk_point_row
{
	const char *id, *about;
} dk_point_row;
extern const dk_point_row dk_point_info[DK_POINT_COUNT];

// Index of a point by id, -1 when there is none.
int dk_point_find(const char *id);

// ---- parameters: the rows of params.def in order, then the .b twins of the per-class rows
enum
{
#define X(system, name, ...) DK_PARAM_##system##_##name,
	DK_PARAM_LIST(X)
#undef X
#define X(system, name) DK_PARAM_B_##system##_##name,
	    DK_PARAMS_PER_CLASS(X)
#undef X
	        DK_PARAM_COUNT
};

// What is not known and is no fault, one standard normal each, shared by all observations of one trace.
enum
{
	DK_Z_AIR_TEMPERATURE,
	DK_Z_SEA_TEMPERATURE,
	DK_Z_LOAD,
	DK_Z_AIR,
	DK_Z_FUEL,
	DK_Z_HEAT,
	DK_Z_FRICTION,
	DK_Z_COUNT,
	DK_Z_NONE = DK_Z_COUNT
};
extern const char *const dk_z_name[DK_Z_COUNT];

// Systems, in the order of the contract.
enum
{
	DK_SYSTEM_starting,
	DK_SYSTEM_fuel,
	DK_SYSTEM_air,
	DK_SYSTEM_cylinder,
	DK_SYSTEM_exhaust,
	DK_SYSTEM_cooling,
	DK_SYSTEM_oil,
	DK_SYSTEM_driveline,
	DK_SYSTEM_COUNT
};
extern const char *const dk_system_name[DK_SYSTEM_COUNT];

// Index of a system by name, -1 when there is none.
int dk_system_find(const char *name);

typedef struct dk_param_row
{
	const char *id, *unit;              // id "system.name", ".b" appended for the hit cylinders
	double low, def, high, neutral;     // in unit
	double spread_plate, spread_fitted; // standard deviation, + towards worse
	int z_group;                        // DK_Z_..., DK_Z_NONE
	int twin;                           // index of the other class's row, -1 when not per class
	int system;                         // DK_SYSTEM_...
	const char *meaning, *source;
} dk_param_row;
extern const dk_param_row dk_param_info[DK_PARAM_COUNT];

// Index of a parameter by id, -1 when there is none.
int dk_param_find(const char *id);

// Fills param[DK_PARAM_COUNT] with the defaults of the table.
void dk_param_defaults(double *param);

// ---- readings
enum
{
#define X(id, ...) DK_READING_##id,
	DK_READING_LIST(X)
#undef X
	    DK_READING_COUNT
};
typedef enum dk_transform
{
	DK_LIN,
	DK_LOG,
	DK_LOGIT
} dk_transform;

typedef struct dk_reading_row
{
	const char *id, *unit;
	dk_transform transform;
	double floor, cap;                  // in the arrays a reading that does not happen holds its cap
	int system;                         // DK_SYSTEM_...
	const char *gauge;                  // readings of one gauge share its bias
	double gauge_sd, bias_sd, model_sd; // in unit
	double span_low, span_high;         // range of a gross error
	unsigned points;                    // mask of DK_AT(point)
} dk_reading_row;
extern const dk_reading_row dk_reading_info[DK_READING_COUNT];

// Index of a reading by id, -1 when there is none.
int dk_reading_find(const char *id);

// The gauge of a reading as a number: the lowest index among the readings that share it.
int dk_reading_gauge(int reading);

// t(x) of a reading, its slope |t'(x)|, and back. Values outside floor..cap are brought to it first.
double dk_reading_transform(int reading, double value);
double dk_reading_slope(int reading, double value);
double dk_reading_restore(int reading, double transformed);
