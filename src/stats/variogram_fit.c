/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The experimental variogram, and models fitted to it. */
#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>

#include "stats/variogram.h"

static const double pi = 3.14159265358979323846;
static const double least_pairs = 1e-9;

/* ---- Experimental ------------------------------------------------------------------------- */

/* A pair counts for the two classes of distance, and the two sectors, between whose middles it
 * lies, by how near it is to each: so a step of a centimetre never moves a whole pair. */
static void add_share(fg_lag *bin, double share, double distance_m, double gamma) {
  bin->distance_m += share * distance_m;
  bin->gamma += share * gamma;
  bin->pairs += share;
}

static void add_pair(fg_lag *bins, size_t classes, size_t sectors, double longest_m,
                     const fg_datum *a, const fg_datum *b) {
  const double dx = b->x_m - a->x_m;
  const double dy = b->y_m - a->y_m;
  const double h2 = dx * dx + dy * dy;
  if (!(h2 > 0.0) || h2 >= longest_m * longest_m)
    return;
  const double h = sqrt(h2);
  const double step = b->value - a->value;
  const double along = fmax(h / longest_m * (double)classes - 0.5, 0.0);
  const size_t class = (size_t)along;
  const size_t beyond = class + 1 < classes ? class + 1 : class;
  const double far = along - (double)class;
  double turn = 0.0;
  if (sectors > 1)
    turn = (atan2(dx, dy) / pi + 1.0) * (double)sectors;
  const size_t sector = (size_t)turn % sectors;
  const size_t next = (sector + 1) % sectors;
  const double round = turn - floor(turn);
  const double gamma = 0.5 * step * step;
  add_share(&bins[sector * classes + class], (1.0 - round) * (1.0 - far), h, gamma);
  add_share(&bins[sector * classes + beyond], (1.0 - round) * far, h, gamma);
  if (sectors > 1) {
    add_share(&bins[next * classes + class], round * (1.0 - far), h, gamma);
    add_share(&bins[next * classes + beyond], round * far, h, gamma);
  }
}

fg_status fg_variogram_lags(const fg_datum *data, size_t count, size_t classes, size_t sectors,
                            double longest_m, fg_lag *lags, size_t *used) {
  if (count < 2 || classes < 1 || sectors < 1 || !(longest_m > 0.0) || !isfinite(longest_m))
    return FG_EDOMAIN;
  fg_lag *bins = calloc(classes * sectors, sizeof *bins);
  if (!bins)
    return FG_EMEMORY;
  for (size_t i = 0; i < count; ++i)
    for (size_t j = i + 1; j < count; ++j)
      add_pair(bins, classes, sectors, longest_m, &data[i], &data[j]);
  size_t n = 0;
  for (size_t i = 0; i < classes * sectors; ++i) {
    if (!(bins[i].pairs > least_pairs))
      continue;
    const size_t sector = i / classes;
    lags[n] = bins[i];
    lags[n].distance_m /= bins[i].pairs;
    lags[n].gamma /= bins[i].pairs;
    lags[n].azimuth_rad = sectors > 1 ? pi * (double)sector / (double)sectors : (double)NAN;
    ++n;
  }
  free(bins);
  if (n == 0)
    return FG_EDOMAIN;
  *used = n;
  return FG_OK;
}

/* ---- Fitting ------------------------------------------------------------------------------ */

enum { FREE_MOST = 5, ROUNDS = 4, STEPS_MOST = 60 };
static const double least_ratio = 0.1;
static const double gaussian_nugget = 1e-3;
static const double no_nugget = 1e-6; /* of the sill: a fit's way of saying none */

/* What the solver's residuals are made from.  The free numbers are unbounded: square roots of
 * nugget and partial sill over `scale`, a logistic of range and ratio, and the angle. */
typedef struct fit_case {
  fg_variogram_kind kind;
  const fg_lag *lags;
  size_t count;
  const fg_variogram_freedom *freedom;
  double scale;
  double *weight; /* square roots, one a lag */
} fit_case;

