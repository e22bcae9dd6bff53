/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_WEATHER_INTERNAL_H
#define FLOURGOLD_SITE_WEATHER_INTERNAL_H

#include "core/csv_rows.h"
#include "flourgold/quantity.h"
#include "input/weather.h"

/* A column a weather file may have. */
typedef struct fg_weather_column {
  const char *name;
  const char *alias;      /* another name for it, or NULL */
  size_t offset;          /* in fg_weather_row */
  double lowest, highest; /* plausible, SI */
  const char *unit;       /* an example for messages: "degF" */
  fg_quantity quantity;
  bool needed;
} fg_weather_column;

enum { FG_WEATHER_RAIN = 0, FG_WEATHER_TMIN, FG_WEATHER_TMAX, FG_WEATHER_COLUMNS = 11 };
extern const fg_weather_column fg_weather_columns[FG_WEATHER_COLUMNS];

double *fg_weather_field(fg_weather_row *row, int column);

/* A file being read. */
typedef struct fg_weather_file {
  fg_csv csv;
  fg_complaints *complaints;
  bool monthly;
  int date_cell;
  int cell_of[FG_WEATHER_COLUMNS];                              /* -1: not there */
  double factor[FG_WEATHER_COLUMNS], shift[FG_WEATHER_COLUMNS]; /* SI = number factor + shift */
  int either_line, either_day; /* of the first day that may be meant otherwise; line 0: none */
  bool month_first;            /* a day of the file can only be meant so */
  size_t width;
  size_t odd_rows; /* with values that contradict each other */
  size_t room;
  fg_weather made;
} fg_weather_file;

/* Reads the row of names.  FG_ESCENARIO after complaints. */
fg_status fg_weather_header(fg_weather_file *file);

/* Fills what is missing between the rows; FG_ESCENARIO after complaints, FG_EMEMORY. */
fg_status fg_weather_fill(fg_weather_file *file);

#endif
