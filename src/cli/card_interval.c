/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/card_interval.h"

#include <math.h>
#include <stdlib.h>

#include "study/cleanup.h"

double fg_card_interval(const fg_scenario *scenario) {
  static const double step_s = 300.0;
  char message[256];
  double best = NAN;
  fg_cleanup *cleanup = malloc(sizeof *cleanup);
  if (cleanup && fg_cleanup_check(scenario, message, sizeof message) == FG_OK &&
      fg_cleanup_run(scenario, 0, 0, cleanup) == FG_OK && !cleanup->stalled)
    best = fmax(step_s, step_s * round(cleanup->best.best_s / step_s));
  free(cleanup);
  return best;
}
