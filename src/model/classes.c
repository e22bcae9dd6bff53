/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "model/capture_internal.h"
#include "model/deck.h"
#include "physics/grains.h"

/* ASTM E11 sieves No. 4, 10, 16, 20, 30, 40, 50, 70, 100, 140, 200, 270, 400, 635 (mm). */
static const double edges_mm[] = {4.75,  2.00,  1.18,  0.850, 0.600, 0.425, 0.300,
                                  0.212, 0.150, 0.106, 0.075, 0.053, 0.038, 0.020};
enum { EDGES = sizeof edges_mm / sizeof edges_mm[0] };

/* The tails beyond the end sieves belong to the end classes, so that shares add to 1. */
static size_t lognormal_classes(double median, double spread, fg_size_class *classes) {
  for (size_t i = 0; i + 1 < EDGES; ++i) {
    const double upper = 1e-3 * edges_mm[i], lower = 1e-3 * edges_mm[i + 1];
    const double above = i == 0 ? 1.0 : fg_lognormal_cdf(upper, median, spread);
    const double below = i + 2 == EDGES ? 0.0 : fg_lognormal_cdf(lower, median, spread);
    classes[i] = (fg_size_class){lower, upper, above - below};
  }
  return EDGES - 1;
}

size_t fg_gold_classes(const fg_scenario *scenario, fg_size_class *classes) {
  if (scenario->gold.class_count > 0) {
    memcpy(classes, scenario->gold.classes, scenario->gold.class_count * sizeof *classes);
    return scenario->gold.class_count;
  }
  return lognormal_classes(scenario->gold.median_size, scenario->gold.size_spread, classes);
}

/* Sand below the screen: its own top class reaches up to the opening. */
size_t fg_sand_classes(const fg_sizes *sizes, double opening, fg_size_class *classes) {
  size_t count = 0;
  double upper = opening;
  const double all = fg_sizes_finer(sizes, opening);
  for (size_t i = 0; i < EDGES; ++i) {
    const double lower = 1e-3 * edges_mm[i];
    if (lower >= 0.98 * upper)
      continue;
    const double below = i + 1 == EDGES ? 0.0 : fg_sizes_finer(sizes, lower);
    const double above = fg_sizes_finer(sizes, upper);
    classes[count++] = (fg_size_class){lower, upper, (above - below) / all};
    upper = lower;
  }
  return count;
}

/* Part of a class finer than the screen, even in log size within the class. */
double fg_passing_share(const fg_size_class *c, double opening) {
  if (c->upper_m <= opening)
    return 1.0;
  if (c->lower_m >= opening)
    return 0.0;
  return log(opening / c->lower_m) / log(c->upper_m / c->lower_m);
}
