/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/best.h"

#include <math.h>

#include "study/cleanup.h"
#include "study/same_ground.h"

fg_status fg_best_run(const fg_scenario *scenario, const fg_tune_options *options, fg_best *best) {
  fg_clean_interval cleaning;
  best->set = *scenario;
  fg_status status = fg_feed_own_ground(&best->set);
  if (status == FG_OK)
    status = fg_tune_run(&best->set, options, &best->tuned);
  if (status == FG_OK)
    status = fg_tune_apply(&best->set, best->tuned.best.at, &best->set);
  if (status != FG_OK)
    return status;
  status = fg_cleanup_advise(&best->set, options->exact, &cleaning);
  best->cleaning_s = status == FG_OK ? cleaning.best_s : (double)NAN;
  if (status == FG_OK)
    best->set.run.cleaning_interval = cleaning.best_s;
  return status == FG_EMEMORY ? status : FG_OK;
}

fg_status fg_best_find(const fg_scenario *scenario, size_t samples, unsigned long seed, bool exact,
                       fg_best *best) {
  fg_tune_options options;
  fg_tune_defaults(scenario, FG_AIM_GOLD_PER_HOUR, &options);
  options.samples = exact ? 1 : samples;
  options.seed = seed;
  options.exact = exact;
  return fg_best_run(scenario, &options, best);
}
