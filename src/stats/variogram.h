/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VARIOGRAM_H
#define FLOURGOLD_VARIOGRAM_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"

/* How unlike two readings are, by how far apart they lie. */

/* A value at a place; x to the east, y to the north. */
typedef struct fg_datum {
  double x_m, y_m;
  double value;
} fg_datum;

typedef enum fg_variogram_kind {
  FG_VARIOGRAM_NUGGET = 0,  /* no likeness at any distance */
  FG_VARIOGRAM_EXPONENTIAL, /* likeness exp(-3 h / range) */
  FG_VARIOGRAM_SPHERICAL,   /* 1 - 1.5 h/range + 0.5 (h/range)^3, none from the range on */
  FG_VARIOGRAM_GAUSSIAN,    /* exp(-3 (h / range)^2) */
  FG_VARIOGRAM_KINDS
} fg_variogram_kind;

/* "nugget", "exponential" ...; ended by NULL. */
extern const char *const fg_variogram_names[FG_VARIOGRAM_KINDS + 1];

/* Ranges of the exponential and Gaussian model are practical ones: likeness is 5 % there. */
typedef struct fg_variogram {
  fg_variogram_kind kind;
  double nugget;        /* unlikeness of two readings at nearly one place; >= 0 */
  double sill;          /* the whole plateau, nugget included; >= nugget */
  double range_m;       /* in the direction where it is longest; > 0 */
  double direction_rad; /* that direction, clockwise from north, 0 to pi */
  double ratio;         /* range across it over range along it; 0 < ratio <= 1 */
} fg_variogram;

/* Whether every field is finite and in its range. */
bool fg_variogram_is_valid(const fg_variogram *v);

/* The distance counted so that all directions have the range along: metres. */
double fg_variogram_distance(const fg_variogram *v, double dx_m, double dy_m);

/* Covariance of the true values (without the nugget) at that distance (>= 0):
 * (sill - nugget) times the likeness. */
double fg_variogram_covariance(const fg_variogram *v, double distance_m);

/* Semivariance of two readings so far apart; 0 at no distance, else nugget included.
 * Isaaks & Srivastava (1989), Applied Geostatistics, ch. 16. */
double fg_variogram_gamma(const fg_variogram *v, double dx_m, double dy_m);

/* Reads "exponential nugget=0 sill=10 range=10 [direction=30 ratio=0.5]": range in metres or
 * with a unit, direction in degrees clockwise from north.  False with a sentence in
 * message[size]. */
bool fg_variogram_parse(const char *text, fg_variogram *v, char *message, size_t size);

/* One class of pairs of the experimental variogram. */
typedef struct fg_lag {
  double distance_m;  /* mean of the class */
  double azimuth_rad; /* middle of its sector, 0 to pi; NaN: all directions together */
  double gamma;       /* half the mean squared difference (Matheron) */
  double pairs;
} fg_lag;

/* Experimental variogram of `count` data over `classes` distances up to longest_m and `sectors`
 * directions (1: all together).  lags holds classes * sectors rows; *used of them, those with a
 * pair, are filled.  Each pair is shared between the classes and sectors next to it.  Data at one
 * place are no pair.  FG_EDOMAIN: fewer than 2 data, longest_m
 * not above 0, no pair. */
fg_status fg_variogram_lags(const fg_datum *data, size_t count, size_t classes, size_t sectors,
                            double longest_m, fg_lag *lags, size_t *used);

/* What a fit may vary. */
typedef struct fg_variogram_freedom {
  bool anisotropic;
  double direction_rad;         /* known direction, NaN: to be found; for an anisotropic fit */
  double shortest_m, longest_m; /* bounds of the range */
} fg_variogram_freedom;

/* Fits a model of one kind to an experimental variogram by least squares weighted with
 * pairs / gamma^2 of the model, weights renewed until they settle (Cressie 1985, Fitting
 * variogram models by weighted least squares, Math. Geology 17:563), from several starts; GSL's
 * trust-region solver.  The nugget kind takes the weighted mean.  A Gaussian model gets a nugget
 * of at least a thousandth of the sill, without which its equations cannot be solved safely.
 * FG_EDOMAIN: fewer lags than free numbers; FG_ENOROOT: no start settled. */
fg_status fg_variogram_fit(fg_variogram_kind kind, const fg_lag *lags, size_t count,
                           const fg_variogram_freedom *freedom, fg_variogram *v);

#endif
