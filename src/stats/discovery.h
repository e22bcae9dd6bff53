/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DISCOVERY_H
#define FLOURGOLD_DISCOVERY_H

#include <stddef.h>

#include "flourgold/status.h"

/* Which of many estimates are more than chance. */

/* The largest chance (p value) among chances[count] that is still told when no more than `rate` of
 * all that is told may be chance, on average: the largest p(k) <= k rate / count of the sorted
 * chances; 0 when there is none.  Benjamini & Hochberg, J. R. Stat. Soc. B 57:289, 1995: for
 * independent estimates, and (Benjamini & Yekutieli, Ann. Stat. 29:1165, 2001) for positively
 * dependent ones.  NaN is none of them.  rate: inside 0-1.  FG_EDOMAIN outside; FG_EMEMORY. */
fg_status fg_discoveries(const double *chances, size_t count, double rate, double *largest);

/* What fg_first_order_weighted() estimates when nothing but chance is in it: outputs and weights
 * shuffled together against an input, `shuffles` times, in rising order.  An input's own values
 * do not matter as long as they are spread evenly.  The same for the same seed. */
fg_status fg_first_order_by_chance(const double *output, const double *weights, size_t rows,
                                   size_t bins, unsigned long seed, size_t shuffles,
                                   double *estimates);

/* Share of chance estimates (rising) that reach a value, the value itself counted as one of them:
 * (1 + how many)/(1 + count), never 0.  Davison & Hinkley (1997), Bootstrap Methods, section 4.2.
 */
double fg_chance_of(const double *estimates, size_t count, double value);

#endif
