/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SCALE_H
#define FLOURGOLD_SCALE_H

#include <stdbool.h>
#include <stddef.h>

/* The scale in which readings are about normal: their own, or the logarithm of what they have
 * above a shift (log-normal of two or three parameters: Aitchison & Brown 1957, The Lognormal
 * Distribution). */
typedef struct fg_value_scale {
  bool logarithmic;
  double shift; /* below every reading; 0 otherwise */
} fg_value_scale;

enum { FG_SCALE_LEAST = 8 }; /* values from which on a logarithm is tried */

/* The likelier scale of `count` values in rising order, not all alike (Box & Cox 1964, J. Royal
 * Stat. Soc. B 26:211: normal likelihoods with the Jacobian).  A logarithm must gain 2 in the
 * likelihood's logarithm over the plain scale, one with a shift 2 over that without; the shift
 * makes the lowest and the highest value lie evenly about the median. FG_SCALE_LEAST values at
 * least, else the plain scale. */
fg_value_scale fg_scale_choose(const double *sorted, size_t count);

/* Into the scale, and back.  What is not above the shift is -infinity there. */
double fg_scale_to(const fg_value_scale *scale, double value);
double fg_scale_back(const fg_value_scale *scale, double scaled);

/* The mean, on the readings' scale, of what is normal in the scale with that estimate, variance of
 * the error and Lagrange's number: the estimate itself, or shift + exp(estimate + variance / 2 -
 * lagrange), which is right in the mean over many fields (Cressie 1993, Statistics for Spatial
 * Data, section 3.2.2).  lagrange 0: the mean of the log-normal distribution itself. */
double fg_scale_mean(const fg_value_scale *scale, double estimate, double variance,
                     double lagrange);

#endif
