/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/weather.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/date.h"
#include "core/faults.h"
#include "core/number.h"
#include "core/text.h"
#include "input/weather_internal.h"

enum { ODD_ROWS_TOLD = 5 }; /* one swapped column makes every row wrong */

static const size_t most_bytes = 16u << 20;
static const double widest_range_k = 45.0; /* between a day's low and high */

void fg_weather_free(fg_weather *weather) {
  free(weather->rows);
  fg_complaints_free(&weather->notes);
  *weather = (fg_weather){0};
}

static bool is_missing(const char *cell) {
  static const char *const words[] = {"", "-", "--", "na", "n/a", "m", "nan", "null", "none"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i)
    if (strcasecmp(cell, words[i]) == 0)
      return true;
  return false;
}

/* A number beyond what is plausible, with what may be behind it. */
static fg_status implausible(fg_weather_file *file, int column, const char *cell, double si) {
  const fg_weather_column *about = &fg_weather_columns[column];
  char low[48], high[48], q[FG_QUOTED_MAX];
  const double unit_low = (about->lowest - file->shift[column]) / file->factor[column];
  const double unit_high = (about->highest - file->shift[column]) / file->factor[column];
  fg_number_text(unit_low, 3, low, sizeof low);
  fg_number_text(unit_high, 3, high, sizeof high);
  const char *hint = "";
  if (about->quantity == FG_Q_TEMPERATURE && si > about->highest)
    hint = ". Is the column in another unit than its name says?";
  else if (si < about->lowest)
    hint = ". Where there is no value leave the cell empty";
  fg_complain(file->complaints, "%s:%d: %s: %s is not plausible; %s to %s in the column's unit%s",
              file->csv.path, file->csv.line, about->name, fg_quoted(cell, q), low, high, hint);
  return FG_ESCENARIO;
}

static fg_status read_cell(fg_weather_file *file, int column, double *si) {
  const char *cell = file->csv.cells[file->cell_of[column]];
  char message[256];
  const char *rest;
  double number;
  *si = NAN;
  if (is_missing(cell))
    return FG_OK;
  if (column == FG_WEATHER_RAIN && strcasecmp(cell, "t") == 0) { /* a trace */
    *si = 0.0;
    return FG_OK;
  }
  const bool scanned = fg_number_scan(cell, &number, &rest, message, sizeof message);
  if (!scanned || *fg_skip_blanks(rest) != '\0') {
    char q[FG_QUOTED_MAX];
    if (scanned)
      (void)snprintf(message, sizeof message,
                     "%s is more than a number; units stand in the first "
                     "row alone",
                     fg_quoted(cell, q));
    fg_complain(file->complaints, "%s:%d: %s: %s. An unknown value is an empty cell",
                file->csv.path, file->csv.line, fg_weather_columns[column].name, message);
    return FG_ESCENARIO;
  }
  const double value = number * file->factor[column] + file->shift[column];
  /* A ten thousandth of slack: limits are in other units than the file's. */
  const double slack = 1e-4 * fabs(file->factor[column]);
  if (!(value >= fg_weather_columns[column].lowest - slack &&
        value <= fg_weather_columns[column].highest + slack))
    return implausible(file, column, cell, value);
  *si = fmin(fmax(value, fg_weather_columns[column].lowest), fg_weather_columns[column].highest);
  return FG_OK;
}

/* Remembers whether the file tells its order of month and day. */
static void note_order(fg_weather_file *file, int day, bool either) {
  if (either && file->either_line == 0) {
    file->either_line = file->csv.line;
    file->either_day = day;
  }
  const char *slash = strchr(file->csv.cells[file->date_cell], '/');
  file->month_first = file->month_first || (slash && strtol(slash + 1, NULL, 10) > 12);
}

/* Says back how days were taken that might be meant otherwise. */
static void tell_order(const fg_weather_file *file) {
  char text[FG_DATE_TEXT_MAX];
  if (file->either_line > 0 && !file->month_first)
    fg_complain(file->complaints, "%s:%d: date: days are read with the month first, this one as %s",
                file->csv.path, file->either_line,
                fg_date_text(file->either_day, text, sizeof text));
}

