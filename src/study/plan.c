/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "flourgold/config.h"
#include "flourgold/ensemble.h"

fg_status fg_plan_new(const fg_scenario *scenario, size_t samples, unsigned long seed,
                      fg_plan *plan) {
  if (samples == 0 || samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  fg_plan p = {.samples = samples};
  p.count = fg_doubts_list(scenario, p.doubts);
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
#pragma omp parallel for schedule(dynamic, 4) reduction(| : out_of_memory)
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
