/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/fine.h"

#include <math.h>
#include <stddef.h>

const double fg_fine_limit_m = 0.250e-3;

double fg_fine_kept(const fg_loss *loss) {
  double mass = 0.0, kept = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    if (isnan(g->share) || g->size_m >= fg_fine_limit_m)
      continue;
    mass += g->share * g->passing;
    kept += g->share * g->passing * g->kept;
  }
  return mass > 0.0 ? kept / mass : (double)NAN;
}
