/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits and posteriors of counted grains. */
#include "stats/counts.h"

#include <math.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_log.h>

#include "core/roots.h"
#include "stats/tails.h"

static const double most_events = 1e12;
static const double most_trials = 1e6; /* GSL's beta tails fail far beyond */
static const double large_shape = 1e5;
static const double precision = 1e-15;

static bool is_confidence(double confidence) { return confidence > 0.0 && confidence < 1.0; }

/* ---- tails solved for their argument ----
 * GSL's own inverses give up on far tails and large counts; the distribution functions do not. */

typedef struct gamma_tail {
  double shape, chance;
  bool above;
} gamma_tail;

/* Arguments are logarithms, for relative accuracy, shifted away from 0, where the root
 * finder's own relative accuracy would ask too much. */
static const double shift = 100.0;

/* A tail of a gamma distribution of a large shape: Temme's uniform expansion with its first
 * correction (SIAM J. Math. Anal. 10:757, 1979), relative error of the order 1/shape.  GSL's
 * own upper tail is wrong above a shape of about 1e6, its far lower tail too. */
static double temme_tail(double x, double shape, bool above) {
  const double mu = (x - shape) / shape, side = above ? 1.0 : -1.0;
  const double eta = copysign(sqrt(-2.0 * gsl_sf_log_1plusx_mx(mu)), mu);
  const double first = fabs(eta) < 1e-3 ? -1.0 / 3.0 + eta / 12.0 : 1.0 / mu - 1.0 / eta;
  return 0.5 * erfc(side * eta * sqrt(0.5 * shape)) +
         side * exp(-0.5 * shape * eta * eta) / sqrt(2.0 * M_PI * shape) * first;
}

static double gamma_upper(double x, double shape) {
  return shape > large_shape ? temme_tail(x, shape, true) : gsl_cdf_gamma_Q(x, shape, 1.0);
}

static double gamma_lower(double x, double shape) {
  return shape > large_shape ? temme_tail(x, shape, false) : gsl_cdf_gamma_P(x, shape, 1.0);
}

static double gamma_excess(double shifted, void *context) {
  const gamma_tail *t = context;
  const double x = exp(shifted - shift);
  return (t->above ? gamma_upper(x, t->shape) : gamma_lower(x, t->shape)) - t->chance;
}

fg_status fg_gamma_tail(double shape, double chance, bool above, double *x) {
  gamma_tail tail = {shape, chance, above};
  double half = fmin(4.0, 4.0 / sqrt(shape)), root;
  for (int widen = 0; widen < 60; ++widen) {
    const double low = shift + log(shape) - half, high = shift + log(shape) + half;
    const double at_low = gamma_excess(low, &tail), at_high = gamma_excess(high, &tail);
    half *= 1.6;
    if (!isfinite(at_low) || !isfinite(at_high))
      return FG_EDOMAIN;
    if ((at_low > 0.0) == (at_high > 0.0))
      continue;
    const fg_status status = fg_root(gamma_excess, &tail, low, high, precision, &root);
    if (status == FG_OK)
      *x = exp(root - shift);
    return status;
  }
  return FG_ENOROOT;
}

typedef struct beta_tail {
  double a, b, chance;
} beta_tail;

static double beta_excess(double shifted, void *context) {
  const beta_tail *t = context;
  const double odds = exp(shifted - shift);
  return gsl_cdf_beta_P(odds / (1.0 + odds), t->a, t->b) - t->chance;
}

fg_status fg_beta_tail(double a, double b, double chance, double *odds) {
  beta_tail tail = {a, b, chance};
  double root;
  const fg_status status =
      fg_root(beta_excess, &tail, shift - 90.0, shift + 90.0, precision, &root);
  if (status == FG_OK)
    *odds = exp(root - shift);
  return status;
}

/* ---- Poisson ---- */

fg_status fg_poisson_upper(double count, double confidence, double *upper) {
  if (!(count >= 0.0 && count <= most_events) || !is_confidence(confidence))
    return FG_EDOMAIN;
  return fg_gamma_tail(count + 1.0, 1.0 - confidence, true, upper);
}

fg_status fg_poisson_limits(double count, double confidence, fg_interval *limits) {
  fg_interval found = {0.0, 0.0};
  if (!is_confidence(confidence))
    return FG_EDOMAIN;
  fg_status status = fg_poisson_upper(count, 0.5 * (1.0 + confidence), &found.upper);
  if (status == FG_OK && count > 0.0)
    status = fg_gamma_tail(count, 0.5 * (1.0 - confidence), false, &found.lower);
  if (status == FG_OK)
    *limits = found;
  return status;
}

