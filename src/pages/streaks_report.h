/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_STREAKS_REPORT_H
#define FLOURGOLD_STREAKS_REPORT_H

#include "flourgold/quantity.h"
#include "report/report.h"
#include "study/streaks.h"

/* What was asked of one place. */
typedef struct fg_place_asked {
  bool asked;
  double x_m, y_m;
  fg_kriged kriged;
  double inverse_distance;
  size_t count;                     /* readings it was made of */
  size_t index[FG_NEIGHBOURS_MOST]; /* in the order of the file */
  double weight[FG_NEIGHBOURS_MOST];
} fg_place_asked;

/* What the report of `flourgold streaks` is made of. */
typedef struct fg_streaks_story {
  const char *path;
  const fg_readings *readings;
  const fg_streaks *streaks;
  const fg_place_asked *at;
  double power;          /* of the inverse distance */
  size_t top;            /* flags shown to people; data has all */
  const char *map, *gpx; /* files written, NULL: none */
  fg_unit_system units;
} fg_streaks_story;

/* The whole report; NULL when memory ran out. */
fg_report *fg_streaks_report(const fg_streaks_story *story);

/* Draws the map (plots/streaks.gp, by gnuplot) to `path`, its data beside it with ".csv" behind
 * the name.  FG_ESCENARIO, FG_EIO, FG_EMEMORY with a message. */
fg_status fg_streaks_picture(const fg_streaks_story *story, const char *path, char *message,
                             size_t size);

#endif
