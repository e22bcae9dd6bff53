/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines on a disappointing day. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "pages/page.h"
#include "pages/verdict_report.h"
#include "report/said.h"

enum { WORDS = 96 };

const double fg_good_day = 0.5;

void fg_report_verdict_answer(fg_node *root, const fg_verdict_story *story) {
  const fg_verdict *v = story->verdict;
  const fg_banded expected = {v->expected_kg, v->predicted};
  fg_node *lines = fg_page_answer(root);
  char found[WORDS], foretold[WORDS];
  fg_note(lines, "%s: %s instead of %s.", fg_page_name(story->scenario),
          fg_quantity_text(FG_Q_SMALL_MASS, story->units, story->evidence->found_kg, found,
                           sizeof found),
          fg_said_banded(FG_Q_GOLD_MASS, story->units, &expected, foretold, sizeof foretold));
  if (v->chance >= fg_good_day) {
    fg_note(lines, "A good day: at least half of such days bring no more.");
    return;
  }
  fg_note(lines, "So little comes on %.2g days in 100: %s.", 100.0 * v->chance,
          v->chance < 0.1 ? "something is off" : "luck and doubt suffice");
  const char *next = fg_verdict_next(v, story->evidence->tail != NULL);
  fg_note(lines, "First suspect: %s. Next: %.*s.", fg_cause_names[v->order[0]],
          (int)strcspn(next, ".,:;"), next);
}
