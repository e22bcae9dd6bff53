/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/same_ground.h"

#include <math.h>

void fg_feed_same_ground(fg_scenario *scenario, const fg_loss *loss) {
  if (scenario->gold.counted_in != FG_COUNTED_TRAY || loss->machine.stalled)
    return;
  scenario->gold.counted_in = FG_COUNTED_GROUND;
  scenario->gold.class_count = loss->gold_count;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    scenario->gold.classes[k] =
        (fg_size_class){g->lower_m, g->upper_m, isnan(g->share) ? 0.0 : g->share};
  }
}

fg_status fg_feed_own_ground(fg_scenario *scenario) {
  if (scenario->gold.counted_in != FG_COUNTED_TRAY)
    return FG_OK;
  fg_loss loss;
  const fg_status status = fg_loss_run(scenario, NULL, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  fg_feed_same_ground(scenario, &loss);
  fg_loss_free(&loss);
  return FG_OK;
}
