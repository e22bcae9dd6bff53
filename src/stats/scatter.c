/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Do the buckets scatter more than chance?  Poisson against negative binomial. */
#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_sf_gamma.h>

#include "core/roots.h"
#include "stats/counts.h"

const double fg_scatter_level = 0.20;

/* ln k is searched between these; beyond the upper end the law is Poisson in all but name. */
static const double least_log_k = -11.0, most_log_k = 14.0;

typedef struct bucket_set {
  const double *counts, *exposures;
  size_t n;
  double count, exposure;
  double k;
} bucket_set;

/* ---- the mean for a given k ---- */

/* Derivative of the log likelihood by the logarithm of the mean. */
static double mean_score(double log_mean, void *context) {
  const bucket_set *set = context;
  const double mean = exp(log_mean);
  double score = 0.0;
  for (size_t i = 0; i < set->n; ++i) {
    const double m = mean * set->exposures[i];
    score += (set->counts[i] - m) * set->k / (set->k + m);
  }
  return score;
}

static bool equal_exposures(const bucket_set *set) {
  for (size_t i = 1; i < set->n; ++i)
    if (set->exposures[i] != set->exposures[0])
      return false;
  return true;
}

/* The most likely mean per exposure: it lies between the poorest and the richest bucket. */
static double mean_of(bucket_set *set, double k) {
  const double plain = set->count / set->exposure;
  if (plain <= 0.0 || equal_exposures(set))
    return plain;
  double richest = 0.0, poorest = INFINITY, log_mean;
  for (size_t i = 0; i < set->n; ++i) {
    richest = fmax(richest, set->counts[i] / set->exposures[i]);
    poorest = fmin(poorest, set->counts[i] / set->exposures[i]);
  }
  set->k = k;
  const double low = log(fmax(poorest, 1e-9 * richest)) - 1e-6, high = log(richest) + 1e-6;
  return fg_root(mean_score, set, low, high, 1e-12, &log_mean) == FG_OK ? exp(log_mean) : plain;
}

/* ---- likelihoods, without the terms both laws share ---- */

static double poisson_likelihood(const bucket_set *set) {
  const double mean = set->count / set->exposure;
  double sum = 0.0;
  for (size_t i = 0; i < set->n; ++i) {
    const double m = mean * set->exposures[i];
    sum += (set->counts[i] > 0.0 ? set->counts[i] * log(m) : 0.0) - m;
  }
  return sum;
}

static double minus_likelihood(double log_k, void *context) {
  bucket_set *set = context;
  const double k = exp(log_k), mean = mean_of(set, k);
  double sum = 0.0;
  for (size_t i = 0; i < set->n; ++i) {
    const double x = set->counts[i], m = mean * set->exposures[i];
    if (x > 0.0)
      sum += gsl_sf_lngamma(x + k) - gsl_sf_lngamma(k) + x * log(m / (k + m));
    sum -= k * log1p(m / k);
  }
  return -sum;
}

/* Brent's minimum between two neighbours of the best of a coarse scan. */
static fg_status refine(bucket_set *set, double low, double best, double high, double *log_k) {
  gsl_min_fminimizer *minimizer = gsl_min_fminimizer_alloc(gsl_min_fminimizer_brent);
  if (!minimizer)
    return FG_EMEMORY;
  gsl_function f = {minus_likelihood, set};
  fg_status status = FG_ENOROOT;
  *log_k = best;
  if (gsl_min_fminimizer_set(minimizer, &f, best, low, high) == GSL_SUCCESS) {
    for (int step = 0; step < 200 && status != FG_OK; ++step) {
      if (gsl_min_fminimizer_iterate(minimizer) != GSL_SUCCESS)
        break;
      const double a = gsl_min_fminimizer_x_lower(minimizer);
      const double b = gsl_min_fminimizer_x_upper(minimizer);
      *log_k = gsl_min_fminimizer_x_minimum(minimizer);
      if (b - a < 1e-8)
        status = FG_OK;
    }
  }
  gsl_min_fminimizer_free(minimizer);
  /* A flat bottom ends the search early, and is found well enough. */
  return FG_OK;
}