static fg_status read_date(fg_weather_file *file, int *day) {
  const char *cell = file->csv.cells[file->date_cell];
  char q[FG_QUOTED_MAX];
  if (!file->monthly) {
    bool either = false;
    if (fg_date_read(cell, day, &either) == FG_OK) {
      note_order(file, *day, either);
      return FG_OK;
    }
    fg_complain(file->complaints,
                "%s:%d: date: %s is no day; write it as 2024-03-15, or 3/15/2024 month first",
                file->csv.path, file->csv.line, fg_quoted(cell, q));
    return FG_ESCENARIO;
  }
  char *end = NULL;
  const long month = strtol(cell, &end, 10);
  if (end != cell && *end == '\0' && month >= 1 && month <= 12) {
    *day = (int)month;
    return FG_OK;
  }
  fg_complain(file->complaints, "%s:%d: month: %s is none; write 1 to 12", file->csv.path,
              file->csv.line, fg_quoted(cell, q));
  return FG_ESCENARIO;
}

/* Daily rows come in order, monthly ones each once. */
static fg_status check_order(fg_weather_file *file, int day) {
  const fg_weather *made = &file->made;
  for (size_t i = file->monthly ? 0 : made->count - (made->count > 0); i < made->count; ++i) {
    const fg_weather_row *before = &made->rows[i];
    if (before->day == day) {
      fg_complain(file->complaints, "%s:%d: %s is there already, in line %d", file->csv.path,
                  file->csv.line, file->csv.cells[file->date_cell], before->line);
      return FG_ESCENARIO;
    }
    if (!file->monthly && before->day > day) {
      char text[FG_DATE_TEXT_MAX];
      fg_complain(file->complaints, "%s:%d: %s comes after %s (line %d); days must be in order",
                  file->csv.path, file->csv.line, file->csv.cells[file->date_cell],
                  fg_date_text(before->day, text, sizeof text), before->line);
      return FG_ESCENARIO;
    }
  }
  return FG_OK;
}

/* What one row says against itself. */
static fg_status check_row(fg_weather_file *file, const fg_weather_row *row) {
  const fg_day_weather *w = &row->weather;
  const char *why = NULL;
  if (w->tmin_k > w->tmax_k)
    why = "tmin is above tmax; are the columns swapped?";
  else if (w->tmax_k - w->tmin_k > widest_range_k)
    why = "more than 45 C (81 F) between tmin and tmax; one of them is wrong";
  else if (w->humidity_min > w->humidity_max)
    why = "humidity_min is above humidity_max; are the columns swapped?";
  if (!why)
    return FG_OK;
  if (file->odd_rows++ < ODD_ROWS_TOLD)
    fg_complain(file->complaints, "%s:%d: %s", file->csv.path, file->csv.line, why);
  return FG_ESCENARIO;
}

static fg_status append(fg_weather_file *file, const fg_weather_row *row) {
  fg_weather *made = &file->made;
  if (made->count == FG_WEATHER_ROWS_MAX) {
    fg_complain(file->complaints, "%s:%d: more than %d rows; give the last years only",
                file->csv.path, file->csv.line, FG_WEATHER_ROWS_MAX);
    return FG_EDOMAIN;
  }
  if (made->count == file->room) {
    const size_t room = file->room > 0 ? 2 * file->room : 512;
    fg_weather_row *grown = realloc(made->rows, room * sizeof *grown);
    if (!grown)
      return FG_EMEMORY;
    made->rows = grown;
    file->room = room;
  }
  made->rows[made->count++] = *row;
  return FG_OK;
}

static fg_weather_row unknown_row(void) {
  fg_weather_row row = {.weather = {.wind_height_m = NAN, .soil_heat_w_m2 = NAN}};
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i)
    *fg_weather_field(&row, i) = NAN;
  return row;
}

static fg_status read_row(fg_weather_file *file) {
  fg_weather_row row = unknown_row();
  row.line = file->csv.line;
  if (file->csv.cell_count != file->width) {
    fg_complain(file->complaints, "%s:%d: %zu cells, but the first row names %zu columns",
                file->csv.path, file->csv.line, file->csv.cell_count, file->width);
    return FG_ESCENARIO;
  }
  fg_status status = read_date(file, &row.day);
  if (status == FG_OK)
    status = check_order(file, row.day);
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i)
    if (file->cell_of[i] >= 0 && read_cell(file, i, fg_weather_field(&row, i)) != FG_OK)
      status = FG_ESCENARIO;
  if (status == FG_OK)
    status = check_row(file, &row);
  return status == FG_OK ? append(file, &row) : status;
}

