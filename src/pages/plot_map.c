/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "map": the aim over two knobs.  Picture "settings": a card of what to set for the
 * ground. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "pages/plot_internal.h"
#include "pages/tune_report.h"
#include "study/best.h"
#include "study/knobs.h"
#include "study/map.h"
#include "study/tune_table.h"

static const fg_map_choice usual_map = {{FG_KNOB_THROTTLE, FG_KNOB_GATE}, FG_AIM_GOLD_PER_HOUR};

static void knob_column(fg_node *table, fg_unit_system units, fg_knob knob) {
  switch (knob) {
  case FG_KNOB_THROTTLE:
    fg_plot_column(table, "throttle_percent");
    break;
  case FG_KNOB_GATE:
    fg_plot_column(table, "gate_percent");
    break;
  case FG_KNOB_SLOPE:
    fg_plot_column(table, "slope_deg");
    break;
  case FG_KNOB_FEED:
    fg_plot_column_in(table, units, "feed_lb_min", "feed_kg_h");
    break;
  default:
    fg_plot_column_in(table, units, "screen_in", "screen_mm");
  }
}

static void map_row(fg_node *table, const char *part, const fg_map *map, const fg_judged *judged) {
  fg_row(table);
  fg_cell_text(table, part);
  for (int k = 0; k < 2; ++k)
    fg_cell(table, judged->at[map->choice.knob[k]]);
  fg_cell(table, judged->aim);
  fg_cell(table, judged->stall_share);
}

static void map_rows(const fg_map *map, const fg_tuned *tuned, fg_node *table) {
  for (size_t i = 0; i < FG_MAP_STEPS; ++i)
    for (size_t j = 0; j < FG_MAP_STEPS; ++j)
      map_row(table, "map", map, &map->judged[i][j]);
  map_row(table, "best", map, &tuned->best);
  map_row(table, "present", map, &tuned->present);
}

/* The knobs that the map does not show stand where the search set them. */
static void map_words(fg_plot_case *c, const fg_map *map, const fg_best *best) {
  size_t used = (size_t)snprintf(c->note, sizeof c->note, "mean of %zu runs; ", map->members);
  for (int k = 0; k < FG_KNOB_SCREEN; ++k) {
    char text[64];
    if (k == (int)map->choice.knob[0] || k == (int)map->choice.knob[1] || used >= sizeof c->note)
      continue;
    used += (size_t)snprintf(
        c->note + used, sizeof c->note - used, "%s%s %s", c->note[used - 1] == ' ' ? "" : ", ",
        k == FG_KNOB_FEED ? "bucket every" : fg_knob_names[k],
        fg_knob_words(&best->set, c->units, (fg_knob)k, best->tuned.best.at[k], text, sizeof text));
  }
}

static fg_status fill_map(fg_plot_case *c, fg_node *table, fg_map *map, fg_best *best) {
  const fg_map_choice *choice = c->map ? c->map : &usual_map;
  fg_tune_options options;
  if (choice->knob[0] == choice->knob[1])
    return FG_EDOMAIN;
  fg_tune_defaults(c->scenario, choice->aim, &options);
  fg_status status = fg_best_run(c->scenario, &options, best);
  if (status == FG_OK)
    status = fg_map_run(&best->set, choice, map);
  if (status != FG_OK)
    return status;
  fg_column_text(table, "part", NULL, 0);
  knob_column(table, c->units, choice->knob[0]);
  knob_column(table, c->units, choice->knob[1]);
  fg_plot_column(table, choice->aim == FG_AIM_GOLD_PER_HOUR ? "kept_mg_h" : "kept_percent");
  fg_plot_column(table, "stall_percent");
  map_rows(map, &best->tuned, table);
  map_words(c, map, best);
  return FG_OK;
}

fg_status fg_plot_fill_map(fg_plot_case *c, fg_node *table) {
  fg_map *map = calloc(1, sizeof *map);
  fg_best *best = malloc(sizeof *best);
  const fg_status status = map && best ? fill_map(c, table, map, best) : FG_EMEMORY;
  free(map);
  free(best);
  return status;
}

