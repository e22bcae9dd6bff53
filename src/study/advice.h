/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_ADVICE_H
#define FLOURGOLD_ADVICE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* What one change at a time would do: the model run again with one knob moved. */

enum { FG_TRIALS_MAX = 20 };

typedef struct fg_trial {
  const char *words; /* "open the throttle to", "feed slower:" ... */
  int row;           /* setting that was moved */
  bool stalled;
  double value;     /* its new value, SI */
  double kept;      /* of all gold that passes the screen; NaN when stalled */
  double fine_kept; /* of the gold finer than fg_fine_limit_m; NaN: none or stalled */
  double kept_kg_s; /* as fg_loss: while it runs; 0 when stalled */
  double capacity_margin;
} fg_trial;

/* What a run, stalled or not, says of a trial: all but what was moved. */
void fg_trial_tell(const fg_loss *loss, bool stalled, fg_trial *trial);

/* Runs every trial that the scenario allows (values stay inside the settings' ranges).
 * Those outside a law's range are left out.  Of a deck that stalls each knob is also moved
 * further, as far as its first value, if any, at which the deck runs with a fifth to spare.  The
 * cleaning interval tried is that of fg_cleanup_advise(), `exact` or not. */
fg_status fg_advice_run(const fg_scenario *scenario, const fg_loss_options *options, bool exact,
                        fg_trial trials[FG_TRIALS_MAX], size_t *count);

/* Kept share of the same ground without its clay at the same moisture: where it is lower, the
 * model credits clay with binding water.  NaN when that deck stalls. */
double fg_kept_without_clay(const fg_scenario *scenario, const fg_loss_options *options);

#endif
