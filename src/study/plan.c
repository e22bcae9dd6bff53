/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/progress.h"
#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "stats/band.h"
#include "stats/samples.h"
#include "study/observe.h"
#include "study/plan.h"

const double fg_least_effective = 10.0;

fg_status fg_plan_draw(fg_plan *plan, unsigned long seed) {
  if (plan->samples == 0 || plan->samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  plan->effective = (double)plan->samples;
  if (plan->count == 0)
    return FG_OK;
  plan->table = calloc(plan->samples * plan->count, sizeof *plan->table);
  if (!plan->table)
    return FG_EMEMORY;
  const fg_status status = fg_sample_table(plan->samples, plan->count, seed, plan->table);
  if (status != FG_OK)
    fg_plan_free(plan);
  return status;
}

fg_status fg_plan_new(const fg_scenario *scenario, size_t samples, unsigned long seed,
                      fg_plan *plan) {
  fg_plan p = {.samples = samples};
  p.count = fg_doubt_list(scenario, p.doubts);
  const fg_status status = fg_plan_draw(&p, seed);
  if (status == FG_OK)
    *plan = p;
  return status;
}

void fg_plan_free(fg_plan *plan) {
  free(plan->table);
  free(plan->weight);
  plan->table = plan->weight = NULL;
}

/* Its columns of a table that holds those of several plans, `wide` of them. */
static fg_status pick_columns(fg_plan *plan, const double *all, size_t wide,
                              const size_t column_of[]) {
  plan->effective = (double)plan->samples;
  plan->table = calloc(plan->samples * plan->count + 1, sizeof *plan->table);
  if (!plan->table)
    return FG_EMEMORY;
  for (size_t i = 0; i < plan->samples; ++i)
    for (size_t j = 0; j < plan->count; ++j)
      plan->table[i * plan->count + j] = all[i * wide + column_of[plan->doubts[j].row]];
  return FG_OK;
}

fg_status fg_plans_new(const fg_scenario scenarios[], size_t count, size_t samples,
                       unsigned long seed, fg_plan plans[]) {
  size_t column_of[FG_SETTINGS], wide = 0;
  for (size_t row = 0; row < FG_SETTINGS; ++row)
    column_of[row] = FG_SETTINGS;
  for (size_t p = 0; p < count; ++p) {
    plans[p] = (fg_plan){.samples = samples};
    plans[p].count = fg_doubt_list(&scenarios[p], plans[p].doubts);
    for (size_t j = 0; j < plans[p].count; ++j)
      if (column_of[plans[p].doubts[j].row] == FG_SETTINGS)
        column_of[plans[p].doubts[j].row] = wide++;
  }
  if (samples == 0 || samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  double *all = calloc(samples * wide + 1, sizeof *all);
  fg_status status = all ? FG_OK : FG_EMEMORY;
  if (status == FG_OK && wide > 0)
    status = fg_sample_table(samples, wide, seed, all);
  for (size_t p = 0; status == FG_OK && p < count; ++p)
    status = pick_columns(&plans[p], all, wide, column_of);
  for (size_t p = 0; status != FG_OK && p < count; ++p)
    fg_plan_free(&plans[p]);
  free(all);
  return status;
}

fg_status fg_plan_member(const fg_plan *plan, const fg_scenario *base, size_t index,
                         fg_scenario *member) {
  *member = *base;
  for (size_t j = 0; j < plan->count; ++j) {
    fg_doubt doubt = plan->doubts[j];
    fg_doubt_recentre(base, &doubt);
    fg_doubt_apply(&doubt, plan->table[index * plan->count + j], member);
  }
  return fg_scenario_resolve(member);
}

/* Stalled members over those with an answer, by weight. */
static double share_of_stalls(const fg_plan *plan, const fg_status *told, size_t count) {
  double answered = 0.0, stalled = 0.0;
  for (size_t i = 0; i < count; ++i) {
    const double weight = plan->weight ? plan->weight[i] : 1.0;
    answered += told[i] == FG_OK || told[i] == FG_ESTALL ? weight : 0.0;
    stalled += told[i] == FG_ESTALL ? weight : 0.0;
  }
  return answered > 0.0 ? stalled / answered : (double)NAN;
}

fg_status fg_plan_run(const fg_plan *plan, const fg_scenario *base, size_t count, fg_judge judge,
                      void *context, double *stall_share) {
  if (count > plan->samples)
    return FG_EDOMAIN;
  fg_status *told = calloc(count + 1, sizeof *told);
  if (!told)
    return FG_EMEMORY;
  int out_of_memory = 0;
  const long members = (long)count;
  size_t done = 0;
#pragma omp parallel for schedule(dynamic, 1) reduction(| : out_of_memory)
  for (long i = 0; i < members; ++i) {
    fg_scenario *member = malloc(sizeof *member);
    if (!member) {
      out_of_memory |= 1;
    } else {
      told[i] = fg_plan_member(plan, base, (size_t)i, member);
      /* Resolving may say of itself that a deck stalls; that is no answer of the judge. */
      told[i] = told[i] == FG_OK ? judge(member, (size_t)i, context) : FG_EDOMAIN;
      free(member);
    }
    size_t so_far;
#pragma omp atomic capture
    so_far = ++done;
    fg_progress(so_far, count);
  }
  if (stall_share)
    *stall_share = share_of_stalls(plan, told, count);
  free(told);
  return out_of_memory ? FG_EMEMORY : FG_OK;
}

static fg_status weigh_member(const fg_scenario *member, size_t index, void *context) {
  double *log_weight = context;
  fg_observed seen;
  const fg_status status = fg_observe_predict(member, &seen);
  if (status == FG_OK)
    log_weight[index] = seen.log_likelihood;
  return status;
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

fg_status fg_plan_weigh(fg_plan *plan, const fg_scenario *base) {
  fg_observed seen;
  double *weight = calloc(plan->samples, sizeof *weight);
  if (!weight)
    return FG_EMEMORY;
  /* Even when the nominal machine has no answer, the readings can be counted. */
  plan->weighed = !(fg_observe_predict(base, &seen) == FG_OK && seen.count == 0);
  for (size_t i = 0; i < plan->samples; ++i)
    weight[i] = plan->weighed ? -(double)INFINITY : 1.0;
  plan->effective = (double)plan->samples;
  fg_status status = FG_OK;
  if (plan->weighed)
    status = fg_plan_run(plan, base, plan->samples, weigh_member, weight, NULL);
  if (plan->weighed && status == FG_OK)
    scale_weights(weight, plan->samples, &plan->effective);
  free(plan->weight);
  plan->weight = weight;
  return status;
}

fg_status fg_plan_resample(fg_plan *plan) {
  static const double golden = 0.6180339887498949;
  const size_t n = plan->samples, columns = plan->count;
  double *table = calloc(n * columns + 1, sizeof *table);
  if (!table)
    return FG_EMEMORY;
  for (size_t j = 0; j < n && columns > 0; ++j) {
    const double turn = 0.5 + golden * (double)j;
    const size_t i = fg_weighted_choice(plan->weight, n, 1.0 - (turn - floor(turn)));
    memcpy(table + j * columns, plan->table + i * columns, columns * sizeof *table);
  }
  fg_plan_free(plan);
  plan->table = table;
  return FG_OK;
}

fg_status fg_plan_fit(fg_plan *plan, const fg_scenario *base) {
  const fg_status status = fg_plan_weigh(plan, base);
  return status == FG_OK && plan->weighed ? fg_plan_resample(plan) : status;
}
