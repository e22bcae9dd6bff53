/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/loss_report.h"
#include "pages/tune_report.h"
#include "stats/band.h"
#include "study/fine.h"
#include "study/plan.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

static const double cubic_foot_m3 = 0.028316846592;

/* A class of sizes, and its 10, 50 and 90 %. */
typedef struct class_row {
  const char *mineral;
  char mesh[48];
  fg_class_loss own, ends[3];
} class_row;

#define OF(field) offsetof(class_row, field)
#define ENDS(name, low, mid, high, quantity, field)                                                \
  {name "_low", low, quantity, FG_FIELD_NUMBER, OF(ends[FG_LOW].field)},                           \
      {name "_mid", mid, quantity, FG_FIELD_NUMBER, OF(ends[FG_MID].field)}, {                     \
    name "_high", high, quantity, FG_FIELD_NUMBER, OF(ends[FG_HIGH].field)                         \
  }
static const fg_column_of mineral_column[] = {
    {"mineral", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(mineral)},
};
static const fg_column_of class_columns[] = {
    {"mesh", "mesh", FG_Q_NUMBER, FG_FIELD_CHARS, OF(mesh)},
    {"lower_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(own.lower_m)},
    {"upper_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(own.upper_m)},
    {"size_mm", "size", FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(own.size_m)},
    {"share", "of gold", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.share)},
    {"passing", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.passing)},
    {"settling_m_s", NULL, FG_Q_SPEED, FG_FIELD_NUMBER, OF(own.settling_m_s)},
    {"sinking_m_s", NULL, FG_Q_SPEED, FG_FIELD_NUMBER, OF(own.sinking_m_s)},
    {"kept", "kept", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.kept)},
};
static const fg_column_of kept_ends[] = {
    ENDS("kept", "low", "kept", "high", FG_Q_SHARE, kept),
};
static const fg_column_of fate_columns[] = {
    {"stuck", "stuck", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.stuck)},
    {"blown_off", "blown", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.blown_off)},
    {"carried", "over", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.carried)},
    {"shaken_out", "shaken", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.shaken_out)},
    {"full", "full", FG_Q_SHARE, FG_FIELD_NUMBER, OF(own.full)},
};
static const fg_column_of other_ends[] = {
    ENDS("share", NULL, NULL, NULL, FG_Q_SHARE, share),
    ENDS("settling_m_s", NULL, NULL, NULL, FG_Q_SPEED, settling_m_s),
    ENDS("sinking_m_s", NULL, NULL, NULL, FG_Q_SPEED, sinking_m_s),
    ENDS("stuck", NULL, "stuck", NULL, FG_Q_SHARE, stuck),
    ENDS("blown_off", NULL, "blown", NULL, FG_Q_SHARE, blown_off),
    ENDS("carried", NULL, "over", NULL, FG_Q_SHARE, carried),
    ENDS("shaken_out", NULL, "shaken", NULL, FG_Q_SHARE, shaken_out),
    ENDS("full", NULL, "full", NULL, FG_Q_SHARE, full),
};
#undef ENDS
#undef OF

/* The parts of a row, in their order; bands and minerals have columns of their own. */
static const struct {
  const fg_column_of *columns;
  size_t count;
  bool minerals, bands;
} class_parts[] = {
    {mineral_column, FG_COUNT_OF(mineral_column), true, false},
    {class_columns, FG_COUNT_OF(class_columns), false, false},
    {kept_ends, FG_COUNT_OF(kept_ends), false, true},
    {fate_columns, FG_COUNT_OF(fate_columns), false, false},
    {other_ends, FG_COUNT_OF(other_ends), false, true},
};

/* Columns (row NULL) or a row of classes. */
static void add_parts(fg_node *table, bool minerals, bool bands, const class_row *row) {
  for (size_t i = 0; i < FG_COUNT_OF(class_parts); ++i)
    if ((!class_parts[i].minerals || minerals) && (!class_parts[i].bands || bands)) {
      if (row)
        fg_cells_of(table, class_parts[i].columns, class_parts[i].count, row);
      else
        fg_columns(table, class_parts[i].columns, class_parts[i].count);
    }
}

static void add_classes(fg_node *table, const fg_loss *loss, bool minerals, const fg_bands *bands) {
  const size_t count = minerals ? loss->mineral_count : loss->gold_count;
  add_parts(table, minerals, bands, NULL);
  if (bands) /* people see the middle of the runs */
    fg_data_columns(table, "kept stuck blown_off carried shaken_out full");
  fg_column_list(table, "by_riffle", FG_Q_SHARE, loss->riffles);
  for (size_t k = 0; k < count; ++k) {
    class_row row = {.own = minerals ? loss->minerals[k] : loss->gold[k]};
    for (int q = 0; bands && q < 3; ++q)
      row.ends[q] = minerals ? bands->at[q].minerals[k] : bands->at[q].gold[k];
    row.mineral = row.own.stuff == FG_MAGNETITE ? "magnetite" : "quartz";
    (void)fg_page_mesh(row.own.lower_m, row.own.upper_m, row.mesh, sizeof row.mesh);
    fg_row(table);
    add_parts(table, minerals, bands, &row);
    fg_cell_list(table, row.own.by_riffle, loss->riffles);
  }
}

void fg_report_gold(fg_node *root, const fg_loss *loss, const fg_bands *bands) {
  fg_node *table = fg_table(root, "gold",
                            loss->fresh ? "Gold by size, riffles just cleaned"
                                        : "Gold by size, mean between two cleanings",
                            FG_PRIMARY);
  add_classes(table, loss, false, bands);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key,
          "of gold: how much of all the gold has that size. kept: stays behind the riffles%s. "
          "stuck: in clods or on damp sand. blown: lifted off by the air. over: runs over the "
          "riffles without settling. shaken: lifted or shaken out of a pocket. full: finds "
          "the pockets full of black sand.",
          bands ? " (the middle of the runs, as the losses, and their low and high end)" : "");
}

