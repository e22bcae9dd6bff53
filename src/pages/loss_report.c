/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/loss_report.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

static const double cubic_foot_m3 = 0.028316846592;

/* Class figures that have a band; the kept share's stands in the text too. */
static const struct {
  const char *name;
  fg_quantity quantity;
  size_t offset;
} banded[] = {
    {"kept", FG_Q_SHARE, offsetof(fg_class_loss, kept)},
    {"share", FG_Q_SHARE, offsetof(fg_class_loss, share)},
    {"settling_m_s", FG_Q_SPEED, offsetof(fg_class_loss, settling_m_s)},
    {"sinking_m_s", FG_Q_SPEED, offsetof(fg_class_loss, sinking_m_s)},
    {"stuck", FG_Q_SHARE, offsetof(fg_class_loss, stuck)},
    {"blown_off", FG_Q_SHARE, offsetof(fg_class_loss, blown_off)},
    {"carried", FG_Q_SHARE, offsetof(fg_class_loss, carried)},
    {"shaken_out", FG_Q_SHARE, offsetof(fg_class_loss, shaken_out)},
    {"full", FG_Q_SHARE, offsetof(fg_class_loss, full)},
};
enum { BANDED = sizeof banded / sizeof banded[0] };
static const char *const band_ends[3] = {"low", "mid", "high"};

static void band_columns(fg_node *table, bool minerals, size_t from, size_t to) {
  for (size_t i = from; i < to; ++i)
    for (int q = 0; q < 3; ++q) {
      char name[48];
      const bool shown = i == 0 && q != FG_MID && !minerals;
      (void)snprintf(name, sizeof name, "%s_%s", banded[i].name, band_ends[q]);
      fg_column(table, name, !shown ? NULL : q == FG_LOW ? "low" : "high", banded[i].quantity, 0);
    }
}

static void band_cells(fg_node *table, const fg_bands *bands, bool minerals, size_t k, size_t from,
                       size_t to) {
  for (size_t i = from; i < to; ++i)
    for (int q = 0; q < 3; ++q) {
      const fg_class_loss *c = minerals ? &bands->at[q].minerals[k] : &bands->at[q].gold[k];
      fg_cell(table, *(const double *)(const void *)((const char *)c + banded[i].offset));
    }
}

static void class_columns(fg_node *table, const char *share_label, size_t riffles, bool minerals,
                          const fg_bands *bands) {
  if (minerals)
    fg_column_text(table, "mineral", NULL, 0);
  fg_column_text(table, "mesh", "mesh", 0);
  fg_column(table, "lower_mm", NULL, FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "upper_mm", NULL, FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "size_mm", "size", FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "share", share_label, FG_Q_SHARE, 0);
  fg_column(table, "passing", NULL, FG_Q_SHARE, 0);
  fg_column(table, "settling_m_s", NULL, FG_Q_SPEED, 0);
  fg_column(table, "sinking_m_s", NULL, FG_Q_SPEED, 0);
  fg_column(table, "kept", "kept", FG_Q_SHARE, 0);
  if (bands)
    band_columns(table, minerals, 0, 1);
  fg_column(table, "stuck", "stuck", FG_Q_SHARE, 0);
  fg_column(table, "blown_off", "blown", FG_Q_SHARE, 0);
  fg_column(table, "carried", "over", FG_Q_SHARE, 0);
  fg_column(table, "shaken_out", "shaken", FG_Q_SHARE, 0);
  fg_column(table, "full", "full", FG_Q_SHARE, 0);
  if (bands)
    band_columns(table, minerals, 1, BANDED);
  fg_column_list(table, "by_riffle", FG_Q_SHARE, riffles);
}

static void class_row(fg_node *table, const fg_class_loss *g, size_t riffles, bool minerals,
                      const fg_bands *bands, size_t k) {
  char mesh[48];
  fg_row(table);
  if (minerals)
    fg_cell_text(table, g->stuff == FG_MAGNETITE ? "magnetite" : "quartz");
  fg_cell_text(table, fg_page_mesh(g->lower_m, g->upper_m, mesh, sizeof mesh));
  const double cells[] = {g->lower_m, g->upper_m,      g->size_m,      g->share,
                          g->passing, g->settling_m_s, g->sinking_m_s, g->kept};
  const double fates[] = {g->stuck, g->blown_off, g->carried, g->shaken_out, g->full};
  fg_cells(table, cells, sizeof cells / sizeof cells[0]);
  if (bands)
    band_cells(table, bands, minerals, k, 0, 1);
  fg_cells(table, fates, sizeof fates / sizeof fates[0]);
  if (bands)
    band_cells(table, bands, minerals, k, 1, BANDED);
  fg_cell_list(table, g->by_riffle, riffles);
}

