#pragma once
// A lead-acid start battery seen from its posts: voltage at rest and resistance, by charge and cold.
// Knows nothing of what it feeds.
#include "num/real.h"

/// Voltage at the posts after some hours without current.
///
/// Given:   charge  state of charge                                  [-]  0 .. 1, held outside
///          cells   cells in series                                  [-]
///          agm     0 flooded, 1 absorbed glass mat, between: mixed  [-]
/// Returns: open-circuit voltage                                     [V]
///
/// Source:  [BATTERY-OCV] tables for 25 degC, linear between their five points.
/// Valid:   25 degC; the temperature coefficient (about 1 mV/K for six cells) is left out.
dk_real DK_FN(dk_battery_rest)(dk_real charge, dk_real cells, dk_real agm);

/// Resistance of the battery under a cranking load, polarisation of the first seconds included.
///
/// Given:   full_ohm  resistance full and at 25 degC                 [ohm]
///          charge    state of charge                                [-]  0 .. 1, held outside
///          battery_k temperature of the battery                     [K]  233 .. 333, held outside
/// Returns: resistance                                               [ohm]
///
/// Source:  [BATTERY-OHM] doubles from 25 to -18 degC; x1.15, x1.4, x2 at 75, 50, 25 % charge;
///          [ASSUMED-201] below 25 %.
dk_real DK_FN(dk_battery_ohm)(dk_real full_ohm, dk_real charge, dk_real battery_k);

#if DK_LANES == 1
/// Resistance at -18 degC that a cold-cranking rating implies: (12.6 V - end voltage) / current.
///
/// Given:   amps       the printed rating                            [A]
///          end_volts  7.2 SAE J537, 7.5 EN 50342, 8.4 IEC 60095, 9.0 DIN 43539 (12 V batteries)  [V]
/// Returns: resistance at -18 degC                                   [ohm]
/// Source:  [J537] and the other rating definitions.
double dk_battery_ohm_from_rating(double amps, double end_volts);
#endif
