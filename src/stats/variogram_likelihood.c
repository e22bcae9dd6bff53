/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/variogram_likelihood.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "stats/neighbours.h"

enum { BLOCK_MOST = 64, BLOCKS_MOST = 16, SEED = 20 };

/* Places stand block by block; their values are deviations from the mean. */
struct fg_likelihood {
  fg_datum *data;
  size_t count, block, sets;
  double *value;           /* a row of sets a place */
  double freedom, scatter; /* of the repeats about their means */
  gsl_matrix *covariance, *right;
  double *along, *square; /* sums over the blocks, one a set */
};

static double repeats_of(const fg_datum *datum) { return fmax(datum->repeats, 1.0); }

double fg_variogram_free(const fg_datum *data, size_t count) {
  double sum = -1.0;
  for (size_t i = 0; i < count; ++i)
    sum += repeats_of(&data[i]);
  return sum;
}

void fg_likelihood_free(fg_likelihood *l) {
  if (!l)
    return;
  free(l->data);
  free(l->value);
  free(l->along);
  free(l->square);
  gsl_matrix_free(l->covariance);
  gsl_matrix_free(l->right);
  free(l);
}

/* Neighbours side by side; of more blocks than are wanted, some spread evenly. */
static fg_status arrange(fg_likelihood *l, const fg_datum *data, size_t count) {
  double(*points)[2] = malloc(count * sizeof *points);
  fg_neighbours *tree = NULL;
  if (!points)
    return FG_EMEMORY;
  for (size_t i = 0; i < count; ++i) {
    points[i][0] = data[i].x_m - data[0].x_m;
    points[i][1] = data[i].y_m - data[0].y_m;
  }
  const fg_status status = fg_neighbours_new((const double(*)[2])points, count, &tree);
  for (size_t i = 0; status == FG_OK && i < l->count; ++i) {
    const size_t left_out = (count - l->count) * (i / l->block) / (BLOCKS_MOST - 1);
    l->data[i] = data[fg_neighbours_order(tree)[i + left_out]];
  }
  fg_neighbours_free(tree);
  free(points);
  return status;
}

/* The first set is the data's own; a repeated mean counts by the root of its repeats. */
static fg_status set_values(fg_likelihood *l) {
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  double *deviation = malloc(l->count * sizeof *deviation);
  const fg_status status = rng && deviation ? FG_OK : FG_EMEMORY;
  double sum = 0.0;
  double weights = 0.0;
  for (size_t i = 0; i < l->count; ++i) {
    sum += repeats_of(&l->data[i]) * l->data[i].value;
    weights += repeats_of(&l->data[i]);
  }
  for (size_t i = 0; status == FG_OK && i < l->count; ++i)
    deviation[i] = sqrt(repeats_of(&l->data[i])) * (l->data[i].value - sum / weights);
  if (status == FG_OK)
    gsl_rng_set(rng, SEED);
  for (size_t set = 0; status == FG_OK && set < l->sets; ++set) {
    if (set > 0)
      gsl_ran_shuffle(rng, deviation, l->count, sizeof *deviation);
    for (size_t i = 0; i < l->count; ++i)
      l->value[i * l->sets + set] = deviation[i] / sqrt(repeats_of(&l->data[i]));
  }
  gsl_rng_free(rng);
  free(deviation);
  return status;
}

static bool all_alike(const fg_datum *data, size_t count) {
  for (size_t i = 1; i < count; ++i)
    if (data[i].value != data[0].value)
      return false;
  return true;
}

fg_status fg_likelihood_new(const fg_datum *data, size_t count, size_t sets,
                            fg_likelihood **likelihood) {
  if (count < 3 || sets < 1 || all_alike(data, count))
    return FG_EDOMAIN;
  fg_likelihood *l = calloc(1, sizeof *l);
  if (!l)
    return FG_EMEMORY;
  const size_t most = (size_t)BLOCK_MOST * BLOCKS_MOST;
  l->count = count < most ? count : most;
  const size_t blocks = (l->count + BLOCK_MOST - 1) / BLOCK_MOST;
  l->block = (l->count + blocks - 1) / blocks;
  l->sets = sets;
  l->data = malloc(l->count * sizeof *l->data);
  l->value = malloc(l->count * sets * sizeof *l->value);
  l->along = malloc(sets * sizeof *l->along);
  l->square = malloc(sets * sizeof *l->square);
  l->covariance = gsl_matrix_alloc(l->block, l->block);
  l->right = gsl_matrix_alloc(l->block, sets + 1);
  fg_status status = FG_EMEMORY;
  if (l->data && l->value && l->along && l->square && l->covariance && l->right)
    status = arrange(l, data, count);
  if (status == FG_OK)
    status = set_values(l);
  for (size_t i = 0; status == FG_OK && i < l->count; ++i) {
    l->freedom += repeats_of(&l->data[i]) - 1.0;
    l->scatter += l->data[i].scatter;
  }
  if (status == FG_OK)
    *likelihood = l;
  else
    fg_likelihood_free(l);
  return status;
}

