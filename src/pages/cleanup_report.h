/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CLEANUP_REPORT_H
#define FLOURGOLD_CLEANUP_REPORT_H

#include "report/report.h"
#include "study/cleanup.h"

/* Black sand of ordinary ground and of a black-sand streak, as shares of what passes the screen;
 * what common practice is held against. */
enum { FG_PRACTICES = 2 };
extern const double fg_practice_magnetite[FG_PRACTICES];

typedef struct fg_cleanup_story {
  const fg_scenario *scenario;
  const fg_cleanup *cleanup;
  const fg_cleanup *practice; /* [FG_PRACTICES] the same deck on such ground */
  double advised_s;           /* the interval that every command names for these settings; NaN */
  fg_unit_system units;
} fg_cleanup_story;

/* The report of `flourgold cleanup`; NULL when memory ran out. */
fg_report *fg_cleanup_report(const fg_cleanup_story *story);

#endif