static double between(double low, double high, double free) {
  return low + (high - low) / (1.0 + exp(-free));
}

static double free_of(double low, double high, double value) {
  double share = (value - low) / (high - low);
  share = fmin(fmax(share, 1e-3), 1.0 - 1e-3);
  return log(share / (1.0 - share));
}

static size_t free_count(const fg_variogram_freedom *freedom) {
  return !freedom->anisotropic ? 3 : isnan(freedom->direction_rad) ? 5 : 4;
}

static void model_of(const gsl_vector *x, const fit_case *c, fg_variogram *v) {
  const double a = gsl_vector_get(x, 0);
  const double b = gsl_vector_get(x, 1);
  const size_t n = free_count(c->freedom);
  const double partial = c->scale * b * b;
  v->kind = c->kind;
  v->nugget = c->scale * a * a;
  if (c->kind == FG_VARIOGRAM_GAUSSIAN)
    v->nugget += gaussian_nugget / (1.0 - gaussian_nugget) * partial;
  v->sill = v->nugget + partial;
  v->range_m = between(c->freedom->shortest_m, c->freedom->longest_m, gsl_vector_get(x, 2));
  v->ratio = n > 3 ? between(least_ratio, 1.0, gsl_vector_get(x, 3)) : 1.0;
  v->direction_rad = n > 4 ? gsl_vector_get(x, 4) : n > 3 ? c->freedom->direction_rad : 0.0;
}

static double lag_gamma(const fg_variogram *v, const fg_lag *lag) {
  if (isnan(lag->azimuth_rad))
    return fg_variogram_gamma(v, 0.0, lag->distance_m);
  return fg_variogram_gamma(v, lag->distance_m * sin(lag->azimuth_rad),
                            lag->distance_m * cos(lag->azimuth_rad));
}

static int residuals(const gsl_vector *x, void *context, gsl_vector *out) {
  const fit_case *c = context;
  fg_variogram v;
  model_of(x, c, &v);
  for (size_t i = 0; i < c->count; ++i) {
    const double off = c->weight[i] * (lag_gamma(&v, &c->lags[i]) - c->lags[i].gamma);
    if (!isfinite(off))
      return GSL_EDOM;
    gsl_vector_set(out, i, off);
  }
  return GSL_SUCCESS;
}

/* pairs / gamma^2; a floor keeps a lag of near 0 from taking all. */
static void set_weights(const fit_case *c, const fg_variogram *v) {
  for (size_t i = 0; i < c->count; ++i) {
    const double gamma = v ? lag_gamma(v, &c->lags[i]) : c->scale;
    c->weight[i] = sqrt(c->lags[i].pairs) / fmax(gamma, 0.02 * c->scale);
  }
}

/* For choosing among starts: twice the pairs' deviance when squared differences scatter in
 * proportion to their mean.  Unlike the weighted squares it does not favour large models. */
static double misfit(const fit_case *c, const fg_variogram *v) {
  double sum = 0.0;
  for (size_t i = 0; i < c->count; ++i) {
    const double gamma = fmax(lag_gamma(v, &c->lags[i]), 0.02 * c->scale);
    const double ratio = fmax(c->lags[i].gamma, 1e-6 * c->scale) / gamma;
    sum += c->lags[i].pairs * (ratio - 1.0 - log(ratio));
  }
  return sum;
}