static void fill(const fg_likelihood *l, const fg_variogram *shape, size_t from, gsl_matrix *a,
                 gsl_matrix *right) {
  double turned[BLOCK_MOST][2];
  for (size_t i = 0; i < a->size1; ++i) {
    const fg_datum *p = &l->data[from + i];
    fg_variogram_turn(shape, p->x_m - l->data[0].x_m, p->y_m - l->data[0].y_m, turned[i]);
    const double own = 1.0 - shape->nugget + shape->nugget / repeats_of(p);
    gsl_matrix_set(a, i, i, own);
    for (size_t j = 0; j < i; ++j) {
      const double dx = turned[i][0] - turned[j][0];
      const double dy = turned[i][1] - turned[j][1];
      gsl_matrix_set(a, i, j, fg_variogram_covariance(shape, sqrt(dx * dx + dy * dy)));
    }
    gsl_matrix_set(right, i, 0, 1.0);
    for (size_t set = 0; set < l->sets; ++set)
      gsl_matrix_set(right, i, set + 1, l->value[(from + i) * l->sets + set]);
  }
}

/* With L L' = C: adds to the sums of squares of L^-1 1 and L^-1 y, of their products, and to
 * the logarithm of the determinant. */
static bool add_block(fg_likelihood *l, const fg_variogram *shape, size_t from, size_t size,
                      double *ones, double *determinant) {
  gsl_matrix_view a = gsl_matrix_submatrix(l->covariance, 0, 0, size, size);
  gsl_matrix_view right = gsl_matrix_submatrix(l->right, 0, 0, size, l->sets + 1);
  fill(l, shape, from, &a.matrix, &right.matrix);
  if (gsl_linalg_cholesky_decomp1(&a.matrix) != GSL_SUCCESS ||
      gsl_blas_dtrsm(CblasLeft, CblasLower, CblasNoTrans, CblasNonUnit, 1.0, &a.matrix,
                     &right.matrix) != GSL_SUCCESS)
    return false;
  for (size_t i = 0; i < size; ++i) {
    const double *row = gsl_matrix_const_ptr(&right.matrix, i, 0);
    *determinant += 2.0 * log(gsl_matrix_get(&a.matrix, i, i));
    *ones += row[0] * row[0];
    for (size_t set = 0; set < l->sets; ++set) {
      l->along[set] += row[0] * row[set + 1];
      l->square[set] += row[set + 1] * row[set + 1];
    }
  }
  return true;
}

bool fg_likelihood_of(fg_likelihood *l, const fg_variogram *shape, double *logarithms,
                      double *sill) {
  double ones = 0.0;
  double determinant = 0.0;
  for (size_t set = 0; set < l->sets; ++set)
    l->along[set] = l->square[set] = 0.0;
  for (size_t from = 0; from < l->count; from += l->block) {
    const size_t size = l->count - from < l->block ? l->count - from : l->block;
    if (!add_block(l, shape, from, size, &ones, &determinant))
      return false;
  }
  const double freedom = (double)l->count - 1.0 + l->freedom;
  if (l->freedom > 0.0)
    determinant += l->freedom * log(shape->nugget);
  for (size_t set = 0; set < l->sets; ++set) {
    double squares = l->square[set] - l->along[set] * l->along[set] / ones;
    squares += l->freedom > 0.0 ? l->scatter / shape->nugget : 0.0;
    logarithms[set] = -0.5 * (determinant + log(ones) + freedom * log(squares / freedom));
    if (!isfinite(logarithms[set]))
      return false;
    if (sill && set == 0)
      *sill = squares / freedom;
  }
  return true;
}