fg_status fg_poisson_within(double mean, double relative, double *chance) {
  if (!(mean > 0.0 && mean <= most_events) || !(relative >= 0.0))
    return FG_EDOMAIN;
  /* A billionth of slack: 20 times 1.5 must count as 30. */
  const double low = ceil(mean * (1.0 - relative) - 1e-9 * mean);
  const double high = floor(mean * (1.0 + relative) + 1e-9 * mean);
  /* P(X <= n) is the upper tail of a gamma distribution of shape n + 1. */
  const double below = low <= 0.0 ? 0.0 : gamma_upper(mean, low);
  *chance = high < 0.0 || high < low ? 0.0 : gamma_upper(mean, high + 1.0) - below;
  return FG_OK;
}

fg_status fg_grains_needed(double relative_error, double confidence, double *grains) {
  if (!(relative_error > 0.0 && relative_error <= 10.0) || !is_confidence(confidence))
    return FG_EDOMAIN;
  const double z = gsl_cdf_ugaussian_Pinv(0.5 * (1.0 + confidence));
  *grains = fmax(1.0, ceil(z * z / (relative_error * relative_error)));
  return FG_OK;
}

/* ---- a share ---- */

fg_status fg_binomial_limits(double found, double of, double confidence, fg_interval *limits) {
  if (!(of >= 1.0 && of <= most_trials) || !(found >= 0.0 && found <= of) ||
      found != floor(found) || of != floor(of) || !is_confidence(confidence))
    return FG_EDOMAIN;
  const double tail = 0.5 * (1.0 - confidence);
  double odds = 0.0;
  fg_interval share = {0.0, 1.0};
  fg_status status = FG_OK;
  if (found > 0.0) {
    status = fg_beta_tail(found, of - found + 1.0, tail, &odds);
    share.lower = odds / (1.0 + odds);
  }
  if (status == FG_OK && found < of) {
    status = fg_beta_tail(found + 1.0, of - found, 1.0 - tail, &odds);
    share.upper = odds / (1.0 + odds);
  }
  if (status == FG_OK)
    *limits = share;
  return status;
}

/* ---- weights ---- */

fg_status fg_weighted_limits(const double *counts, const double *weights, size_t n,
                             double confidence, fg_interval *limits) {
  double sum = 0.0, variance = 0.0, heaviest = 0.0;
  for (size_t i = 0; i < n; ++i) {
    if (!(counts[i] >= 0.0) || !(weights[i] > 0.0) || !isfinite(weights[i]))
      return FG_EDOMAIN;
    sum += counts[i] * weights[i];
    variance += counts[i] * weights[i] * weights[i];
    heaviest = fmax(heaviest, weights[i]);
  }
  if (n == 0 || !is_confidence(confidence))
    return FG_EDOMAIN;
  const double tail = 0.5 * (1.0 - confidence);
  fg_interval found = {0.0, 0.0};
  double x = 0.0;
  fg_status status = FG_OK;
  if (sum > 0.0) {
    status = fg_gamma_tail(sum * sum / variance, tail, false, &x);
    found.lower = variance / sum * x;
  }
  const double up = sum + heaviest, up_variance = variance + heaviest * heaviest;
  if (status == FG_OK)
    status = fg_gamma_tail(up * up / up_variance, tail, true, &x);
  found.upper = up_variance / up * x;
  if (status == FG_OK)
    *limits = found;
  return status;
}

/* ---- Gamma-Poisson ---- */

fg_status fg_gamma_update(const fg_gamma *prior, double count, double exposure,
                          fg_gamma *posterior) {
  if (!(prior->shape >= 0.0) || !(prior->rate >= 0.0) || !(count >= 0.0) || !(exposure >= 0.0))
    return FG_EDOMAIN;
  const fg_gamma found = {prior->shape + count, prior->rate + exposure};
  if (!(found.shape > 0.0) || !(found.rate > 0.0) || !isfinite(found.shape) ||
      !isfinite(found.rate))
    return FG_EDOMAIN;
  *posterior = found;
  return FG_OK;
}

double fg_gamma_mean(const fg_gamma *g) { return g->shape / g->rate; }

double fg_gamma_above(const fg_gamma *g, double threshold) {
  return threshold <= 0.0 ? 1.0 : gamma_upper(threshold * g->rate, g->shape);
}

double fg_gamma_beats(const fg_gamma *a, const fg_gamma *b) {
  return gsl_cdf_beta_P(b->rate / (a->rate + b->rate), b->shape, a->shape);
}

fg_status fg_gamma_quantile(const fg_gamma *g, double p, double *rate) {
  if (!(p > 0.0 && p < 1.0) || !(g->shape > 0.0) || !(g->rate > 0.0))
    return FG_EDOMAIN;
  double x;
  const fg_status status = fg_gamma_tail(g->shape, p, false, &x);
  if (status == FG_OK)
    *rate = x / g->rate;
  return status;
}
