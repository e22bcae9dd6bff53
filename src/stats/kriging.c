/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/kriging.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "stats/neighbours.h"

/* Shares of the sill that are tried on the diagonal, until a system can be solved. */
static const double jitters[] = {0.0, 1e-12, 1e-11, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4};

struct fg_kriging {
  fg_datum *data;
  double (*turned)[2]; /* places turned and stretched so that all directions are alike */
  size_t count;
  fg_variogram model;
  size_t most;
  fg_neighbours *tree;
  /* Room for one system, and the last solution. */
  gsl_matrix *matrix;
  gsl_vector *ones, *toward;
  /* With all data in every estimate, the matrix is factored once: row i is datum i. */
  bool factored;
  double factored_jitter;
  size_t used;
  size_t index[FG_NEIGHBOURS_MOST];
  double square[FG_NEIGHBOURS_MOST];
  double weight[FG_NEIGHBOURS_MOST];
  double at_x, at_y;
  double jitter;
};

/* Relative to the first datum, so that large map coordinates lose no digits. */
static void turn(const fg_kriging *k, double x_m, double y_m, double out[2]) {
  fg_variogram_turn(&k->model, x_m - k->data[0].x_m, y_m - k->data[0].y_m, out);
}

static bool all_finite(const fg_datum *data, size_t count) {
  for (size_t i = 0; i < count; ++i)
    if (!isfinite(data[i].x_m) || !isfinite(data[i].y_m) || !isfinite(data[i].value))
      return false;
  return true;
}

static fg_status allocate(fg_kriging *k, const fg_datum *data, size_t count) {
  k->data = malloc(count * sizeof *k->data);
  k->turned = malloc(count * sizeof *k->turned);
  k->matrix = gsl_matrix_alloc(k->most, k->most);
  k->ones = gsl_vector_alloc(k->most);
  k->toward = gsl_vector_alloc(k->most);
  if (!k->data || !k->turned || !k->matrix || !k->ones || !k->toward)
    return FG_EMEMORY;
  memcpy(k->data, data, count * sizeof *data);
  for (size_t i = 0; i < count; ++i)
    turn(k, data[i].x_m, data[i].y_m, k->turned[i]);
  return fg_neighbours_new((const double(*)[2])k->turned, count, &k->tree);
}

fg_status fg_kriging_new(const fg_datum *data, size_t count, const fg_variogram *variogram,
                         size_t neighbours, fg_kriging **kriging) {
  if (count == 0 || neighbours < FG_NEIGHBOURS_LEAST || neighbours > FG_NEIGHBOURS_MOST ||
      !fg_variogram_is_valid(variogram) || !all_finite(data, count))
    return FG_EDOMAIN;
  fg_kriging *k = calloc(1, sizeof *k);
  if (!k)
    return FG_EMEMORY;
  k->count = count;
  k->model = *variogram;
  k->most = neighbours < count ? neighbours : count;
  const fg_status status = allocate(k, data, count);
  if (status == FG_OK)
    *kriging = k;
  else
    fg_kriging_free(k);
  return status;
}

void fg_kriging_free(fg_kriging *kriging) {
  if (!kriging)
    return;
  free(kriging->data);
  free(kriging->turned);
  gsl_matrix_free(kriging->matrix);
  gsl_vector_free(kriging->ones);
  gsl_vector_free(kriging->toward);
  fg_neighbours_free(kriging->tree);
  free(kriging);
}

/* Row that the neighbour `i` has in the system. */
static size_t row_of(const fg_kriging *k, size_t i) {
  return k->used == k->count ? k->index[i] : i;
}

/* What a datum has of the nugget: all, or the share that a mean of repeats leaves. */
static double nugget_of(const fg_kriging *k, size_t index) {
  return k->model.nugget / fmax(k->data[index].repeats, 1.0);
}

