/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BEST_H
#define FLOURGOLD_BEST_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"

/* The one answer to "how do I set it": every command that names settings or an interval of cleaning
 * for a scenario takes them from here, so that all name the same. */
typedef struct fg_best {
  fg_tuned tuned;    /* settings, ranges and gain; as fg_tune_run() */
  double cleaning_s; /* running time between cleanings there; NaN: not to be told */
  fg_scenario set;   /* the scenario so set, and so cleaned where that can be told; gold counted in
                          the tray is in it as the ground that the present settings make out */
} fg_best;

/* Searches with these options; failures as fg_tune_run(). */
fg_status fg_best_run(const fg_scenario *scenario, const fg_tune_options *options, fg_best *best);

/* The same with the options that all commands share: most gold an hour, within the group limits. */
fg_status fg_best_find(const fg_scenario *scenario, size_t samples, unsigned long seed, bool exact,
                       fg_best *best);

#endif
