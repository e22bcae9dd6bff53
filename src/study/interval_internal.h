/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_INTERVAL_INTERNAL_H
#define FLOURGOLD_INTERVAL_INTERNAL_H

#include <gsl/gsl_spline.h>
#include <stddef.h>

#include "study/cleanup.h"

/* Something that grows from 0 after a cleaning, as a curve. */
typedef struct fg_build_up {
  size_t count;
  double *x, *y;
  gsl_spline *spline;
  gsl_interp_accel *accel;
} fg_build_up;

/* Through 0 at 0 and `held` at rising times (s). */
fg_status fg_build_up_new(const double *after_s, const double *held, size_t count,
                          fg_build_up *build_up);
void fg_build_up_free(fg_build_up *build_up);

/* Value and slope at a time; NaN outside. */
double fg_build_up_at(const fg_build_up *build_up, double time_s);
double fg_build_up_slope(const fg_build_up *build_up, double time_s);

/* As fg_interval_best(). */
fg_status fg_build_up_best(const fg_build_up *build_up, double cleaning_s,
                           fg_clean_interval *interval);

#endif
