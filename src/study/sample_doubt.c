/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the model leaves open between a colour and a grade. */
#include <math.h>
#include <stdlib.h>

#include "flourgold/ensemble.h"
#include "stats/band.h"
#include "study/plan.h"
#include "study/sampling.h"

typedef struct drawing {
  const fg_counts *counts;
  double *grade;
} drawing;

/* Each member's slot: its grade for one colour a bucket, NaN where it stalls. */
static fg_status judge(const fg_scenario *member, size_t index, void *context) {
  const drawing *d = context;
  fg_sample_basis basis;
  const fg_status status = fg_sample_basis_new(member, &basis);
  if (status != FG_OK)
    return status;
  const double colours = fg_sample_counted(member, &basis, d->counts, 1.0);
  if (colours > 0.0)
    d->grade[index] = 1.0 / colours;
  fg_sample_basis_free(&basis);
  return FG_OK;
}

static int by_size(const void *a, const void *b) {
  const double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

/* Draws that ran, over the nominal, sorted to the front. */
static void keep_runs(double nominal, fg_sample_doubt *doubt) {
  for (size_t i = 0; i < doubt->drawn; ++i)
    if (isfinite(doubt->factor[i]))
      doubt->factor[doubt->count++] = doubt->factor[i] / nominal;
  qsort(doubt->factor, doubt->count, sizeof *doubt->factor, by_size);
}

fg_status fg_sample_doubt_new(const fg_scenario *scenario, const fg_sample_basis *basis,
                              const fg_counts *counts, unsigned long seed, fg_sample_doubt *doubt) {
  const double colours = fg_sample_counted(scenario, basis, counts, 1.0);
  fg_plan plan;
  if (!(colours > 0.0))
    return FG_EDOMAIN;
  fg_status status = fg_plan_new(scenario, FG_SAMPLE_DRAWS, seed, &plan);
  if (status != FG_OK)
    return status;
  fg_sample_doubt found = {.factor = malloc(FG_SAMPLE_DRAWS * sizeof(double)),
                           .drawn = FG_SAMPLE_DRAWS};
  double *scratch = calloc(FG_SAMPLE_DRAWS, 2 * sizeof *scratch);
  status = found.factor && scratch ? fg_plan_fit(&plan, scenario) : FG_EMEMORY;
  for (size_t i = 0; status == FG_OK && i < found.drawn; ++i)
    found.factor[i] = NAN;
  drawing slots = {counts, found.factor};
  if (status == FG_OK)
    status = fg_plan_run(&plan, scenario, found.drawn, judge, &slots, NULL);
  if (status == FG_OK) {
    const double tail = 0.5 * (1.0 - scenario->sample.confidence);
    keep_runs(1.0 / colours, &found);
    found.low = fg_weighted_quantile(found.factor, NULL, found.count, tail, scratch);
    found.high = fg_weighted_quantile(found.factor, NULL, found.count, 1.0 - tail, scratch);
    found.band = fg_weighted_band(found.factor, NULL, found.count, scratch);
    *doubt = found;
  } else {
    free(found.factor);
  }
  free(scratch);
  fg_plan_free(&plan);
  return status;
}

void fg_sample_doubt_free(fg_sample_doubt *doubt) {
  free(doubt->factor);
  doubt->factor = NULL;
  doubt->count = 0;
}
