/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_STATS_BAND_H
#define FLOURGOLD_STATS_BAND_H

#include <stddef.h>

#include "flourgold/band.h"

/* Values with weights.  Weights NULL: all the same. */

/* Quantile 0-1, by the midpoints of the cumulated weight, straight lines between (Hazen's plotting
 * position; R's type 5 for equal weights).  NaN values are passed over; NaN when none is left.
 * `scratch`: room for 2 x count. */
double fg_weighted_quantile(const double *values, const double *weights, size_t count,
                            double quantile, double *scratch);

/* The 10, 50 and 90 % of values, likewise. */
fg_band fg_weighted_band(const double *values, const double *weights, size_t count,
                         double *scratch);

/* A band of which nothing is known, and a band of a figure that is `factor` times another. */
extern const fg_band fg_band_unknown;
fg_band fg_band_scaled(const fg_band *band, double factor);

/* Kish's effective sample size: (sum w)^2/sum w^2. */
double fg_effective_size(const double *weights, size_t count);

/* The place where the weights, cumulated from the last, pass a probability 0-1 of their sum: a
 * choice by weight.  Places of weight 0 are never chosen, and change nothing; 0 when all are. */
size_t fg_weighted_choice(const double *weights, size_t count, double probability);

#endif
