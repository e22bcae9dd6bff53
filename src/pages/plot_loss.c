/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "loss" and picture "riffles": what became of the gold, by size class. */
#include <math.h>
#include <stdio.h>

#include "pages/plot_internal.h"

/* A class; of one that stays on the screen nothing is kept or lost. */
typedef struct drawn_class {
  fg_class_loss gold;
  double on_screen, riffle, held;
} drawn_class;

static drawn_class row_of(const fg_class_loss *gold) {
  drawn_class row = {.gold = *gold, .on_screen = gold->passing > 0.0 ? 0.0 : 1.0};
  if (!(gold->passing > 0.0))
    row.gold.kept = row.gold.blown_off = row.gold.carried = row.gold.shaken_out = row.gold.full =
        row.gold.stuck = 0.0;
  return row;
}

#define OF(field) offsetof(drawn_class, field)
#define CLASS                                                                                      \
  {"lower_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.lower_m)},                              \
      {"upper_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.upper_m)}, {                        \
    "size_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.size_m)                                 \
  }
static const fg_column_of loss_columns[] = {
    CLASS,
    {"kept_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.kept)},
    {"blown_off_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.blown_off)},
    {"carried_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.carried)},
    {"shaken_out_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.shaken_out)},
    {"full_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.full)},
    {"stuck_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(gold.stuck)},
    {"on_screen_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(on_screen)},
};

static const fg_column_of riffle_columns[] = {
    CLASS,
    {"riffle", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(riffle)},
    {"held_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(held)},
};
#undef CLASS
#undef OF

static void note_interval(fg_plot_case *c) {
  char interval[64];
  (void)fg_quantity_text(FG_Q_MINUTES, c->units, c->scenario->run.cleaning_interval, interval,
                         sizeof interval);
  (void)snprintf(c->note, sizeof c->note, "mean of the %s between two cleanings", interval);
}

fg_status fg_plot_fill_loss(fg_plot_case *c, fg_node *table) {
  FG_COLUMNS_OF(table, loss_columns);
  for (size_t i = 0; i < c->loss->gold_count; ++i) {
    const drawn_class row = row_of(&c->loss->gold[i]);
    FG_ROW_OF(table, loss_columns, &row);
  }
  note_interval(c);
  return FG_OK;
}

fg_status fg_plot_fill_riffles(fg_plot_case *c, fg_node *table) {
  FG_COLUMNS_OF(table, riffle_columns);
  for (size_t i = 0; i < c->loss->gold_count; ++i) {
    drawn_class row = row_of(&c->loss->gold[i]);
    for (size_t r = 0; r < c->loss->riffles && row.on_screen < 1.0; ++r) {
      row.riffle = (double)(r + 1);
      row.held = row.gold.by_riffle[r];
      FG_ROW_OF(table, riffle_columns, &row);
    }
  }
  note_interval(c);
  return FG_OK;
}
