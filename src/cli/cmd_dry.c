/* SPDX-License-Identifier: GPL-3.0-or-later */
/* dry FILE --weather CSV: how long after the rain. */
#include "cli/cli.h"
#include "cli/dry_call.h"
#include "pages/dry_report.h"

static const double usual_tarp_m = 0.0254;
static const double usual_sun_s = 4.0 * 3600.0;

int fg_cmd_dry(fg_call *call) {
  fg_dry_call dry;
  fg_dry_story story = {.tarp_m = fg_call_number(call, "--tarp", usual_tarp_m),
                        .sun_s = fg_call_number(call, "--sun", usual_sun_s),
                        .units = call->units};
  int code = fg_dry_call_run(call, &dry);
  if (code == 0) {
    story.scenario = &dry.scenario;
    story.options = &dry.options;
    story.drying = &dry.drying;
    code = fg_call_emit(call, fg_dry_report(&story), FG_EXIT_DONE);
  }
  fg_dry_call_free(&dry);
  return code;
}
