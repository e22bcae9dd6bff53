/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "cleanup": the riffles from one cleaning on. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "pages/plot_internal.h"
#include "study/cleanup.h"
#include "study/same_ground.h"

typedef struct drawn_point {
  fg_cleanup_point p;
  fg_clean_interval best;
} drawn_point;

#define OF(field) offsetof(drawn_point, field)
static const fg_column_of columns[] = {
    {"after_min", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.after_s)},
    {"fill_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.fill.nominal)},
    {"kept_now_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_now.nominal)},
    {"kept_now_percent_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_now.band.low)},
    {"kept_now_percent_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_now.band.high)},
    {"kept_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept.nominal)},
    {"kept_percent_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept.band.low)},
    {"kept_percent_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept.band.high)},
    {"kept_g_h", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_kg_s.nominal)},
    {"kept_g_h_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_kg_s.band.low)},
    {"kept_g_h_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.kept_kg_s.band.high)},
    {"best_min", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(best.best_s)},
    {"good_from_min", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(best.from_s)},
    {"good_to_min", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(best.to_s)},
};
#undef OF

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
    FG_COLUMNS_OF(table, columns);
    for (size_t i = 0; i < FG_CLEANUP_POINTS; ++i) {
      const drawn_point row = {cleanup->point[i], cleanup->best};
      FG_ROW_OF(table, columns, &row);
    }
    (void)fg_quantity_text(FG_Q_MINUTES, c->units, cleanup->best_s.nominal, best, sizeof best);
    (void)fg_quantity_text(FG_Q_MINUTES, c->units, cleanup->cleaning_s, stop, sizeof stop);
    (void)snprintf(c->note, sizeof c->note, "best every %s, cleaning %s; shaded: 80 %% of %d runs",
                   best, stop, FG_SAMPLES_DEFAULT);
  }
  free(cleanup);
  return status;
}
