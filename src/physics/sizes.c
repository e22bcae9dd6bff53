/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/sizes.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

#include "core/roots.h"
#include "physics/grains.h"

static const double least_log_spread = 0.05;

/* Sums of a straight line through points. */
typedef struct line_fit {
  double n, x, y, xx, xy;
} line_fit;

static void add_point(line_fit *fit, double x, double y) {
  fit->n += 1.0;
  fit->x += x;
  fit->y += y;
  fit->xx += x * x;
  fit->xy += x * y;
}

fg_status fg_sizes_fit(fg_sizes *sizes, double usual_spread) {
  line_fit fit = {0};
  for (size_t i = 0; i < sizes->count; ++i)
    if (sizes->finer[i] > 0.0 && sizes->finer[i] < 1.0)
      add_point(&fit, gsl_cdf_ugaussian_Pinv(sizes->finer[i]), log(sizes->opening_m[i]));
  if (fit.n < 1.0 || !(usual_spread > 1.0))
    return FG_EDOMAIN;
  const double wide = fit.n * fit.xx - fit.x * fit.x;
  double slope = log(usual_spread);
  /* Sieves that nothing stayed between give one quantile, and no slope. */
  if (wide > 1e-9)
    slope = fmax(least_log_spread, (fit.n * fit.xy - fit.x * fit.y) / wide);
  sizes->spread = exp(slope);
  sizes->median_m = exp((fit.y - slope * fit.x) / fit.n);
  return FG_OK;
}

static double lognormal(const fg_sizes *s, double size) {
  return fg_lognormal_cdf(size, s->median_m, s->spread);
}

/* Index of the first sieve at or below `size`, from the coarse end; count when all are coarser. */
static size_t sieve_below(const fg_sizes *s, double size) {
  size_t i = 0;
  while (i < s->count && s->opening_m[i] > size)
    ++i;
  return i;
}

/* Share finer than a size that lies above the coarsest sieve. */
static double finer_above(const fg_sizes *s, double size) {
  const double rest = 1.0 - lognormal(s, s->opening_m[0]);
  if (rest <= 0.0)
    return 1.0;
  return 1.0 - (1.0 - s->finer[0]) * (1.0 - lognormal(s, size)) / rest;
}

static double finer_below(const fg_sizes *s, double size) {
  const size_t last = s->count - 1;
  const double all = lognormal(s, s->opening_m[last]);
  return all > 0.0 ? s->finer[last] * lognormal(s, size) / all : 0.0;
}

double fg_sizes_finer(const fg_sizes *s, double size_m) {
  if (s->count == 0)
    return lognormal(s, size_m);
  if (!(size_m > 0.0))
    return 0.0;
  const size_t i = sieve_below(s, size_m);
  if (i == 0)
    return finer_above(s, size_m);
  if (i == s->count)
    return finer_below(s, size_m);
  const double along = log(size_m / s->opening_m[i]) / log(s->opening_m[i - 1] / s->opening_m[i]);
  return s->finer[i] + along * (s->finer[i - 1] - s->finer[i]);
}

/* Integral of dF/size of the log-normal below a size. */
static double lognormal_inverse(const fg_sizes *s, double size) {
  double share, sauter;
  if (fg_lognormal_below(s->median_m, s->spread, size, &share, &sauter) != FG_OK)
    return 0.0;
  return share / sauter;
}

/* The same for a piece where F is straight against ln size. */
static double straight_inverse(double low, double high, double mass) {
  if (!(mass > 0.0) || !(high > low))
    return 0.0;
  return mass * (1.0 / low - 1.0 / high) / log(high / low);
}

/* The same for all that is finer than `cut`. */
static double inverse_below(const fg_sizes *s, double cut) {
  const size_t last = s->count - 1;
  const double bottom = fmin(cut, s->opening_m[last]);
  const double all = lognormal(s, s->opening_m[last]);
  double sum = all > 0.0 ? s->finer[last] * lognormal_inverse(s, bottom) / all : 0.0;
  for (size_t i = last; i > 0 && s->opening_m[i] < cut; --i) {
    const double high = fmin(cut, s->opening_m[i - 1]);
    sum += straight_inverse(s->opening_m[i], high, fg_sizes_finer(s, high) - s->finer[i]);
  }
  if (cut <= s->opening_m[0])
    return sum;
  const double rest = 1.0 - lognormal(s, s->opening_m[0]);
  if (rest <= 0.0)
    return sum;
  const double tail = lognormal_inverse(s, cut) - lognormal_inverse(s, s->opening_m[0]);
  return sum + (1.0 - s->finer[0]) * tail / rest;
}

fg_status fg_sizes_below(const fg_sizes *s, double cut_m, double *share, double *sauter_m) {
  if (s->count == 0)
    return fg_lognormal_below(s->median_m, s->spread, cut_m, share, sauter_m);
  if (!(cut_m > 0.0 && s->median_m > 0.0 && s->spread > 1.0))
    return FG_EDOMAIN;
  const double below = fg_sizes_finer(s, cut_m), inverse = inverse_below(s, cut_m);
  if (!(below > 1e-12 && inverse > 0.0))
    return FG_EDOMAIN;
  *share = below;
  *sauter_m = below / inverse;
  return FG_OK;
}

static double median_gap(double log_size, void *context) {
  return fg_sizes_finer(context, exp(log_size)) - 0.5;
}

fg_status fg_sizes_median(const fg_sizes *sizes, double *median_m) {
  fg_sizes copy = *sizes;
  double log_size;
  const fg_status status = fg_root(median_gap, &copy, log(1e-8), log(100.0), 1e-12, &log_size);
  if (status == FG_OK)
    *median_m = exp(log_size);
  return status;
}
