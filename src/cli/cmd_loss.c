/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "cli/cli.h"
#include "flourgold/loss_report.h"

/* Says why a run has no state at all. */
static int explain(const fg_scenario *scenario, fg_status status) {
  const char *file = scenario->file[0] != '\0' ? scenario->file : "scenario";
  switch (status) {
  case FG_ENOROOT:
    return fg_call_fail("%s: the blower finds no balance with the box: check blower, hose and "
                        "gate for sizes that do not go together",
                        file);
  case FG_EDOMAIN:
    return fg_call_fail("%s: the settings together lie outside what the model's laws are made "
                        "for; `flourgold check %s` tells more",
                        file, file);
  default: return fg_call_fail("%s: %s", file, fg_status_text(status));
  }
}

static int tell(const fg_call *call, const fg_scenario *scenario, const fg_loss_options *options,
                const fg_loss *loss) {
  fg_trial trials[FG_TRIALS_MAX];
  fg_loss_story story = {.scenario = scenario,
                         .loss = loss,
                         .trials = trials,
                         .kept_without_clay = NAN,
                         .units = call->units};
  const fg_status status = fg_advice_run(scenario, options, trials, &story.trial_count);
  if (status != FG_OK) return explain(scenario, status);
  if (scenario->ground.clay > 0.0 && !loss->machine.stalled)
    story.kept_without_clay = fg_kept_without_clay(scenario, options);
  return fg_call_emit(call, fg_loss_report(&story),
                      loss->machine.stalled ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE);
}

int fg_cmd_loss(fg_call *call) {
  fg_scenario scenario;
  const int wrong = fg_call_scenario(call, &scenario);
  if (wrong != 0) return wrong;
  const fg_loss_options options = {.fresh = fg_call_flag(call, "--fresh")};
  fg_loss loss;
  const fg_status status = fg_loss_run(&scenario, &options, &loss);
  if (status != FG_OK && status != FG_ESTALL) return explain(&scenario, status);
  const int code = tell(call, &scenario, &options, &loss);
  fg_loss_free(&loss);
  return code;
}
