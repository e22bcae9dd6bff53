/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/band.h"

#include <math.h>
#include <stdlib.h>

typedef struct weighted {
  double value, weight;
} weighted;

static int by_value(const void *a, const void *b) {
  const double x = ((const weighted *)a)->value, y = ((const weighted *)b)->value;
  return x < y ? -1 : x > y;
}

/* Those that count, sorted by value; returns how many, their weight in *all. */
static size_t sort_weighted(const double *values, const double *weights, size_t count,
                            weighted *sorted, double *all) {
  size_t n = 0;
  *all = 0.0;
  for (size_t i = 0; i < count; ++i) {
    const double weight = weights ? weights[i] : 1.0;
    if (isnan(values[i]) || !(weight > 0.0))
      continue;
    sorted[n++] = (weighted){values[i], weight};
    *all += weight;
  }
  qsort(sorted, n, sizeof *sorted, by_value);
  return n;
}

/* NaN of none. */
static double value_at(const weighted *sorted, size_t n, double wanted) {
  double before = 0.0, last_middle = 0.0;
  for (size_t i = 0; i < n; ++i) {
    const double middle = before + 0.5 * sorted[i].weight;
    if (middle >= wanted) {
      if (i == 0)
        return sorted[0].value;
      const double along = (wanted - last_middle) / (middle - last_middle);
      return sorted[i - 1].value + along * (sorted[i].value - sorted[i - 1].value);
    }
    before += sorted[i].weight;
    last_middle = middle;
  }
  return n > 0 ? sorted[n - 1].value : (double)NAN;
}

double fg_weighted_quantile(const double *values, const double *weights, size_t count,
                            double quantile, double *scratch) {
  weighted *sorted = (weighted *)(void *)scratch;
  double all;
  const size_t n = sort_weighted(values, weights, count, sorted, &all);
  return value_at(sorted, n, quantile * all);
}

fg_band fg_weighted_band(const double *values, const double *weights, size_t count,
                         double *scratch) {
  weighted *sorted = (weighted *)(void *)scratch;
  double all;
  const size_t n = sort_weighted(values, weights, count, sorted, &all);
  return (fg_band){value_at(sorted, n, 0.1 * all), value_at(sorted, n, 0.5 * all),
                   value_at(sorted, n, 0.9 * all)};
}

const fg_band fg_band_unknown = {NAN, NAN, NAN};

fg_band fg_band_scaled(const fg_band *band, double factor) {
  return (fg_band){factor * band->low, factor * band->mid, factor * band->high};
}

double fg_effective_size(const double *weights, size_t count) {
  double sum = 0.0, squares = 0.0;
  for (size_t i = 0; i < count; ++i) {
    sum += weights[i];
    squares += weights[i] * weights[i];
  }
  return squares > 0.0 ? sum * sum / squares : 0.0;
}

size_t fg_weighted_choice(const double *weights, size_t count, double probability) {
  double all = 0.0, before = 0.0;
  for (size_t i = 0; i < count; ++i)
    all += weights[i];
  size_t chosen = 0;
  for (size_t i = count; i-- > 0 && before <= probability * all;) {
    if (weights[i] > 0.0)
      chosen = i;
    before += weights[i];
  }
  return chosen;
}