/* The lower half of the readings' covariances, nugget and jitter on the diagonal. */
static void fill(const fg_kriging *k, gsl_matrix *a, double jitter) {
  const bool all = k->used == k->count;
  const double own = k->model.sill * (1.0 + jitter) - k->model.nugget;
  for (size_t i = 0; i < k->used; ++i) {
    const size_t index = all ? i : k->index[i];
    const double *p = k->turned[index];
    gsl_matrix_set(a, i, i, own + nugget_of(k, index));
    for (size_t j = 0; j < i; ++j) {
      const double *q = k->turned[all ? j : k->index[j]];
      const double dx = p[0] - q[0];
      const double dy = p[1] - q[1];
      gsl_matrix_set(a, i, j, fg_variogram_covariance(&k->model, sqrt(dx * dx + dy * dy)));
    }
  }
}

/* Factors the matrix C and solves C x = 1, unless that is done. */
static bool factor(fg_kriging *k, gsl_matrix *a, gsl_vector *one, double jitter) {
  const bool all = k->used == k->count;
  if (all && k->factored && k->factored_jitter == jitter)
    return true;
  k->factored = false;
  fill(k, a, jitter);
  gsl_vector_set_all(one, 1.0);
  if (gsl_linalg_cholesky_decomp1(a) != GSL_SUCCESS ||
      gsl_linalg_cholesky_svx(a, one) != GSL_SUCCESS)
    return false;
  k->factored = all;
  k->factored_jitter = jitter;
  return true;
}

/* Weights w = C^-1 (c + mu 1) with mu such that their sum is 1; *mu is Lagrange's number. */
static bool solve(fg_kriging *k, double jitter, double *mu) {
  const size_t n = k->used;
  gsl_matrix_view a = gsl_matrix_submatrix(k->matrix, 0, 0, n, n);
  gsl_vector_view one = gsl_vector_subvector(k->ones, 0, n);
  gsl_vector_view c = gsl_vector_subvector(k->toward, 0, n);
  for (size_t i = 0; i < n; ++i)
    gsl_vector_set(&c.vector, row_of(k, i), fg_variogram_covariance(&k->model, sqrt(k->square[i])));
  if (!factor(k, &a.matrix, &one.vector, jitter) ||
      gsl_linalg_cholesky_svx(&a.matrix, &c.vector) != GSL_SUCCESS)
    return false;
  double sum_one = 0.0;
  double sum_c = 0.0;
  for (size_t i = 0; i < n; ++i) {
    sum_one += gsl_vector_get(&one.vector, i);
    sum_c += gsl_vector_get(&c.vector, i);
  }
  *mu = (1.0 - sum_c) / sum_one;
  double sum = 0.0;
  for (size_t i = 0; i < n; ++i) {
    const size_t row = row_of(k, i);
    k->weight[i] = gsl_vector_get(&c.vector, row) + *mu * gsl_vector_get(&one.vector, row);
    sum += k->weight[i];
  }
  return isfinite(*mu) && fabs(sum - 1.0) < 1e-6;
}

/* The variance follows from the weights without the solver's own error: sill - w.c + mu. */
static bool finish(fg_kriging *k, double mu, fg_kriged *out) {
  const fg_variogram *v = &k->model;
  double estimate = 0.0;
  double variance = v->sill + mu;
  for (size_t i = 0; i < k->used; ++i) {
    estimate += k->weight[i] * k->data[k->index[i]].value;
    variance -= k->weight[i] * fg_variogram_covariance(v, sqrt(k->square[i]));
  }
  /* Below 0 by more than rounding, the system was too near singular to be believed. */
  if (!isfinite(estimate) || !(variance > -1e-6 * v->sill))
    return false;
  out->estimate = estimate;
  out->variance = variance > 1e-12 * v->sill ? variance : 0.0;
  out->lagrange = mu;
  return true;
}

/* The place is a datum and nothing is smoothed: the datum itself. */
static bool is_met(fg_kriging *k, fg_kriged *out) {
  if (k->square[0] > 0.0 || k->model.nugget > 0.0)
    return false;
  for (size_t i = 0; i < k->used; ++i)
    k->weight[i] = i == 0 ? 1.0 : 0.0;
  *out = (fg_kriged){k->data[k->index[0]].value, 0.0, 0.0};
  return true;
}

