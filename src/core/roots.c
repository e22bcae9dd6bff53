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

/* A function whose values at the ends of a bracket are known. */
typedef struct bracket {
  fg_function f;
  void *context;
  double low, high, at_low, at_high;
} bracket;

/* GSL asks for both ends again. */
static double inside(double x, void *context) {
  const bracket *b = context;
  return x == b->low ? b->at_low : x == b->high ? b->at_high : b->f(x, b->context);
}

static fg_status solve_bracket(bracket *b, double tolerance, double *root) {
  if (!isfinite(b->at_low) || !isfinite(b->at_high))
    return FG_ENOROOT;
  if (b->at_low == 0.0 || b->at_high == 0.0) {
    *root = b->at_low == 0.0 ? b->low : b->high;
    return FG_OK;
  }
  if ((b->at_low > 0.0) == (b->at_high > 0.0))
    return FG_ENOROOT;
  gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
  if (!solver)
    return FG_EMEMORY;
  gsl_function function = {inside, b};
  fg_status status = FG_ENOROOT;
  if (gsl_root_fsolver_set(solver, &function, b->low, b->high) == GSL_SUCCESS)
    status = settle_bracket(solver, tolerance, root);
  gsl_root_fsolver_free(solver);
  return status;
}

fg_status fg_root(fg_function f, void *context, double low, double high, double tolerance,
                  double *root) {
  if (!isfinite(low) || !isfinite(high) || !(low <= high))
    return FG_EDOMAIN;
  bracket b = {f, context, low, high, 0.0, 0.0};
  b.at_low = f(low, context);
  b.at_high = f(high, context);
  return solve_bracket(&b, tolerance, root);
}

/* Steps along the line through the last two points, a tenth further than it crosses zero. */
fg_status fg_root_near(fg_function f, void *context, double guess, double low, double high,
                       double tolerance, double *root) {
  if (!(guess > low && guess < high))
    return fg_root(f, context, low, high, tolerance, root);
  double before = guess, at_before = f(before, context);
  double last = guess + 1e-4 * (high - guess), at_last = f(last, context);
  for (int step = 0; step < 6 && isfinite(at_before) && isfinite(at_last); ++step) {
    if ((at_before > 0.0) != (at_last > 0.0)) {
      bracket b = {f, context, before, last, at_before, at_last};
      if (last < before)
        b = (bracket){f, context, last, before, at_last, at_before};
      return solve_bracket(&b, tolerance, root);
    }
    const double next = last - 1.1 * at_last * (last - before) / (at_last - at_before);
    if (!(next > low && next < high))
      break;
    before = last;
    at_before = at_last;
    last = next;
    at_last = f(last, context);
  }
  return fg_root(f, context, low, high, tolerance, root);
}
