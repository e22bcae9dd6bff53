/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/observe_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/settings.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

enum { CELL = 64 };

typedef struct seen_row {
  const char *key, *unit, *bound;
  fg_observation o;
  char seen[2 * CELL], error[CELL], expected[2 * CELL], apart[CELL]; /* for people */
} seen_row;

#define OF(field) offsetof(seen_row, field)
static const fg_column_of people_columns[] = {
    {NULL, "", FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {NULL, "seen", FG_Q_NUMBER, FG_FIELD_CHARS, OF(seen)},
    {NULL, "+-", FG_Q_NUMBER, FG_FIELD_CHARS, OF(error)},
    {NULL, "expected", FG_Q_NUMBER, FG_FIELD_CHARS, OF(expected)},
    {NULL, "apart", FG_Q_NUMBER, FG_FIELD_CHARS, OF(apart)},
};

static const fg_column_of data_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {"unit", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(unit)},
    {"seen", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(o.seen)},
    {"error", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(o.error)},
    {"predicted", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(o.predicted)},
    {"deviation", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(o.deviation)},
    {"bound", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(bound)},
};
#undef OF

static const char *bound_name(fg_bound bound) {
  return bound == FG_BOUND_AT_LEAST ? "at least" : bound == FG_BOUND_AT_MOST ? "at most" : "";
}

static void add_observations(fg_node *parent, const fg_observed *observed, fg_unit_system units) {
  fg_node *people =
      fg_table(parent, NULL, "What was seen, and what the model expects there", FG_TEXT_ONLY);
  fg_node *data = fg_table(parent, "observed", NULL, FG_DATA_ONLY);
  FG_COLUMNS_OF(people, people_columns);
  FG_COLUMNS_OF(data, data_columns);
  for (size_t i = 0; i < observed->count; ++i) {
    const fg_observation *o = &observed->item[i];
    const fg_setting *setting = &fg_settings[o->row];
    const fg_quantity q = setting->quantity;
    char value[CELL];
    seen_row row = {
        setting->key, fg_quantity_of(q)->si_unit, bound_name(o->bound), *o, "", "", "stalls", "-"};
    FG_ROW_OF(data, data_columns, &row);
    row.key = strchr(setting->key, '.') + 1;
    (void)fg_quantity_text(q, units, o->seen, row.seen, sizeof row.seen);
    (void)fg_quantity_error_text(q, units, o->error, row.error, sizeof row.error);
    if (!isnan(o->predicted)) {
      (void)snprintf(row.expected, sizeof row.expected, "%s%s",
                     o->bound == FG_BOUND_NONE ? "" : "over ",
                     fg_quantity_text(q, units, o->predicted, value, sizeof value));
      (void)snprintf(row.apart, sizeof row.apart, "%+.1f sd", o->deviation);
    }
    FG_ROW_OF(people, people_columns, &row);
  }
}

static void tell_suspects(fg_node *group, const fg_scenario *scenario, const fg_observed *observed,
                          const fg_suspect *suspects, size_t count, fg_unit_system units) {
  for (size_t i = 0; i < count; ++i) {
    const fg_setting *setting = &fg_settings[suspects[i].row];
    const char *from = scenario->origin[suspects[i].row] == FG_FROM_DEFAULT ? "assumed" : "given";
    const fg_measuring *how = fg_measuring_for(suspects[i].row);
    char needed[CELL], now[CELL];
    (void)fg_quantity_text(setting->quantity, units, suspects[i].value, needed, sizeof needed);
    (void)fg_quantity_text(setting->quantity, units, suspects[i].now, now, sizeof now);
    fg_bullet(group, "%s: %s at %s, where %s is %s; they would then lie %.1f sd apart.%s%s%s",
              i == 0 ? "Most likely" : "Or", setting->key, needed, now, from,
              sqrt(suspects[i].misfit / (double)observed->count),
              how ? " It can be measured: see flourgold keys " : "",
              how ? fg_settings[how->row].key : "", how ? "." : "");
  }
}

typedef struct suspect_row {
  const char *key;
  fg_suspect s;
} suspect_row;

#define OF(field) offsetof(suspect_row, field)
static const fg_column_of suspect_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {"needed", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.value)},
    {"now", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.now)},
    {"misfit", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.misfit)},
};
#undef OF

static void add_suspects(fg_node *parent, const fg_suspect *suspects, size_t count) {
  fg_node *table = fg_table(parent, "suspects", NULL, FG_DATA_ONLY);
  FG_COLUMNS_OF(table, suspect_columns);
  for (size_t i = 0; i < count; ++i) {
    const suspect_row row = {fg_settings[suspects[i].row].key, suspects[i]};
    FG_ROW_OF(table, suspect_columns, &row);
  }
}

void fg_report_observed(fg_node *parent, const fg_scenario *scenario, const fg_observed *observed,
                        const fg_suspect *suspects, size_t suspect_count, fg_unit_system units) {
  if (observed->count == 0)
    return;
  add_observations(parent, observed, units);
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
