/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which station is richer, and how sure.  The deck and the gold's sizes are taken to be the same
 * at all of them, so the model's doubt falls out. */
#include <math.h>

#include "study/sampling_internal.h"

/* Chance that one station is the richest: over even steps of its own posterior, the others'
 * chances to lie below. */
static fg_status chance_richest(fg_sample_result *result, size_t one, size_t steps) {
  double sum = 0.0;
  for (size_t step = 0; step < steps; ++step) {
    double rate, below = 1.0;
    const fg_status status = fg_gamma_quantile(&result->stations[one].posterior,
                                               ((double)step + 0.5) / (double)steps, &rate);
    if (status != FG_OK)
      return status;
    for (size_t k = 0; k < result->count && below > 1e-12; ++k)
      if (k != one)
        below *= 1.0 - fg_gamma_above(&result->stations[k].posterior, rate);
    sum += below;
  }
  result->stations[one].chance_richest = sum / (double)steps;
  return FG_OK;
}

fg_status fg_sample_compare(fg_sample_result *result) {
  const size_t n = result->count;
  const size_t steps = n <= 20 ? 200 : n <= 100 ? 80 : 40; /* the work grows with n squared */
  double all = 0.0;
  for (size_t i = 0; i < n; ++i) {
    for (size_t k = 0; k < n; ++k)
      result->beats[i * n + k] =
          i == k ? (double)NAN
                 : fg_gamma_beats(&result->stations[i].posterior, &result->stations[k].posterior);
    const fg_status status = chance_richest(result, i, steps);
    if (status != FG_OK)
      return status;
    all += result->stations[i].chance_richest;
  }
  for (size_t i = 0; i < n; ++i) {
    /* The steps leave a few thousandths over. */
    result->stations[i].chance_richest /= all > 0.0 ? all : 1.0;
    if (result->stations[i].chance_richest > result->stations[result->richest].chance_richest)
      result->richest = i;
  }
  return FG_OK;
}
