/* SPDX-License-Identifier: GPL-3.0-or-later */
/* measure FILE: a card of the measurements that a scenario lacks. */
#include "cli/cli.h"
#include "pages/measure_report.h"

int fg_cmd_measure(fg_call *call) {
  fg_scenario scenario;
  fg_worth worths[FG_WORTHS_MAX];
  size_t count = 0;
  double kept;
  const int code = fg_call_scenario(call, &scenario);
  if (code != FG_EXIT_DONE)
    return code;
  const fg_status status = fg_worth_list(&scenario, worths, &count, &kept);
  if (status != FG_OK)
    return fg_call_fail("%s: %s", call->files[0], fg_status_text(status));
  return fg_call_emit(call, fg_measure_report(&scenario, worths, count, kept), FG_EXIT_DONE);
}
