/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stddef.h>
#include <stdio.h>

#include "core/date.h"
#include "pages/dry_internal.h"

enum { ROWS = 20 };

static const double wetting_m = 1e-3; /* rain that is worth a row */

static const char *source_name(fg_weather_source source) {
  switch (source) {
  case FG_WEATHER_GIVEN:
    return "given";
  case FG_WEATHER_FILLED:
    return "filled";
  case FG_WEATHER_MEANS:
    return "means";
  case FG_WEATHER_REPEATED:
    return "repeated";
  }
  return "given";
}

/* Why a day is shown, in the order of what matters. */
static const char *remark(const fg_drying *d, size_t i) {
  if ((int)i == d->ready)
    return "READY";
  if (d->days[i].measured)
    return "measured";
  if (d->days[i].flooded)
    return "flood";
  if (d->days[i].rain_m >= wetting_m)
    return "rain";
  if (d->days[i].source == FG_WEATHER_FILLED)
    return "filled";
  return d->days[i].source == FG_WEATHER_GIVEN ? "" : "ahead";
}

/* The days shown: from just before the last wetting to a little after the ground is ready. */
static void span(const fg_drying *d, size_t *first, size_t *end) {
  size_t wet = 0;
  for (size_t i = 0; i < d->count; ++i)
    if (d->days[i].rain_m >= wetting_m || d->days[i].flooded || d->days[i].measured)
      wet = i;
  *first = wet > 2 ? wet - 2 : 0;
  int last = d->ready;
  if (last >= 0 && d->likely[1] > last)
    last = d->likely[1];
  *end = last >= 0 ? (size_t)last + 3 : d->count;
  if (*end > d->count)
    *end = d->count;
  if (*end <= *first)
    *first = *end > ROWS ? *end - ROWS : 0;
}

static void text_row(fg_node *table, const fg_drying *d, size_t i, bool chances) {
  const fg_drying_day *day = &d->days[i];
  char date[FG_DATE_TEXT_MAX];
  fg_row(table);
  fg_cell_text(table, fg_date_text(day->day, date, sizeof date));
  fg_cell(table, day->rain_m);
  fg_cell(table, day->et0.et0_m_s * FG_DAY_SECONDS);
  fg_cell(table, day->surface);
  fg_cell(table, day->dug);
  fg_cell(table, day->dry_depth_m);
  fg_cell(table, day->lost);
  if (chances)
    fg_cell(table, day->chance);
  fg_cell_text(table, remark(d, i));
}

static void text_days(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  const bool chances = story->options->samples > 0;
  size_t first, end;
  fg_node *table = fg_table(root, "shown", "Day by day (some of the days)", FG_TEXT_ONLY);
  fg_column_text(table, "date", "day", 0);
  fg_column(table, "rain_mm", "rain", FG_Q_WATER_DEPTH, 0);
  fg_column(table, "et0_mm", "sun takes", FG_Q_WATER_DEPTH, 0);
  fg_column(table, "surface_percent", "water on top", FG_Q_PERCENT, 0);
  fg_column(table, "moisture_percent", "in what is dug", FG_Q_PERCENT, 0);
  fg_column(table, "dry_depth_mm", "dry down to", FG_Q_LENGTH, 0);
  fg_column(table, "lost_to_damp", "gold lost", FG_Q_SHARE, 0);
  if (chances)
    fg_column(table, "chance", "chance", FG_Q_SHARE, 0);
  fg_column_text(table, "remark", "", 0);
  span(d, &first, &end);
  const size_t stride = (end - first + ROWS - 1) / ROWS;
  for (size_t i = first; i < end; ++i)
    if ((i - first) % stride == 0 || remark(d, i)[0] == 'R' ||
        (stride < 20 && d->days[i].rain_m >= wetting_m) || d->days[i].flooded ||
        d->days[i].measured || i + 1 == end)
      text_row(table, d, i, chances);
}

/* A day as the data tell it. */
typedef struct day_row {
  char date[FG_DATE_TEXT_MAX];
  const char *source;
  double et0_m, hargreaves_m; /* of the whole day */
  fg_drying_day day;
} day_row;

#define OF(field) offsetof(day_row, field)
static const fg_column_of day_columns[] = {
    {"date", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(date)},
    {"source", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(source)},
    {"rain_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.rain_m)},
    {"tmin_c", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.tmin_k)},
    {"tmax_c", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.tmax_k)},
    {"et0_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(et0_m)},
    {"hargreaves_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(hargreaves_m)},
    {"kr", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.kr)},
    {"ke", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.ke)},
    {"evaporation_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.evaporation_m)},
    {"from_below_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.evaporation_below_m)},
    {"percolation_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.percolation_m)},
    {"drained_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.drained_m)},
    {"flood_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.step.flood_m)},
    {"depletion_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.depletion_m)},
    {"missing_below_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.missing_below_m)},
    {"excess_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.excess_m)},
    {"surface_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.surface)},
    {"moisture_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.dug)},
    {"bottom_percent", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.bottom)},
    {"dry_depth_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.dry_depth_m)},
    {"lost_to_damp", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.lost)},
    {"chance", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.chance)},
};
#undef OF

static void data_days(fg_node *root, const fg_drying *drying) {
  fg_node *table = fg_table(root, "days", NULL, FG_DATA_ONLY | FG_PRIMARY);
  FG_COLUMNS_OF(table, day_columns);
  for (size_t i = 0; i < drying->count; ++i) {
    const fg_drying_day *d = &drying->days[i];
    day_row row = {.source = source_name(d->source),
                   .et0_m = d->et0.et0_m_s * FG_DAY_SECONDS,
                   .hargreaves_m = d->et0.hargreaves_m_s * FG_DAY_SECONDS,
                   .day = *d};
    (void)fg_date_text(d->day, row.date, sizeof row.date);
    FG_ROW_OF(table, day_columns, &row);
  }
}

void fg_dry_days(fg_node *root, const fg_dry_story *story) {
  text_days(root, story);
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key, "sun takes: reference evaporation of the day. Water is by dry weight: on top, the "
               "evaporation layer; in what is dug, the mean down to the foot of the cut. dry "
               "down to: dug no deeper, it is dry enough. gold lost: the fine gold that damp "
               "takes, of what the deck keeps bone dry.");
  data_days(root, story->drying);
}