static fg_status estimate(fg_kriging *k, double x_m, double y_m, size_t skip, fg_kriged *out) {
  double at[2];
  turn(k, x_m, y_m, at);
  k->at_x = x_m;
  k->at_y = y_m;
  k->used = fg_neighbours_find(k->tree, at[0], at[1], k->most, skip, k->index, k->square);
  if (k->used == 0)
    return FG_EDOMAIN;
  if (is_met(k, out))
    return FG_OK;
  for (size_t i = 0; i < sizeof jitters / sizeof jitters[0]; ++i) {
    double mu;
    if (!solve(k, jitters[i], &mu) || !finish(k, mu, out))
      continue;
    k->jitter = fmax(k->jitter, jitters[i]);
    return FG_OK;
  }
  return FG_ENOROOT;
}

fg_status fg_kriging_at(fg_kriging *kriging, double x_m, double y_m, fg_kriged *out) {
  if (!isfinite(x_m) || !isfinite(y_m))
    return FG_EDOMAIN;
  return estimate(kriging, x_m, y_m, SIZE_MAX, out);
}

fg_status fg_kriging_without(fg_kriging *kriging, size_t index, fg_kriged *out) {
  if (index >= kriging->count || kriging->count < 2)
    return FG_EDOMAIN;
  const fg_datum *datum = &kriging->data[index];
  return estimate(kriging, datum->x_m, datum->y_m, index, out);
}

double fg_inverse_distance(const fg_kriging *kriging, double power, const fg_value_scale *scale) {
  double sum = 0.0;
  double weights = 0.0;
  double nearest = (double)INFINITY;
  for (size_t i = 0; i < kriging->used; ++i) {
    const fg_datum *d = &kriging->data[kriging->index[i]];
    nearest = fmin(nearest, hypot(d->x_m - kriging->at_x, d->y_m - kriging->at_y));
  }
  for (size_t i = 0; i < kriging->used; ++i) {
    const fg_datum *d = &kriging->data[kriging->index[i]];
    const double distance = hypot(d->x_m - kriging->at_x, d->y_m - kriging->at_y);
    if (!(distance > 0.0))
      return fg_scale_back(scale, d->value);
    /* In parts of the nearest, so that no power overflows. */
    const double weight = pow(nearest / distance, power);
    sum += weight * fg_scale_back(scale, d->value);
    weights += weight;
  }
  return sum / weights;
}

void fg_kriging_last(const fg_kriging *kriging, size_t *count, const size_t **indices,
                     const double **weights) {
  *count = kriging->used;
  *indices = kriging->index;
  *weights = kriging->weight;
}

double fg_kriging_jitter(const fg_kriging *kriging) { return kriging->jitter; }

/* Adds what one left-out datum tells; its variance is that of the mean of its repeats. */
static void add_error(const fg_kriging *k, size_t index, const fg_kriged *got, double inverse,
                      const fg_value_scale *scale, fg_cross *sum) {
  static const double log_two_pi = 1.83787706640934548356;
  const double variance = got->variance - k->model.nugget + nugget_of(k, index);
  const double reading = fg_scale_back(scale, k->data[index].value);
  const double error = fg_scale_mean(scale, got->estimate, got->variance, got->lagrange) - reading;
  const double off = got->estimate - k->data[index].value;
  sum->mean_error += error;
  sum->rmse += error * error;
  sum->standardised += off * off / variance;
  sum->score += 0.5 * (log_two_pi + log(variance) + off * off / variance);
  sum->inverse_distance_rmse += (inverse - reading) * (inverse - reading);
}

fg_status fg_cross_validate(fg_kriging *kriging, double power, const fg_value_scale *scale,
                            fg_cross *cross) {
  if (kriging->count < 3)
    return FG_EDOMAIN;
  fg_cross sum = {.count = kriging->count};
  for (size_t i = 0; i < kriging->count; ++i) {
    fg_kriged got;
    const fg_status status = fg_kriging_without(kriging, i, &got);
    if (status != FG_OK)
      return status;
    if (!(got.variance > 0.0))
      return FG_EDOMAIN;
    add_error(kriging, i, &got, fg_inverse_distance(kriging, power, scale), scale, &sum);
  }
  const double n = (double)kriging->count;
  *cross =
      (fg_cross){kriging->count,       sum.mean_error / n, sqrt(sum.rmse / n),
                 sum.standardised / n, sum.score / n,      sqrt(sum.inverse_distance_rmse / n)};
  return FG_OK;
}
