/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_LEAVE_OR_STAY_H
#define FLOURGOLD_LEAVE_OR_STAY_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "stats/sequential.h"
#include "study/sampling.h"

/* When to leave a spot and when to stay, by the colours of all buckets so far: the one table that
 * `sample` and `card` both tell. */

enum {
  FG_DECIDED_MOST =
      3, /* buckets: the model's doubt is the same in every one, so more tell little */
  FG_COUNTED_MOST = 100, /* colours that anybody counts (common practice, no source) */
  FG_DECISION_ROWS = 200 /* as many as sample.most_buckets may be */
};

/* After so many buckets. */
typedef struct fg_decision_row {
  double leave_at_most; /* colours; NaN: too early to leave */
  double stay_at_least;
} fg_decision_row;

typedef struct fg_leave_or_stay {
  bool own;           /* by the owner's own rates, and the test below is Wald's */
  double size_m;      /* colours coarser than this are counted */
  double leave, stay; /* colours a bucket of ground that should be left, and worked */
  fg_sequential test; /* of own rates */
  size_t count;       /* rows; 0: no such ground shows a number of colours that tells */
  fg_decision_row row[FG_DECISION_ROWS];
} fg_leave_or_stay;

/* With rates of the owner's own (sample.leave_rate, sample.stay_rate): Wald's test for colours over
 * sample.visible_size, a row a bucket up to sample.most_buckets.
 *
 * Without, the rates are what the model makes of sample.threshold and of half of it, in doubt by
 * `factor`, draws of the grade behind a colour over its nominal value.  Wald's limits then stand
 * for the ratio of the mean likelihoods over these draws (mixtures: Wald, Sequential Analysis,
 * 1947, section 4.1), so sample.alpha and sample.beta hold on average over the doubt.
 * Counts are rounded outward (to 5 from 20 on); a table ends where staying would take more than
 * FG_COUNTED_MOST colours, after FG_DECIDED_MOST buckets at the latest, and where one bucket would
 * already, coarser colours are counted: the sieves of ASTM E11 upwards.
 *
 * The deck is run as the scenario sets it.  The same seed gives the same table.  FG_ESTALL as
 * fg_sample_basis_new(); FG_EMEMORY; FG_EDOMAIN for own rates that no test fits. */
fg_status fg_leave_or_stay_new(const fg_scenario *scenario, unsigned long seed,
                               fg_leave_or_stay *table);

/* Natural logarithm of that ratio, stay over leave, for `colours` where `stay` is the nominal mean
 * on ground of the threshold. */
double fg_stay_ratio(double colours, double stay, const double *factor, size_t count);

/* The decision by it. */
fg_decision fg_decide(double log_ratio, double alpha, double beta);

#endif
