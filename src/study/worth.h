/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_WORTH_H
#define FLOURGOLD_WORTH_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "scenario/measuring.h"

/* What it is worth to measure a setting that is only assumed. */

enum { FG_WORTHS_MAX = 48 };

typedef struct fg_worth {
  const fg_measuring *how;
  int row;                    /* of the setting whose doubt it removes */
  double low, high;           /* that doubt, SI */
  double kept_low, kept_high; /* fine gold kept at its ends, 0-1; NaN: the deck stalls there */
  double swing; /* how far the fine gold kept moves over the doubt; a stall keeps none */
} fg_worth;

/* Runs the model at both ends of every doubt that can be measured and that the scenario leaves
 * open, and writes them most valuable first.  Readings on the running machine are left out:
 * they are no settings.  *kept: the fine gold the scenario keeps as it is, NaN when it
 * stalls. */
fg_status fg_worth_list(const fg_scenario *scenario, fg_worth worths[FG_WORTHS_MAX], size_t *count,
                        double *kept);

#endif
