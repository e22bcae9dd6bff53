/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the model leaves open between a colour and a grade. */
#include <math.h>
#include <stdlib.h>

#include "flourgold/ensemble.h"
#include "stats/band.h"
#include "study/plan.h"
#include "study/sampling.h"

/* Each member's slots: grade, and gold kept in a second, for one colour a bucket; NaN: it stalls.
 */
typedef struct drawing {
  const fg_counts *counts;
  double *grade, *kept;
} drawing;

static double kept_of_grade(const fg_sample_basis *basis) {
  return basis->gold_share_running * basis->ground_m3_s;
}

static fg_status judge(const fg_scenario *member, size_t index, void *context) {
  const drawing *d = context;
  fg_sample_basis basis;
  const fg_status status = fg_sample_basis_new(member, &basis);
  if (status != FG_OK)
    return status;
  const double colours = fg_sample_counted(member, &basis, d->counts, 1.0);
  if (colours > 0.0) {
    d->grade[index] = 1.0 / colours;
    d->kept[index] = kept_of_grade(&basis) / colours;
  }
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

static fg_status draw(const fg_scenario *scenario, unsigned long seed, drawing *slots) {
  fg_plan plan;
  fg_status status = fg_plan_new(scenario, FG_SAMPLE_DRAWS, seed, &plan);
  if (status != FG_OK)
    return status;
  for (size_t i = 0; i < FG_SAMPLE_DRAWS; ++i)
    slots->grade[i] = slots->kept[i] = NAN;
  status = fg_plan_fit(&plan, scenario);
  if (status == FG_OK)
    status = fg_plan_run(&plan, scenario, FG_SAMPLE_DRAWS, judge, slots, NULL);
  fg_plan_free(&plan);
  return status;
}

static void tell(const fg_scenario *scenario, const fg_sample_basis *basis, double colours,
                 const double *kept, double *scratch, fg_sample_doubt *doubt) {
  const double tail = 0.5 * (1.0 - scenario->sample.confidence);
  const double nominal = kept_of_grade(basis) / colours;
  keep_runs(1.0 / colours, doubt);
  doubt->low = fg_weighted_quantile(doubt->factor, NULL, doubt->count, tail, scratch);
  doubt->high = fg_weighted_quantile(doubt->factor, NULL, doubt->count, 1.0 - tail, scratch);
  doubt->band = fg_weighted_band(doubt->factor, NULL, doubt->count, scratch);
  doubt->kept_low = fg_weighted_quantile(kept, NULL, doubt->drawn, tail, scratch) / nominal;
  doubt->kept_high = fg_weighted_quantile(kept, NULL, doubt->drawn, 1.0 - tail, scratch) / nominal;
}

fg_status fg_sample_doubt_new(const fg_scenario *scenario, const fg_sample_basis *basis,
                              const fg_counts *counts, unsigned long seed, fg_sample_doubt *doubt) {
  const double colours = fg_sample_counted(scenario, basis, counts, 1.0);
  if (!(colours > 0.0))
    return FG_EDOMAIN;
  fg_sample_doubt found = {.factor = malloc(FG_SAMPLE_DRAWS * sizeof(double)),
                           .drawn = FG_SAMPLE_DRAWS};
  double *room = calloc(FG_SAMPLE_DRAWS, 3 * sizeof *room); /* kept, and twice that to sort */
  drawing slots = {counts, found.factor, room};
  fg_status status = found.factor && room ? FG_OK : FG_EMEMORY;
  if (status == FG_OK)
    status = draw(scenario, seed, &slots);
  if (status == FG_OK) {
    tell(scenario, basis, colours, slots.kept, room + FG_SAMPLE_DRAWS, &found);
    *doubt = found;
  } else {
    free(found.factor);
  }
  free(room);
  return status;
}

void fg_sample_doubt_free(fg_sample_doubt *doubt) {
  free(doubt->factor);
  doubt->factor = NULL;
  doubt->count = 0;
}