void fg_report_gold(fg_node *root, const fg_loss *loss, const fg_bands *bands) {
  fg_node *table = fg_table(root, "gold",
                            loss->fresh ? "Gold by size, riffles just cleaned"
                                        : "Gold by size, mean between two cleanings",
                            FG_PRIMARY);
  class_columns(table, "of gold", loss->riffles, false, bands);
  for (size_t k = 0; k < loss->gold_count; ++k)
    class_row(table, &loss->gold[k], loss->riffles, false, bands, k);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key, "of gold: how much of all the gold has that size. kept: stays behind the riffles. "
               "stuck: in clods or on damp sand. blown: lifted off by the air. over: runs over the "
               "riffles without settling. shaken: lifted or shaken out of a pocket. full: finds "
               "the pockets full of black sand.");
}

static void minerals_table(fg_node *root, const fg_loss *loss, const fg_bands *bands) {
  fg_node *table = fg_table(root, "minerals", NULL, FG_DATA_ONLY);
  class_columns(table, NULL, loss->riffles, true, bands);
  for (size_t k = 0; k < loss->mineral_count; ++k)
    class_row(table, &loss->minerals[k], loss->riffles, true, bands, k);
}

/* One number of the totals. */
static const struct {
  const char *name, *label;
  fg_quantity quantity;
  size_t offset;
} total_rows[] = {
    {"stuck", "- stuck in clods or on damp sand", FG_Q_SHARE, offsetof(fg_loss, stuck)},
    {"blown_off", "- blown off", FG_Q_SHARE, offsetof(fg_loss, blown_off)},
    {"carried", "- carried over the riffles", FG_Q_SHARE, offsetof(fg_loss, carried)},
    {"shaken_out", "- shaken out of the pockets", FG_Q_SHARE, offsetof(fg_loss, shaken_out)},
    {"full", "- pockets full of black sand", FG_Q_SHARE, offsetof(fg_loss, full)},
    {"half_kept_mm", "Size of which half is kept", FG_Q_GRAIN_SIZE, offsetof(fg_loss, half_kept_m)},
    {"screened_off", "Gold too coarse for the screen", FG_Q_SHARE, offsetof(fg_loss, screened_off)},
    {"kept_g_h", "Gold kept", FG_Q_GOLD_RATE, offsetof(fg_loss, kept_kg_s)},
    {"lost_g_h", "Gold lost", FG_Q_GOLD_RATE, offsetof(fg_loss, lost_kg_s)},
    {"feed_kg_h", "Gravel shovelled", FG_Q_MASS_RATE, offsetof(fg_loss, feed_kg_s)},
    {"feed_m3_h", "- as loose volume", FG_Q_YARD_RATE, offsetof(fg_loss, feed_m3_s)},
    {"in_place_m3_h", "- as ground in place", FG_Q_YARD_RATE, offsetof(fg_loss, in_place_m3_s)},
    {"deck_feed_kg_h", "Reaches the deck", FG_Q_MASS_RATE, offsetof(fg_loss, deck_feed_kg_s)},
    {"concentrate_kg_h", "Concentrate to pan", FG_Q_MASS_RATE, offsetof(fg_loss, concentrate_kg_s)},
};

/* The lost share has the kept share's band, upside down. */
static void lost_number(fg_node *total, const fg_loss *loss, const fg_bands *bands) {
  if (!bands) {
    fg_number(total, "lost", "Lost", FG_Q_SHARE, 1.0 - loss->kept, 0);
    return;
  }
  const double band[3] = {1.0 - bands->at[FG_HIGH].kept, 1.0 - bands->at[FG_MID].kept,
                          1.0 - bands->at[FG_LOW].kept};
  fg_number_band(total, "lost", "Lost", FG_Q_SHARE, 1.0 - loss->kept, band, 0);
}

static void fine_number(fg_node *total, const fg_loss *loss, const fg_bands *bands) {
  static const char *const label = "Kept of gold finer than 60 mesh";
  const double fine = fg_fine_kept(loss);
  const unsigned flags = isfinite(fine) ? 0 : FG_DATA_ONLY;
  if (bands)
    fg_number_band(total, "fine_kept", label, FG_Q_SHARE, fine, bands->fine_at, flags);
  else
    fg_number(total, "fine_kept", label, FG_Q_SHARE, fine, flags);
}

