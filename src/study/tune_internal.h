/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_INTERNAL_H
#define FLOURGOLD_TUNE_INTERNAL_H

#include "flourgold/tune.h"

/* What each member of a plan says of one setting. */
typedef struct fg_verdicts {
  size_t count;
  fg_aim aim;
  const fg_loss_options *options;
  double *value;  /* [count] the aim; 0 when stalled; NaN when the member has no answer */
  double *kept;   /* [count] kept share, likewise */
  double *gold;   /* [count] gold kept, kg/s, likewise */
  bool *stalled;
} fg_verdicts;

fg_status fg_verdicts_new(size_t count, fg_aim aim, const fg_loss_options *options,
                          fg_verdicts *verdicts);
void fg_verdicts_free(fg_verdicts *verdicts);

/* Runs them all at a setting; the mean goes to *judged. */
fg_status fg_verdicts_run(const fg_scenario *scenario, const fg_plan *plan,
                          const double at[FG_KNOBS], fg_verdicts *verdicts, fg_judged *judged);

#endif
