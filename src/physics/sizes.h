/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SIZES_H
#define FLOURGOLD_SIZES_H

#include <stddef.h>

#include "flourgold/status.h"

/* Grain sizes by mass, as sieved or as a log-normal.
 *
 * Between two sieves the share that passes is straight against the logarithm of the size,
 * as a gradation curve is drawn.  Below the finest and above the coarsest sieve the measured
 * share stays, and a log-normal says how it is spread there. */

enum { FG_SIZES_MAX = 24 };

typedef struct fg_sizes {
  size_t count;                   /* sieves, coarse to fine; 0: the log-normal alone */
  double opening_m[FG_SIZES_MAX]; /* falling */
  double finer[FG_SIZES_MAX];     /* mass share that passes, 0-1, never rising */
  double median_m, spread;        /* the log-normal, spread above 1 */
} fg_sizes;

/* Fits the log-normal to the sieves (least squares of ln size against the normal quantile
 * of the share that passes) and writes its median and spread.  Where only one sieve splits the
 * grains the spread is `usual_spread`.  FG_EDOMAIN when none does: all stayed on the coarsest
 * or all fell through the finest. */
fg_status fg_sizes_fit(fg_sizes *sizes, double usual_spread);

/* Mass share finer than a size (m). */
double fg_sizes_finer(const fg_sizes *sizes, double size_m);

/* share: the part finer than `cut_m`.  sauter: harmonic mean by mass of that part (m), the
 * exact sum over the pieces described above. */
fg_status fg_sizes_below(const fg_sizes *sizes, double cut_m, double *share, double *sauter_m);

/* Size (m) that half of the mass is finer than. */
fg_status fg_sizes_median(const fg_sizes *sizes, double *median_m);

#endif
