/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "cli/beside.h"
#include "cli/cli.h"
#include "cli/vary.h"
#include "pages/loss_report.h"
#include "study/same_ground.h"

static int tell(const fg_call *call, const fg_scenario *scenario, const fg_loss_options *options,
                const fg_loss *loss, const fg_bands *bands) {
  if (fg_call_flag(call, "--vary"))
    return fg_call_vary(call, scenario, options, loss, bands);
  fg_scenario fed = *scenario;
  fg_trial trials[FG_TRIALS_MAX];
  fg_gain gains[FG_TRIALS_MAX];
  fg_loss_story story = {.scenario = scenario,
                         .loss = loss,
                         .bands = bands,
                         .trials = trials,
                         .gains = gains,
                         .kept_without_clay = NAN,
                         .units = call->units};
  fg_feed_same_ground(&fed, loss);
  fg_status status = fg_advice_run(&fed, options, !bands, trials, &story.trial_count);
  if (status == FG_OK)
    status = fg_gains_run(&fed, options, bands ? &bands->plan : NULL, loss, trials,
                          story.trial_count, gains);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  if (scenario->ground.clay > 0.0 && !loss->machine.stalled)
    story.kept_without_clay = fg_kept_without_clay(&fed, options);
  return fg_call_emit(call, fg_loss_report(&story),
                      loss->machine.stalled ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE);
}

/* With the doubt of every input, unless --exact asks for the nominal run alone. */
static int tell_with_doubt(const fg_call *call, const fg_scenario *scenario,
                           const fg_loss_options *options, const fg_loss *loss) {
  fg_ensemble_choice choice;
  const int wrong = fg_call_ensemble(call, &choice);
  if (wrong != 0)
    return wrong;
  if (choice.exact)
    return tell(call, scenario, options, loss, NULL);
  fg_bands bands;
  const fg_status status =
      fg_ensemble_run(scenario, loss, options, choice.samples, choice.seed, &bands);
  if (status != FG_OK)
    return fg_call_unsolved(scenario, status);
  const int code = tell(call, scenario, options, loss, &bands);
  fg_ensemble_free(&bands);
  return code;
}

int fg_cmd_loss(fg_call *call) {
  const fg_loss_options options = {.fresh = fg_call_flag(call, "--fresh")};
  if (call->file_count > 1)
    return fg_call_beside(call, &options);
  fg_scenario scenario;
  const int wrong = fg_call_scenario(call, &scenario);
  if (wrong != 0)
    return wrong;
  fg_loss loss;
  const fg_status status = fg_loss_run(&scenario, &options, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return fg_call_unsolved(&scenario, status);
  const int code = tell_with_doubt(call, &scenario, &options, &loss);
  fg_loss_free(&loss);
  return code;
}
