/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/flakes.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

static const double next_to_nothing = 1e-250;

/* Chance of a standard normal between two values, in the tail that it is small in. */
static double normal_between(double low, double high) {
  return low > 0.0 ? gsl_cdf_ugaussian_Q(low) - gsl_cdf_ugaussian_Q(high)
                   : gsl_cdf_ugaussian_P(high) - gsl_cdf_ugaussian_P(low);
}

/* Mass of the log-normal between two sizes, of which each counts by its power: sizes over the
 * median. */
static double lognormal_between(const fg_flakes *f, double low, double high, double power) {
  const double s = log(f->spread);
  return exp(0.5 * power * power * s * s) * normal_between(log(low / f->median_m) / s - power * s,
                                                           log(high / f->median_m) / s - power * s);
}

/* The same where mass is even over the logarithm. */
static double even_between(double low, double high, double unit, double power) {
  const double wide = log(high / low);
  return power == 0.0 ? wide : pow(low / unit, power) * expm1(power * wide) / power;
}

fg_flake_part fg_flakes_between(const fg_flakes *f, double lower_m, double upper_m, double low_m,
                                double high_m) {
  const double low = fmax(lower_m, low_m), high = fmin(upper_m, high_m);
  if (!(low < high))
    return (fg_flake_part){0.0, NAN, NAN};
  double unit = f->median_m, all = 0.0, here, inverse, cubes;
  if (f->spread > 1.0)
    all = lognormal_between(f, lower_m, upper_m, 0.0);
  here = all > next_to_nothing ? lognormal_between(f, low, high, 0.0) : 0.0;
  if (here > next_to_nothing) {
    inverse = lognormal_between(f, low, high, -3.0);
    cubes = lognormal_between(f, low, high, 3.0);
  } else {
    unit = low;
    all = even_between(lower_m, upper_m, unit, 0.0);
    here = even_between(low, high, unit, 0.0);
    inverse = even_between(low, high, unit, -3.0);
    cubes = even_between(low, high, unit, 3.0);
  }
  const double flake = f->kg_m3 * unit * unit * unit;
  return (fg_flake_part){here / all, flake * here / inverse, flake * cubes / here};
}