/* From one start; false when the solver finds no way. */
static bool descend(gsl_multifit_nlinear_workspace *space, gsl_vector *x, fit_case *c,
                    fg_variogram *v) {
  const size_t n = free_count(c->freedom);
  gsl_multifit_nlinear_fdf system = {.f = residuals, .n = c->count, .p = n, .params = c};
  set_weights(c, NULL);
  for (int round = 0; round < ROUNDS; ++round) {
    int why = 0;
    if (gsl_multifit_nlinear_init(x, &system, space) != GSL_SUCCESS)
      return false;
    const int status =
        gsl_multifit_nlinear_driver(STEPS_MOST, 1e-6, 1e-8, 0.0, NULL, NULL, &why, space);
    /* Being out of steps or of progress leaves a point that is still the best seen. */
    if (status != GSL_SUCCESS && status != GSL_EMAXITER && status != GSL_ENOPROG)
      return false;
    if (gsl_vector_memcpy(x, gsl_multifit_nlinear_position(space)) != GSL_SUCCESS)
      return false;
    model_of(x, c, v);
    set_weights(c, v);
  }
  v->direction_rad = fmod(fmod(v->direction_rad, pi) + pi, pi);
  if (v->nugget < no_nugget * v->sill)
    v->nugget = 0.0;
  return fg_variogram_is_valid(v);
}

static double mean_gamma(const fg_lag *lags, size_t count) {
  double sum = 0.0;
  double pairs = 0.0;
  for (size_t i = 0; i < count; ++i) {
    sum += lags[i].pairs * lags[i].gamma;
    pairs += lags[i].pairs;
  }
  return sum / pairs;
}

static void set_start(const fit_case *c, int start, gsl_vector *x) {
  static const double ranges[3] = {0.15, 0.4, 0.8};
  static const double angles[4] = {0.0, 0.785, 1.571, 2.356}; /* eighths of a turn */
  const fg_variogram_freedom *f = c->freedom;
  const double range = f->shortest_m + ranges[start % 3] * (f->longest_m - f->shortest_m);
  gsl_vector_set(x, 0, 0.5);
  gsl_vector_set(x, 1, 0.9);
  gsl_vector_set(x, 2, free_of(f->shortest_m, f->longest_m, range));
  if (x->size > 3)
    gsl_vector_set(x, 3, free_of(least_ratio, 1.0, 0.4));
  if (x->size > 4)
    gsl_vector_set(x, 4, angles[start / 3]);
}

static fg_status fit_from_starts(fit_case *c, fg_variogram *v) {
  const size_t n = free_count(c->freedom);
  gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
  gsl_multifit_nlinear_workspace *space =
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, c->count, n);
  gsl_vector *x = gsl_vector_alloc(n);
  fg_status status = space && x ? FG_ENOROOT : FG_EMEMORY;
  double least = (double)INFINITY;
  const int starts = n > 4 ? 12 : 3;
  for (int start = 0; status != FG_EMEMORY && start < starts; ++start) {
    fg_variogram made;
    set_start(c, start, x);
    if (!descend(space, x, c, &made))
      continue;
    const double off = misfit(c, &made);
    if (off < least) {
      least = off;
      *v = made;
      status = FG_OK;
    }
  }
  gsl_vector_free(x);
  gsl_multifit_nlinear_free(space);
  return status;
}

fg_status fg_variogram_fit(fg_variogram_kind kind, const fg_lag *lags, size_t count,
                           const fg_variogram_freedom *freedom, fg_variogram *v) {
  if (count == 0 || kind >= FG_VARIOGRAM_KINDS)
    return FG_EDOMAIN;
  const double scale = mean_gamma(lags, count);
  if (!(scale > 0.0) || !isfinite(scale))
    return FG_EDOMAIN;
  if (kind == FG_VARIOGRAM_NUGGET) {
    *v = (fg_variogram){.kind = kind, .nugget = scale, .sill = scale, .range_m = 1.0, .ratio = 1.0};
    return FG_OK;
  }
  if (count < free_count(freedom) || !(freedom->shortest_m > 0.0) ||
      !(freedom->longest_m > freedom->shortest_m))
    return FG_EDOMAIN;
  fit_case c = {.kind = kind, .lags = lags, .count = count, .freedom = freedom, .scale = scale};
  c.weight = malloc(count * sizeof *c.weight);
  if (!c.weight)
    return FG_EMEMORY;
  fg_status status = fit_from_starts(&c, v);
  free(c.weight);
  return status;
}
