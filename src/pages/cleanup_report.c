/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/cleanup_report.h"

#include <math.h>
#include <stdio.h>

#include "pages/page.h"
#include "report/said.h"

const double fg_practice_magnetite[FG_PRACTICES] = {0.006, 0.04};
static const char *const practice_names[FG_PRACTICES] = {"ordinary", "black-sand streak"};

/* Common practice, no source: riffles are cleaned every 30 to 45 minutes. */
static const double practice_from_s = 30.0 * 60.0, practice_to_s = 45.0 * 60.0;

enum { SHOWN_RIFFLES = 8, SHOWN_TIMES = 5 };
static const double shown_s[SHOWN_TIMES] = {600.0, 1200.0, 1800.0, 2700.0, 5400.0};
static const double told_minutes[] = {2, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360, 600};

static const char *said_time(double s, char *buffer, size_t size) {
  return fg_said(FG_Q_MINUTES, FG_UNITS_US, s, buffer, size);
}

/* The interval, what another one costs, and what tells without a clock. */
static void answer(fg_node *root, const fg_cleanup_story *story) {
  const fg_cleanup *c = story->cleanup, *streak = &story->practice[FG_PRACTICES - 1];
  fg_node *lines = fg_page_answer(root);
  const char *name = fg_page_name(story->scenario);
  char every[48], now[48], gold[96], full[96], on_streak[48];
  if (c->stalled) {
    fg_note(lines,
            "%s: the deck stalls, so there is nothing to clean; flourgold loss tells what "
            "would start it.",
            name);
    return;
  }
  fg_note(lines, "%s: clean after every %s of running.", name,
          said_time(isfinite(story->advised_s) ? story->advised_s : c->best_s.nominal, every,
                    sizeof every));
  fg_note(lines, "As now, every %s, it brings %s, stops counted.",
          fg_quantity_text(FG_Q_MINUTES, story->units, story->scenario->run.cleaning_interval, now,
                           sizeof now),
          fg_said_banded(FG_Q_GOLD_RATE, story->units, &c->present_kg_s, gold, sizeof gold));
  if (isfinite(c->upper_full_s.nominal))
    fg_note(lines, "The upper riffles are full of black sand after %s%s%s.",
            fg_said_banded(FG_Q_MINUTES, story->units, &c->upper_full_s, full, sizeof full),
            streak->stalled ? "" : "; on a black-sand streak clean every ",
            streak->stalled ? "" : said_time(streak->best_s.nominal, on_streak, sizeof on_streak));
}

static void head(fg_node *root, const fg_cleanup_story *story) {
  const fg_scenario *s = story->scenario;
  fg_node *group = fg_page_head(root, "When to clean the riffles", "Scenario", s);
  fg_number(group, "magnetite", "Black sand in what passes the screen", FG_Q_SHARE,
            s->ground.magnetite, FG_EXACT);
  fg_number(group, "feed", "Feed onto the screen", FG_Q_FEED, s->run.feed, FG_TEXT_ONLY | FG_EXACT);
  fg_number(group, "cleaning_min", "Stop for one cleaning", FG_Q_MINUTES, s->run.cleaning_time,
            FG_EXACT);
  fg_number(group, "shift_h", "Shift, stops counted", FG_Q_HOURS, s->run.hours, FG_EXACT);
  fg_number(group, "present_minutes", "Cleaned now every", FG_Q_MINUTES, s->run.cleaning_interval,
            FG_EXACT);
}

static void note_range(fg_node *group, const fg_cleanup *c) {
  char from[48], to[48];
  if (c->best.at_end)
    fg_note(group, "The length of the shift sets this, not the filling of the pockets: by this "
                   "model one cleaning, at the end, is best.");
  fg_note(group, "Any interval from %s to %s brings all but 1 %% of that gold%s.",
          said_time(c->best.from_s, from, sizeof from), said_time(c->best.to_s, to, sizeof to),
          c->best.to_s > 2.0 * c->best.from_s ? ": no need to watch the clock" : "");
}

