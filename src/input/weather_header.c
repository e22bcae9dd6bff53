/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first row of a weather file: which columns there are, and in what units. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/faults.h"
#include "core/nearest.h"
#include "input/quantity_read.h"
#include "input/weather_internal.h"

#define FIELD(field) offsetof(fg_weather_row, field)
#define CELSIUS(value) ((value) + 273.15)

/* Plausible means: no day on record was beyond it.  Most rain in a day: 1825 mm, La Reunion
 * 1966; temperatures -60 to 60 C hold for every place where gold is dug dry. */
const fg_weather_column fg_weather_columns[FG_WEATHER_COLUMNS] = {
    {"rain", "precipitation", FIELD(rain_m), 0.0, 1.9, "in", FG_Q_WATER_DEPTH, true},
    {"tmin", "temperature_min", FIELD(weather.tmin_k), CELSIUS(-60.0), CELSIUS(60.0), "degF",
     FG_Q_TEMPERATURE, true},
    {"tmax", "temperature_max", FIELD(weather.tmax_k), CELSIUS(-60.0), CELSIUS(60.0), "degF",
     FG_Q_TEMPERATURE, true},
    {"humidity", "humidity_mean", FIELD(weather.humidity_mean), 0.0, 1.0, "%", FG_Q_PERCENT, false},
    {"humidity_max", NULL, FIELD(weather.humidity_max), 0.0, 1.0, "%", FG_Q_PERCENT, false},
    {"humidity_min", NULL, FIELD(weather.humidity_min), 0.0, 1.0, "%", FG_Q_PERCENT, false},
    {"dewpoint", "dew_point", FIELD(weather.dewpoint_k), CELSIUS(-60.0), CELSIUS(40.0), "degF",
     FG_Q_TEMPERATURE, false},
    {"vapour_pressure", "vapor_pressure", FIELD(weather.vapour_pa), 0.0, 8e3, "kPa", FG_Q_VAPOUR,
     false},
    {"wind", "wind_speed", FIELD(weather.wind_m_s), 0.0, 60.0, "mph", FG_Q_NOZZLE_SPEED, false},
    {"sunshine", NULL, FIELD(weather.sunshine_s), 0.0, 86400.0, "h", FG_Q_HOURS, false},
    {"radiation", "solar_radiation", FIELD(weather.radiation_w_m2), 0.0, 520.0, "MJ/m2/day",
     FG_Q_RADIATION, false},
};

double *fg_weather_field(fg_weather_row *row, int column) {
  return (double *)(void *)((char *)row + fg_weather_columns[column].offset);
}

/* Name and unit; "dew point" and "dew-point" are one name with "dew_point". */
static bool part(const char *cell, char name[static FG_CSV_NAME_MAX],
                 char unit[static FG_CSV_NAME_MAX]) {
  if (!fg_csv_heading(cell, name, unit))
    return false;
  for (char *p = name; *p != '\0'; ++p)
    if (*p == ' ' || *p == '-')
      *p = '_';
  return true;
}

static int column_named(const char *name) {
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i) {
    const char *alias = fg_weather_columns[i].alias;
    if (strcmp(fg_weather_columns[i].name, name) == 0 || (alias && strcmp(alias, name) == 0))
      return i;
  }
  return -1;
}

static fg_status use_unit(fg_weather_file *file, int column, const char *unit) {
  const fg_weather_column *about = &fg_weather_columns[column];
  char q[FG_QUOTED_MAX];
  if (unit[0] == '\0')
    fg_complain(file->complaints, "%s:%d: %s: its unit is missing; write \"%s [%s]\"",
                file->csv.path, file->csv.line, about->name, about->name, about->unit);
  else if (fg_unit_scale(unit, about->quantity, &file->factor[column], &file->shift[column]))
    return FG_OK;
  else
    fg_complain(file->complaints, "%s:%d: %s: %s is no unit for %s; write \"%s [%s]\"",
                file->csv.path, file->csv.line, about->name, fg_quoted(unit, q),
                fg_quantity_of(about->quantity)->name, about->name, about->unit);
  return FG_ESCENARIO;
}

