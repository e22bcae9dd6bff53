/* SPDX-License-Identifier: GPL-3.0-or-later */
/* measure FILE: a card of the measurements that a scenario lacks. */
#include <stdlib.h>

#include "cli/cli.h"
#include "pages/measure_report.h"

int fg_cmd_measure(fg_call *call) {
  fg_scenario scenario;
  fg_ensemble_choice choice;
  int code = fg_call_ensemble(call, &choice);
  const size_t samples = (size_t)fg_call_number(call, "--samples", FG_DOUBTS_SAMPLES);
  if (code == FG_EXIT_DONE)
    code = fg_call_scenario(call, &scenario);
  if (code != FG_EXIT_DONE)
    return code;
  fg_doubts *doubts = malloc(sizeof *doubts);
  const fg_status status =
      doubts ? fg_doubts_rank(&scenario, samples, choice.seed, doubts) : FG_EMEMORY;
  code = status == FG_OK ? fg_call_emit(call, fg_measure_report(&scenario, doubts), FG_EXIT_DONE)
                         : fg_call_unsolved(&scenario, status);
  free(doubts);
  return code;
}
