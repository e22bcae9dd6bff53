/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SEQUENTIAL_H
#define FLOURGOLD_SEQUENTIAL_H

#include <stddef.h>

#include "flourgold/status.h"

/* Wald's sequential probability ratio test (Wald, Sequential Analysis, 1947): count until the
 * sum crosses one of two lines, leave (few) or stay (many). */
typedef struct fg_sequential {
  double leave, stay;     /* the two rates (or shares) to tell apart */
  double alpha;           /* chance to stay on ground of the leave rate */
  double beta;            /* chance to leave ground of the stay rate */
  double log_ratio;       /* what one find adds to the log likelihood ratio */
  double leave_intercept; /* leave when finds <= leave_intercept + slope n; below 0 */
  double stay_intercept;  /* stay when finds >= stay_intercept + slope n */
  double slope;
} fg_sequential;

/* The test for shares: each trial finds or does not.  0 < leave < stay < 1; alpha and beta
 * above 0 and below 0.5.  FG_EDOMAIN otherwise.  As in NIST/SEMATECH e-Handbook 6.2.6. */
fg_status fg_sequential_shares(double leave, double stay, double alpha, double beta,
                               fg_sequential *test);

/* The test for Poisson counts per bucket.  0 < leave < stay. */
fg_status fg_sequential_rates(double leave, double stay, double alpha, double beta,
                              fg_sequential *test);

/* Most finds that mean leave after n trials, -1 when none can; least finds that mean stay. */
double fg_sequential_leave_at(const fg_sequential *test, double n);
double fg_sequential_stay_at(const fg_sequential *test, double n);

/* What the table of a Poisson test does, worked out exactly bucket by bucket. */
typedef struct fg_sequential_odds {
  double leave, stay, open; /* chances within the table; they add to 1 */
  double buckets;           /* expected number until the decision, or the end of the table */
} fg_sequential_odds;

/* For ground of the given rate per bucket (above 0, below 1e7) and a table of `buckets` (1 to
 * 1000).  FG_EDOMAIN outside, and for rates so large and so near each other that the sums would
 * take minutes; FG_EMEMORY. */
fg_status fg_sequential_odds_at(const fg_sequential *test, double rate, size_t buckets,
                                fg_sequential_odds *odds);

#endif
