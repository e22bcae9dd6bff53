/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COUNTS_H
#define FLOURGOLD_COUNTS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"

/* What counted grains say: intervals, scatter and posteriors.  Counting statistics only;
 * no model of any machine is in here. */

typedef struct fg_interval {
  double lower, upper;
} fg_interval;

/* Equal-tailed exact limits of a Poisson mean after `count` events, by the tails of the
 * gamma distribution (Garwood, Biometrika 28:437, 1936): at least `confidence` coverage.
 * The lower limit of no events is 0.
 * count: 0 to 1e12; a fraction is allowed and means events of unequal weight.
 * confidence: inside 0-1.  FG_EDOMAIN outside these. */
fg_status fg_poisson_limits(double count, double confidence, fg_interval *limits);

/* One-sided upper limit: the mean that gives `count` events or fewer with the chance
 * 1 - confidence.  None seen, 95 %: 2.996.  Same ranges. */
fg_status fg_poisson_upper(double count, double confidence, double *upper);

/* Chance that a Poisson count of the given mean lies within mean (1 +- relative), ends
 * included.  mean > 0, relative >= 0. */
fg_status fg_poisson_within(double mean, double relative, double *chance);

/* Expected grains for a count to lie within +- relative_error of it with the chance
 * `confidence`, by the normal law: (z / relative_error)^2, rounded up to whole grains.
 * relative_error: above 0, up to 10.  confidence inside 0-1. */
fg_status fg_grains_needed(double relative_error, double confidence, double *grains);

/* Exact limits of a share, `found` of `of` (Clopper & Pearson, Biometrika 26:404, 1934), by
 * the tails of the beta distribution.  Whole numbers, 0 <= found <= of, 1 <= of <= 1e6. */
fg_status fg_binomial_limits(double found, double of, double confidence, fg_interval *limits);

/* Limits of a sum of Poisson counts with different weights (Fay & Feuer, Statistics in
 * Medicine 16:791, 1997): gamma tails matched to mean and variance; with one weight for all
 * they are Garwood's.  Give every weight that might have been met, those of no events too: the
 * heaviest sets the upper limit, and without it limits hold too seldom.  Weights > 0, 1 or more. */
fg_status fg_weighted_limits(const double *counts, const double *weights, size_t n,
                             double confidence, fg_interval *limits);

/* How counts from several buckets scatter. */
typedef struct fg_scatter {
  size_t buckets;
  double count, exposure;  /* sums */
  double mean;             /* per unit of exposure: by maximum likelihood for the law that holds */
  double chi2;             /* index of dispersion times its degrees of freedom, buckets - 1 */
  double chi2_chance;      /* that plain Poisson counts scatter so much or more; NaN: one bucket */
  double k;                /* negative binomial exponent by maximum likelihood; INFINITY: Poisson */
  double likelihood_ratio; /* twice the gain in log likelihood over Poisson */
  double ratio_chance;     /* of so much gain from Poisson counts: half of chi-square(1) */
  bool scattered;          /* the index of dispersion decides, at fg_scatter_level */
} fg_scatter;

/* The chance below which buckets count as scattered.  Liberal on purpose: to overlook scatter
 * makes intervals too short, to suspect it without need makes them a little long. */
extern const double fg_scatter_level;

/* Tests counts[n] from exposures[n] (> 0, e.g. buckets) against the Poisson law (Fisher's
 * index of dispersion) and fits the negative binomial law, variance m + m^2/k (Bliss & Fisher,
 * Biometrics 9:176, 1953).  Counts >= 0.  FG_EDOMAIN for bad values or n = 0. */
fg_status fg_count_scatter(const double *counts, const double *exposures, size_t n,
                           fg_scatter *scatter);

/* Variance of the sum over that of a Poisson sum: 1 unless scattered; else 1 + m/k of the
 * fit or the index of dispersion, whichever is larger.  exposures: as given to
 * fg_count_scatter(). */
double fg_scatter_factor(const fg_scatter *scatter, const double *exposures);

/* Limits of the mean per unit of exposure.  Poisson: Garwood.  Scattered: Garwood's of the
 * count thinned by its variance factor, which is widened by the square of Student's over the
 * normal quantile because it is known from few buckets only (quasi-likelihood; Wedderburn,
 * Biometrika 61:439, 1974).  By simulation nominal 95 % limits of scattered buckets hold in 92
 * to 96 % of cases for 8 buckets or more and k >= 1, and in 86 to 92 % for 3 to 5. */
fg_status fg_scatter_limits(const fg_scatter *scatter, const double *exposures, double confidence,
                            fg_interval *limits);

/* A gamma distribution of a rate (Gamma-Poisson: prior and posterior alike). */
typedef struct fg_gamma {
  double shape, rate;
} fg_gamma;

/* Posterior of a rate after `count` events in `exposure`: shape + count, rate + exposure
 * (Gelman et al., Bayesian Data Analysis).  A prior of shape 0.5 and rate 0 is Jeffreys'. */
fg_status fg_gamma_update(const fg_gamma *prior, double count, double exposure,
                          fg_gamma *posterior);
double fg_gamma_mean(const fg_gamma *g);
/* Chance that the rate is above `threshold` (>= 0). */
double fg_gamma_above(const fg_gamma *g, double threshold);
/* Chance that the rate of `a` is above that of `b`: a tail of the beta distribution. */
double fg_gamma_beats(const fg_gamma *a, const fg_gamma *b);
/* Rate below which it lies with chance p, inside 0-1. */
fg_status fg_gamma_quantile(const fg_gamma *g, double p, double *rate);

#endif
