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
  if (d->days[i].cold.snow)
    return "snow";
  if (d->days[i].cold.frozen)
    return "frozen";
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

/* A day as it is told. */
typedef struct day_row {
  char date[FG_DATE_TEXT_MAX];
  const char *source, *remark, *ground;
  double et0_m, hargreaves_m; /* of the whole day */
  fg_drying_day day;
} day_row;

#define OF(field) offsetof(day_row, field)
static const fg_column_of day_columns[] = {
    {"date", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(date)},
    {"source", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(source)},
    {"rain_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.rain_m)},
    {"snow_mm", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(day.snow_m)},
    {"ground", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(ground)},
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

static day_row row_of(const fg_drying *d, size_t i) {
  const fg_drying_day *day = &d->days[i];
  day_row row = {.source = source_name(day->source),
                 .ground = day->cold.snow     ? "snow"
                           : day->cold.frozen ? "frozen"
                                              : "open",
                 .remark = remark(d, i),
                 .et0_m = day->et0.et0_m_s * FG_DAY_SECONDS,
                 .hargreaves_m = day->et0.hargreaves_m_s * FG_DAY_SECONDS,
                 .day = *day};
  (void)fg_date_text(day->day, row.date, sizeof row.date);
  return row;
}

static void text_days(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  size_t first, end;
#define OF(field) offsetof(day_row, field)
  const fg_column_of columns[] = {
      {NULL, "day", FG_Q_NUMBER, FG_FIELD_CHARS, OF(date)},
      {NULL, "rain", FG_Q_WATER_DEPTH, FG_FIELD_NUMBER, OF(day.rain_m)},
      {NULL, "sun takes", FG_Q_WATER_DEPTH, FG_FIELD_NUMBER, OF(et0_m)},
      {NULL, "water on top", FG_Q_PERCENT, FG_FIELD_NUMBER, OF(day.surface)},
      {NULL, "in what is dug", FG_Q_PERCENT, FG_FIELD_NUMBER, OF(day.dug)},
      {NULL, "dry down to", FG_Q_LENGTH, FG_FIELD_NUMBER, OF(day.dry_depth_m)},
      {NULL, "gold lost", FG_Q_SHARE, FG_FIELD_NUMBER, OF(day.lost)},
      {NULL, story->options->samples > 0 ? "chance" : NULL, FG_Q_SHARE, FG_FIELD_NUMBER,
       OF(day.chance)},
      {NULL, "", FG_Q_NUMBER, FG_FIELD_TEXT, OF(remark)},
  };
#undef OF
  fg_node *table = fg_table(root, NULL, "Day by day (some of the days)", FG_TEXT_ONLY | FG_PROOF);
  FG_COLUMNS_OF(table, columns);
  span(d, &first, &end);
  const size_t stride = (end - first + ROWS - 1) / ROWS;
  for (size_t i = first; i < end; ++i) {
    const day_row row = row_of(d, i);
    if ((i - first) % stride == 0 || row.remark[0] == 'R' ||
        (stride < 20 && row.day.rain_m >= wetting_m) || row.day.flooded || row.day.measured ||
        i + 1 == end)
      FG_ROW_OF(table, columns, &row);
  }
}

static void data_days(fg_node *root, const fg_drying *drying) {
  fg_node *table = fg_table(root, "days", NULL, FG_DATA_ONLY | FG_PRIMARY);
  FG_COLUMNS_OF(table, day_columns);
  for (size_t i = 0; i < drying->count; ++i) {
    const day_row row = row_of(drying, i);
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
