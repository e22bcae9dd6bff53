/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a fresh reading will be, and what it is worth to know it. */
#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>

#include "study/streaks.h"

static const double tail = 0.1;
static const double as_good_as_normal = 1e6; /* freedom */

double fg_worth_of_knowing(double mean, double sd, double cut) {
  if (!(sd > 0.0))
    return 0.0;
  const double z = fabs(mean - cut) / sd;
  return sd * (gsl_ran_ugaussian_pdf(z) - z * gsl_cdf_ugaussian_Q(z));
}

double fg_worth_of_knowing_skewed(double mean, double sd, double cut) {
  if (!(sd > 0.0) || !(cut > 0.0))
    return 0.0;
  const double z = (mean - log(cut)) / sd;
  const double whole = exp(mean + 0.5 * sd * sd);
  const double above = whole * gsl_cdf_ugaussian_P(z + sd) - cut * gsl_cdf_ugaussian_P(z);
  return fmax(above - fmax(whole - cut, 0.0), 0.0);
}

static double chance_above(double off, double sd, double freedom) {
  if (!(sd > 0.0))
    return off > 0.0 ? 1.0 : off < 0.0 ? 0.0 : 0.5;
  return freedom < as_good_as_normal ? gsl_cdf_tdist_P(off / sd, freedom)
                                     : gsl_cdf_ugaussian_P(off / sd);
}

fg_foretold fg_foretell(const fg_streaks *streaks, const fg_kriged *kriged) {
  const fg_value_scale *scale = &streaks->scale;
  const double sd = sqrt(kriged->variance);
  const double cut = fg_scale_to(scale, streaks->cut);
  const double reach = streaks->freedom < as_good_as_normal
                           ? gsl_cdf_tdist_Qinv(tail, streaks->freedom)
                           : gsl_cdf_ugaussian_Qinv(tail);
  fg_foretold f = {.estimate =
                       fg_scale_mean(scale, kriged->estimate, kriged->variance, kriged->lagrange),
                   .sd = sd,
                   .low = fg_scale_back(scale, kriged->estimate - reach * sd),
                   .high = fg_scale_back(scale, kriged->estimate + reach * sd),
                   .chance = chance_above(kriged->estimate - cut, sd, streaks->freedom)};
  if (scale->logarithmic) {
    f.sd = (f.estimate - scale->shift) * sqrt(expm1(kriged->variance));
    f.gain = fg_worth_of_knowing_skewed(kriged->estimate - kriged->lagrange, sd,
                                        streaks->cut - scale->shift);
  } else {
    f.gain = fg_worth_of_knowing(kriged->estimate, sd, streaks->cut);
  }
  return f;
}
