/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BLOWERS_REPORT_H
#define FLOURGOLD_BLOWERS_REPORT_H

#include "report/report.h"
#include "study/blowers.h"

/* All blowers on one kind of ground. */
typedef struct fg_blowers_ground {
  const char *name, *words;
  fg_blower_verdict *verdict; /* [count], by volume */
} fg_blowers_ground;

typedef struct fg_blowers_story {
  const fg_scenario *scenario;
  const char *catalogue; /* where the classes come from, for people */
  size_t grounds;        /* 1: the scenario's own; else FG_GROUND_KINDS */
  fg_blowers_ground ground[FG_GROUND_KINDS];
  size_t count;
  fg_blowers_options options;
  fg_unit_system units;
} fg_blowers_story;

/* The report of `flourgold blowers`; NULL when memory ran out. */
fg_report *fg_blowers_report(const fg_blowers_story *story);

/* Its first lines. */
void fg_report_blowers_answer(fg_node *root, const fg_blowers_story *story);

#endif
