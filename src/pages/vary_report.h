/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VARY_REPORT_H
#define FLOURGOLD_VARY_REPORT_H

#include "flourgold/loss.h"
#include "pages/page.h"
#include "study/advice.h"
#include "study/gains.h"

enum { FG_VARIANTS_MAX = 12, FG_VARIANT_WORDS = 64 };

/* One setting at several values against the scenario as it is, or several scenarios against the
 * first of them, which stands among them. */
typedef struct fg_vary_story {
  const fg_scenario *scenario; /* [1], or [count] scenarios side by side */
  const fg_loss *loss;         /* of the first */
  int row;                     /* the setting that varies; FG_SET_NONE: the scenarios do */
  size_t count;
  const char (*words)[FG_VARIANT_WORDS]; /* [count] each value as it was typed; names of files */
  const fg_trial *variants;              /* [count] */
  const fg_gain *gains;                  /* [count] from the same draws, where there are any */
  bool banded;
  fg_unit_system units;
} fg_vary_story;

/* NULL when memory ran out. */
fg_report *fg_vary_report(const fg_vary_story *story);
fg_report *fg_beside_report(const fg_vary_story *story);

/* The answer of both: which brings the most gold an hour, and which keeps the most, against the one
 * as it is, called `now`. */
void fg_vary_answer(fg_node *lines, const fg_vary_story *story, const char *name, const char *now);

#endif
