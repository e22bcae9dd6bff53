/* SPDX-License-Identifier: GPL-3.0-or-later */

#include <gsl/gsl_errno.h>
#include <gsl/gsl_qrng.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "stats/samples.h"

/* Never 0 or 1, where a normal deviate is infinite. */
static double inside(double u) { return fmin(1.0 - 1e-12, fmax(1e-12, u)); }

static fg_status sobol_columns(size_t rows, size_t columns, size_t stride, gsl_rng *rng,
                               double *table) {
  double shift[FG_SOBOL_COLUMNS], point[FG_SOBOL_COLUMNS];
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)columns);
  if (!sequence)
    return FG_EMEMORY;
  for (size_t j = 0; j < columns; ++j)
    shift[j] = gsl_rng_uniform(rng);
  fg_status status = FG_OK;
  for (size_t i = 0; i < rows && status == FG_OK; ++i) {
    if (gsl_qrng_get(sequence, point) != GSL_SUCCESS)
      status = FG_EDOMAIN;
    for (size_t j = 0; j < columns; ++j)
      table[i * stride + j] = inside(fmod(point[j] + shift[j], 1.0));
  }
  gsl_qrng_free(sequence);
  return status;
}

static fg_status hypercube_column(size_t rows, size_t stride, gsl_rng *rng, double *column) {
  size_t *order = calloc(rows, sizeof *order);
  if (!order)
    return FG_EMEMORY;
  for (size_t i = 0; i < rows; ++i)
    order[i] = i;
  gsl_ran_shuffle(rng, order, rows, sizeof *order);
  for (size_t i = 0; i < rows; ++i)
    column[i * stride] = inside(((double)order[i] + gsl_rng_uniform(rng)) / (double)rows);
  free(order);
  return FG_OK;
}

fg_status fg_sample_table(size_t rows, size_t columns, unsigned long seed, double *table) {
  if (rows == 0 || columns == 0)
    return FG_EDOMAIN;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  if (!rng)
    return FG_EMEMORY;
  gsl_rng_set(rng, seed + 1); /* GSL takes 0 for its default seed */
  const size_t first = columns < FG_SOBOL_COLUMNS ? columns : FG_SOBOL_COLUMNS;
  fg_status status = sobol_columns(rows, first, columns, rng, table);
  for (size_t j = first; j < columns && status == FG_OK; ++j)
    status = hypercube_column(rows, columns, rng, table + j);
  gsl_rng_free(rng);
  return status;
}

/* A row of a sample; those that count, sorted by one input. */
typedef struct sample_row {
  double place, output, weight;
  size_t index;
} sample_row;

typedef struct sorted_sample {
  sample_row *row;
  size_t count;
  double weight, mean, variance, effective;
} sorted_sample;

static int by_place(const void *a, const void *b) {
  const sample_row *x = a, *y = b;
  if (x->place != y->place)
    return x->place < y->place ? -1 : 1;
  return x->index < y->index ? -1 : x->index > y->index;
}

/* Variance of bin means over all variance, with the bias of finite bins taken off:
 * (eta^2 (n - 1) - (bins - 1))/(n - bins), as for an adjusted coefficient of determination. */
static double correlation_ratio(const sorted_sample *s, size_t bins) {
  double between = 0.0, before = 0.0;
  size_t i = 0;
  for (size_t b = 0; b < bins; ++b) {
    const double end = s->weight * ((double)b + 1.0) / (double)bins;
    double sum = 0.0, weight = 0.0;
    for (; i < s->count && (b + 1 == bins || before + 0.5 * s->row[i].weight < end); ++i) {
      before += s->row[i].weight;
      weight += s->row[i].weight;
      sum += s->row[i].weight * s->row[i].output;
    }
    if (!(weight > 0.0))
      continue; /* one heavy row may span bins */
    const double gap = sum / weight - s->mean;
    between += weight * gap * gap;
  }
  const double eta = between / (s->weight * s->variance), k = (double)bins;
  return fmax(0.0, (eta * (s->effective - 1.0) - (k - 1.0)) / (s->effective - k));
}

