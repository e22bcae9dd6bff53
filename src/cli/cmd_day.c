/* SPDX-License-Identifier: GPL-3.0-or-later */
/* day FILE...: is the trip worth it. */
#include <math.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/day_report.h"

typedef struct day_call {
  fg_scenario scenario[FG_DAYS_MAX];
  fg_days days;
} day_call;

static int read_all(const fg_call *call, day_call *work) {
  int code = 0;
  if (call->file_count > FG_DAYS_MAX)
    return fg_call_fail("day ranks at most %d scenario files; %zu were given", FG_DAYS_MAX,
                        call->file_count);
  for (size_t i = 0; i < call->file_count; ++i) {
    const int wrong = fg_call_scenario_at(call, i, &work->scenario[i]);
    code = wrong != 0 ? wrong : code;
  }
  return code;
}

static int run(const fg_call *call, day_call *work, const fg_ensemble_choice *choice,
               double price) {
  const fg_scenario *list[FG_DAYS_MAX];
  size_t wrong = 0;
  for (size_t i = 0; i < call->file_count; ++i)
    list[i] = &work->scenario[i];
  const fg_status status = fg_days_run(list, call->file_count, choice->exact ? 0 : choice->samples,
                                       choice->seed, &work->days, &wrong);
  if (status != FG_OK)
    return fg_call_unsolved(list[wrong], status);
  const fg_day_story story = {
      .days = &work->days, .seed = choice->seed, .price_per_g = price, .units = call->units};
  bool all_stall = true;
  for (size_t i = 0; i < work->days.count; ++i)
    all_stall = all_stall && work->days.trip[i].stalled;
  const int code =
      fg_call_emit(call, fg_day_report(&story), all_stall ? FG_EXIT_NO_ANSWER : FG_EXIT_DONE);
  fg_days_free(&work->days);
  return code;
}

int fg_cmd_day(fg_call *call) {
  fg_ensemble_choice choice;
  int code = fg_call_ensemble(call, &choice);
  if (code != 0)
    return code;
  day_call *work = calloc(1, sizeof *work);
  if (!work)
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  code = read_all(call, work);
  if (code == 0)
    code = run(call, work, &choice, fg_call_number(call, "--price", (double)NAN));
  free(work);
  return code;
}