static void totals(fg_node *root, const fg_loss *loss, const fg_bands *bands) {
  fg_node *total = fg_group(root, "total", "All gold together (while running)", 0);
  fg_report_loss_number(total, "kept", "Kept", FG_Q_SHARE, loss, &loss->kept, bands);
  lost_number(total, loss, bands);
  for (size_t i = 0; i < sizeof total_rows / sizeof total_rows[0]; ++i) {
    const double *field = (const double *)(const void *)((const char *)loss + total_rows[i].offset);
    /* People see nothing of a number that there is none of; in the data it is null. */
    fg_report_loss_number(total, total_rows[i].name, isfinite(*field) ? total_rows[i].label : NULL,
                          total_rows[i].quantity, loss, field, bands);
  }
  fine_number(total, loss, bands);
  fg_number(total, "unknown_classes", NULL, FG_Q_NUMBER, loss->unknown_classes, 0);
  if (bands)
    fg_number(total, "stall_share", NULL, FG_Q_SHARE, bands->stall_share, 0);
}

static void riffle_table(fg_node *root, const fg_loss *loss) {
  fg_node *table =
      fg_table(root, "riffles", loss->fresh ? NULL : "Riffles from the top, at cleaning",
               loss->fresh ? FG_DATA_ONLY : 0);
  fg_column(table, "riffle", "riffle", FG_Q_INTEGER, 0);
  fg_column(table, "fill", "full of black sand", FG_Q_SHARE, 0);
  fg_column(table, "gold_share", "of all gold fed", FG_Q_SHARE, 0);
  double passing = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k)
    if (!isnan(loss->gold[k].share))
      passing += loss->gold[k].share * loss->gold[k].passing;
  for (size_t i = 0; i < loss->riffles; ++i) {
    double held = 0.0;
    for (size_t k = 0; k < loss->gold_count; ++k) {
      const fg_class_loss *g = &loss->gold[k];
      if (!isnan(g->share))
        held += g->share * g->passing * g->by_riffle[i];
    }
    fg_row(table);
    fg_cell(table, (double)i + 1.0);
    fg_cell(table, loss->fill[i]);
    fg_cell(table, passing > 0.0 ? held / passing : (double)NAN);
  }
}

/* The largest way of losing the fine gold, in words. */
void fg_report_limits(fg_node *root, const fg_loss *loss) {
  static const char *const words[] = {
      "clods and damp: fine gold sticks to the sand",
      "lift: the air carries the finest off at the surface",
      "time: fine gold sinks too slowly to reach the cloth before the tail",
      "pockets: fine gold is lifted or shaken out again",
      "black sand: the pockets are full before they are cleaned"};
  double lost[5] = {0};
  double mass = 0.0;
  for (size_t k = 0; k < loss->gold_count; ++k) {
    const fg_class_loss *g = &loss->gold[k];
    if (isnan(g->share) || g->size_m >= fg_fine_limit_m)
      continue;
    const double part = g->share * g->passing;
    const double ways[5] = {g->stuck, g->blown_off, g->carried, g->shaken_out, g->full};
    mass += part;
    for (int i = 0; i < 5; ++i)
      lost[i] += part * ways[i];
  }
  if (!(mass > 0.0))
    return;
  int most = 0;
  for (int i = 1; i < 5; ++i)
    if (lost[i] > lost[most])
      most = i;
  fg_node *heading = fg_group(root, NULL, "What limits the fine gold", 0);
  fg_string(heading, "limit", NULL, words[most], 0);
  fg_note(heading, "Of the gold finer than 60 mesh, %.0f %% is lost; most of that by %s (%.0f %%).",
          100.0 * (lost[0] + lost[1] + lost[2] + lost[3] + lost[4]) / mass, words[most],
          100.0 * lost[most] / mass);
}

