/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Climbing by response surfaces (Box & Wilson, J. R. Statist. Soc. B 13:1, 1951): a few settings
 * in a box are judged, a quadratic is fitted to them, its highest place is judged too, and the
 * box is drawn closer around the best.  A fit over many settings sees through the small steps
 * that each member makes where it stalls; a search that walks from point to point trips there. */
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_qrng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/tune_internal.h"

enum {
  POINTS_MAX = 128,
  SURFACE_POINTS = 1024,
  CONTINUOUS = FG_KNOBS - 1,
  TERMS_MAX = 1 + CONTINUOUS + CONTINUOUS * (CONTINUOUS + 1) / 2
};

/* Below this share of the best a setting tells only that it is bad: a cliff must not bend the
 * surface. */
static const double worst_share = 0.6;
/* How much wider than the box the settings may lie that the surface is fitted to. */
static const double reach = 1.6;

typedef struct climb {
  fg_search *search;
  fg_verdicts *verdicts;
  size_t screen, dimensions, count;
  double u[POINTS_MAX][CONTINUOUS];
  double worth[POINTS_MAX];
  fg_judged judged[POINTS_MAX];
  size_t best;
  double half; /* of the box, in shares of the ranges */
} climb;

static fg_status try_place(climb *c, const double *u) {
  if (c->count == POINTS_MAX)
    return FG_OK;
  const size_t i = c->count;
  double at[FG_KNOBS];
  memcpy(c->u[i], u, c->dimensions * sizeof *u);
  fg_search_setting(c->search, c->screen, u, at);
  const fg_status status = fg_search_judge(c->search, c->verdicts, at, &c->judged[i]);
  if (status != FG_OK)
    return status;
  c->worth[i] = fg_search_worth(c->search, &c->judged[i]);
  if (c->worth[i] > c->worth[c->best])
    c->best = i;
  ++c->count;
  return FG_OK;
}

/* A place in the box from a point of the unit cube. */
static void place_in_box(const climb *c, const double *centre, const double *point, double *u) {
  for (size_t i = 0; i < c->dimensions; ++i) {
    const double low = fmax(0.0, centre[i] - c->half), high = fmin(1.0, centre[i] + c->half);
    u[i] = low + (high - low) * point[i];
  }
}

static size_t term_count(size_t d) { return 1 + d + d * (d + 1) / 2; }

/* 1, x, x x' of a place seen from the centre in half widths. */
static void fill_terms(const climb *c, const double *centre, const double *u, double *terms) {
  double x[CONTINUOUS];
  size_t n = 0;
  terms[n++] = 1.0;
  for (size_t i = 0; i < c->dimensions; ++i)
    terms[n++] = x[i] = (u[i] - centre[i]) / c->half;
  for (size_t i = 0; i < c->dimensions; ++i)
    for (size_t j = i; j < c->dimensions; ++j)
      terms[n++] = x[i] * x[j];
}

static bool near(const climb *c, const double *centre, const double *u) {
  for (size_t i = 0; i < c->dimensions; ++i)
    if (fabs(u[i] - centre[i]) > reach * c->half)
      return false;
  return true;
}

static size_t list_near(const climb *c, const double *centre, size_t chosen[POINTS_MAX]) {
  size_t count = 0;
  for (size_t i = 0; i < c->count; ++i)
    if (near(c, centre, c->u[i]))
      chosen[count++] = i;
  return count;
}

/* Least squares for the coefficients; false when there are too few places. */
static bool fit_surface(const climb *c, const double *centre, double coefficients[TERMS_MAX],
                        fg_status *status) {
  size_t chosen[POINTS_MAX];
  const size_t count = list_near(c, centre, chosen), terms = term_count(c->dimensions);
  *status = FG_OK;
  if (count <= terms)
    return false;
  gsl_multifit_linear_workspace *work = gsl_multifit_linear_alloc(count, terms);
  gsl_matrix *x = gsl_matrix_alloc(count, terms), *covariance = gsl_matrix_alloc(terms, terms);
  gsl_vector *y = gsl_vector_alloc(count), *b = gsl_vector_alloc(terms);
  bool fitted = false;
  if (!work || !x || !covariance || !y || !b) {
    *status = FG_EMEMORY;
  } else {
    const double floor = worst_share * c->worth[c->best];
    for (size_t i = 0; i < count; ++i) {
      double row[TERMS_MAX];
      fill_terms(c, centre, c->u[chosen[i]], row);
      for (size_t j = 0; j < terms; ++j)
        gsl_matrix_set(x, i, j, row[j]);
      gsl_vector_set(y, i, fmax(floor, c->worth[chosen[i]]));
    }
    double misfit;
    fitted = gsl_multifit_linear(x, y, b, covariance, &misfit, work) == GSL_SUCCESS;
    for (size_t j = 0; j < terms; ++j)
      coefficients[j] = gsl_vector_get(b, j);
  }
  gsl_vector_free(b);
  gsl_vector_free(y);
  gsl_matrix_free(covariance);
  gsl_matrix_free(x);
  gsl_multifit_linear_free(work);
  return fitted;
}

