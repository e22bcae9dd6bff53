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
  double value;   /* the mean where the place was read several times */
  double repeats; /* how often it was read; 0 counts as 1 */
  double scatter; /* sum of the squared deviations of those readings from their mean */
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

/* Turns and stretches a step so that all directions have the range along: metres. */
void fg_variogram_turn(const fg_variogram *v, double dx_m, double dy_m, double turned[2]);

/* The length of a step so turned. */
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

/* What a fit may vary. */
typedef struct fg_variogram_freedom {
  bool anisotropic;
  double direction_rad;         /* known direction, NaN: to be found; for an anisotropic fit */
  double shortest_m, longest_m; /* bounds of the range */
} fg_variogram_freedom;

/* Fits a model of one kind by the restricted likelihood of normal readings (Patterson & Thompson
 * 1971, Biometrika 58:545; for fields Kitanidis 1983, Water Resources Research 19:909), which
 * repeats at a place enter as what they are.  Range, share of the nugget, ratio and direction are
 * means weighted with that likelihood, evenly before (range and ratio by their logarithms, the
 * nugget from 1 to 90 % of the sill): unlike the likeliest values they do not take a nugget or a
 * direction as known that few places hardly tell (Handcock & Stein 1993, Technometrics 35:403).
 * The sill is the restricted estimate for them.  *evidence is the logarithm of the likelihood's
 * mean, by which models are compared (Kass & Raftery 1995, J. Am. Stat. Ass. 90:773).
 * Of many places blocks of 64 neighbours count, each by itself, and at most 16 such blocks.
 * FG_EDOMAIN: fewer than 3 data, all values alike, bounds of the range not 0 < shortest < longest;
 * FG_ENOROOT: no system could be solved. */
fg_status fg_variogram_fit(fg_variogram_kind kind, const fg_datum *data, size_t count,
                           const fg_variogram_freedom *freedom, fg_variogram *v, double *evidence);

/* Brings a model to the readings' scale: keeps its shape, nugget over sill included, and sets the
 * sill by the restricted likelihood: the generalised squares about the mean over their freedom. */
fg_status fg_variogram_scale(const fg_datum *data, size_t count, fg_variogram *v);

/* Freedom of that sill: readings, repeats included, less 1. */
double fg_variogram_free(const fg_datum *data, size_t count);

enum { FG_SHUFFLES = 99 };

/* Chance that places which are no more alike near than far would look as alike as these: the mean
 * of the likelihood ratio over exponential models of many shapes, compared with what FG_SHUFFLES
 * shuffles of the values over the places give (a permutation test: Fisher 1935; Manly 2007,
 * Randomization, Bootstrap and Monte Carlo Methods in Biology, ch. 1).  Repeated places are
 * shuffled by their deviations times the root of the repeats.  Errors as above. */
fg_status fg_variogram_chance(const fg_datum *data, size_t count,
                              const fg_variogram_freedom *freedom, double *chance);

#endif
