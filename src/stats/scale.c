/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/scale.h"

#include <math.h>

#include <gsl/gsl_statistics_double.h>

static const double gain_wanted = 2.0;

double fg_scale_to(const fg_value_scale *scale, double value) {
  if (!scale->logarithmic)
    return value;
  return value > scale->shift ? log(value - scale->shift) : -(double)INFINITY;
}

double fg_scale_back(const fg_value_scale *scale, double scaled) {
  return scale->logarithmic ? scale->shift + exp(scaled) : scaled;
}

double fg_scale_mean(const fg_value_scale *scale, double estimate, double variance,
                     double lagrange) {
  return fg_scale_back(scale, scale->logarithmic ? estimate + 0.5 * variance - lagrange : estimate);
}

/* Logarithm of the normal likelihood of the values in a scale, up to what all scales share. */
static double likelihood(const fg_value_scale *scale, const double *values, size_t count) {
  double mean = 0.0;
  double square = 0.0;
  double jacobian = 0.0;
  for (size_t i = 0; i < count; ++i) {
    const double scaled = fg_scale_to(scale, values[i]);
    const double step = scaled - mean;
    mean += step / (double)(i + 1);
    square += step * (scaled - mean);
    jacobian -= scale->logarithmic ? scaled : 0.0;
  }
  return -0.5 * (double)count * log(square / (double)count) + jacobian;
}

/* A shift for values in rising order; false when they are not skewed to the right. */
static bool find_shift(const double *sorted, size_t count, double *shift) {
  const double low = sorted[0];
  const double high = sorted[count - 1];
  const double middle = gsl_stats_median_from_sorted_data(sorted, 1, count);
  if (!(middle > low && high - middle > middle - low))
    return false;
  const double below = middle - low;
  const double above = high - middle;
  *shift = low - below * below / (above - below);
  return isfinite(*shift) && *shift < low;
}

fg_value_scale fg_scale_choose(const double *sorted, size_t count) {
  const fg_value_scale logarithm = {true, 0.0};
  fg_value_scale best = {false, 0.0};
  if (count < FG_SCALE_LEAST)
    return best;
  double most = likelihood(&best, sorted, count) + gain_wanted;
  if (sorted[0] > 0.0 && likelihood(&logarithm, sorted, count) > most) {
    best = logarithm;
    most = likelihood(&logarithm, sorted, count) + gain_wanted;
  }
  fg_value_scale shifted = {true, 0.0};
  if (find_shift(sorted, count, &shifted.shift) && likelihood(&shifted, sorted, count) > most)
    best = shifted;
  return best;
}