/* Rows that count, with weight and output; mean and variance of the output. */
static void gather_sample(const double *output, const double *weights, size_t rows,
                          sorted_sample *s) {
  double squares = 0.0, sum = 0.0, spread = 0.0;
  for (size_t i = 0; i < rows; ++i) {
    const double weight = weights ? weights[i] : 1.0;
    if (!isfinite(output[i]) || !(weight > 0.0))
      continue;
    s->row[s->count++] = (sample_row){.index = i, .output = output[i], .weight = weight};
    s->weight += weight;
    squares += weight * weight;
    sum += weight * output[i];
  }
  s->mean = sum / s->weight;
  for (size_t i = 0; i < s->count; ++i)
    spread += s->row[i].weight * (s->row[i].output - s->mean) * (s->row[i].output - s->mean);
  s->variance = spread / s->weight;
  s->effective = s->weight * s->weight / squares;
}

fg_status fg_first_order_weighted(const double *table, const double *output, const double *weights,
                                  size_t rows, size_t columns, size_t bins, double *indices) {
  if (bins < 2 || rows < 4 * bins)
    return FG_EDOMAIN;
  sorted_sample s = {.row = calloc(rows, sizeof *s.row)};
  if (!s.row)
    return FG_EMEMORY;
  gather_sample(output, weights, rows, &s);
  const bool enough = s.count > 0 && s.effective >= 2.0 * (double)bins;
  for (size_t j = 0; j < columns && enough; ++j) {
    for (size_t i = 0; i < s.count; ++i)
      s.row[i].place = table[s.row[i].index * columns + j];
    qsort(s.row, s.count, sizeof *s.row, by_place);
    indices[j] = s.variance > 0.0 ? correlation_ratio(&s, bins) : 0.0;
  }
  free(s.row);
  return enough ? FG_OK : FG_EDOMAIN;
}

fg_status fg_first_order_given_data(const double *table, const double *output, size_t rows,
                                    size_t columns, size_t bins, double *indices) {
  return fg_first_order_weighted(table, output, NULL, rows, columns, bins, indices);
}

/* Means over the pairs that count. */
typedef struct pair_sums {
  double weight, mean, variance, apart;
  size_t count;
} pair_sums;

/* What a pair weighs: 0 when either has no answer. */
static double pair_weight(const fg_redrawn *r, size_t i) {
  const double a = r->weights ? r->weights[i] : 1.0;
  const double b = r->redrawn_weights ? r->redrawn_weights[i] : 1.0;
  if (!isfinite(r->output[i]) || !isfinite(r->redrawn[i]) || !(a > 0.0 && b > 0.0))
    return 0.0;
  return 2.0 * a * b / (a + b);
}

/* Half the squared gap of a pair, and its mean square about `mean`. */
static double half_gap(const fg_redrawn *r, size_t i) {
  const double gap = r->output[i] - r->redrawn[i];
  return 0.5 * gap * gap;
}

static double mean_square(const fg_redrawn *r, size_t i, double mean) {
  const double a = r->output[i] - mean, b = r->redrawn[i] - mean;
  return 0.5 * (a * a + b * b);
}

static pair_sums sum_pairs(const fg_redrawn *r) {
  pair_sums s = {0};
  for (size_t i = 0; i < r->rows; ++i) {
    const double w = pair_weight(r, i);
    if (w == 0.0)
      continue;
    ++s.count;
    s.weight += w;
    s.mean += 0.5 * w * (r->output[i] + r->redrawn[i]);
    s.apart += w * half_gap(r, i);
  }
  s.mean /= s.weight;
  s.apart /= s.weight;
  for (size_t i = 0; i < r->rows; ++i) {
    const double w = pair_weight(r, i);
    s.variance += w > 0.0 ? w / s.weight * mean_square(r, i, s.mean) : 0.0;
  }
  return s;
}

fg_status fg_total_effect(const fg_redrawn *r, double *total, double *error) {
  const pair_sums s = sum_pairs(r);
  if (s.count < FG_PAIRS_LEAST || !(s.variance > 0.0))
    return FG_EDOMAIN;
  const double share = s.apart / s.variance;
  double squares = 0.0;
  for (size_t i = 0; i < r->rows; ++i) {
    const double w = pair_weight(r, i);
    if (w == 0.0)
      continue;
    const double rest = w * (half_gap(r, i) - share * mean_square(r, i, s.mean));
    squares += rest * rest;
  }
  *total = share;
  *error = sqrt(squares) / (s.weight * s.variance);
  return FG_OK;
}
