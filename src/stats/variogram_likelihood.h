/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VARIOGRAM_LIKELIHOOD_H
#define FLOURGOLD_VARIOGRAM_LIKELIHOOD_H

#include "stats/variogram.h"

/* The restricted likelihood of normal readings for models of any shape. */

typedef struct fg_likelihood fg_likelihood;

/* Made ready once for data and `sets` sets of values over their places: the data's own, and
 * shuffled ones (from a fixed seed).  FG_EDOMAIN: fewer than 3 data, all alike; FG_EMEMORY.  Free
 * with fg_likelihood_free(). */
fg_status fg_likelihood_new(const fg_datum *data, size_t count, size_t sets,
                            fg_likelihood **likelihood);
void fg_likelihood_free(fg_likelihood *likelihood);

/* For a shape (a model with a sill of 1), the sill taken at its best, the logarithm of the
 * restricted likelihood of each set of values, and the sill of the first (may be NULL).  Of a
 * place with m repeats the mean has nugget / m, and their scatter about it measures the nugget.
 * False when the system cannot be solved. */
bool fg_likelihood_of(fg_likelihood *likelihood, const fg_variogram *shape, double *logarithms,
                      double *sill);

#endif