#define OF(field) offsetof(fg_loss, field)
static const fg_column_of total_lines[] = {
    {"stuck", "- stuck in clods or on damp sand", FG_Q_SHARE, FG_FIELD_NUMBER, OF(stuck)},
    {"blown_off", "- blown off", FG_Q_SHARE, FG_FIELD_NUMBER, OF(blown_off)},
    {"carried", "- carried over the riffles", FG_Q_SHARE, FG_FIELD_NUMBER, OF(carried)},
    {"shaken_out", "- shaken out of the pockets", FG_Q_SHARE, FG_FIELD_NUMBER, OF(shaken_out)},
    {"full", "- pockets full of black sand", FG_Q_SHARE, FG_FIELD_NUMBER, OF(full)},
    {"half_kept_mm", "Size of which half is kept", FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER,
     OF(half_kept_m)},
    {"screened_off", "Gold too coarse for the screen", FG_Q_SHARE, FG_FIELD_NUMBER,
     OF(screened_off)},
    {"kept_g_h", "Gold kept", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(kept_kg_s)},
    {"lost_g_h", "Gold lost", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(lost_kg_s)},
    {"feed_kg_h", "Gravel shovelled", FG_Q_MASS_RATE, FG_FIELD_NUMBER, OF(feed_kg_s)},
    {"feed_m3_h", "- as loose volume", FG_Q_YARD_RATE, FG_FIELD_NUMBER, OF(feed_m3_s)},
    {"in_place_m3_h", "- as ground in place", FG_Q_YARD_RATE, FG_FIELD_NUMBER, OF(in_place_m3_s)},
    {"deck_feed_kg_h", "Reaches the deck", FG_Q_MASS_RATE, FG_FIELD_NUMBER, OF(deck_feed_kg_s)},
    {"concentrate_kg_h", "Concentrate to pan", FG_Q_MASS_RATE, FG_FIELD_NUMBER,
     OF(concentrate_kg_s)},
};
#undef OF

static void totals(fg_node *root, const fg_loss *loss, const fg_bands *bands) {
  const double fine = fg_fine_kept(loss);
  fg_node *total = fg_group(root, "total", "All gold together (while running)", 0);
  const fg_band kept = bands ? fg_bands_of(bands, offsetof(fg_loss, kept)) : fg_band_unknown;
  const fg_band lost = {1.0 - kept.high, 1.0 - kept.mid, 1.0 - kept.low};
  fg_number_band(total, "kept", "Kept", FG_Q_SHARE, loss->kept, bands ? &kept : NULL, 0);
  fg_number_band(total, "lost", "Lost", FG_Q_SHARE, 1.0 - loss->kept, bands ? &lost : NULL, 0);
  fg_report_loss_lines(total, total_lines, FG_COUNT_OF(total_lines), loss, bands);
  fg_number_band(total, "fine_kept", "Kept of gold finer than 60 mesh", FG_Q_SHARE, fine,
                 bands ? &bands->fine_at : NULL, isfinite(fine) ? 0 : FG_DATA_ONLY);
  fg_number(total, "unknown_classes", NULL, FG_Q_NUMBER, loss->unknown_classes, 0);
  if (!bands)
    return;
  fg_number(total, "stall_share", NULL, FG_Q_SHARE, bands->stall_share, 0);
  const fg_banded told = {loss->kept, kept};
  fg_report_outside(total, &told, bands->stall_share, bands->plan.weighed);
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
  const fg_band kept = fg_bands_of(bands, offsetof(fg_loss, kept));
  const fg_band gold = fg_bands_of(bands, offsetof(fg_loss, kept_kg_s));
  fg_number_band(total, "kept", NULL, FG_Q_SHARE, NAN, &kept, 0);
  fg_number_band(total, "kept_g_h", NULL, FG_Q_GOLD_RATE, NAN, &gold, 0);
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
  char bucket[64];
  fg_node *root = fg_report_root(report);
  fg_report_loss_answer(root, story);
  fg_node *head = fg_page_head(root, "Gold kept and lost on this deck", "Scenario", s);
  fg_number(head, "throttle", "Throttle", FG_Q_SHARE, s->run.throttle, FG_TEXT_ONLY | FG_EXACT);
  fg_number(head, "gate", "Gate open", FG_Q_SHARE, s->run.gate_opening, FG_TEXT_ONLY | FG_EXACT);
  fg_number(head, "slope", "Slope", FG_Q_SLOPE, s->deck.slope, FG_TEXT_ONLY | FG_EXACT);
  fg_number(head, "feed", "Feed onto the screen", FG_Q_FEED, s->run.feed, FG_TEXT_ONLY | FG_EXACT);
  (void)fg_bucket_words(s->run.feed, s->ground.bulk_density, bucket, sizeof bucket);
  fg_string(head, NULL, "- a bucket every", bucket, FG_TEXT_ONLY);
  fg_number(head, "moisture", "Moisture", FG_Q_PERCENT, s->ground.moisture,
            FG_TEXT_ONLY | FG_EXACT);
  fg_report_state(root, story->loss, story->bands);
  if (stalled) {
    stall_text(root, story);
    stalled_bands(root, story->bands);
  } else {
    fg_report_gold(fg_group(root, NULL, NULL, FG_PROOF), story->loss, story->bands);
    add_classes(fg_table(root, "minerals", NULL, FG_DATA_ONLY), story->loss, true, story->bands);
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
