/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REGRESSION_H
#define FLOURGOLD_REGRESSION_H

#include <stddef.h>

#include "flourgold/status.h"

/* A straight line through points by least squares, with its doubt. */
typedef struct fg_line {
  size_t count;
  double slope, intercept;
  double r;                     /* correlation, -1 to 1 */
  double slope_error;           /* standard error of the slope */
  double slope_low, slope_high; /* 95 % interval, Student's t */
  double p_value;               /* two-sided chance of such a slope where there is none */
  double scatter;               /* residual standard deviation, count - 2 degrees of freedom */
  double mean_x, spread_x;      /* mean and sum of squared deviations of x */
} fg_line;

/* FG_EDOMAIN: fewer than 3 points, all x or all y alike, or something not finite.
 * Draper & Smith (1998), Applied Regression Analysis, ch. 1; GSL's gsl_fit_linear. */
fg_status fg_line_fit(const double *x, const double *y, size_t count, fg_line *line);

/* The line at x, and the 95 % interval of a single new y there.  Draper & Smith, section 3.1. */
void fg_line_foretell(const fg_line *line, double x, double *mid, double *low, double *high);

#endif
