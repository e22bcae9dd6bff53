/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VARY_REPORT_H
#define FLOURGOLD_VARY_REPORT_H

#include "flourgold/loss.h"
#include "pages/page.h"
#include "study/advice.h"
#include "study/gains.h"

enum { FG_VARIANTS_MAX = 12 };

/* One setting at several values, against the scenario as it is. */
typedef struct fg_vary_story {
  const fg_scenario *scenario;
  const fg_loss *loss; /* as it is */
  int row;             /* the setting that varies */
  size_t count;
  const char (*words)[64];  /* [count] each value as it was typed */
  const fg_trial *variants; /* [count] */
  const fg_gain *gains;     /* [count] from the same draws, where there are any */
  bool banded;
  fg_unit_system units;
} fg_vary_story;

/* NULL when memory ran out. */
fg_report *fg_vary_report(const fg_vary_story *story);

#endif
