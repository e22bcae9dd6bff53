/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_ENSEMBLE_H
#define FLOURGOLD_ENSEMBLE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/doubt.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Many runs of the model with every doubtful input drawn anew.  The whole table of draws is
 * made first, serially, so the result is the same for any number of threads. */

enum { FG_SAMPLES_DEFAULT = 256, FG_SAMPLES_MAX = 65536 };

typedef struct fg_plan {
  size_t samples, count; /* members, doubts */
  fg_doubt doubts[FG_SETTINGS_MAX];
  double *table;    /* [samples][count] probabilities */
  double *weight;   /* [samples] by what was observed, mean 1; NULL: all the same */
  double effective; /* Kish's effective sample size after weighing by observations; 0: no member
                       can have shown them, and all weigh the same */
  bool weighed;     /* readings on the running machine took part */
} fg_plan;

/* The 10, 50 and 90 % figures of every number in a run: structs of the same shape, whose
 * counts, flags and names are the nominal run's; by_riffle is not told. */
enum { FG_LOW = 0, FG_MID = 1, FG_HIGH = 2 };

typedef struct fg_bands {
  fg_loss at[3];
  size_t samples;
  unsigned long seed;
  double stall_share; /* weight of the members that stall, 0-1 */
  double *output;     /* [samples] kept share of all gold; NaN: stalled or out of range */
  double *fine;       /* [samples] kept share of the fine gold */
  fg_band fine_at;    /* its band */
  fg_plan plan;       /* the draws behind them, and their weights */
} fg_bands;

/* Runs the ensemble behind a nominal run of a resolved scenario (which may have stalled: its arrays
 * are then empty and only machine and total figures are told), `samples` times the model, on all
 * threads; the same seed gives the same bands.  Bands are over the members that run.  options NULL:
 * defaults.  FG_EDOMAIN for 0 samples or more than FG_SAMPLES_MAX, FG_EMEMORY.  Free with
 * fg_ensemble_free() after FG_OK. */
fg_status fg_ensemble_run(const fg_scenario *scenario, const fg_loss *nominal,
                          const fg_loss_options *options, size_t samples, unsigned long seed,
                          fg_bands *bands);

/* Frees what an ensemble filled. */
void fg_ensemble_free(fg_bands *bands);

#ifdef __cplusplus
}
#endif

#endif
