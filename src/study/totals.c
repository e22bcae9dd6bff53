/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/totals.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/loss.h"
#include "stats/samples.h"
#include "study/fine.h"
#include "study/plan.h"

const fg_total fg_total_unknown = {NAN, NAN};

/* Keeps the seed of what is drawn anew apart from that of the plan. */
static const unsigned long anew = 0x5eed;

/* Block 0 of the table holds the rows as drawn, block g + 1 the same with group g drawn anew. */
static fg_status draw_blocks(const fg_plan *plan, const size_t *group_of, size_t groups,
                             size_t rows, unsigned long seed, fg_plan *blocks) {
  const size_t wide = FG_SOBOL_COLUMNS + plan->count, size = rows * plan->count;
  *blocks = *plan;
  blocks->samples = rows * (groups + 1);
  blocks->weight = NULL;
  blocks->table = calloc(size * (groups + 1) + 1, sizeof *blocks->table);
  double *fresh = calloc(rows * wide, sizeof *fresh);
  fg_status status = blocks->table && fresh ? FG_OK : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_sample_table(rows, wide, seed ^ anew, fresh);
  for (size_t b = 0; status == FG_OK && b <= groups; ++b) {
    double *block = blocks->table + b * size;
    memcpy(block, plan->table, size * sizeof *block);
    for (size_t j = 0; j < plan->count; ++j)
      for (size_t i = 0; b > 0 && group_of[j] == b - 1 && i < rows; ++i)
        block[i * plan->count + j] = fresh[i * wide + FG_SOBOL_COLUMNS + j];
  }
  free(fresh);
  if (status != FG_OK)
    fg_plan_free(blocks);
  return status;
}

typedef struct outputs {
  double *all, *fine; /* [samples] */
} outputs;

static fg_status judge(const fg_scenario *member, size_t index, void *context) {
  static const fg_loss_options kept_only = {.kept_only = true};
  const outputs *out = context;
  fg_loss loss;
  const fg_status status = fg_loss_run(member, &kept_only, &loss);
  if (status != FG_OK)
    return status;
  out->all[index] = loss.kept;
  out->fine[index] = fg_fine_kept(&loss);
  fg_loss_free(&loss);
  return FG_OK;
}

static fg_total total_of(const double *output, const double *weight, size_t rows, size_t block) {
  const fg_redrawn pairs = {output, output + block * rows, weight,
                            weight ? weight + block * rows : NULL, rows};
  fg_total total = fg_total_unknown;
  (void)fg_total_effect(&pairs, &total.share, &total.error);
  return total;
}

fg_status fg_totals_run(const fg_scenario *scenario, const fg_plan *plan, const size_t *group_of,
                        size_t groups, size_t rows, unsigned long seed, fg_totals *totals) {
  if (rows == 0 || rows > plan->samples)
    return FG_EDOMAIN;
  fg_plan blocks;
  fg_status status = draw_blocks(plan, group_of, groups, rows, seed, &blocks);
  if (status != FG_OK)
    return status;
  double *room = calloc(2 * blocks.samples, sizeof *room);
  outputs out = {room, room + blocks.samples};
  for (size_t i = 0; room && i < 2 * blocks.samples; ++i)
    room[i] = NAN;
  status = room ? fg_plan_weigh(&blocks, scenario) : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_plan_run(&blocks, scenario, blocks.samples, judge, &out, NULL);
  for (size_t g = 0; status == FG_OK && g < groups; ++g)
    totals[g] = (fg_totals){total_of(out.all, blocks.weight, rows, g + 1),
                            total_of(out.fine, blocks.weight, rows, g + 1)};
  free(room);
  fg_plan_free(&blocks);
  return status;
}