/* A column by another name: an error where it looks like a slip, else left out and noted. */
static fg_status other_column(fg_weather_file *file, const char *cell, const char *name) {
  char q[FG_QUOTED_MAX];
  const char *names[FG_WEATHER_COLUMNS + 2];
  int count = 0;
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i)
    if (file->cell_of[i] < 0)
      names[count++] = fg_weather_columns[i].name;
  if (file->date_cell < 0)
    names[count++] = file->monthly ? "month" : "date";
  names[count] = NULL;
  const char *near = name[0] != '\0' ? fg_nearest(name, names) : NULL;
  if (near) {
    fg_complain(file->complaints, "%s:%d: there is no column %s; perhaps %s", file->csv.path,
                file->csv.line, fg_quoted(cell, q), near);
    return FG_ESCENARIO;
  }
  if (name[0] != '\0')
    fg_complain(&file->made.notes, "column %s is not used", fg_quoted(cell, q));
  return FG_OK;
}

static fg_status twice(fg_weather_file *file, const char *name) {
  fg_complain(file->complaints, "%s:%d: column %s is there twice", file->csv.path, file->csv.line,
              name);
  return FG_ESCENARIO;
}

static fg_status known_column(fg_weather_file *file, size_t i, const char *name, const char *unit) {
  if (strcmp(name, file->monthly ? "month" : "date") == 0) {
    if (file->date_cell >= 0)
      return twice(file, name);
    file->date_cell = (int)i;
    return FG_OK;
  }
  const int column = column_named(name);
  if (file->cell_of[column] >= 0)
    return twice(file, fg_weather_columns[column].name);
  file->cell_of[column] = (int)i;
  return use_unit(file, column, unit);
}

static bool is_known(const fg_weather_file *file, const char *name) {
  return strcmp(name, file->monthly ? "month" : "date") == 0 || column_named(name) >= 0;
}

/* Known names first, so that a slip is not taken for a column that is there besides. */
static fg_status name_columns(fg_weather_file *file, bool known) {
  fg_status status = FG_OK;
  for (size_t i = 0; i < file->csv.cell_count; ++i) {
    char name[FG_CSV_NAME_MAX], unit[FG_CSV_NAME_MAX], q[FG_QUOTED_MAX];
    const char *cell = file->csv.cells[i];
    fg_status one = FG_OK;
    if (!part(cell, name, unit)) {
      if (!known)
        continue;
      fg_complain(file->complaints, "%s:%d: %s is no name with a unit such as \"tmin [degF]\"",
                  file->csv.path, file->csv.line, fg_quoted(cell, q));
      one = FG_ESCENARIO;
    } else if (is_known(file, name) == known) {
      one = known ? known_column(file, i, name, unit) : other_column(file, cell, name);
    }
    if (one != FG_OK)
      status = one;
  }
  return status;
}

static fg_status check_needed(fg_weather_file *file) {
  fg_status status = FG_OK;
  if (file->date_cell < 0) {
    fg_complain(file->complaints, "%s:%d: there is no column \"%s\"", file->csv.path,
                file->csv.line, file->monthly ? "month" : "date");
    status = FG_ESCENARIO;
  }
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i) {
    const fg_weather_column *column = &fg_weather_columns[i];
    if (!column->needed || file->cell_of[i] >= 0 || (file->monthly && i == FG_WEATHER_RAIN))
      continue;
    fg_complain(file->complaints, "%s:%d: there is no column \"%s [%s]\"", file->csv.path,
                file->csv.line, column->name, column->unit);
    status = FG_ESCENARIO;
  }
  return status;
}

fg_status fg_weather_header(fg_weather_file *file) {
  fg_status status = FG_OK;
  file->date_cell = -1;
  for (int i = 0; i < FG_WEATHER_COLUMNS; ++i)
    file->cell_of[i] = -1;
  const char *example = file->monthly ? "month, tmin [degF], tmax [degF]"
                                      : "date, rain [in], tmin [degF], tmax [degF]";
  if (!fg_csv_next(&file->csv, file->complaints, &status)) {
    if (status == FG_OK)
      fg_complain(file->complaints, "%s: the file is empty; its first row is to be: %s",
                  file->csv.path, example);
    return FG_ESCENARIO;
  }
  if (isdigit((unsigned char)file->csv.cells[0][0])) {
    fg_complain(file->complaints, "%s:%d: the first row names the columns and units: %s",
                file->csv.path, file->csv.line, example);
    return FG_ESCENARIO;
  }
  file->width = file->csv.cell_count;
  const fg_status named = name_columns(file, true);
  const fg_status others = name_columns(file, false);
  if (named != FG_OK || others != FG_OK)
    return FG_ESCENARIO;
  return check_needed(file);
}