/* Reads every row, so that all faults are told at once; stops where going on makes no sense. */
static fg_status read_rows(fg_weather_file *file) {
  fg_status worst = FG_OK, status = FG_OK;
  while (fg_csv_next(&file->csv, file->complaints, &status)) {
    const fg_status row = read_row(file);
    if (row == FG_EMEMORY)
      return row;
    if (row != FG_OK)
      worst = FG_ESCENARIO;
    if (row == FG_EDOMAIN)
      break;
  }
  if (file->odd_rows > ODD_ROWS_TOLD)
    fg_complain(file->complaints, "%s: %zu rows in all are wrong in such a way", file->csv.path,
                file->odd_rows);
  if (status != FG_OK || worst != FG_OK)
    return FG_ESCENARIO;
  if (file->made.count > 0)
    return FG_OK;
  fg_complain(file->complaints, "%s: there is no row under the names of the columns",
              file->csv.path);
  return FG_ESCENARIO;
}

static fg_status check_months(fg_weather_file *file) {
  fg_status status = FG_OK;
  for (size_t i = 0; i < file->made.count; ++i) {
    const fg_day_weather *w = &file->made.rows[i].weather;
    if (!isnan(w->tmin_k) && !isnan(w->tmax_k))
      continue;
    fg_complain(file->complaints, "%s:%d: a month needs both tmin and tmax", file->csv.path,
                file->made.rows[i].line);
    status = FG_ESCENARIO;
  }
  if (status == FG_OK && file->cell_of[FG_WEATHER_RAIN] >= 0)
    fg_complain(&file->made.notes, "rain of the monthly means is not used: the days ahead are "
                                   "taken as dry");
  return status;
}

static fg_status read_file(const char *path, bool monthly, fg_weather *weather,
                           fg_complaints *complaints) {
  fg_weather_file file = {.complaints = complaints, .monthly = monthly};
  fg_status status = fg_csv_open(&file.csv, path, most_bytes, complaints);
  if (status != FG_OK)
    return status;
  status = fg_weather_header(&file);
  if (status == FG_OK)
    status = read_rows(&file);
  if (status == FG_OK)
    status = monthly ? check_months(&file) : fg_weather_fill(&file);
  if (status == FG_OK)
    tell_order(&file);
  fg_csv_close(&file.csv);
  if (status != FG_OK) {
    if (status == FG_EMEMORY)
      fg_complain(complaints, "%s: memory ran out", path);
    fg_weather_free(&file.made);
    return status;
  }
  *weather = file.made;
  return FG_OK;
}

fg_status fg_weather_read(const char *path, fg_weather *weather, fg_complaints *complaints) {
  return read_file(path, false, weather, complaints);
}

fg_status fg_weather_read_means(const char *path, fg_weather *means, fg_complaints *complaints) {
  return read_file(path, true, means, complaints);
}

const fg_weather_row *fg_weather_month(const fg_weather *means, int month) {
  for (size_t i = 0; i < means->count; ++i)
    if (means->rows[i].day == month)
      return &means->rows[i];
  return NULL;
}

fg_status fg_weather_recent(const fg_weather *weather, size_t days, fg_weather_row *mean) {
  if (weather->count == 0 || days == 0)
    return FG_EDOMAIN;
  fg_weather_row m = unknown_row();
  const size_t first = weather->count > days ? weather->count - days : 0;
  for (int c = 0; c < FG_WEATHER_COLUMNS; ++c) {
    double sum = 0.0;
    size_t known = 0;
    for (size_t i = first; i < weather->count; ++i) {
      const double value = *fg_weather_field(&weather->rows[i], c);
      if (isnan(value))
        continue;
      sum += value;
      ++known;
    }
    if (known > 0)
      *fg_weather_field(&m, c) = sum / (double)known;
  }
  m.rain_m = 0.0;
  m.source = FG_WEATHER_REPEATED;
  *mean = m;
  return FG_OK;
}
