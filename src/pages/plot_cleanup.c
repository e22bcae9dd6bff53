/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "cleanup": the riffles from one cleaning on. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "pages/plot_internal.h"
#include "study/cleanup.h"
#include "study/same_ground.h"

static void add_columns(fg_node *table) {
  static const char *const names[] = {"after_min",
                                      "fill_percent",
                                      "kept_now_percent",
                                      "kept_now_percent_low",
                                      "kept_now_percent_high",
                                      "kept_percent",
                                      "kept_percent_low",
                                      "kept_percent_high",
                                      "kept_g_h",
                                      "kept_g_h_low",
                                      "kept_g_h_high",
                                      "best_min",
                                      "good_from_min",
                                      "good_to_min"};
  for (size_t i = 0; i < sizeof names / sizeof names[0]; ++i)
    fg_plot_column(table, names[i]);
}

static void add_rows(const fg_cleanup *c, fg_node *table) {
  for (size_t i = 0; i < FG_CLEANUP_POINTS; ++i) {
    const fg_cleanup_point *p = &c->point[i];
    const double cells[] = {p->after_s,           p->fill.nominal,      p->kept_now.nominal,
                            p->kept_now.band[0],  p->kept_now.band[2],  p->kept.nominal,
                            p->kept.band[0],      p->kept.band[2],      p->kept_kg_s.nominal,
                            p->kept_kg_s.band[0], p->kept_kg_s.band[2], c->best.best_s,
                            c->best.from_s,       c->best.to_s};
    fg_row(table);
    fg_cells(table, cells, sizeof cells / sizeof cells[0]);
  }
}

fg_status fg_plot_fill_cleanup(fg_plot_case *c, fg_node *table) {
  fg_scenario scenario = *c->scenario;
  fg_cleanup *cleanup = malloc(sizeof *cleanup);
  if (!cleanup)
    return FG_EMEMORY;
  fg_status status = fg_feed_own_ground(&scenario);
  if (status == FG_OK)
    status = fg_cleanup_run(&scenario, FG_SAMPLES_DEFAULT, 1, cleanup);
  if (status == FG_OK) {
    char best[32], stop[32];
    add_columns(table);
    add_rows(cleanup, table);
    fg_quantity_text(FG_Q_MINUTES, c->units, cleanup->best_s.nominal, best, sizeof best);
    fg_quantity_text(FG_Q_MINUTES, c->units, cleanup->cleaning_s, stop, sizeof stop);
    snprintf(c->note, sizeof c->note, "best every %s, cleaning %s; shaded: 80 %% of %d runs", best,
             stop, FG_SAMPLES_DEFAULT);
  }
  free(cleanup);
  return status;
}
