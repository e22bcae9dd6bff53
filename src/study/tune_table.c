/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "study/tune_internal.h"
#include "study/tune_table.h"

enum { CELL_SAMPLES = 48 };

const char *const fg_grain_names[FG_GRAIN_KINDS + 1] = {"fine", "medium", "coarse", NULL};
static const double grain_medians_m[FG_GRAIN_KINDS] = {0.8e-3, 1.9e-3, 3.8e-3};

void fg_tune_table_defaults(const fg_scenario *scenario, fg_tune_options *options,
                            fg_tune_grid *grid) {
  static const double moistures[] = {0.005, 0.01, 0.02, 0.03};
  fg_tune_defaults(scenario, FG_AIM_GOLD_PER_HOUR, options);
  options->quick = true;
  options->samples = CELL_SAMPLES;
  options->knob[FG_KNOB_SLOPE].free = false;
  options->knob[FG_KNOB_SCREEN].free = false;
  *grid = (fg_tune_grid){.moistures = sizeof moistures / sizeof moistures[0]};
  memcpy(grid->moisture, moistures, sizeof moistures);
  for (size_t i = 0; i < FG_GRAIN_KINDS; ++i)
    grid->grain[i] = true;
}

/* The scenario on the ground of a cell. */
static fg_status make_ground(const fg_scenario *scenario, const fg_tune_cell *cell,
                             fg_scenario *ground) {
  static const fg_setting_row rows[] = {FG_SET_GROUND_MOISTURE, FG_SET_GROUND_MEDIAN_GRAIN};
  const double values[] = {cell->moisture, cell->median_m};
  *ground = *scenario;
  for (size_t i = 0; i < 2; ++i) {
    (void)fg_scenario_set(ground, rows[i], values[i]);
    ground->error_of[rows[i]] = 0.0;
  }
  ground->ground.sieve_count = 0;
  return fg_scenario_resolve(ground);
}

static fg_status tell_cell(const fg_scenario *ground, const fg_tuned *tuned, fg_tune_cell *cell) {
  memcpy(cell->at, tuned->best.at, sizeof cell->at);
  cell->kept = tuned->best_kept;
  cell->kg_s = tuned->best_kg_s;
  cell->stall_share = tuned->best.stall_share;
  fg_scenario *best = malloc(sizeof *best);
  if (!best)
    return FG_EMEMORY;
  fg_machine machine;
  fg_status solved = fg_tune_apply(ground, tuned->best.at, best);
  if (solved == FG_OK)
    solved = fg_machine_solve(best, &machine);
  if (solved == FG_OK && !machine.stalled)
    cell->box_pressure_pa = machine.at.box_pressure_pa;
  free(best);
  return solved;
}

static fg_status tune_cell(const fg_scenario *ground, const fg_tune_options *options,
                           fg_tune_cell *cell) {
  fg_tuned tuned;
  const fg_status status = fg_tune_run(ground, options, &tuned);
  cell->stalls = status == FG_ESTALL;
  if (status != FG_OK)
    return cell->stalls ? FG_OK : status;
  return tell_cell(ground, &tuned, cell);
}

/* Whether a cell is the scenario's own ground. */
static bool is_own(const fg_scenario *s, const fg_tune_cell *cell) {
  return s->ground.sieve_count == 0 && fabs(cell->moisture - s->ground.moisture) < 1e-9 &&
         fabs(cell->median_m - s->ground.median_grain) < 1e-9;
}

fg_status fg_tune_table_run(const fg_best *best, const fg_tune_options *options,
                            const fg_tune_grid *grid, fg_tune_cell *own, fg_tune_cell *cells,
                            size_t *count) {
  fg_scenario *ground = malloc(sizeof *ground);
  fg_tune_options cell_options = *options;
  *own = (fg_tune_cell){.moisture = best->set.ground.moisture,
                        .grain = "yours",
                        .median_m = best->set.ground.median_grain,
                        .box_pressure_pa = NAN};
  fg_status status = ground ? tell_cell(&best->set, &best->tuned, own) : FG_EMEMORY;
  *count = 0;
  cell_options.hinted = true;
  memcpy(cell_options.hint, own->at, sizeof own->at);
  for (size_t g = 0; g < FG_GRAIN_KINDS; ++g)
    for (size_t i = 0; i < grid->moistures && grid->grain[g] && status == FG_OK; ++i) {
      fg_tune_cell *cell = &cells[(*count)++];
      *cell = (fg_tune_cell){.moisture = grid->moisture[i],
                             .grain = fg_grain_names[g],
                             .median_m = grain_medians_m[g],
                             .box_pressure_pa = NAN};
      status = make_ground(&best->set, cell, ground);
      if (status == FG_OK && is_own(&best->set, cell))
        status = tell_cell(&best->set, &best->tuned, cell);
      else if (status == FG_OK)
        status = tune_cell(ground, &cell_options, cell);
      if (status == FG_OK && !cell->stalls)
        memcpy(cell_options.hint, cell->at, sizeof cell->at);
    }
  free(ground);
  return status;
}
