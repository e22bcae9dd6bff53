/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/regression.h"

#include <math.h>
#include <stdbool.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_statistics_double.h>

static const double two_sided_95 = 0.975;

fg_status fg_line_fit(const double *x, const double *y, size_t count, fg_line *line) {
  if (count < 3)
    return FG_EDOMAIN;
  fg_line made = {.count = count, .mean_x = gsl_stats_mean(x, 1, count)};
  made.spread_x = gsl_stats_tss_m(x, 1, count, made.mean_x);
  const double spread_y = gsl_stats_tss(y, 1, count);
  if (!(made.spread_x > 0.0) || !(spread_y > 0.0) || !isfinite(made.spread_x + spread_y))
    return FG_EDOMAIN;
  double cov00;
  double cov01;
  double cov11;
  double squares;
  if (gsl_fit_linear(x, 1, y, 1, count, &made.intercept, &made.slope, &cov00, &cov01, &cov11,
                     &squares) != GSL_SUCCESS)
    return FG_EDOMAIN;
  const double freedom = (double)count - 2.0;
  made.scatter = sqrt(squares / freedom);
  made.slope_error = sqrt(cov11);
  made.r = made.slope * sqrt(made.spread_x / spread_y);
  const double t = gsl_cdf_tdist_Pinv(two_sided_95, freedom);
  made.slope_low = made.slope - t * made.slope_error;
  made.slope_high = made.slope + t * made.slope_error;
  made.p_value = made.slope_error > 0.0
                     ? 2.0 * gsl_cdf_tdist_Q(fabs(made.slope) / made.slope_error, freedom)
                     : 0.0;
  *line = made;
  return FG_OK;
}

void fg_line_foretell(const fg_line *line, double x, double *mid, double *low, double *high) {
  const double n = (double)line->count;
  const double off = x - line->mean_x;
  const double width = gsl_cdf_tdist_Pinv(two_sided_95, n - 2.0) * line->scatter *
                       sqrt(1.0 + 1.0 / n + off * off / line->spread_x);
  *mid = line->intercept + line->slope * x;
  *low = *mid - width;
  *high = *mid + width;
}
