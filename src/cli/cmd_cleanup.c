/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cleanup FILE: when to clean the riffles. */
#include <math.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "pages/cleanup_report.h"
#include "study/same_ground.h"

static fg_status run_practice(const fg_scenario *scenario, const fg_ensemble_choice *choice,
                              fg_cleanup practice[FG_PRACTICES]) {
  fg_status status = FG_OK;
  for (int i = 0; i < FG_PRACTICES && status == FG_OK; ++i) {
    fg_scenario ground = *scenario;
    (void)fg_scenario_set(&ground, FG_SET_GROUND_MAGNETITE, fg_practice_magnetite[i]);
    ground.error_of[FG_SET_GROUND_MAGNETITE] = 0.0;
    status = fg_scenario_resolve(&ground);
    if (status == FG_OK)
      status =
          fg_cleanup_run(&ground, choice->exact ? 0 : choice->samples, choice->seed, &practice[i]);
  }
  return status;
}

int fg_cmd_cleanup(fg_call *call) {
  fg_scenario scenario;
  fg_ensemble_choice choice;
  int code = fg_call_ensemble(call, &choice);
  if (code == 0)
    code = fg_call_scenario(call, &scenario);
  if (code != 0)
    return code;
  char message[400];
  if (fg_cleanup_check(&scenario, message, sizeof message) != FG_OK)
    return fg_call_fail("%s: %s", scenario.file, message);
  fg_cleanup *runs = calloc(1 + FG_PRACTICES, sizeof *runs);
  if (!runs)
    return fg_call_unsolved(&scenario, FG_EMEMORY);
  fg_status status = fg_feed_own_ground(&scenario);
  if (status == FG_OK)
    status = fg_cleanup_run(&scenario, choice.exact ? 0 : choice.samples, choice.seed, &runs[0]);
  if (status == FG_OK)
    status = run_practice(&scenario, &choice, runs + 1);
  fg_clean_interval advised;
  const bool told =
      status == FG_OK && fg_cleanup_advise(&scenario, choice.exact, &advised) == FG_OK;
  const fg_cleanup_story story = {&scenario, &runs[0], runs + 1,
                                  told ? advised.best_s : (double)NAN, call->units};
  code = status == FG_OK ? fg_call_emit(call, fg_cleanup_report(&story),
                                        runs[0].stalled ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE)
                         : fg_call_unsolved(&scenario, status);
  free(runs);
  return code;
}
