/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DECK_H
#define FLOURGOLD_DECK_H

#include <stddef.h>

#include "flourgold/machine.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* Along the deck, and what gold comes onto it. */

/* Concentration of one gold size over depth and along the deck, for a picture: calls `point`
 * with distance (m), height (m) and concentration relative to the head. */
typedef void (*fg_deck_point)(double x_m, double z_m, double concentration, void *context);
fg_status fg_loss_deck(const fg_scenario *scenario, double size_m, fg_deck_point point,
                       void *context);

/* Water (share of dry mass) at the head of each pitch and, last, at the tail:
 * riffles + 1 values.  The air leaves saturated at the sand's temperature, which begins at the
 * air's and falls to the wet bulb as the sand's own heat is spent. */
fg_status fg_deck_drying(const fg_scenario *scenario, const fg_machine *machine, double *moisture);

/* The gold's classes as given, or from median and spread on ASTM E11 sieves. */
size_t fg_gold_classes(const fg_scenario *scenario, fg_size_class *classes);

#endif
