/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CATCH_H
#define FLOURGOLD_CATCH_H

#include <stddef.h>

#include "flourgold/status.h"
#include "study/sampling.h"

/* How a catch of grains scatters: numbers of grains of every size are Poisson, so their mass is
 * a compound Poisson sum; a scale adds a normal error. */

typedef struct fg_catch_kind {
  double mass_kg;
  double expected; /* grains in the catch */
} fg_catch_kind;

enum { FG_CATCH_KINDS_MAX = 2000 };

/* The grains a basis finds in `in_place_m3` of ground of `grade` (kg/m3), wide classes cut so
 * that no kind spans more than a third in size.  Returns how many kinds were written. */
size_t fg_catch_grains(const fg_sample_basis *basis, double grade, double in_place_m3,
                       fg_catch_kind kinds[FG_CATCH_KINDS_MAX]);

/* Mean and variance of the mass. */
void fg_catch_moments(const fg_catch_kind *kinds, size_t count, double *mean_kg,
                      double *variance_kg2);

/* Chance that the scale shows `found_kg` or less, and the density there (1/kg), by numerical
 * inversion of the characteristic function (Gil-Pelaez, Biometrika 38:481, 1951; midpoint sum
 * as Davies, Biometrika 60:415, 1973).  error_kg: of the scale, one standard deviation, above 0;
 * taken as at least a thousandth of the range of the sum, which blurs the answer by as much.
 * Chances are good to 1e-4 but for that.  Either result may be NULL.  FG_EDOMAIN for values that
 * are not finite or negative masses. */
fg_status fg_catch_chance(const fg_catch_kind *kinds, size_t count, double error_kg,
                          double found_kg, double *at_most, double *density);

#endif
