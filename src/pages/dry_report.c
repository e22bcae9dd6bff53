/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/date.h"
#include "flourgold/settings.h"
#include "pages/dry_internal.h"
#include "pages/page.h"
#include "pages/setting_view.h"
#include "scenario/settings_table.h"

enum { COLUMNS = 64 };

static const char *date_of(const fg_drying *d, int index, char buffer[FG_DATE_TEXT_MAX]) {
  return fg_date_text(d->days[index].day, buffer, FG_DATE_TEXT_MAX);
}

static void head(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  char from[FG_DATE_TEXT_MAX], to[FG_DATE_TEXT_MAX], depth[48];
  fg_node *group =
      fg_page_head(root, "How long until the ground is dry enough", "Scenario", story->scenario);
  char days[64];
  (void)snprintf(days, sizeof days, "%s to %s", fg_date_text(d->days[0].day, from, sizeof from),
                 fg_date_text(d->days[d->given - 1].day, to, sizeof to));
  fg_string(group, "weather_days", "Weather given", days, FG_TEXT_ONLY);
  fg_string(group, "weather_from", NULL, from, FG_DATA_ONLY);
  fg_string(group, "weather_to", NULL, to, FG_DATA_ONLY);
  (void)fg_quantity_text(FG_Q_LENGTH, story->units, story->scenario->soil.depth, depth,
                         sizeof depth);
  fg_string(group, "dug", "Dug from the surface to", depth, FG_TEXT_ONLY);
  fg_number(group, "dug_mm", NULL, FG_Q_LENGTH, story->scenario->soil.depth, FG_DATA_ONLY);
}

/* A date, or null. */
static void date_data(fg_node *root, const char *name, const fg_drying *d, int index) {
  char date[FG_DATE_TEXT_MAX];
  if (index < 0)
    fg_number(root, name, NULL, FG_Q_NUMBER, (double)NAN, FG_DATA_ONLY);
  else
    fg_string(root, name, NULL, date_of(d, index, date), FG_DATA_ONLY);
}

/* What the data carry of the answer. */
static void answer_data(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  date_data(root, "ready_date", d, d->ready);
  fg_number(root, "chance", NULL, FG_Q_SHARE,
            d->ready >= 0 ? d->days[d->ready].chance : (double)NAN, FG_DATA_ONLY);
  date_data(root, "half_chance_date", d, d->likely[0]);
  date_data(root, "likely_date", d, d->likely[1]);
  fg_number(root, "allow", NULL, FG_Q_SHARE, d->damp.allow, FG_DATA_ONLY);
  fg_number(root, "limit_percent", NULL, FG_Q_PERCENT, d->damp.limit, FG_DATA_ONLY);
  fg_integer(root, "samples", NULL, (long)story->options->samples, FG_DATA_ONLY);
  fg_integer(root, "seed", NULL, (long)story->options->seed, FG_DATA_ONLY);
}

/* The run with the soil as written. */
static void answer_nominal(fg_node *group, const fg_dry_story *story, const char *opening) {
  const fg_drying *d = story->drying;
  const fg_drying_day *day = &d->days[d->ready];
  char date[FG_DATE_TEXT_MAX];
  fg_note(
      group,
      "%s from %s on: %.2f %% water in what is dug; damp takes at most %.0f %% of the fine gold.",
      opening, fg_date_text(day->day, date, sizeof date), 100.0 * day->dug, 100.0 * d->damp.allow);
}

/* The day to go first, then the one on which to weigh. */
static void answer_ready(fg_node *group, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  const double sure = 100.0 * fg_sure_enough;
  char date[FG_DATE_TEXT_MAX];
  if (story->options->samples == 0) {
    answer_nominal(group, story, "Dry enough");
    return;
  }
  if (d->likely[1] >= 0)
    fg_note(group, "Go from %s on: dry enough with %.0f %% or more.",
            date_of(d, d->likely[1], date), sure);
  else
    fg_note(group,
            "No day looked at is dry enough with a chance of %.0f %%: weigh a sample first "
            "(below).",
            sure);
  if (d->likely[0] >= 0 && d->likely[0] != d->likely[1])
    fg_note(group, "From %s on the odds are even: weigh first.", date_of(d, d->likely[0], date));
  answer_nominal(group, story, "As written, dry enough");
}

static void answer_not_ready(fg_node *group, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  const fg_drying_day *last = &d->days[d->count - 1];
  char date[FG_DATE_TEXT_MAX], depth[48];
  fg_date_text(last->day, date, sizeof date);
  if (!fg_drying_open(last)) {
    fg_note(group, "Not dry by %s: %s. Neither dries nor can be dug; give the days after the thaw.",
            date, last->cold.snow ? "snow lies on the ground" : "the ground is frozen");
    return;
  }
  fg_note(group,
          "Not dry enough by %s: what is dug still holds %.2f %% water then, and this deck "
          "wants %.2f %% or less.",
          date, 100.0 * last->dug, 100.0 * d->damp.limit);
  if (last->dry_depth_m > 0.0)
    fg_note(group, "Dug no deeper than %s it would be dry enough that day.",
            fg_quantity_text(FG_Q_LENGTH, story->units, last->dry_depth_m, depth, sizeof depth));
  else
    fg_note(group, "Even the surface is too damp that day: what is left is what the sun cannot "
                   "take from this soil where it lies. Spread it (below).");
}

