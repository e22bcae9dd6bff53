/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/roots.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

static fg_status settle_bracket(gsl_root_fsolver *solver, double tolerance, double *root) {
  for (int step = 0; step < 200; ++step) {
    if (gsl_root_fsolver_iterate(solver) != GSL_SUCCESS)
      return FG_ENOROOT;
    const double low = gsl_root_fsolver_x_lower(solver), high = gsl_root_fsolver_x_upper(solver);
    if (gsl_root_test_interval(low, high, 0.0, tolerance) == GSL_SUCCESS || low == high ||
        nextafter(low, high) >= high) {
      *root = gsl_root_fsolver_root(solver);
      return FG_OK;
    }
  }
  return FG_ENOROOT;
}

fg_status fg_root(fg_function f, void *context, double low, double high, double tolerance,
                  double *root) {
  if (!isfinite(low) || !isfinite(high) || !(low <= high))
    return FG_EDOMAIN;
  const double at_low = f(low, context), at_high = f(high, context);
  if (!isfinite(at_low) || !isfinite(at_high))
    return FG_ENOROOT;
  if (at_low == 0.0 || at_high == 0.0) {
    *root = at_low == 0.0 ? low : high;
    return FG_OK;
  }
  if ((at_low > 0.0) == (at_high > 0.0))
    return FG_ENOROOT;
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
  if (!solver)
    return FG_EMEMORY;
  gsl_function function = {f, context};
  fg_status status = FG_ENOROOT;
  if (gsl_root_fsolver_set(solver, &function, low, high) == GSL_SUCCESS)
    status = settle_bracket(solver, tolerance, root);
  gsl_root_fsolver_free(solver);
  return status;
}
