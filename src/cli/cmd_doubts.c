/* SPDX-License-Identifier: GPL-3.0-or-later */
/* doubts FILE: which inputs make the answer doubtful. */
#include <stdlib.h>

#include "cli/cli.h"
#include "pages/doubts_report.h"

int fg_cmd_doubts(fg_call *call) {
  fg_scenario scenario;
  fg_ensemble_choice choice;
  int code = fg_call_ensemble(call, &choice);
  if (code != 0)
    return code;
  const size_t samples = (size_t)fg_call_number(call, "--samples", FG_DOUBTS_SAMPLES);
  code = fg_call_scenario(call, &scenario);
  if (code != 0)
    return code;
  fg_doubts *doubts = malloc(sizeof *doubts);
  if (!doubts)
    return fg_call_unsolved(&scenario, FG_EMEMORY);
  const fg_status status = fg_doubts_run(&scenario, samples, choice.seed, doubts);
  const fg_doubts_story story = {&scenario, doubts, call->units};
  code = status == FG_OK ? fg_call_emit(call, fg_doubts_report(&story),
                                        doubts->stalled ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE)
                         : fg_call_unsolved(&scenario, status);
  free(doubts);
  return code;
}
