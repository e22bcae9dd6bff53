/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_WEATHER_H
#define FLOURGOLD_WEATHER_H

#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/status.h"
#include "physics/reference_evaporation.h"

/* Daily weather, or the mean weather of months, from a CSV file. */

enum {
  FG_WEATHER_ROWS_MAX = 80000, /* some 200 years */
  FG_WEATHER_GAP_MAX = 7       /* days that are filled */
};

typedef enum fg_weather_source {
  FG_WEATHER_GIVEN = 0,
  FG_WEATHER_FILLED,  /* a missing day or temperature between given ones */
  FG_WEATHER_MEANS,   /* after the last row: the month's mean */
  FG_WEATHER_REPEATED /* after the last row: the mean of the last days */
} fg_weather_source;

typedef struct fg_weather_row {
  int day;  /* see date.h; of monthly means the month, 1-12 */
  int line; /* of the file; 0 for a day that was filled in */
  fg_weather_source source;
  double rain_m;
  fg_day_weather weather; /* latitude, elevation and day of the year are not set */
} fg_weather_row;

typedef struct fg_weather {
  fg_weather_row *rows; /* daily: one a day, without gaps */
  size_t count;
  fg_complaints notes; /* what was filled in or left out, one line each */
} fg_weather;

/* Reads daily weather.  The first row names the columns, in any order, with their units:
 *   date                    as 2024-03-15, in order, each once
 *   rain [in]  tmin [degF]  tmax [degF]              needed
 *   humidity [%]  humidity_max [%]  humidity_min [%]  dewpoint [degF]  vapour_pressure [kPa]
 *   wind [mph]  sunshine [h]  radiation [MJ/m2/day]   where known
 * Columns by other names are left out, and that is noted.  Empty cells (also NA, - and M; T is
 * a trace of rain) are unknown.  Gaps of up to FG_WEATHER_GAP_MAX days are filled: rain as 0,
 * temperatures in a straight line, the rest as unknown; that is noted.
 * Every fault is a line "file:line: column: what is wrong, what would be right" in
 * *complaints.  FG_ESCENARIO when there is any, FG_EIO, FG_EMEMORY.  *weather is written only
 * on FG_OK; free it with fg_weather_free(). */
fg_status fg_weather_read(const char *path, fg_weather *weather, fg_complaints *complaints);

/* Reads monthly means: the same columns with `month` (1-12) for the date; rain is not needed.
 * Rows in any order, each month once. */
fg_status fg_weather_read_means(const char *path, fg_weather *means, fg_complaints *complaints);

void fg_weather_free(fg_weather *weather);

/* Row of a month, or NULL. */
const fg_weather_row *fg_weather_month(const fg_weather *means, int month);

/* The mean of the last `days` rows (at most as many as there are), without rain; what is
 * unknown on all of them stays unknown. */
fg_status fg_weather_recent(const fg_weather *weather, size_t days, fg_weather_row *mean);

#endif
