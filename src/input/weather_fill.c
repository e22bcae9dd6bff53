/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Days and values missing between given ones. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "core/complain.h"
#include "core/date.h"
#include "input/weather_internal.h"

/* Days that are not in the file before row i; 0 for the first. */
static int gap_before(const fg_weather *w, size_t i) {
  return i == 0 ? 0 : w->rows[i].day - w->rows[i - 1].day - 1;
}

/* Refuses long gaps; *missing is how many days the others come to. */
static fg_status count_gaps(fg_weather_file *file, size_t *missing) {
  fg_status status = FG_OK;
  *missing = 0;
  for (size_t i = 1; i < file->made.count; ++i) {
    const int gap = gap_before(&file->made, i);
    char from[FG_DATE_TEXT_MAX], to[FG_DATE_TEXT_MAX];
    if (gap > FG_WEATHER_GAP_MAX) {
      fg_complain(file->complaints,
                  "%s:%d: the %d days from %s to %s are missing; up to %d are "
                  "filled in",
                  file->csv.path, file->made.rows[i].line, gap,
                  fg_date_text(file->made.rows[i - 1].day + 1, from, sizeof from),
                  fg_date_text(file->made.rows[i].day - 1, to, sizeof to), FG_WEATHER_GAP_MAX);
      status = FG_ESCENARIO;
    } else {
      *missing += (size_t)gap;
    }
  }
  return status;
}

/* A row without values for each missing day. */
static fg_status insert_days(fg_weather_file *file, size_t missing) {
  fg_weather *w = &file->made;
  char from[FG_DATE_TEXT_MAX];
  fg_weather_row *all = calloc(w->count + missing, sizeof *all);
  if (!all)
    return FG_EMEMORY;
  size_t count = 0;
  for (size_t i = 0; i < w->count; ++i) {
    const int gap = gap_before(w, i);
    for (int k = gap; k > 0; --k) {
      fg_weather_row *row = &all[count++];
      *row = (fg_weather_row){.day = w->rows[i].day - k, .source = FG_WEATHER_FILLED};
      row->weather.wind_height_m = row->weather.soil_heat_w_m2 = NAN;
      for (int c = 0; c < FG_WEATHER_COLUMNS; ++c)
        *fg_weather_field(row, c) = NAN;
    }
    if (gap > 0)
      fg_complain(&w->notes, "%d %s missing from %s on: filled, without rain", gap,
                  gap == 1 ? "day" : "days", fg_date_text(w->rows[i].day - gap, from, sizeof from));
    all[count++] = w->rows[i];
  }
  free(w->rows);
  w->rows = all;
  w->count = count;
  return FG_OK;
}

/* Fills one run of unknown temperatures, rows first to next - 1. */
static fg_status fill_run(fg_weather_file *file, int column, size_t first, size_t next) {
  fg_weather *w = &file->made;
  char from[FG_DATE_TEXT_MAX];
  const bool left = first > 0, right = next < w->count;
  const char *name = fg_weather_columns[column].name;
  fg_date_text(w->rows[first].day, from, sizeof from);
  if (next - first > FG_WEATHER_GAP_MAX || (!left && !right)) {
    fg_complain(file->complaints,
                "%s: %s is unknown on %zu days from %s on; up to %d are filled "
                "in",
                file->csv.path, name, next - first, from, FG_WEATHER_GAP_MAX);
    return FG_ESCENARIO;
  }
  const double before = left ? *fg_weather_field(&w->rows[first - 1], column) : (double)NAN;
  const double after = right ? *fg_weather_field(&w->rows[next], column) : (double)NAN;
  for (size_t i = first; i < next; ++i) {
    const double part = (double)(i - first + 1) / (double)(next - first + 1);
    double *value = fg_weather_field(&w->rows[i], column);
    *value = !left ? after : !right ? before : before + part * (after - before);
    if (w->rows[i].source == FG_WEATHER_GIVEN) {
      w->rows[i].source = FG_WEATHER_FILLED;
      char day[FG_DATE_TEXT_MAX];
      fg_complain(&w->notes, "%s unknown on %s: filled in from the days beside it", name,
                  fg_date_text(w->rows[i].day, day, sizeof day));
    }
  }
  return FG_OK;
}

static fg_status fill_temperature(fg_weather_file *file, int column) {
  fg_weather *w = &file->made;
  fg_status status = FG_OK;
  for (size_t i = 0; i < w->count; ++i) {
    if (!isnan(*fg_weather_field(&w->rows[i], column)))
      continue;
    size_t next = i;
    while (next < w->count && isnan(*fg_weather_field(&w->rows[next], column)))
      ++next;
    if (fill_run(file, column, i, next) != FG_OK)
      status = FG_ESCENARIO;
    i = next;
  }
  return status;
}

/* Rain that is unknown counts as none: said, because it matters. */
static void fill_rain(fg_weather *w) {
  size_t unknown = 0;
  for (size_t i = 0; i < w->count; ++i) {
    if (!isnan(w->rows[i].rain_m))
      continue;
    w->rows[i].rain_m = 0.0;
    if (w->rows[i].line > 0)
      ++unknown;
  }
  if (unknown > 0)
    fg_complain(&w->notes, "rain unknown on %zu %s: taken as none", unknown,
                unknown == 1 ? "day" : "days");
}

fg_status fg_weather_fill(fg_weather_file *file) {
  size_t missing;
  fg_status status = count_gaps(file, &missing);
  if (status == FG_OK && missing > 0)
    status = insert_days(file, missing);
  if (status != FG_OK)
    return status;
  const fg_status low = fill_temperature(file, FG_WEATHER_TMIN);
  const fg_status high = fill_temperature(file, FG_WEATHER_TMAX);
  if (low != FG_OK || high != FG_OK)
    return FG_ESCENARIO;
  fill_rain(&file->made);
  for (size_t i = 0; i < file->made.count; ++i) {
    const fg_weather_row *row = &file->made.rows[i];
    if (row->weather.tmin_k <= row->weather.tmax_k)
      continue;
    fg_complain(file->complaints,
                "%s:%d: the known one of tmin and tmax does not fit the days "
                "beside it; give both",
                file->csv.path, row->line);
    status = FG_ESCENARIO;
  }
  return status;
}
