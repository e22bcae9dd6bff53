/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "loss" and picture "riffles": what became of the gold, by size class. */
#include <math.h>
#include <stdio.h>

#include "pages/plot_internal.h"

static void add_class(fg_node *table, const fg_class_loss *gold) {
  fg_cell(table, gold->lower_m);
  fg_cell(table, gold->upper_m);
  fg_cell(table, gold->size_m);
}

static void add_class_columns(fg_node *table) {
  fg_plot_column(table, "lower_mm");
  fg_plot_column(table, "upper_mm");
  fg_plot_column(table, "size_mm");
}

static void note_interval(fg_plot_case *c) {
  char interval[64];
  fg_quantity_text(FG_Q_MINUTES, c->units, c->scenario->run.cleaning_interval, interval,
                   sizeof interval);
  snprintf(c->note, sizeof c->note, "mean of the %s between two cleanings", interval);
}

fg_status fg_plot_fill_loss(fg_plot_case *c, fg_node *table) {
  static const char *const names[] = {"kept_percent",       "blown_off_percent", "carried_percent",
                                      "shaken_out_percent", "full_percent",      "stuck_percent",
                                      "on_screen_percent"};
  add_class_columns(table);
  for (size_t i = 0; i < sizeof names / sizeof names[0]; ++i)
    fg_plot_column(table, names[i]);
  for (size_t i = 0; i < c->loss->gold_count; ++i) {
    const fg_class_loss *gold = &c->loss->gold[i];
    bool passes = gold->passing > 0.0;
    const double fates[] = {gold->kept,       gold->blown_off, gold->carried,
                            gold->shaken_out, gold->full,      gold->stuck};
    fg_row(table);
    add_class(table, gold);
    for (size_t k = 0; k < sizeof fates / sizeof fates[0]; ++k)
      fg_cell(table, passes ? fates[k] : 0.0);
    fg_cell(table, passes ? 0.0 : 1.0);
  }
  note_interval(c);
  return FG_OK;
}

fg_status fg_plot_fill_riffles(fg_plot_case *c, fg_node *table) {
  add_class_columns(table);
  fg_plot_column(table, "riffle");
  fg_plot_column(table, "held_percent");
  for (size_t i = 0; i < c->loss->gold_count; ++i) {
    const fg_class_loss *gold = &c->loss->gold[i];
    if (!(gold->passing > 0.0))
      continue;
    for (size_t r = 0; r < c->loss->riffles; ++r) {
      fg_row(table);
      add_class(table, gold);
      fg_cell(table, (double)(r + 1));
      fg_cell(table, gold->by_riffle[r]);
    }
  }
  note_interval(c);
  return FG_OK;
}
