/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_HOUSEHOLD_H
#define FLOURGOLD_HOUSEHOLD_H

#include <stddef.h>

#include "flourgold/machine.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "physics/sizes.h"

/* What a prospector can read off ground and machine, worked forwards (what the model expects
 * to be read) and backwards (what the reading says about a setting). */

/* The gravel's sizes: as sieved, or the log-normal of median_grain and grain_spread. */
void fg_ground_sizes(const fg_scenario *scenario, fg_sizes *sizes);

/* Sizes from the parts of a finished stack of sieves (the log-normal is left to fit). */
void fg_sizes_of_parts(const fg_sieve_part *parts, size_t count, fg_sizes *sizes);

/* Box pressure (Pa) the model expects on an empty deck, gate shut, full throttle. */
fg_status fg_empty_box_pressure(const fg_scenario *scenario, double *pressure_pa);

/* Cloth permeability (m/s at 125 Pa) at which cloth and board together give that reading,
 * the board as it stands.  FG_ENOROOT when none does.  most_pa (may be NULL; written then
 * too) is what the blower holds in a box whose deck passes nothing; board_pa (the same) what
 * the board alone would hold, or NaN where that cannot be said. */
fg_status fg_cloth_from_pressure(const fg_scenario *scenario, double pressure_pa,
                                 double *permeability_m_s, double *most_pa, double *board_pa);

/* The scenario at the settings its machine was read at (as_run). */
void fg_scenario_as_run(const fg_scenario *scenario, fg_scenario *out);

/* Notes the present settings as those, unless some are noted. */
void fg_note_as_run(fg_scenario *scenario);

/* Unbalance (kg m) and rated speed (Hz) at which the shaker's laws give a stroke (m) and a
 * rotor speed (Hz) at the settings in as_run; NaN for either that was not read: then the
 * law's own is kept.  Of a deck that stalls there: at the depth of most capacity. */
fg_status fg_shaker_from_readings(const fg_scenario *scenario, double stroke_m, double speed_hz,
                                  double *unbalance_kg_m, double *rated_speed_hz);

#endif
