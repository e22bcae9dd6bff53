/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_ROOTS_H
#define FLOURGOLD_ROOTS_H

#include "flourgold/status.h"

/* A function of one variable; `context` is handed through. */
typedef double (*fg_function)(double x, void *context);

/* Root of f between low and high, where f changes sign, to a relative accuracy of
 * `tolerance` (GSL's Brent-Dekker bracketing).  FG_EDOMAIN when the ends are not
 * finite or out of order, FG_ENOROOT when f does not change sign or is not finite. */
fg_status fg_root(fg_function f, void *context, double low, double high, double tolerance,
                  double *root);

/* The same, sought first about a guess between low and high: fewer calls of f where it is good. */
fg_status fg_root_near(fg_function f, void *context, double guess, double low, double high,
                       double tolerance, double *root);

#endif
