/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Models fitted to readings, and whether there is anything to fit. */
#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_qrng.h>

#include "stats/variogram_likelihood.h"

static const double pi = 3.14159265358979323846;

/* A shape as a point of the unit cube: range, nugget, ratio, direction. */
enum { FREE_MOST = 4, PASSES = 3, PLAIN_SHAPES = 32, TURNED_SHAPES = 96 };
static const double nugget_least = 0.01; /* of the sill */
static const double nugget_most = 0.9;
static const double ratio_least = 0.1;
static const double ratio_most = 0.8;

static size_t free_count(const fg_variogram_freedom *freedom) {
  return !freedom->anisotropic ? 2 : isnan(freedom->direction_rad) ? 4 : 3;
}

static size_t shape_count(const fg_variogram_freedom *freedom) {
  return freedom->anisotropic ? TURNED_SHAPES : PLAIN_SHAPES;
}

static fg_variogram shape_at(fg_variogram_kind kind, const fg_variogram_freedom *freedom,
                             const double point[FREE_MOST]) {
  const size_t n = free_count(freedom);
  fg_variogram v = {.kind = kind, .sill = 1.0, .ratio = 1.0};
  v.range_m = freedom->shortest_m * pow(freedom->longest_m / freedom->shortest_m, point[0]);
  v.nugget = nugget_least + (nugget_most - nugget_least) * point[1];
  if (n > 2) {
    v.ratio = ratio_least * pow(ratio_most / ratio_least, point[2]);
    v.direction_rad = n > 3 ? pi * (point[3] - floor(point[3])) : freedom->direction_rad;
  }
  return v;
}

static fg_variogram pure_nugget(void) {
  return (fg_variogram){
      .kind = FG_VARIOGRAM_NUGGET, .nugget = 1.0, .sill = 1.0, .range_m = 1.0, .ratio = 1.0};
}

/* ---- Fitting ------------------------------------------------------------------------------ */

/* Where the next pass looks; its points and their likelihoods. */
typedef struct search {
  double low[FREE_MOST], high[FREE_MOST];
  double point[TURNED_SHAPES][FREE_MOST];
  double likelihood[TURNED_SHAPES]; /* logarithms; afterwards weights of sum 1 */
} search;

static bool pass(fg_likelihood *l, fg_variogram_kind kind, const fg_variogram_freedom *freedom,
                 gsl_qrng *sequence, search *s, double *evidence) {
  const size_t n = free_count(freedom);
  const size_t shapes = shape_count(freedom);
  double most = -(double)INFINITY;
  gsl_qrng_init(sequence);
  for (size_t i = 0; i < shapes; ++i) {
    double at[FREE_MOST];
    if (gsl_qrng_get(sequence, at) != GSL_SUCCESS)
      return false;
    for (size_t k = 0; k < n; ++k)
      s->point[i][k] = s->low[k] + at[k] * (s->high[k] - s->low[k]);
    const fg_variogram shape = shape_at(kind, freedom, s->point[i]);
    if (!fg_likelihood_of(l, &shape, &s->likelihood[i], NULL))
      s->likelihood[i] = -(double)INFINITY;
    most = fmax(most, s->likelihood[i]);
  }
  if (!isfinite(most))
    return false;
  double sum = 0.0;
  for (size_t i = 0; i < shapes; ++i)
    sum += s->likelihood[i] = exp(s->likelihood[i] - most);
  for (size_t i = 0; i < shapes; ++i)
    s->likelihood[i] /= sum;
  *evidence = most + log(sum / (double)shapes);
  for (size_t k = 0; k < n; ++k)
    *evidence += log(s->high[k] - s->low[k]);
  return true;
}

/* Weighted mean of a coordinate and its standard deviation; the direction goes round. */
static double centre_of(const search *s, size_t shapes, size_t k, double *deviation) {
  double mean = 0.0;
  double sine = 0.0;
  double cosine = 0.0;
  double square = 0.0;
  for (size_t i = 0; i < shapes; ++i) {
    mean += s->likelihood[i] * s->point[i][k];
    sine += s->likelihood[i] * sin(2.0 * pi * s->point[i][k]);
    cosine += s->likelihood[i] * cos(2.0 * pi * s->point[i][k]);
  }
  if (k == 3)
    mean = atan2(sine, cosine) / (2.0 * pi);
  for (size_t i = 0; i < shapes; ++i) {
    double off = s->point[i][k] - mean;
    if (k == 3)
      off -= round(off);
    square += s->likelihood[i] * off * off;
  }
  *deviation = sqrt(square);
  return mean;
}

/* Draws the search in about the mean, as far as the likelihood spreads, and no faster than its
 * points lie apart. */
static void draw_in(search *s, size_t shapes, size_t n) {
  const double apart = pow((double)shapes, -1.0 / (double)n);
  for (size_t k = 0; k < n; ++k) {
    double deviation;
    const double mean = centre_of(s, shapes, k, &deviation);
    const double half = fmax(3.0 * deviation, apart * (s->high[k] - s->low[k]));
    s->low[k] = k == 3 ? mean - fmin(half, 0.5) : fmax(mean - half, 0.0);
    s->high[k] = k == 3 ? mean + fmin(half, 0.5) : fmin(mean + half, 1.0);
  }
}