static void best(fg_node *root, const fg_cleanup_story *story) {
  const fg_cleanup *c = story->cleanup;
  fg_node *group = fg_group(root, NULL, "Best interval (running time between cleanings)", 0);
  fg_number(group, "cleaning_interval_min", "Clean every, settings as in the file", FG_Q_MINUTES,
            story->advised_s, 0);
  fg_number_banded(group, "best_minutes", "- best of the single run", FG_Q_MINUTES, &c->best_s, 0);
  fg_number(group, "good_from_minutes", NULL, FG_Q_MINUTES, c->best.from_s, 0);
  fg_number(group, "good_to_minutes", NULL, FG_Q_MINUTES, c->best.to_s, 0);
  fg_boolean(group, "set_by_shift", NULL, c->best.at_end, 0);
  if (c->samples > 0)
    fg_number(group, "safest_minutes", "- most gold over all runs together", FG_Q_MINUTES,
              c->safest_s, 0);
  fg_number_banded(group, "upper_full_minutes",
                   isnan(c->upper_full_s.nominal) ? NULL : "Upper half of the pockets full after",
                   FG_Q_MINUTES, &c->upper_full_s, 0);
  fg_number_banded(group, "best_g_h", "Gold, stops counted, cleaned so", FG_Q_GOLD_RATE,
                   &c->best_kg_s, 0);
  fg_number_banded(group, "present_g_h", "- cleaned as now", FG_Q_GOLD_RATE, &c->present_kg_s, 0);
  fg_number(group, "fed_g_h", "- fed while running", FG_Q_GOLD_RATE, c->gold_kg_s, 0);
  if (!c->stalled)
    note_range(group, c);
}

static void shift(fg_node *root, const fg_cleanup *c) {
  fg_node *group = fg_group(root, "shift", "The shift in whole batches", 0);
  fg_integer(group, "batches", "Batches, each ending with a cleaning", c->shift.batches, 0);
  fg_number(group, "interval_minutes", "Running time of each", FG_Q_MINUTES, c->shift.interval_s,
            0);
  fg_number(group, "gold_g", "Gold of the shift (model)", FG_Q_GOLD_MASS, c->shift.gold_kg, 0);
  fg_number(group, "concentrate_batch_kg", "Concentrate of one batch", FG_Q_MASS,
            c->shift.concentrate_kg, 0);
  fg_number(group, "concentrate_kg", "- of the shift, to carry or pan", FG_Q_MASS,
            c->shift.concentrate_kg * (double)c->shift.batches, 0);
  fg_note(group, "The concentrate is all sand that stands behind the riffles, heavy and light; "
                 "blowing or sieving it first leaves less to pan.");
}

#define OF(field) offsetof(fg_cleanup_point, field)
static const fg_column_of curve_columns[] = {
    {"after_minutes", NULL, FG_Q_MINUTES, FG_FIELD_NUMBER, OF(after_s)},
    {"kept_now", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(kept_now)},
    {"kept", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(kept)},
    {"fine_kept", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(fine_kept)},
    {"kept_g_h", NULL, FG_Q_GOLD_RATE, FG_FIELD_BANDED, OF(kept_kg_s)},
    {"fill", NULL, FG_Q_SHARE, FG_FIELD_BANDED, OF(fill)},
};

static const fg_column_of shown_columns[] = {
    {NULL, "running since", FG_Q_MINUTES, FG_FIELD_NUMBER, OF(after_s)},
    {NULL, "pockets filled", FG_Q_SHARE, FG_FIELD_NUMBER, OF(fill)},
    {NULL, "kept just then", FG_Q_SHARE, FG_FIELD_NUMBER, OF(kept_now)},
    {NULL, "kept so far", FG_Q_SHARE, FG_FIELD_SPREAD, OF(kept)},
    {NULL, "cleaned then", FG_Q_GOLD_RATE, FG_FIELD_NUMBER, OF(kept_kg_s)},
};
#undef OF

static void curve_data(fg_node *root, const fg_cleanup *c) {
  fg_node *table = fg_table(root, "curve", NULL, FG_PRIMARY | FG_DATA_ONLY);
  FG_COLUMNS_OF(table, curve_columns);
  fg_column_list(table, "fill_by_riffle", FG_Q_SHARE, c->riffles);
  if (c->stalled && c->samples == 0)
    return;
  for (size_t i = 0; i < FG_CLEANUP_POINTS; ++i) {
    FG_ROW_OF(table, curve_columns, &c->point[i]);
    fg_cell_list(table, c->fill[i], c->riffles);
  }
}

