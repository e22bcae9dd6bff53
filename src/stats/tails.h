/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_TAILS_H
#define FLOURGOLD_SITE_TAILS_H

#include <stdbool.h>

#include "flourgold/status.h"

/* The x at which the lower (or, with `above`, the upper) tail of a gamma distribution of the
 * given shape and scale 1 has the given chance. */
fg_status fg_gamma_tail(double shape, double chance, bool above, double *x);

/* The odds p/(1-p) of the p at which the lower tail of Beta(a, b) has the given chance. */
fg_status fg_beta_tail(double a, double b, double chance, double *odds);

#endif
