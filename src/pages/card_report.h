/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CARD_REPORT_H
#define FLOURGOLD_CARD_REPORT_H

#include "flourgold/ensemble.h"
#include "report/report.h"
#include "study/day.h"
#include "study/drying.h"
#include "study/leave_or_stay.h"

typedef struct fg_card_story {
  const fg_scenario *scenario; /* at the settings of the card */
  bool present;                /* they are the file's own */
  const fg_loss *loss;
  const fg_bands *bands;         /* NULL: the nominal run alone */
  const fg_drying *drying;       /* NULL: no weather was given */
  double moisture_limit;         /* dry enough below; INFINITY: at any; NaN: not known */
  double best_interval_s;        /* of cleaning, for most gold; NaN: not known */
  const fg_leave_or_stay *table; /* NULL: nothing to decide by */
  const fg_day *day;
  fg_unit_system units;
} fg_card_story;

/* The card; NULL when memory ran out. */
fg_report *fg_card_report(const fg_card_story *story);

#endif
