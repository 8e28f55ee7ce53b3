#pragma once
// From the state of an engine to the readings table. The last lines of readings.c are the one place where
// SI becomes the units of readings.def.
#include "engine/cranking.h"
#include "engine/running.h"

// The story of the first hour at a running point; minutes are null (61) when nothing happens.
typedef struct dk_hour
{
	dk_real coolant_k; // at the end, or 20 s after the first fire
	dk_real loss_m3_s; // coolant lost, mean over the hour
	dk_real level;     // coolant left
	dk_real overheat_s, stop_s;
	dk_real raw_out_k;
} dk_hour;

// Every reading holds its cap: nothing has happened yet.
void DK_FN(dk_readings_clear)(dk_real *reading);

// key_on: lamps, voltage at rest, heaters, what lies in the oil.
void DK_FN(dk_readings_key_on)(const dk_lane_engine *engine, dk_real *reading);

// A running point.
void DK_FN(dk_readings_running)(const dk_lane_engine *engine, const dk_running *run, const dk_hour *hour,
    const dk_running_order *order, dk_real *reading);

// A cranking point; coolant and oil temperature at that moment.
void DK_FN(dk_readings_cranking)(const dk_lane_engine *engine, const dk_cranking *crank, dk_real coolant_k,
    dk_real oil_k, dk_real *reading);

// Holds every reading to floor..cap of its row.
void DK_FN(dk_readings_bound)(dk_real *reading);