/* ---- the card ---- */

typedef struct card_row {
  char gate[64], bucket[64];
  fg_tune_cell c;
} card_row;

static card_row row_of(const fg_tune_cell *cell, double bulk) {
  card_row row = {"", "", *cell};
  if (!cell->stalls) {
    (void)fg_gate_fraction(cell->at[FG_KNOB_GATE], row.gate, sizeof row.gate);
    (void)fg_bucket_words(cell->at[FG_KNOB_FEED], bulk, row.bucket, sizeof row.bucket);
    return row;
  }
  row.c.at[FG_KNOB_THROTTLE] = row.c.box_pressure_pa = (double)NAN;
  row.c.kept.low = row.c.kept.mid = row.c.kept.high = 0.0;
  row.c.stall_share = 1.0;
  return row;
}

/* The scenario's own ground, and what holds for all cells. */
static void card_words(fg_plot_case *c, const fg_tune_cell *own) {
  char slope[64], gate[32], bucket[32];
  (void)fg_knob_words(c->scenario, c->units, FG_KNOB_SLOPE, own->at[FG_KNOB_SLOPE], slope,
                      sizeof slope);
  (void)fg_gate_fraction(own->at[FG_KNOB_GATE], gate, sizeof gate);
  (void)fg_bucket_words(own->at[FG_KNOB_FEED], c->scenario->ground.bulk_density, bucket,
                        sizeof bucket);
  (void)snprintf(c->note, sizeof c->note, "most gold per hour, deck at %s", slope);
  (void)snprintf(c->settings, sizeof c->settings,
                 "Your own ground: throttle %.0f %%, gate %s, a bucket every %s, keeps %.0f %%.",
                 100.0 * own->at[FG_KNOB_THROTTLE], gate, bucket, 100.0 * own->kept.mid);
}

static void fill_card(const fg_plot_case *c, fg_node *table, const fg_tune_cell *cells,
                      size_t count) {
#define OF(field) offsetof(card_row, field)
  const fg_column_of columns[] = {
      {"moisture_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.moisture)},
      {"grain", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(c.grain)},
      {"throttle_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.at[FG_KNOB_THROTTLE])},
      {"gate", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(gate)},
      {"bucket_every", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(bucket)},
      {c->units == FG_UNITS_SI ? "box_pa" : "box_inh2o", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER,
       OF(c.box_pressure_pa)},
      {"kept_percent_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.kept.low)},
      {"kept_percent_mid", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.kept.mid)},
      {"kept_percent_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.kept.high)},
      {"stall_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(c.stall_share)},
  };
#undef OF
  FG_COLUMNS_OF(table, columns);
  for (size_t i = 0; i < count; ++i) {
    const card_row row = row_of(&cells[i], c->scenario->ground.bulk_density);
    FG_ROW_OF(table, columns, &row);
  }
}

/* Searches the usual cells. */
static fg_status fill_usual(fg_plot_case *c, fg_node *table, fg_best *best) {
  fg_tune_cell own, cells[FG_MOISTURES_MAX * FG_GRAIN_KINDS];
  fg_tune_options options;
  fg_tune_grid grid;
  size_t count = 0;
  fg_status status = fg_best_find(c->scenario, FG_SAMPLES_DEFAULT, 1, false, best);
  if (status != FG_OK)
    return status;
  fg_tune_table_defaults(&best->set, &options, &grid);
  status = fg_tune_table_run(best, &options, &grid, &own, cells, &count);
  if (status == FG_OK) {
    fill_card(c, table, cells, count);
    card_words(c, &own);
  }
  return status;
}

fg_status fg_plot_fill_settings(fg_plot_case *c, fg_node *table) {
  if (c->cells) {
    fill_card(c, table, c->cells, c->cell_count);
    card_words(c, c->own);
    return FG_OK;
  }
  fg_best *best = malloc(sizeof *best);
  const fg_status status = best ? fill_usual(c, table, best) : FG_EMEMORY;
  free(best);
  return status;
}