/* The point nearest to a time, or FG_CLEANUP_POINTS beyond the last. */
static size_t nearest_point(const fg_cleanup *c, double after_s) {
  size_t found = 0;
  if (after_s > c->point[FG_CLEANUP_POINTS - 1].after_s)
    return FG_CLEANUP_POINTS;
  for (size_t i = 1; i < FG_CLEANUP_POINTS; ++i)
    if (fabs(c->point[i].after_s - after_s) < fabs(c->point[found].after_s - after_s))
      found = i;
  return found;
}

static void curve_text(fg_node *root, const fg_cleanup *c) {
  fg_node *table = fg_table(root, NULL, "After a cleaning", FG_TEXT_ONLY | FG_PROOF);
  FG_COLUMNS_OF(table, shown_columns);
  size_t last = FG_CLEANUP_POINTS;
  for (size_t t = 0; t < sizeof told_minutes / sizeof told_minutes[0]; ++t) {
    const size_t i = nearest_point(c, 60.0 * told_minutes[t]);
    if (i == FG_CLEANUP_POINTS || i == last)
      continue;
    last = i;
    FG_ROW_OF(table, shown_columns, &c->point[i]);
  }
}

static void riffle_text(fg_node *root, const fg_cleanup *c) {
  fg_node *table = fg_table(root, NULL, "How full of black sand, riffle by riffle", FG_TEXT_ONLY);
  size_t at[SHOWN_TIMES], count = 0;
  fg_column(table, NULL, "riffle", FG_Q_INTEGER, 0);
  for (size_t t = 0; t < SHOWN_TIMES; ++t) {
    char label[48], text[32];
    const size_t i = nearest_point(c, shown_s[t]);
    if (i == FG_CLEANUP_POINTS || (count > 0 && at[count - 1] == i))
      continue;
    at[count++] = i;
    (void)snprintf(label, sizeof label, "after %s",
                   said_time(c->point[i].after_s, text, sizeof text));
    fg_column(table, NULL, label, FG_Q_SHARE, 0);
  }
  const size_t step = (c->riffles + SHOWN_RIFFLES - 1) / SHOWN_RIFFLES;
  for (size_t r = 0; r < c->riffles; r += step) {
    fg_row(table);
    fg_cell(table, (double)r + 1.0);
    for (size_t k = 0; k < count; ++k)
      fg_cell(table, c->fill[at[k]][r]);
  }
}

/* Why the model's interval is not the trade's. */
static void explain(fg_node *group, const char *name, const fg_cleanup *c) {
  char at[48], full[48];
  if (c->stalled) {
    fg_bullet(group, "%s: the deck stalls.", name);
    return;
  }
  const double middle = 0.5 * (practice_from_s + practice_to_s);
  const double lost = 100.0 * (1.0 - fg_cleanup_relative(c, middle));
  (void)said_time(c->best_s.nominal, at, sizeof at);
  (void)said_time(c->upper_full_s.nominal, full, sizeof full);
  const char *cost = lost < 1.0 ? "costs next to nothing" : NULL;
  char said[64];
  if (!cost)
    (void)snprintf(said, sizeof said, "costs %.0f %% of the gold", lost);
  if (c->best.from_s <= practice_to_s && c->best.to_s >= practice_from_s)
    fg_bullet(group,
              "%s (%.1f %%): the model's best, %s, agrees with practice within what matters; "
              "cleaning as practised %s.",
              name, 100.0 * c->magnetite, at, cost ? cost : said);
  else if (c->best_s.nominal < practice_from_s)
    fg_bullet(
        group,
        "%s (%.1f %%): the model says clean sooner, every %s, for the upper half of the "
        "pockets is full after %s and little gold sinks into full pockets; cleaning as "
        "practised %s in it. How little is an estimate (closure.pocket_creep), so the loss may "
        "be less; but on such ground clean when the upper riffles look black, not by the clock.",
        name, 100.0 * c->magnetite, at, isnan(c->upper_full_s.nominal) ? "more than a shift" : full,
        cost ? cost : said);
  else
    fg_bullet(group,
              "%s (%.1f %%): the model says clean later, every %s: in it only black sand "
              "fills a pocket, and there is little. A real pocket also packs hard with "
              "damp fines, which the model does not know; cleaning as practised %s.",
              name, 100.0 * c->magnetite, at, cost ? cost : said);
}

