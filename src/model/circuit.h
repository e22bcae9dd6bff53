/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CIRCUIT_H
#define FLOURGOLD_CIRCUIT_H

#include "flourgold/machine.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* The air from the blower to the bed, part by part. */

/* The day and the ground only: what fg_machine_air() and the functions below need. */
fg_status fg_machine_day(const fg_scenario *scenario, fg_machine *machine);

/* The air circuit alone at a settled depth of the bed (0: empty deck).  guess: a velocity through
 * the open strips near the answer, which saves steps; 0: none. */
fg_status fg_machine_air(const fg_scenario *scenario, const fg_machine *machine, double settled_m,
                         double guess_m_s, fg_operating *at);

/* Pressure (Pa) between box and outside at a superficial velocity (m/s) through the open
 * strips, with a bed of this settled depth on them. */
double fg_deck_pressure(const fg_scenario *scenario, const fg_machine *machine, double settled_m,
                        double velocity_m_s);

/* Pressure (Pa) the blower leaves at the box when it moves a volume (m3/s). */
double fg_supply_pressure(const fg_scenario *scenario, const fg_machine *machine,
                          double volume_m3_s);

/* The air the deck, the gate and the leaks pass at a box pressure (Pa) and settled depth. */
double fg_demand_volume(const fg_scenario *scenario, const fg_machine *machine, double settled_m,
                        double box_pressure_pa);

#endif
