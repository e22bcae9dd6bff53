/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VERDICT_REPORT_H
#define FLOURGOLD_VERDICT_REPORT_H

#include "report/report.h"
#include "study/verdict.h"

typedef struct fg_verdict_story {
  const fg_scenario *scenario;
  const fg_evidence *evidence;
  const fg_verdict *verdict;
  double buckets;
  unsigned long seed;
  fg_unit_system units;
} fg_verdict_story;

/* The report of `flourgold verdict`; NULL when memory ran out. */
fg_report *fg_verdict_report(const fg_verdict_story *story);

/* Its first lines. */
void fg_report_verdict_answer(fg_node *root, const fg_verdict_story *story);

/* As likely a catch as this, or likelier, is a good day. */
extern const double fg_good_day;

#endif