/* Highest place of the surface in the box: by looking at very many, which costs nothing beside
 * one run of the model. */
static fg_status top_of_surface(const climb *c, const double *centre, const double *coefficients,
                                double *top) {
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)c->dimensions);
  if (!sequence)
    return FG_EMEMORY;
  double highest = -INFINITY;
  fg_status status = FG_OK;
  for (size_t k = 0; k < SURFACE_POINTS && status == FG_OK; ++k) {
    double point[CONTINUOUS], u[CONTINUOUS], terms[TERMS_MAX], height = 0.0;
    if (gsl_qrng_get(sequence, point) != GSL_SUCCESS)
      status = FG_EDOMAIN;
    /* The box's faces are where many settings end: a tenth to each side is pressed onto them. */
    for (size_t i = 0; i < c->dimensions; ++i)
      point[i] = fmin(1.0, fmax(0.0, 1.2 * point[i] - 0.1));
    place_in_box(c, centre, point, u);
    fill_terms(c, centre, u, terms);
    for (size_t j = 0; j < term_count(c->dimensions); ++j)
      height += coefficients[j] * terms[j];
    if (height > highest) {
      highest = height;
      memcpy(top, u, c->dimensions * sizeof *u);
    }
  }
  gsl_qrng_free(sequence);
  return status;
}

/* The best place with every knob that lies close to an end of its range put there. */
static fg_status try_ends(climb *c) {
  double u[CONTINUOUS];
  memcpy(u, c->u[c->best], sizeof u);
  for (size_t i = 0; i < c->dimensions; ++i) {
    if (u[i] < 0.05)
      u[i] = 0.0;
    if (u[i] > 0.95)
      u[i] = 1.0;
  }
  return memcmp(u, c->u[c->best], c->dimensions * sizeof *u) == 0 ? FG_OK : try_place(c, u);
}

/* Judges places in the box, then the top of the surface through them, three times: each surface
 * knows what the one before had at its top. */
static fg_status climb_round(climb *c, gsl_qrng *sequence) {
  double centre[CONTINUOUS];
  memcpy(centre, c->u[c->best], sizeof centre);
  fg_status status = FG_OK;
  for (size_t k = 0; k < c->search->spend.points && status == FG_OK; ++k) {
    double point[CONTINUOUS], u[CONTINUOUS];
    if (gsl_qrng_get(sequence, point) != GSL_SUCCESS)
      return FG_EDOMAIN;
    place_in_box(c, centre, point, u);
    status = try_place(c, u);
  }
  for (int again = 0; again < 3 && status == FG_OK; ++again) {
    double coefficients[TERMS_MAX], top[CONTINUOUS];
    memcpy(centre, c->u[c->best], sizeof centre);
    if (!fit_surface(c, centre, coefficients, &status))
      return status;
    status = top_of_surface(c, centre, coefficients, top);
    if (status == FG_OK)
      status = try_place(c, top);
  }
  return status;
}

fg_status fg_search_climb(fg_search *search, fg_verdicts *verdicts, const double *half_widths,
                          size_t rounds, fg_search_candidate *start) {
  if (search->dimensions == 0)
    return FG_OK;
  climb *c = calloc(1, sizeof *c);
  gsl_qrng *sequence = gsl_qrng_alloc(gsl_qrng_sobol, (unsigned)search->dimensions);
  fg_status status = c && sequence ? FG_OK : FG_EMEMORY;
  if (status == FG_OK) {
    c->search = search;
    c->verdicts = verdicts;
    c->screen = start->screen;
    c->dimensions = search->dimensions;
    status = try_place(c, start->u);
  }
  for (size_t round = 0; round < rounds && status == FG_OK; ++round) {
    c->half = half_widths[round];
    status = climb_round(c, sequence);
    if (status == FG_OK)
      status = try_ends(c);
  }
  if (status == FG_OK) {
    memcpy(start->u, c->u[c->best], c->dimensions * sizeof *start->u);
    start->judged = c->judged[c->best];
    start->worth = c->worth[c->best];
  }
  gsl_qrng_free(sequence);
  free(c);
  return status;
}
