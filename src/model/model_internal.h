/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MODEL_INTERNAL_H
#define FLOURGOLD_MODEL_INTERNAL_H

#include "flourgold/machine.h"
#include "physics/moisture.h"
#include "physics/sizes.h"

enum { FG_SAND_CLASSES_MAX = 16 };

/* The scenario's bond law. */
fg_bond fg_scenario_bond(const fg_scenario *scenario);

/* Fills the day-and-ground part of a machine: grain sizes, voidage, free water, what reaches
 * the deck. */
fg_status fg_ground_describe(const fg_scenario *scenario, fg_machine *machine);

/* Speed (m/s) at which the air of a strip (m/s) carries grains of a settling velocity (m/s) off
 * the surface of the bed: their elutriation flux over the bed's density. */
double fg_dust_lift(const fg_scenario *scenario, const fg_machine *machine, double velocity_m_s,
                    double settling_m_s);

/* The sand below the screen by classes, and how fast each settles in the deck's air. */
typedef struct fg_dust {
  size_t count;
  fg_size_class classes[FG_SAND_CLASSES_MAX];
  double settling_m_s[FG_SAND_CLASSES_MAX];
} fg_dust;

fg_status fg_dust_describe(const fg_scenario *scenario, const fg_machine *machine, fg_dust *dust);

/* Takes the sand that the air of machine->at blows off out of the bed: fills sand_left, and
 * coarsens sauter_m and packing to the mean along the deck, the sand taken as well mixed. */
fg_status fg_dust_blow(const fg_scenario *scenario, const fg_dust *dust, fg_machine *machine);

/* Permeability (m/s at 125 Pa) of a cloth that holds a pressure (Pa) at a superficial velocity
 * (m/s) through the open strips: the cloth's part of fg_deck_pressure(), turned round. */
double fg_cloth_permeability(const fg_scenario *scenario, const fg_machine *machine,
                             double pressure_pa, double velocity_m_s);

/* The deck's bed over a strip with air of this superficial velocity (m/s), not shaken. */
fg_status fg_still_bed(const fg_scenario *scenario, const fg_machine *machine, double velocity_m_s,
                       fg_bed *bed);

/* As fg_machine_solve(), in half the time: the margin of a deck that runs is left unknown (NaN). */
fg_status fg_machine_solve_running(const fg_scenario *scenario, fg_machine *machine);

/* Standing sand behind a riffle of height H, x upslope: it falls from the crest with tan(max(0,
 * slope - atan(mu_s (1 - support)))) against the deck, first through the quiet strip, then through
 * the open one, down to the cloth.  Gas that carries a share of the weight lowers the angle of
 * repose: Eames & Gilbertson, J. Fluid Mech. 424, 2000 (from memory). */
fg_fill fg_fill_behind(const fg_scenario *scenario, double support_open, double support_quiet);

/* Share of a pocket, 0-1, that stands in its air: mean depth of the standing sand over the quiet
 * strip, or over a riffle's height where that is longer, over that of the riffle.  Of what settles
 * there the rest flows on over the riffle with the sand (model; that gas takes off the angle of
 * repose: Eames & Gilbertson, J. Fluid Mech. 424:169, 2000). */
double fg_fill_standing(const fg_scenario *scenario, const fg_operating *at);

#endif
