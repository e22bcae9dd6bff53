/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_KRIGING_H
#define FLOURGOLD_KRIGING_H

#include <stddef.h>

#include "flourgold/status.h"
#include "stats/scale.h"
#include "stats/variogram.h"

/* Ordinary kriging and inverse distance from the nearest data. */

typedef struct fg_kriging fg_kriging;

enum { FG_NEIGHBOURS_LEAST = 2, FG_NEIGHBOURS_MOST = 200 };

/* Made ready once for a set of data and a model; the data are copied, and no two may lie at one
 * place.  The `neighbours` nearest data (by the model's distance) make each estimate; all when
 * there are no more.  FG_EDOMAIN: no data, something not finite, neighbours outside 2 to 200, a
 * model out of range.  Free with fg_kriging_free(). */
fg_status fg_kriging_new(const fg_datum *data, size_t count, const fg_variogram *variogram,
                         size_t neighbours, fg_kriging **kriging);
void fg_kriging_free(fg_kriging *kriging);

typedef struct fg_kriged {
  double estimate;
  double variance; /* of a fresh reading there about the estimate, >= 0: nugget included */
  double lagrange; /* the part of it that comes from the mean being unknown, Lagrange's number */
} fg_kriged;

/* Estimate at a place.  The nugget counts as the reading's own error and small-scale scatter, so
 * that without one the data are met exactly (variance 0), and with one they are smoothed.
 * Isaaks & Srivastava (1989), Applied Geostatistics, ch. 12: the ordinary kriging system, here
 * solved by Cholesky's method with the weights' sum held at 1.
 * FG_EDOMAIN: the place is not finite; FG_ENOROOT: the system cannot be solved. */
fg_status fg_kriging_at(fg_kriging *kriging, double x_m, double y_m, fg_kriged *out);

/* The same at datum `index` from the others, as if it had not been taken; needs two data. */
fg_status fg_kriging_without(fg_kriging *kriging, size_t index, fg_kriged *out);

/* Mean weighted with 1 / distance^power (power > 0) of the readings the last estimate of either
 * kind was made of, for the same place; the reading itself where the place is one.  The data are
 * readings in `scale`. */
double fg_inverse_distance(const fg_kriging *kriging, double power, const fg_value_scale *scale);

/* What the last estimate was made of: `*count` indices of data, with their weights. */
void fg_kriging_last(const fg_kriging *kriging, size_t *count, const size_t **indices,
                     const double **weights);

/* Largest share of the sill that had to be added to the diagonal to solve a system; 0 nearly
 * always.  It matters when above 1e-6: data are then met only about. */
double fg_kriging_jitter(const fg_kriging *kriging);

/* How well each reading is foretold by the others. */
typedef struct fg_cross {
  size_t count;
  double mean_error; /* mean foretold less reading */
  double rmse;       /* root of the mean squared error */
  double
      standardised; /* mean of error^2 / variance, in the scale: 1 when the deviations are honest */
  double score;     /* mean negative logarithm of the normal density at the datum, in the scale: the
                       lower the better (logarithmic score, Good 1952) */
  double inverse_distance_rmse;
} fg_cross;

/* Leaves out each datum, a reading in `scale`, in turn.  FG_EDOMAIN with fewer than 3 data or a
 * variance of 0. */
fg_status fg_cross_validate(fg_kriging *kriging, double power, const fg_value_scale *scale,
                            fg_cross *cross);

#endif
