/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_OBSERVE_H
#define FLOURGOLD_OBSERVE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* What the owner saw on the running machine (observed.*) beside what the model expects there,
 * at the settings the machine was read at. */

enum { FG_OBSERVATIONS_MAX = 6 };

typedef enum fg_bound { FG_BOUND_AT_MOST = -1, FG_BOUND_NONE = 0, FG_BOUND_AT_LEAST = 1 } fg_bound;

typedef struct fg_observation {
  int row;          /* of observed.* in the settings table */
  double seen;      /* SI */
  double error;     /* one standard deviation */
  double predicted; /* NaN when the model's deck stalls */
  fg_bound bound;   /* the model says only that it lies there, or beyond */
  double deviation; /* (seen - predicted)/error; NaN with predicted */
} fg_observation;

typedef struct fg_observed {
  fg_observation item[FG_OBSERVATIONS_MAX];
  size_t count;          /* of those that were seen */
  bool stalled;          /* the model's deck does not run at those settings, the owner's did */
  double misfit;         /* sum of the squared deviations; infinite when stalled */
  double log_likelihood; /* -misfit/2: ln of the weight of this scenario, constants left out */
} fg_observed;

/* Largest deviation that calls for no explanation. */
extern const double fg_fair_deviation;

/* Works out every observation that was made; none: count 0, likelihood 0.  Other failures as
 * fg_machine_solve() and fg_loss_run(). */
fg_status fg_observe_predict(const fg_scenario *scenario, fg_observed *out);

/* Whether nothing lies further apart than fg_fair_deviation. */
bool fg_observe_agrees(const fg_observed *observed);

/* A setting that, moved alone, would bring model and observations together. */
typedef struct fg_suspect {
  int row;
  double value; /* it would need, SI, within two standard deviations of its doubt */
  double now;
  double misfit; /* then left */
} fg_suspect;

/* Tries every doubtful setting over two standard deviations of its doubt (fg_doubt_of()) and
 * writes the best, best first, at most `most`; only those that halve the misfit. */
fg_status fg_observe_explain(const fg_scenario *scenario, const fg_observed *nominal,
                             fg_suspect *suspects, size_t most, size_t *count);

#endif
