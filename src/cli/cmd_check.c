/* SPDX-License-Identifier: GPL-3.0-or-later */
/* check FILE: reads a scenario and says what it will be taken to mean. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "flourgold/version.h"
#include "pages/observe_report.h"
#include "pages/page.h"
#include "pages/setting_view.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

/* One section for the settings of an origin; none when there are no such settings. */
static void add_section(fg_node *root, const char *name, const char *title,
                        const fg_scenario *scenario, fg_origin origin, fg_unit_system units) {
  size_t count = 0;
  for (size_t i = 0; i < fg_settings_count; ++i)
    count += scenario->origin[i] == origin && !fg_reading_absent(scenario, i);
  fg_node *group = fg_group(root, NULL, count > 0 ? title : NULL, 0);
  fg_settings_add_origin(group, name, scenario, origin, units);
}

/* People see what a run of the deck goes by; the rest is counted. */
static void add_assumed(fg_node *root, const fg_scenario *scenario, fg_unit_system units) {
  fg_node *group = fg_group(root, NULL, "Assumed: nobody gave these", 0);
  const size_t others = fg_settings_add_assumed(group, "assumed", scenario, FG_DECK_GROUPS, units);
  if (others > 0)
    fg_note(group,
            "And %zu more that the deck does not feel (drying, sampling, the day, limits): "
            "--effective lists them.",
            others);
}

static void add_summary(const fg_call *call, fg_node *root, const fg_scenario *scenario) {
  size_t given = 0;
  size_t assumed = 0;
  for (size_t i = 0; i < fg_settings_count; ++i) {
    given += scenario->origin[i] == FG_FROM_FILE || scenario->origin[i] == FG_FROM_SET;
    assumed += scenario->origin[i] == FG_FROM_DEFAULT && !fg_reading_absent(scenario, i);
  }
  fg_boolean(root, "ok", NULL, true, FG_DATA_ONLY);
  fg_string(root, "version", NULL, FG_VERSION, FG_DATA_ONLY);
  fg_string(root, "scenario", NULL, call->files[0], FG_DATA_ONLY);
  fg_note(root, "OK: %s can be used. Settings given: %zu; assumed: %zu.", call->files[0], given,
          assumed);
  if (assumed > 0)
    fg_note(root, "Which of those to measure first: flourgold measure %s", call->files[0]);
}

/* What was seen on the running machine beside the model, and what would explain a
 * difference.  A model without an answer is no fault of the file: it is said, no more. */
static fg_status add_observed(fg_node *root, const fg_scenario *scenario, fg_unit_system units) {
  enum { SUSPECTS = 3 };
  fg_observed observed;
  fg_suspect suspects[SUSPECTS];
  size_t count = 0;
  fg_status status = fg_observe_predict(scenario, &observed);
  if (status == FG_OK && !fg_observe_agrees(&observed))
    status = fg_observe_explain(scenario, &observed, suspects, SUSPECTS, &count);
  if (status == FG_OK)
    fg_report_observed(root, scenario, &observed, suspects, count, units);
  else if (status != FG_EMEMORY)
    fg_note(root, "The model has no answer to set beside what was observed: %s.",
            fg_status_text(status));
  return status == FG_EMEMORY ? status : FG_OK;
}

int fg_cmd_check(fg_call *call) {
  fg_scenario scenario;
  int code = fg_call_scenario(call, &scenario);
  if (code != FG_EXIT_DONE)
    return code;
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  add_summary(call, root, &scenario);
  add_section(root, "given", "Given in the file", &scenario, FG_FROM_FILE, call->units);
  add_section(root, "set", "Given by --set", &scenario, FG_FROM_SET, call->units);
  add_section(root, "catalogue", "From the blower catalogue", &scenario, FG_FROM_CATALOGUE,
              call->units);
  add_section(root, "derived", "Worked out from the others", &scenario, FG_FROM_DERIVED,
              call->units);
  add_assumed(root, &scenario, call->units);
  if (add_observed(root, &scenario, call->units) != FG_OK) {
    fg_report_free(report);
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  }
  if (fg_call_flag(call, "--effective"))
    fg_settings_add_effective(root, "effective", "Every setting in force", &scenario, call->units);
  return fg_call_emit(call, report, FG_EXIT_DONE);
}
