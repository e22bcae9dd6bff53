/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/discovery.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>

#include "stats/samples.h"

fg_status fg_discoveries(const double *chances, size_t count, double rate, double *largest) {
  if (!(rate > 0.0 && rate < 1.0))
    return FG_EDOMAIN;
  double *sorted = malloc((count + 1) * sizeof *sorted);
  if (!sorted)
    return FG_EMEMORY;
  size_t known = 0;
  for (size_t i = 0; i < count; ++i)
    if (!isnan(chances[i]))
      sorted[known++] = chances[i];
  gsl_sort(sorted, 1, known);
  double found = 0.0;
  for (size_t k = 0; k < known; ++k)
    if (sorted[k] <= rate * (double)(k + 1) / (double)known)
      found = sorted[k];
  free(sorted);
  *largest = found;
  return FG_OK;
}

typedef struct shuffled {
  double *place, *output, *weight;
  size_t *order;
  gsl_rng *rng;
} shuffled;

static void shuffled_free(shuffled *s) {
  gsl_rng_free(s->rng);
  free(s->order);
  free(s->place);
}

static fg_status shuffled_new(size_t rows, unsigned long seed, shuffled *s) {
  double *room = calloc(3 * rows, sizeof *room);
  *s = (shuffled){room, room + rows, room + 2 * rows, calloc(rows, sizeof *s->order),
                  gsl_rng_alloc(gsl_rng_mt19937)};
  if (!room || !s->order || !s->rng) {
    shuffled_free(s);
    return FG_EMEMORY;
  }
  gsl_rng_set(s->rng, seed + 1); /* GSL takes 0 for its default seed */
  for (size_t i = 0; i < rows; ++i) {
    s->place[i] = ((double)i + 0.5) / (double)rows;
    s->order[i] = i;
  }
  return FG_OK;
}

fg_status fg_first_order_by_chance(const double *output, const double *weights, size_t rows,
                                   size_t bins, unsigned long seed, size_t shuffles,
                                   double *estimates) {
  if (rows == 0)
    return FG_EDOMAIN;
  shuffled s;
  fg_status status = shuffled_new(rows, seed, &s);
  if (status != FG_OK)
    return status;
  for (size_t k = 0; k < shuffles && status == FG_OK; ++k) {
    gsl_ran_shuffle(s.rng, s.order, rows, sizeof *s.order);
    for (size_t i = 0; i < rows; ++i) {
      s.output[i] = output[s.order[i]];
      s.weight[i] = weights ? weights[s.order[i]] : 1.0;
    }
    status = fg_first_order_weighted(s.place, s.output, s.weight, rows, 1, bins, &estimates[k]);
  }
  shuffled_free(&s);
  if (status == FG_OK)
    gsl_sort(estimates, 1, shuffles);
  return status;
}

double fg_chance_of(const double *estimates, size_t count, double value) {
  size_t below = 0, end = count;
  while (below < end) {
    const size_t middle = below + (end - below) / 2;
    if (estimates[middle] < value)
      below = middle + 1;
    else
      end = middle;
  }
  return (double)(1 + count - below) / (double)(1 + count);
}