static void remarks(fg_node *root, const fg_loss_story *story) {
  const fg_scenario *s = story->scenario;
  const fg_loss *loss = story->loss;
  fg_node *heading = fg_group(root, NULL, "Remarks", FG_TEXT_ONLY);
  const double deck_ft3_h = 3600.0 * loss->deck_feed_kg_s / s->ground.bulk_density / cubic_foot_m3;
  const double in_per_ft = 12.0 * tan(s->deck.slope);
  fg_bullet(heading,
            "State-survey bulletins (Silva 1986) give a slope of 4 to 6 inches per foot and up to "
            "21 cubic feet of screened gravel an hour for a power machine. Here: %.1f inches per "
            "foot, %.0f cubic feet an hour onto the deck%s.",
            in_per_ft, deck_ft3_h, deck_ft3_h > 21.0 ? "; more than they report for any" : "");
  if (loss->water_tail < loss->water_head)
    fg_bullet(heading,
              "The feed enters with %.2f %% moisture and leaves with %.2f %%: the deck's air "
              "dries it on its way.",
              100.0 * loss->water_head, 100.0 * loss->water_tail);
  if (loss->kept - story->kept_without_clay > 0.005)
    fg_bullet(heading,
              "The model credits clay with binding water: without its clay the same "
              "ground, as moist, would keep %.0f %%. Do not count on that: on a real "
              "deck clay means clods.",
              100.0 * story->kept_without_clay);
  if (loss->unknown_classes > 0.0)
    fg_bullet(heading,
              "%.0f of the sizes seen in the tray's catch are ones it hardly holds: how "
              "much of them the ground has is unknown, and they are left out of the "
              "totals.",
              loss->unknown_classes);
  if (s->deck.static_charge > 0.0)
    fg_bullet(heading, "Static charge is counted where flakes lie on the cloth; by the model it "
                       "matters only to flakes a few thousandths of a millimetre thick.");
}

static void stall_text(fg_node *root, const fg_loss_story *story) {
  fg_node *heading = fg_group(root, NULL, "The deck stalls", FG_TEXT_ONLY);
  fg_note(heading,
          "No depth of bed below the side walls carries the feed off: at its best it would carry "
          "%.0f %% of it. The gravel creeps, piles up and stops, and nothing is sorted. What "
          "starts it again: more air, more shake, less feed, drier or finer feed.",
          100.0 * (1.0 + story->loss->machine.capacity_margin));
}

/* The settings as they are stall, but some of the runs with doubtful inputs drawn anew may not. */
static void stalled_bands(fg_node *root, const fg_bands *bands) {
  if (!bands)
    return;
  fg_node *total = fg_group(root, "total", NULL, 0);
  const double kept[3] = {bands->at[0].kept, bands->at[1].kept, bands->at[2].kept};
  const double gold[3] = {bands->at[0].kept_kg_s, bands->at[1].kept_kg_s, bands->at[2].kept_kg_s};
  fg_number_band(total, "kept", NULL, FG_Q_SHARE, NAN, kept, 0);
  fg_number_band(total, "kept_g_h", NULL, FG_Q_GOLD_RATE, NAN, gold, 0);
  fg_number(total, "stall_share", NULL, FG_Q_SHARE, bands->stall_share, 0);
  if (bands->stall_share < 1.0)
    fg_note(root,
            "With the doubtful inputs drawn anew the deck runs in %.0f %% of the runs; do not "
            "count on being so lucky.",
            100.0 * (1.0 - bands->stall_share));
}

fg_report *fg_loss_report(const fg_loss_story *story) {
  fg_report *report = fg_report_new();
  const fg_scenario *s = story->scenario;
  const bool stalled = story->loss->machine.stalled;
  fg_node *root = fg_report_root(report);
  fg_node *head = fg_page_head(root, "Gold kept and lost on this deck", "Scenario", s);
  fg_number(head, "throttle", "Throttle", FG_Q_SHARE, s->run.throttle, FG_TEXT_ONLY);
  fg_number(head, "gate", "Gate open", FG_Q_SHARE, s->run.gate_opening, FG_TEXT_ONLY);
  fg_number(head, "slope", "Slope", FG_Q_SLOPE, s->deck.slope, FG_TEXT_ONLY);
  fg_number(head, "feed", "Feed onto the screen", FG_Q_FEED, s->run.feed, FG_TEXT_ONLY);
  fg_number(head, "moisture", "Moisture", FG_Q_PERCENT, s->ground.moisture, FG_TEXT_ONLY);
  fg_report_state(root, &story->loss->machine, story->bands);
  if (stalled) {
    stall_text(root, story);
    stalled_bands(root, story->bands);
  } else {
    fg_report_gold(root, story->loss, story->bands);
    minerals_table(root, story->loss, story->bands);
    totals(root, story->loss, story->bands);
    riffle_table(root, story->loss);
    fg_report_limits(root, story->loss);
  }
  fg_report_doubt(root, story->bands);
  fg_report_advice(root, story);
  fg_report_warnings(root, s, &story->loss->machine);
  if (!stalled)
    remarks(root, story);
  fg_page_end(root, s, FG_DECK_GROUPS, story->units);
  return report;
}