typedef struct practice_row {
  const char *name;
  double magnetite, stall_share, at_30, at_45;
  fg_banded best_s, upper_full_s;
} practice_row;

#define OF(field) offsetof(practice_row, field)
static const fg_column_of practice_columns[] = {
    {"ground", "black sand", FG_Q_NUMBER, FG_FIELD_TEXT, OF(name)},
    {"magnetite", "share", FG_Q_SHARE, FG_FIELD_NUMBER, OF(magnetite)},
    {"best_minutes", "best interval", FG_Q_MINUTES, FG_FIELD_SPREAD, OF(best_s)},
    {"upper_full_minutes", "upper half full", FG_Q_MINUTES, FG_FIELD_BANDED, OF(upper_full_s)},
    {"share_of_best_at_30", "gold at 30", FG_Q_SHARE, FG_FIELD_NUMBER, OF(at_30)},
    {"share_of_best_at_45", "at 45", FG_Q_SHARE, FG_FIELD_NUMBER, OF(at_45)},
    {"stall_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(stall_share)},
};
#undef OF

static void practice(fg_node *root, const fg_cleanup_story *story) {
  fg_node *table = fg_table(
      root, "practice", "Against common practice, 30 to 45 minutes; gold there over the best", 0);
  FG_COLUMNS_OF(table, practice_columns);
  for (int i = 0; i < FG_PRACTICES; ++i) {
    const fg_cleanup *c = &story->practice[i];
    const practice_row row = {.name = practice_names[i],
                              .magnetite = c->magnetite,
                              .stall_share = c->stall_share,
                              .at_30 = fg_cleanup_relative(c, practice_from_s),
                              .at_45 = fg_cleanup_relative(c, practice_to_s),
                              .best_s = c->best_s,
                              .upper_full_s = c->upper_full_s};
    FG_ROW_OF(table, practice_columns, &row);
  }
  fg_node *group = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  for (int i = 0; i < FG_PRACTICES; ++i)
    explain(group, practice_names[i], &story->practice[i]);
  fg_bullet(group,
            "Practice (common, no source) is set by the look of the riffles and by not "
            "wanting to lose a rich catch to a stall or a bump; the model counts gold only.");
}

static void doubt(fg_node *root, const fg_cleanup *c) {
  if (c->samples == 0)
    return;
  fg_node *group = fg_group(root, "doubt", "How sure", 0);
  fg_integer(group, "samples", "Runs, doubtful inputs drawn anew", (long)c->samples, 0);
  fg_integer(group, "seed", NULL, (long)c->seed, 0);
  fg_number(group, "stall_share", "Of these the deck stalls in", FG_Q_SHARE, c->stall_share, 0);
  fg_number(group, "effective_samples", c->weighed ? "Runs that fit what was observed" : NULL,
            FG_Q_NUMBER, c->effective, 0);
  fg_note(group, "Figures in brackets hold 80 %% of the runs. A run that stalls counts as no gold "
                 "at all, and has no best interval.");
}

fg_report *fg_cleanup_report(const fg_cleanup_story *story) {
  fg_report *report = fg_report_new();
  const fg_cleanup *c = story->cleanup;
  fg_node *root = fg_report_root(report);
  answer(root, story);
  head(root, story);
  if (c->stalled) {
    fg_node *group = fg_group(root, NULL, "The deck stalls", FG_TEXT_ONLY);
    fg_note(group,
            "At its best it would carry %.0f %% of the feed, so there is nothing to clean; "
            "`flourgold loss` tells what would start it.",
            100.0 * (1.0 + c->capacity_margin));
  }
  best(root, story);
  if (!c->stalled) {
    shift(root, c);
    curve_text(root, c);
    riffle_text(root, c);
  }
  curve_data(root, c);
  practice(root, story);
  fg_number(root, "stall_share", NULL, FG_Q_SHARE, c->stall_share, 0);
  doubt(root, c);
  fg_page_end(root, story->scenario, FG_DECK_GROUPS, story->units);
  return report;
}
