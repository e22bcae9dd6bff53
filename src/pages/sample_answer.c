/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines of what a few buckets say. */
#include <math.h>
#include <stdio.h>

#include "pages/sample_internal.h"
#include "report/said.h"
#include "stats/band.h"

/* Before the trip: how many, and what they would tell. */
static void plan_lines(fg_node *lines, const fg_sample_story *story) {
  const fg_sample_plan *plan = story->plan;
  const char *name = fg_page_name(story->scenario);
  char weight[64];
  if (isnan(plan->buckets)) {
    fg_note(lines, "%s: at this grade and with these sizes there is nothing to count.", name);
    return;
  }
  fg_note(lines,
          "%s: take %.0f buckets, %s in all, from different spots. That tells the grade to +- "
          "%.0f %% by counting, +- %.0f %% by weighing the gold.",
          name, fmax(plan->buckets, 3.0),
          fg_said(FG_Q_MASS, story->units, plan->kg / plan->buckets * fmax(plan->buckets, 3.0),
                  weight, sizeof weight),
          100.0 * plan->count_error, 100.0 * plan->mass_error);
  fg_note(lines, "Ground as hoped for shows about %.0f colours a bucket.",
          fg_said_rounded(FG_Q_NUMBER, plan->per_bucket));
}

/* After it: the richest spot, whether it pays, and whether that is decided. */
static void result_lines(fg_node *lines, const fg_sample_story *story) {
  const fg_sample_result *result = story->result;
  const fg_station *best = &result->stations[result->richest];
  const fg_banded doubted = {best->grade.mid, best->doubted};
  char grade[96], threshold[64];
  (void)fg_said_banded(FG_Q_GRADE, story->units, &doubted, grade, sizeof grade);
  (void)fg_quantity_text(FG_Q_GRADE, story->units, story->scenario->sample.threshold, threshold,
                         sizeof threshold);
  fg_note(lines, "%s: %s, all doubt counted. The chance that it beats %s is %.0f %%.", best->name,
          grade, threshold, 100.0 * best->chance_pays);
  if (result->count > 1)
    fg_note(lines, "It is the richest of the %zu with a chance of %.0f %%.", result->count,
            100.0 * best->chance_richest);
  if (best->decision == FG_GO_ON)
    fg_note(lines, "Leave or stay is still open: take more buckets.");
  else
    fg_note(lines, "%s: the count said so after bucket %zu.",
            best->decision == FG_STAY ? "Stay" : "Leave", best->decided_after);
}

void fg_report_sample_answer(fg_node *root, const fg_sample_story *story) {
  fg_node *lines = fg_page_answer(root);
  if (story->result)
    result_lines(lines, story);
  else
    plan_lines(lines, story);
}
