/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_TABLE_H
#define FLOURGOLD_TUNE_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "study/best.h"

/* One cell of the table of settings against ground. */
typedef struct fg_tune_cell {
  double moisture;   /* share */
  const char *grain; /* "fine" ... */
  double median_m;
  bool stalls; /* no setting runs */
  double at[FG_KNOBS];
  double box_pressure_pa; /* nominal run; NaN when that stalls */
  fg_band kept, kg_s;
  double stall_share;
} fg_tune_cell;

enum { FG_GRAIN_KINDS = 3, FG_MOISTURES_MAX = 8 };
extern const char *const fg_grain_names[FG_GRAIN_KINDS + 1]; /* fine, medium, coarse; NULL ends */

/* What a table of settings is made for.  Options: quick, the slope held, as many members as a
 * cell is worth. */
typedef struct fg_tune_grid {
  double moisture[FG_MOISTURES_MAX]; /* share */
  size_t moistures;
  bool grain[FG_GRAIN_KINDS];
} fg_tune_grid;

void fg_tune_table_defaults(const fg_scenario *scenario, fg_tune_options *options,
                            fg_tune_grid *grid);
/* Tunes every cell, grain by grain, on the deck and from the settings that are best for the
 * scenario's own ground; each starts from what was best for the one before too.  *own: that
 * ground's own cell.  cells: room for moistures x kinds; *count: those filled. */
fg_status fg_tune_table_run(const fg_best *best, const fg_tune_options *options,
                            const fg_tune_grid *grid, fg_tune_cell *own, fg_tune_cell *cells,
                            size_t *count);

#endif
