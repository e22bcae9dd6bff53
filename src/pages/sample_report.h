/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAMPLE_REPORT_H
#define FLOURGOLD_SAMPLE_REPORT_H

#include "core/text.h"
#include "report/report.h"
#include "study/leave_or_stay.h"
#include "study/sampling.h"

/* What the report on a sample is made of. */
typedef struct fg_sample_story {
  const fg_scenario *scenario;
  const fg_sample_basis *basis;
  const fg_sample_plan *plan;
  const fg_leave_or_stay *table;        /* NULL: the threshold's ground shows no colours */
  fg_sequential_odds at_leave, at_stay; /* of own rates, on ground of either */
  const fg_sample_doubt *doubt;         /* NULL with no colours to expect */
  const fg_counts *counts;              /* NULL: the plan alone */
  const fg_sample_result *result;       /* with counts */
  fg_unit_system units;
} fg_sample_story;

/* The whole report of `flourgold sample`; NULL when memory ran out. */
fg_report *fg_sample_report(const fg_sample_story *story);

/* The blank form as a CSV file: headings and numbered rows.  Caller frees; NULL when memory
 * ran out. */
char *fg_sample_form_csv(const fg_scenario *scenario, fg_unit_system units);
/* The same to print, at most 64 columns wide, with milligrams a colour by mesh. */
char *fg_sample_form_page(const fg_scenario *scenario, fg_unit_system units);

/* The decide-as-you-go table as an array `sequential` for data; also for the card to carry. */
void fg_report_decision(fg_node *parent, const fg_leave_or_stay *table);

/* A line of it for people: "leave at 7 or fewer      stay at 13 or more". */
void fg_decision_line(fg_text *text, const fg_leave_or_stay *table, size_t index);

#endif
