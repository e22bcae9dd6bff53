/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "stats/samples.h"
#include "study/observe.h"
#include "study/plan.h"

const double fg_least_effective = 10.0;

fg_status fg_plan_new(const fg_scenario *scenario, size_t samples, unsigned long seed,
                      fg_plan *plan) {
  if (samples == 0 || samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  fg_plan p = {.samples = samples};
  p.count = fg_doubt_list(scenario, p.doubts);
  if (p.count > 0) {
    p.table = calloc(samples * p.count, sizeof *p.table);
    if (!p.table)
      return FG_EMEMORY;
    const fg_status status = fg_sample_table(samples, p.count, seed, p.table);
    if (status != FG_OK) {
      free(p.table);
      return status;
    }
  }
  *plan = p;
  return FG_OK;
}

void fg_plan_free(fg_plan *plan) {
  free(plan->table);
  plan->table = NULL;
}

fg_status fg_plan_member(const fg_plan *plan, const fg_scenario *base, size_t index,
                         fg_scenario *member) {
  *member = *base;
  for (size_t j = 0; j < plan->count; ++j)
    fg_doubt_apply(&plan->doubts[j], plan->table[index * plan->count + j], member);
  return fg_scenario_resolve(member);
}

fg_status fg_plan_run(const fg_plan *plan, const fg_scenario *base, size_t count, fg_judge judge,
                      void *context) {
  if (count > plan->samples)
    return FG_EDOMAIN;
  int out_of_memory = 0;
  const long members = (long)count;
#pragma omp parallel for schedule(dynamic, 1) reduction(| : out_of_memory)
  for (long i = 0; i < members; ++i) {
    fg_scenario *member = malloc(sizeof *member);
    if (!member) {
      out_of_memory |= 1;
    } else {
      if (fg_plan_member(plan, base, (size_t)i, member) == FG_OK)
        judge(member, (size_t)i, context);
      free(member);
    }
  }
  return out_of_memory ? FG_EMEMORY : FG_OK;
}

static void weigh_member(const fg_scenario *member, size_t index, void *context) {
  double *log_weight = context;
  fg_observed seen;
  if (fg_observe_predict(member, &seen) == FG_OK)
    log_weight[index] = seen.log_likelihood;
}

/* exp() of the differences to the largest, so that nothing underflows together. */
static void scale_weights(double *weight, size_t count, double *effective) {
  double most = -INFINITY, sum = 0.0;
  for (size_t i = 0; i < count; ++i)
    most = fmax(most, weight[i]);
  *effective = 0.0;
  if (!isfinite(most)) {
    for (size_t i = 0; i < count; ++i)
      weight[i] = 1.0;
    return;
  }
  for (size_t i = 0; i < count; ++i)
    sum += weight[i] = exp(weight[i] - most);
  for (size_t i = 0; i < count; ++i)
    weight[i] *= (double)count / sum;
  *effective = fg_effective_size(weight, count);
}

fg_status fg_plan_weigh(const fg_plan *plan, const fg_scenario *base, double *weight,
                        double *effective, bool *weighed) {
  fg_observed seen;
  /* Even when the nominal machine has no answer, the readings can be counted. */
  const bool told = fg_observe_predict(base, &seen) == FG_OK;
  for (size_t i = 0; i < plan->samples; ++i)
    weight[i] = told && seen.count == 0 ? 1.0 : (double)-INFINITY;
  *weighed = !(told && seen.count == 0);
  *effective = (double)plan->samples;
  if (!*weighed)
    return FG_OK;
  const fg_status status = fg_plan_run(plan, base, plan->samples, weigh_member, weight);
  if (status == FG_OK)
    scale_weights(weight, plan->samples, effective);
  return status;
}

fg_status fg_plan_resample(const fg_plan *plan, const double *weight, fg_plan *resampled) {
  static const double golden = 0.6180339887498949;
  const size_t n = plan->samples, columns = plan->count;
  fg_plan p = *plan;
  p.table = NULL;
  if (columns > 0 && !(p.table = calloc(n * columns, sizeof *p.table)))
    return FG_EMEMORY;
  double all = 0.0;
  for (size_t i = 0; i < n; ++i)
    all += weight[i];
  for (size_t j = 0; j < n && columns > 0; ++j) {
    const double turn = 0.5 + golden * (double)j, mark = all * (turn - floor(turn));
    size_t i = 0;
    double sum = weight[0];
    while (sum < mark && i + 1 < n)
      sum += weight[++i];
    memcpy(p.table + j * columns, plan->table + i * columns, columns * sizeof *p.table);
  }
  *resampled = p;
  return FG_OK;
}
