/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "blowers": what each class brings on this deck, and where its air goes. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "flourgold/catalogue.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/plot_internal.h"
#include "study/blowers.h"
#include "study/same_ground.h"

/* Ground to judge on where the scenario says nothing of its own. */
enum { STANDARD_GROUND = 1 };

static void add_columns(const fg_plot_case *c, fg_node *table) {
  static const char *const names[] = {"kept_g_h", "kept_g_h_low", "kept_g_h_high"};
  fg_plot_column(table, "rank");
  fg_column_text(table, "name", NULL, 0);
  fg_plot_column_in(table, c->units, "label_cfm", "label_m3_min");
  for (size_t i = 0; i < sizeof names / sizeof names[0]; ++i)
    fg_plot_column(table, names[i]);
  fg_plot_column_in(table, c->units, "deck_cfm", "deck_m3_min");
  fg_plot_column_in(table, c->units, "bled_cfm", "bled_m3_min");
  fg_plot_column_in(table, c->units, "leaks_cfm", "leaks_m3_min");
  fg_plot_column_in(table, c->units, "full_throttle_cfm", "full_throttle_m3_min");
  fg_plot_column(table, "throttle_percent");
}

static void add_rows(const fg_blower_verdict *verdicts, size_t count, fg_node *table) {
  for (size_t i = 0; i < count; ++i) {
    const fg_blower_verdict *v = &verdicts[i];
    const double gold[] = {v->volume_m3_s, v->kept_kg_s.nominal, v->kept_kg_s.band[0],
                           v->kept_kg_s.band[2]};
    const double air[] = {v->deck_m3_s, v->bled_m3_s, v->leak_m3_s, v->full_m3_s,
                          v->at[FG_KNOB_THROTTLE]};
    fg_row(table);
    fg_cell(table, (double)(i + 1));
    fg_cell_text(table, v->name);
    for (size_t k = 0; k < sizeof gold / sizeof gold[0]; ++k)
      fg_cell(table, v->runs ? gold[k] : k == 0 ? gold[0] : 0.0);
    for (size_t k = 0; k < sizeof air / sizeof air[0]; ++k)
      fg_cell(table, v->runs ? air[k] : 0.0);
  }
}

static fg_status judge(const fg_plot_case *c, fg_scenario *each, size_t count, fg_node *table) {
  const fg_blowers_options options = {FG_BLOWERS_SAMPLES, 1, false};
  const fg_ground_kind *kind =
      fg_ground_known(c->scenario) ? NULL : &fg_ground_kinds[STANDARD_GROUND];
  fg_blower_verdict *verdicts = calloc(count, sizeof *verdicts);
  fg_status status = verdicts ? FG_OK : FG_EMEMORY;
  for (size_t i = 0; i < count && kind && status == FG_OK; ++i)
    status = fg_ground_put(kind, &each[i]);
  if (status == FG_OK)
    status = fg_blowers_judge(each, count, &options, verdicts);
  if (status == FG_OK) {
    add_columns(c, table);
    add_rows(verdicts, count, table);
  }
  free(verdicts);
  return status;
}

fg_status fg_plot_fill_blowers(fg_plot_case *c, fg_node *table) {
  fg_scenario scenario = *c->scenario;
  fg_scenario *each = NULL;
  size_t count = 0;
  fg_complaints complaints = {0};
  fg_status status = fg_feed_own_ground(&scenario);
  if (status == FG_OK)
    status = fg_catalogue_read(NULL, &scenario, &each, &count, &complaints);
  fg_complaints_free(&complaints);
  if (status != FG_OK)
    return status;
  status = judge(c, each, count, table);
  free(each);
  snprintf(c->note, sizeof c->note, "%s; whiskers: 80 %% of %d runs, stalls as nothing",
           fg_ground_known(c->scenario) ? "this ground" : fg_ground_kinds[STANDARD_GROUND].name,
           FG_BLOWERS_SAMPLES);
  snprintf(c->settings, sizeof c->settings,
           "Each at its own best throttle, gate, slope and feed. Model result, unproven; classes "
           "are indicative.");
  return status;
}
