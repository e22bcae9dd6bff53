/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/observe_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/settings.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

enum { CELL = 64 };

static fg_node *people_table(fg_node *parent) {
  fg_node *table =
      fg_table(parent, NULL, "What was seen, and what the model expects there", FG_TEXT_ONLY);
  fg_column_text(table, "key", "", 0);
  fg_column_text(table, "seen", "seen", 0);
  fg_column_text(table, "error", "+-", 0);
  fg_column_text(table, "expected", "expected", 0);
  fg_column_text(table, "apart", "apart", 0);
  return table;
}

static fg_node *data_table(fg_node *parent) {
  fg_node *table = fg_table(parent, "observed", NULL, FG_DATA_ONLY);
  fg_column_text(table, "key", NULL, 0);
  fg_column_text(table, "unit", NULL, 0);
  fg_column(table, "seen", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "error", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "predicted", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "deviation", NULL, FG_Q_NUMBER, 0);
  fg_column_text(table, "bound", NULL, 0);
  return table;
}

static const char *bound_name(fg_bound bound) {
  return bound == FG_BOUND_AT_LEAST ? "at least" : bound == FG_BOUND_AT_MOST ? "at most" : "";
}

static void add_people(fg_node *table, const fg_observation *o, fg_unit_system units) {
  const fg_setting *setting = &fg_settings[o->row];
  char cell[2 * CELL], value[CELL];
  fg_row(table);
  fg_cell_text(table, strchr(setting->key, '.') + 1);
  fg_cell_text(table, fg_quantity_text(setting->quantity, units, o->seen, cell, sizeof cell));
  fg_cell_text(table,
               fg_quantity_error_text(setting->quantity, units, o->error, cell, sizeof cell));
  if (isnan(o->predicted)) {
    fg_cell_text(table, "stalls");
    fg_cell_text(table, "-");
    return;
  }
  fg_quantity_text(setting->quantity, units, o->predicted, value, sizeof value);
  snprintf(cell, sizeof cell, "%s%s", o->bound == FG_BOUND_NONE ? "" : "over ", value);
  fg_cell_text(table, cell);
  snprintf(cell, sizeof cell, "%+.1f sd", o->deviation);
  fg_cell_text(table, cell);
}

static void add_data(fg_node *table, const fg_observation *o) {
  const fg_setting *setting = &fg_settings[o->row];
  fg_row(table);
  fg_cell_text(table, setting->key);
  fg_cell_text(table, fg_quantity_of(setting->quantity)->si_unit);
  fg_cell(table, o->seen);
  fg_cell(table, o->error);
  fg_cell(table, o->predicted);
  fg_cell(table, o->deviation);
  fg_cell_text(table, bound_name(o->bound));
}

static void tell_suspects(fg_node *group, const fg_scenario *scenario, const fg_observed *observed,
                          const fg_suspect *suspects, size_t count, fg_unit_system units) {
  for (size_t i = 0; i < count; ++i) {
    const fg_setting *setting = &fg_settings[suspects[i].row];
    const char *from = scenario->origin[suspects[i].row] == FG_FROM_DEFAULT ? "assumed" : "given";
    const fg_measuring *how = fg_measuring_for(suspects[i].row);
    char needed[CELL], now[CELL];
    fg_quantity_text(setting->quantity, units, suspects[i].value, needed, sizeof needed);
    fg_quantity_text(setting->quantity, units, suspects[i].now, now, sizeof now);
    fg_bullet(group, "%s: %s at %s, where %s is %s; they would then lie %.1f sd apart.%s%s%s",
              i == 0 ? "Most likely" : "Or", setting->key, needed, now, from,
              sqrt(suspects[i].misfit / (double)observed->count),
              how ? " It can be measured: see flourgold keys " : "",
              how ? fg_settings[how->row].key : "", how ? "." : "");
  }
}

static void add_suspects(fg_node *parent, const fg_suspect *suspects, size_t count) {
  fg_node *table = fg_table(parent, "suspects", NULL, FG_DATA_ONLY);
  fg_column_text(table, "key", NULL, 0);
  fg_column(table, "needed", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "now", NULL, FG_Q_NUMBER, 0);
  fg_column(table, "misfit", NULL, FG_Q_NUMBER, 0);
  for (size_t i = 0; i < count; ++i) {
    fg_row(table);
    fg_cell_text(table, fg_settings[suspects[i].row].key);
    fg_cell(table, suspects[i].value);
    fg_cell(table, suspects[i].now);
    fg_cell(table, suspects[i].misfit);
  }
}

void fg_report_observed(fg_node *parent, const fg_scenario *scenario, const fg_observed *observed,
                        const fg_suspect *suspects, size_t suspect_count, fg_unit_system units) {
  if (observed->count == 0)
    return;
  fg_node *people = people_table(parent), *data = data_table(parent);
  for (size_t i = 0; i < observed->count; ++i) {
    add_people(people, &observed->item[i], units);
    add_data(data, &observed->item[i]);
  }
  fg_number(parent, "misfit", NULL, FG_Q_NUMBER, observed->misfit, FG_DATA_ONLY);
  add_suspects(parent, suspects, suspect_count);
  fg_node *group = fg_group(parent, NULL, NULL, FG_TEXT_ONLY);
  if (fg_observe_agrees(observed)) {
    fg_note(group,
            "All of it lies within %.0f standard deviations: the model and the machine "
            "agree as far as was seen.",
            fg_fair_deviation);
    return;
  }
  if (observed->stalled)
    fg_note(group, "The model's deck stalls at the settings at which yours ran.");
  fg_note(group, suspect_count > 0
                     ? "One setting alone, moved within what is likely, would explain it:"
                     : "No single setting, moved within what is likely, explains the difference: "
                       "more than one is off, a reading is wrong, or the model is.");
  tell_suspects(group, scenario, observed, suspects, suspect_count, units);
}
