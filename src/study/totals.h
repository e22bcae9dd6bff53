/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TOTALS_H
#define FLOURGOLD_TOTALS_H

#include <stddef.h>

#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* Total effects: what an input does alone and together with others. */

/* A share of variance with one standard deviation of it; NaN: unknown. */
typedef struct fg_total {
  double share, error;
} fg_total;

extern const fg_total fg_total_unknown;

/* Of the kept share of all gold and of the fine gold. */
typedef struct fg_totals {
  fg_total all, fine;
} fg_totals;

/* Total effects of `groups` groups of columns of a plan: group_of[column] is the group that a
 * column belongs to (each to one at most; groups or above: to none).  The first `rows` members are
 * run again with each group drawn anew (Latin hypercube), rows x groups runs beside the first rows,
 * and the pairs go to fg_total_effect(), weighed by what was observed on the machine.  Pairs of
 * which one stalls are passed over.  The same seed gives the same totals.  totals[groups];
 * FG_EDOMAIN when rows is 0 or more than the plan's, FG_EMEMORY. */
fg_status fg_totals_run(const fg_scenario *scenario, const fg_plan *plan, const size_t *group_of,
                        size_t groups, size_t rows, unsigned long seed, fg_totals *totals);

#endif