static fg_status find(fg_likelihood *l, fg_variogram_kind kind, const fg_variogram_freedom *freedom,
                      fg_variogram *v, double *evidence) {
  const size_t n = free_count(freedom);
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)n);
  search *s = calloc(1, sizeof *s);
  fg_status status = sequence && s ? FG_OK : FG_EMEMORY;
  for (size_t k = 0; s && k < n; ++k)
    s->high[k] = 1.0;
  for (int round = 0; status == FG_OK && round < PASSES; ++round) {
    if (round > 0)
      draw_in(s, shape_count(freedom), n);
    if (!pass(l, kind, freedom, sequence, s, evidence))
      status = FG_ENOROOT;
  }
  if (status == FG_OK) {
    double centre[FREE_MOST] = {0.0};
    double deviation;
    for (size_t k = 0; k < n; ++k)
      centre[k] = centre_of(s, shape_count(freedom), k, &deviation);
    *v = shape_at(kind, freedom, centre);
  }
  gsl_qrng_free(sequence);
  free(s);
  return status;
}

static fg_status set_sill(fg_likelihood *l, fg_variogram *shape) {
  double ignored;
  double sill;
  if (!fg_likelihood_of(l, shape, &ignored, &sill))
    return FG_ENOROOT;
  shape->nugget *= sill;
  shape->sill = sill;
  return FG_OK;
}

fg_status fg_variogram_fit(fg_variogram_kind kind, const fg_datum *data, size_t count,
                           const fg_variogram_freedom *freedom, fg_variogram *v, double *evidence) {
  if (kind >= FG_VARIOGRAM_KINDS || !(freedom->shortest_m > 0.0) ||
      !(freedom->longest_m > freedom->shortest_m))
    return FG_EDOMAIN;
  fg_likelihood *l = NULL;
  fg_variogram made = pure_nugget();
  double mean = 0.0;
  fg_status status = fg_likelihood_new(data, count, 1, &l);
  if (status == FG_OK && kind != FG_VARIOGRAM_NUGGET)
    status = find(l, kind, freedom, &made, &mean);
  else if (status == FG_OK && !fg_likelihood_of(l, &made, &mean, NULL))
    status = FG_ENOROOT;
  if (status == FG_OK)
    status = set_sill(l, &made);
  fg_likelihood_free(l);
  if (status != FG_OK)
    return status;
  *v = made;
  *evidence = mean;
  return FG_OK;
}

fg_status fg_variogram_scale(const fg_datum *data, size_t count, fg_variogram *v) {
  if (!fg_variogram_is_valid(v))
    return FG_EDOMAIN;
  fg_likelihood *l = NULL;
  fg_variogram shape = *v;
  shape.nugget /= v->sill;
  shape.sill = 1.0;
  fg_status status = fg_likelihood_new(data, count, 1, &l);
  if (status == FG_OK)
    status = set_sill(l, &shape);
  fg_likelihood_free(l);
  if (status == FG_OK)
    *v = shape;
  return status;
}

/* ---- Whether there is anything to fit ------------------------------------------------------ */

enum { SETS = FG_SHUFFLES + 1 };

/* Logarithm of a + b from those of a and b. */
static double add_logarithms(double a, double b) {
  const double most = fmax(a, b);
  return isfinite(most) ? most + log(exp(a - most) + exp(b - most)) : most;
}

/* Adds the likelihoods of exponential shapes spread evenly to the sums. */
static fg_status add_shapes(fg_likelihood *l, const fg_variogram_freedom *freedom,
                            double sum[SETS]) {
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)free_count(freedom));
  if (!sequence)
    return FG_EMEMORY;
  double logarithms[SETS];
  for (size_t i = 0; i < shape_count(freedom); ++i) {
    double point[FREE_MOST] = {0.0};
    gsl_qrng_get(sequence, point);
    const fg_variogram shape = shape_at(FG_VARIOGRAM_EXPONENTIAL, freedom, point);
    if (!fg_likelihood_of(l, &shape, logarithms, NULL))
      continue;
    for (size_t set = 0; set < SETS; ++set)
      sum[set] = add_logarithms(sum[set], logarithms[set]);
  }
  gsl_qrng_free(sequence);
  return FG_OK;
}

fg_status fg_variogram_chance(const fg_datum *data, size_t count,
                              const fg_variogram_freedom *freedom, double *chance) {
  fg_likelihood *l = NULL;
  const fg_variogram plain = pure_nugget();
  double sum[SETS];
  double none[SETS];
  fg_status status = fg_likelihood_new(data, count, SETS, &l);
  if (status == FG_OK && !fg_likelihood_of(l, &plain, none, NULL))
    status = FG_ENOROOT;
  for (size_t set = 0; set < SETS; ++set)
    sum[set] = -(double)INFINITY;
  for (int turned = 0; status == FG_OK && turned <= (int)freedom->anisotropic; ++turned) {
    fg_variogram_freedom some = *freedom;
    some.anisotropic = turned > 0;
    status = add_shapes(l, &some, sum);
  }
  fg_likelihood_free(l);
  if (status != FG_OK)
    return status;
  size_t as_alike = 0;
  for (size_t set = 0; set < SETS; ++set)
    as_alike += sum[set] - none[set] >= sum[0] - none[0];
  *chance = (double)as_alike / SETS;
  return FG_OK;
}