/* Fits k; INFINITY where the likelihood rises all the way to Poisson. */
static fg_status fit_k(bucket_set *set, double *k, double *minus) {
  enum { SCAN = 50 };
  const double step = (most_log_k - least_log_k) / SCAN;
  double best_value = INFINITY, log_k = 0.0;
  int best = 0;
  for (int i = 0; i <= SCAN; ++i) {
    const double value = minus_likelihood(least_log_k + step * i, set);
    if (value < best_value) {
      best_value = value;
      best = i;
    }
  }
  *k = INFINITY;
  if (best == SCAN)
    return FG_OK;
  if (best == 0) {
    *k = exp(least_log_k);
    *minus = best_value;
    return FG_OK;
  }
  const double middle = least_log_k + step * best;
  const fg_status status = refine(set, middle - step, middle, middle + step, &log_k);
  if (status != FG_OK)
    return status;
  *k = exp(log_k);
  *minus = minus_likelihood(log_k, set);
  return FG_OK;
}

/* ---- the test ---- */

static bool sum_up(bucket_set *set) {
  for (size_t i = 0; i < set->n; ++i) {
    if (!(set->counts[i] >= 0.0) || !(set->exposures[i] > 0.0))
      return false;
    set->count += set->counts[i];
    set->exposure += set->exposures[i];
  }
  return set->n > 0 && isfinite(set->count) && isfinite(set->exposure);
}

static double dispersion(const bucket_set *set) {
  const double mean = set->count / set->exposure;
  double sum = 0.0;
  for (size_t i = 0; i < set->n; ++i) {
    const double m = mean * set->exposures[i], off = set->counts[i] - m;
    sum += off * off / m;
  }
  return sum;
}

fg_status fg_count_scatter(const double *counts, const double *exposures, size_t n,
                           fg_scatter *scatter) {
  bucket_set set = {.counts = counts, .exposures = exposures, .n = n};
  if (!sum_up(&set))
    return FG_EDOMAIN;
  fg_scatter found = {.buckets = n,
                      .count = set.count,
                      .exposure = set.exposure,
                      .mean = set.count / set.exposure,
                      .chi2_chance = NAN,
                      .k = INFINITY,
                      .ratio_chance = NAN};
  if (n > 1 && set.count > 0.0) {
    double minus = 0.0;
    found.chi2 = dispersion(&set);
    found.chi2_chance = gsl_cdf_chisq_Q(found.chi2, (double)(n - 1));
    const fg_status status = fit_k(&set, &found.k, &minus);
    if (status != FG_OK)
      return status;
    if (isfinite(found.k))
      found.likelihood_ratio = fmax(0.0, 2.0 * (-minus - poisson_likelihood(&set)));
    found.ratio_chance =
        found.likelihood_ratio > 0.0 ? 0.5 * gsl_cdf_chisq_Q(found.likelihood_ratio, 1.0) : 1.0;
    found.scattered = found.chi2_chance < fg_scatter_level && isfinite(found.k);
    if (found.scattered)
      found.mean = mean_of(&set, found.k);
  }
  *scatter = found;
  return FG_OK;
}

/* Exponent of the sum of the buckets: equal buckets add their k; unequal ones are matched by
 * the variance of their sum. */
static double exponent_of_sum(const fg_scatter *s, const double *exposures) {
  double squares = 0.0;
  for (size_t i = 0; i < s->buckets; ++i)
    squares += exposures[i] * exposures[i];
  return s->k * s->exposure * s->exposure / squares;
}

double fg_scatter_factor(const fg_scatter *s, const double *exposures) {
  if (!s->scattered)
    return 1.0;
  const double fitted = 1.0 + s->mean * s->exposure / exponent_of_sum(s, exposures);
  return fmax(fitted, s->chi2 / (double)(s->buckets - 1));
}

fg_status fg_scatter_limits(const fg_scatter *s, const double *exposures, double confidence,
                            fg_interval *limits) {
  fg_interval found;
  if (!(confidence > 0.0 && confidence < 1.0) || !(s->exposure > 0.0))
    return FG_EDOMAIN;
  double thinned = fg_scatter_factor(s, exposures);
  if (s->scattered) {
    const double tail = 0.5 * (1.0 - confidence);
    const double student = gsl_cdf_tdist_Qinv(tail, (double)(s->buckets - 1));
    const double normal = gsl_cdf_ugaussian_Qinv(tail);
    thinned *= student * student / (normal * normal);
  }
  const fg_status status = fg_poisson_limits(s->mean * s->exposure / thinned, confidence, &found);
  if (status == FG_OK)
    *limits =
        (fg_interval){found.lower * thinned / s->exposure, found.upper * thinned / s->exposure};
  return status;
}