static void answer(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  fg_node *group = fg_page_answer(root);
  if (isinf(d->damp.limit))
    fg_note(group,
            "This deck loses no more than %.0f %% of its fine gold to damp at any moisture "
            "looked at (up to %.0f %%).",
            100.0 * d->damp.allow, 100.0 * d->damp.moisture[FG_DAMP_NODES - 1]);
  else if (d->ready >= 0)
    answer_ready(group, story);
  else
    answer_not_ready(group, story);
}

static void damp_table(fg_node *root, const fg_dry_story *story) {
  const fg_damp *damp = &story->drying->damp;
  fg_node *group = fg_group(root, NULL, "What damp costs this deck", 0);
  fg_number(group, "dry_kept", "Fine gold kept when bone dry", FG_Q_SHARE, damp->dry_kept, 0);
  fg_number(group, "allowed", "May be lost of that to damp", FG_Q_SHARE, damp->allow, FG_TEXT_ONLY);
  if (!isinf(damp->limit))
    fg_number(group, "limit", "Moisture that costs just that", FG_Q_PERCENT, damp->limit,
              FG_TEXT_ONLY);
  fg_number(group, "best_throttle", "Best throttle, bone dry", FG_Q_SHARE, damp->dry_best.throttle,
            0);
  fg_number(group, "best_gate", "Best gate, bone dry", FG_Q_SHARE, damp->dry_best.gate_opening, 0);
  if (!isinf(damp->limit)) {
    fg_number(group, "limit_throttle", "Best throttle at that moisture", FG_Q_SHARE,
              damp->limit_best.throttle, 0);
    fg_number(group, "limit_gate", "Best gate at that moisture", FG_Q_SHARE,
              damp->limit_best.gate_opening, 0);
  }
  fg_node *table = fg_table(group, "damp", NULL, 0);
  fg_column(table, "moisture_percent", "water in what is dug", FG_Q_PERCENT, 0);
  fg_column(table, "lost_to_damp", "fine gold lost to it", FG_Q_SHARE, 0);
  for (size_t i = 0; i < FG_DAMP_NODES; ++i) {
    fg_row(table);
    fg_cell(table, damp->moisture[i]);
    fg_cell(table, damp->lost[i]);
    if (damp->lost[i] >= 1.0)
      break;
  }
  fg_note(
      group,
      "Fine is finer than 60 mesh. For each moisture the best of sixteen throttle and gate "
      "settings counts; 100 %% means the deck stalls at all of them. Lumps of clay are left out: "
      "they are lost damp or dry.");
}

static void cold_words(fg_node *group, const fg_drying *d) {
  size_t snow = 0, frozen = 0;
  for (size_t i = 0; i < d->count; ++i) {
    snow += d->days[i].cold.snow;
    frozen += d->days[i].cold.frozen;
  }
  if (snow + frozen > 0)
    fg_note(group,
            "Snow lies on %zu of the days and the ground is frozen on %zu, by their temperatures: "
            "on such days nothing dries, and none counts as ready.",
            snow, frozen);
}

/* Settings of soil and site that were not given. */
static void assumed(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  fg_node *group = fg_group(root, NULL, "Assumed about the ground", 0);
  fg_node *list = fg_list(group, "assumed", 0);
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const fg_setting *row = &fg_settings[i];
    const bool concerns = fg_setting_same_group((int)i, FG_SET_SOIL_CLASS) ||
                          i == FG_SET_SITE_LATITUDE || i == FG_SET_SITE_ELEVATION;
    char text[64];
    if (!concerns || story->scenario->origin[i] > FG_FROM_DERIVED)
      continue;
    (void)fg_setting_text(row, story->scenario, story->units, text, sizeof text);
    fg_string(group, NULL, row->key, text, FG_TEXT_ONLY);
    fg_list_string(list, row->key);
  }
  if (story->options->flood_count + story->options->measurement_count == 0)
    fg_note(group, "The ground is taken as wet through (at field capacity) on the first day; the "
                   "chances take it as anything between that and dry. --flooded and --measured "
                   "replace this.");
  cold_words(group, d);
  fg_note(group, "Of the rain nothing runs off. Plants are left out. The chances cover the doubt "
                 "about soil, start, evaporation (10 %%) and weighing, not that about the deck.");
}

fg_report *fg_dry_report(const fg_dry_story *story) {
  fg_report *report = fg_report_new();
  fg_report_columns(report, COLUMNS);
  fg_node *root = fg_report_root(report);
  answer(root, story);
  head(root, story);
  answer_data(root, story);
  fg_dry_days(root, story);
  fg_dry_tarp(root, story);
  fg_dry_field_tests(root, story);
  damp_table(root, story);
  fg_dry_weather(root, story);
  assumed(root, story);
  fg_page_end(root, story->scenario, NULL, story->units);
  return report;
}
