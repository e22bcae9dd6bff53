/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_GAINS_H
#define FLOURGOLD_GAINS_H

#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "study/advice.h"
#include "study/plan.h"

/* What one change brings, against the same deck without it: the nominal runs, and the same draws of
 * all that is in doubt with and without the change. */
typedef struct fg_gain {
  fg_banded kept; /* of all gold, a difference of shares; a deck that stalls keeps nothing */
  fg_banded fine; /* of the fine gold */
  fg_banded rate; /* gold per hour, stops for cleaning counted, a difference over what it was; NaN
                     where that was nothing */
  fg_band share;  /* kept of all gold with the change, over the draws in which the deck runs so */
  double runs;    /* share of the draws in which it does; NaN: none was made */
} fg_gain;

enum { FG_GAIN_MEMBERS = 64 };

/* The gains of `count` trials over a run `now` (which may have stalled: no gain is told, only how
 * often the deck runs).  The first FG_GAIN_MEMBERS members of `plan`, on all threads; plan NULL:
 * the nominal runs alone, bands unknown.  A draw of a setting that a trial changes is moved in the
 * same proportion (the gate: by as much).  FG_EMEMORY. */
fg_status fg_gains_run(const fg_scenario *scenario, const fg_loss_options *options,
                       const fg_plan *plan, const fg_loss *now, const fg_trial trials[],
                       size_t count, fg_gain gains[]);

/* The same of whole scenarios over the first of them, `first` being its run and `trials` the runs
 * of all, the first's among them.  `plans`, one each, from fg_plans_new(), the first's weighed by
 * what was seen on its machine; all their members are run.  plans NULL: the nominal runs alone. */
fg_status fg_gains_between(const fg_scenario scenarios[], size_t count,
                           const fg_loss_options *options, const fg_plan plans[],
                           const fg_loss *first, const fg_trial trials[], fg_gain gains[]);

#endif
