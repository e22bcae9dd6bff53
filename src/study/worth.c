/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/worth.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "study/advice.h"
#include "study/plan.h"

/* Fine gold kept; NaN when the deck stalls or has no balance. */
static fg_status kept_by(const fg_scenario *s, double *kept) {
  fg_loss loss;
  *kept = NAN;
  const fg_status status = fg_loss_run(s, NULL, &loss);
  if (status == FG_EMEMORY)
    return status;
  if (status != FG_OK && status != FG_ESTALL)
    return FG_OK;
  if (status == FG_OK)
    *kept = fg_fine_kept(&loss);
  fg_loss_free(&loss);
  return FG_OK;
}

static fg_status kept_at(const fg_scenario *s, int row, double value, double *kept) {
  fg_scenario moved = *s;
  *kept = NAN;
  const fg_status status = fg_scenario_correct(&moved, row, value);
  if (status == FG_EMEMORY)
    return status;
  return status == FG_OK ? kept_by(&moved, kept) : FG_OK;
}

/* Whether the scenario leaves open what this row measures. */
static bool lacking(const fg_scenario *s, const fg_measuring *m, fg_worth *w) {
  if (fg_setting_same_group(m->row, FG_SET_OBSERVED_BOX_PRESSURE) ||
      m->row == FG_SET_GROUND_JAR_SAND || m->row == FG_SET_GROUND_JAR_SILT ||
      m->row == FG_SET_GROUND_JAR_CLAY)
    return false;
  const int row = m->stands_for != FG_SET_NONE ? m->stands_for : m->row;
  if (fg_setting_given(s, m->row) || s->origin[row] != FG_FROM_DEFAULT)
    return false;
  if (m->row == FG_SET_SHAKER_STROKE && fg_setting_given(s, FG_SET_SHAKER_MASS))
    return false;
  if (m->row == FG_SET_DECK_EMPTY_BOX_PRESSURE && fg_setting_given(s, FG_SET_DECK_BOARD_OPEN_SHARE))
    return false;
  if (row == FG_SET_GOLD_MEDIAN_SIZE && s->gold.class_count > 0)
    return false;
  if (row == FG_SET_BLOWER_LABEL_DERATE && s->blower.curve_count > 0)
    return false;
  fg_doubt doubt;
  if (!fg_doubt_of(s, row, &doubt))
    return false;
  *w = (fg_worth){.how = m, .row = row, .low = doubt.low, .high = doubt.high};
  return true;
}

static double or_none(double kept) { return isnan(kept) ? 0.0 : kept; }

static int most_first(const void *left, const void *right) {
  const double a = ((const fg_worth *)left)->swing, b = ((const fg_worth *)right)->swing;
  return a > b ? -1 : a < b;
}

fg_status fg_worth_list(const fg_scenario *scenario, fg_worth worths[FG_WORTHS_MAX], size_t *count,
                        double *kept) {
  size_t n = 0;
  fg_status status = kept_by(scenario, kept);
  for (size_t i = 0; i < fg_measurings_count && n < FG_WORTHS_MAX && status == FG_OK; ++i) {
    fg_worth *w = &worths[n];
    if (!lacking(scenario, &fg_measurings[i], w))
      continue;
    status = kept_at(scenario, w->row, w->low, &w->kept_low);
    if (status == FG_OK)
      status = kept_at(scenario, w->row, w->high, &w->kept_high);
    const double a = or_none(w->kept_low), b = or_none(w->kept_high), now = or_none(*kept);
    w->swing = fmax(now, fmax(a, b)) - fmin(now, fmin(a, b));
    ++n;
  }
  if (status != FG_OK)
    return status;
  qsort(worths, n, sizeof worths[0], most_first);
  *count = n;
  return FG_OK;
}
