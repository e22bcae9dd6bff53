/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdlib.h>

#include "study/interval_internal.h"

/* Share of the best rate that counts as good. */
static const double good_share = 0.99;
enum { SCAN = 600, REFINE = 80 };

fg_status fg_build_up_new(const double *after_s, const double *held, size_t count, fg_build_up *b) {
  *b = (fg_build_up){0};
  if (count < 2)
    return FG_EDOMAIN;
  b->count = count + 1;
  b->x = calloc(b->count, sizeof *b->x);
  b->y = calloc(b->count, sizeof *b->y);
  b->spline = gsl_spline_alloc(gsl_interp_steffen, b->count);
  b->accel = gsl_interp_accel_alloc();
  if (!b->x || !b->y || !b->spline || !b->accel) {
    fg_build_up_free(b);
    return FG_EMEMORY;
  }
  for (size_t i = 0; i < count; ++i) {
    b->x[i + 1] = after_s[i];
    b->y[i + 1] = held[i];
  }
  if (gsl_spline_init(b->spline, b->x, b->y, b->count) == GSL_SUCCESS)
    return FG_OK;
  fg_build_up_free(b);
  return FG_EDOMAIN;
}

void fg_build_up_free(fg_build_up *b) {
  free(b->x);
  free(b->y);
  gsl_spline_free(b->spline);
  gsl_interp_accel_free(b->accel);
  *b = (fg_build_up){0};
}

double fg_build_up_at(const fg_build_up *b, double t) {
  double value;
  if (!(t >= 0.0 && t <= b->x[b->count - 1]))
    return NAN;
  return gsl_spline_eval_e(b->spline, t, b->accel, &value) == GSL_SUCCESS ? value : (double)NAN;
}

double fg_build_up_slope(const fg_build_up *b, double t) {
  double value;
  if (!(t >= 0.0 && t <= b->x[b->count - 1]))
    return NAN;
  return gsl_spline_eval_deriv_e(b->spline, t, b->accel, &value) == GSL_SUCCESS ? value
                                                                                : (double)NAN;
}

static double rate_at(const fg_build_up *b, double cleaning_s, double t) {
  return fg_build_up_at(b, t) / (t + cleaning_s);
}

/* Interval at scan step i: finer where it is short. */
static double scan_at(double longest, int i) {
  const double along = (double)i / SCAN;
  return longest * along * along;
}

/* Golden section between two neighbours of the best scan step. */
static double refine(const fg_build_up *b, double cleaning_s, double low, double high) {
  const double golden = 0.6180339887498949;
  double left = high - golden * (high - low), right = low + golden * (high - low);
  for (int i = 0; i < REFINE && high - low > 1e-6 * high; ++i) {
    if (rate_at(b, cleaning_s, left) >= rate_at(b, cleaning_s, right)) {
      high = right;
      right = left;
      left = high - golden * (high - low);
    } else {
      low = left;
      left = right;
      right = low + golden * (high - low);
    }
  }
  return 0.5 * (low + high);
}

/* Where the rate passes a level between a good and a bad interval. */
static double crossing(const fg_build_up *b, double cleaning_s, double good, double bad,
                       double level) {
  for (int i = 0; i < REFINE; ++i) {
    const double middle = 0.5 * (good + bad);
    if (rate_at(b, cleaning_s, middle) >= level)
      good = middle;
    else
      bad = middle;
  }
  return good;
}

static void good_range(const fg_build_up *b, double cleaning_s, double longest, int best,
                       fg_clean_interval *out) {
  const double level = good_share * out->rate;
  int low = best, high = best;
  while (low > 1 && rate_at(b, cleaning_s, scan_at(longest, low - 1)) >= level)
    --low;
  while (high < SCAN && rate_at(b, cleaning_s, scan_at(longest, high + 1)) >= level)
    ++high;
  out->from_s = crossing(b, cleaning_s, fmin(out->best_s, scan_at(longest, low)),
                         scan_at(longest, low - 1), level);
  out->to_s = high == SCAN ? longest
                           : crossing(b, cleaning_s, fmax(out->best_s, scan_at(longest, high)),
                                      scan_at(longest, high + 1), level);
}

fg_status fg_build_up_best(const fg_build_up *b, double cleaning_s, fg_clean_interval *interval) {
  const double longest = b->x[b->count - 1];
  if (!(cleaning_s > 0.0))
    return FG_EDOMAIN;
  int best = 0;
  double most = 0.0;
  for (int i = 1; i <= SCAN; ++i) {
    const double rate = rate_at(b, cleaning_s, scan_at(longest, i));
    if (rate > most) {
      most = rate;
      best = i;
    }
  }
  if (best == 0)
    return FG_EDOMAIN;
  fg_clean_interval found = {.at_end = best == SCAN, .best_s = longest};
  if (!found.at_end)
    found.best_s = refine(b, cleaning_s, scan_at(longest, best - 1), scan_at(longest, best + 1));
  found.rate = rate_at(b, cleaning_s, found.best_s);
  good_range(b, cleaning_s, longest, best, &found);
  *interval = found;
  return FG_OK;
}

fg_status fg_interval_best(const double *after_s, const double *held_s, size_t count,
                           double cleaning_s, fg_clean_interval *interval) {
  if (count < 3)
    return FG_EDOMAIN;
  fg_build_up b;
  fg_status status = fg_build_up_new(after_s, held_s, count, &b);
  if (status != FG_OK)
    return status;
  status = fg_build_up_best(&b, cleaning_s, interval);
  fg_build_up_free(&b);
  return status;
}
