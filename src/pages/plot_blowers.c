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

typedef struct drawn_blower {
  double rank;
  fg_blower_verdict v;
} drawn_blower;

/* One that does not run moves no air and keeps nothing. */
static drawn_blower row_of(const fg_blower_verdict *v, size_t rank) {
  drawn_blower row = {(double)rank, *v};
  if (v->runs)
    return row;
  row.v.kept_kg_s.nominal = row.v.kept_kg_s.band.low = row.v.kept_kg_s.band.high = 0.0;
  row.v.deck_m3_s = row.v.bled_m3_s = row.v.leak_m3_s = row.v.full_m3_s = 0.0;
  row.v.at[FG_KNOB_THROTTLE] = 0.0;
  return row;
}

static void add_rows(const fg_plot_case *c, const fg_blower_verdict *verdicts, size_t count,
                     fg_node *table) {
  const bool si = c->units == FG_UNITS_SI;
#define OF(field) offsetof(drawn_blower, field)
  const fg_column_of columns[] = {
      {"rank", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(rank)},
      {"name", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(v.name)},
      {si ? "label_m3_min" : "label_cfm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.volume_m3_s)},
      {"kept_g_h", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.kept_kg_s.nominal)},
      {"kept_g_h_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.kept_kg_s.band.low)},
      {"kept_g_h_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.kept_kg_s.band.high)},
      {si ? "deck_m3_min" : "deck_cfm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.deck_m3_s)},
      {si ? "bled_m3_min" : "bled_cfm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.bled_m3_s)},
      {si ? "leaks_m3_min" : "leaks_cfm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.leak_m3_s)},
      {si ? "full_throttle_m3_min" : "full_throttle_cfm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER,
       OF(v.full_m3_s)},
      {"throttle_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(v.at[FG_KNOB_THROTTLE])},
  };
#undef OF
  FG_COLUMNS_OF(table, columns);
  for (size_t i = 0; i < count; ++i) {
    const drawn_blower row = row_of(&verdicts[i], i + 1);
    FG_ROW_OF(table, columns, &row);
  }
}

static fg_status judge(const fg_plot_case *c, const fg_blowers_options *options, fg_scenario *each,
                       size_t count, fg_node *table) {
  const fg_ground_kind *kind =
      fg_ground_known(c->scenario) ? NULL : &fg_ground_kinds[STANDARD_GROUND];
  fg_blower_verdict *verdicts = calloc(count, sizeof *verdicts);
  fg_status status = verdicts ? FG_OK : FG_EMEMORY;
  for (size_t i = 0; i < count && kind && status == FG_OK; ++i)
    status = fg_ground_put(kind, &each[i]);
  if (status == FG_OK)
    status = fg_blowers_judge(each, count, options, verdicts);
  if (status == FG_OK)
    add_rows(c, verdicts, count, table);
  free(verdicts);
  return status;
}

/* On the scenario's own ground beside the settings that every command names for it. */
static fg_status judge_all(const fg_plot_case *c, const fg_scenario *scenario, fg_scenario *each,
                           size_t count, fg_node *table) {
  fg_blowers_options options = {FG_BLOWERS_SAMPLES, 1, false, NULL};
  if (!fg_ground_known(scenario))
    return judge(c, &options, each, count, table);
  fg_best *best = malloc(sizeof *best);
  options.samples = FG_SAMPLES_DEFAULT;
  fg_status status =
      best ? fg_best_find(scenario, options.samples, options.seed, false, best) : FG_EMEMORY;
  options.own = status == FG_OK ? best : NULL;
  if (status == FG_OK || status == FG_ESTALL)
    status = judge(c, &options, each, count, table);
  free(best);
  return status;
}

fg_status fg_plot_fill_blowers(fg_plot_case *c, fg_node *table) {
  const bool known = fg_ground_known(c->scenario);
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
  status = judge_all(c, &scenario, each, count, table);
  free(each);
  (void)snprintf(c->note, sizeof c->note, "%s; whiskers: 80 %% of %d runs, stalls as nothing",
                 known ? "this ground" : fg_ground_kinds[STANDARD_GROUND].name,
                 known ? FG_SAMPLES_DEFAULT : FG_BLOWERS_SAMPLES);
  (void)snprintf(
      c->settings, sizeof c->settings,
      "Each at its own best throttle, gate, slope and feed. Model result, unproven; classes "
      "are indicative.");
  return status;
}
