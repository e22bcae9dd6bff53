/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DAY_REPORT_H
#define FLOURGOLD_DAY_REPORT_H

#include "report/report.h"
#include "study/day.h"

typedef struct fg_day_story {
  const fg_days *days;
  unsigned long seed;
  double price_per_g; /* NaN: none was given */
  fg_unit_system units;
} fg_day_story;

/* The report of `flourgold day`; NULL when memory ran out. */
fg_report *fg_day_report(const fg_day_story *story);

/* The packing list as the array `load` and as lines for people. */
void fg_report_load(fg_node *parent, const fg_day *day, fg_unit_system units);

/* Its first lines. */
void fg_report_day_answer(fg_node *root, const fg_day_story *story);

#endif
