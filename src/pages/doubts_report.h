/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DOUBTS_REPORT_H
#define FLOURGOLD_DOUBTS_REPORT_H

#include "report/report.h"
#include "study/doubts.h"

typedef struct fg_doubts_story {
  const fg_scenario *scenario;
  const fg_doubts *doubts;
  fg_unit_system units;
} fg_doubts_story;

/* The report of `flourgold doubts`; NULL when memory ran out. */
fg_report *fg_doubts_report(const fg_doubts_story *story);

#endif
