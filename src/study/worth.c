/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/worth.h"

#include <math.h>
#include <stdlib.h>

#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "study/fine.h"
#include "study/plan.h"

const double fg_telling_swing = 0.005;

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

/* Another reading settles the same, or it is taken while the deck runs. */
static bool is_needless(const fg_scenario *s, const fg_measuring *m, int row) {
  return fg_setting_same_group(m->row, FG_SET_OBSERVED_BOX_PRESSURE) ||
         m->row == FG_SET_GROUND_JAR_SAND || m->row == FG_SET_GROUND_JAR_SILT ||
         m->row == FG_SET_GROUND_JAR_CLAY ||
         (m->row == FG_SET_SHAKER_STROKE && fg_setting_given(s, FG_SET_SHAKER_MASS)) ||
         (m->row == FG_SET_DECK_EMPTY_BOX_PRESSURE &&
          fg_setting_given(s, FG_SET_DECK_BOARD_OPEN_SHARE)) ||
         (row == FG_SET_GOLD_MEDIAN_SIZE && s->gold.class_count > 0) ||
         (row == FG_SET_BLOWER_LABEL_DERATE && s->blower.curve_count > 0);
}

/* Adds the shares of all inputs that the measurement settles; its row is that of the strongest. */
static void add_shares(const fg_told *told, size_t count, fg_worth *w) {
  double strongest = 0.0;
  for (size_t i = 0; i < count; ++i) {
    if (told[i].row != w->row && fg_measuring_for(told[i].row) != w->how)
      continue;
    w->share += told[i].share;
    w->fine_share += told[i].fine_share;
    if (told[i].share + told[i].fine_share > strongest) {
      strongest = told[i].share + told[i].fine_share;
      w->row = told[i].row;
    }
  }
}

/* Whether the scenario leaves in doubt what this measures. */
static bool in_doubt(const fg_scenario *s, const fg_measuring *m, const fg_told *told, size_t count,
                     fg_worth *w) {
  const bool read = fg_setting_given(s, m->row);
  *w = (fg_worth){.how = m, .row = m->stands_for != FG_SET_NONE && !read ? m->stands_for : m->row};
  if (is_needless(s, m, w->row))
    return false;
  fg_doubt doubt;
  add_shares(told, count, w);
  if (!fg_doubt_of(s, w->row, &doubt))
    return false;
  w->given = fg_setting_given(s, w->row);
  w->low = doubt.low;
  w->high = doubt.high;
  return true;
}

static double or_none(double kept) { return isnan(kept) ? 0.0 : kept; }

static int falling(double a, double b) { return a > b ? -1 : a < b; }

static int most_first(const void *left, const void *right) {
  const fg_worth *a = left, *b = right;
  int order = falling(a->share, b->share);
  if (order == 0)
    order = falling(a->fine_share, b->fine_share);
  if (order == 0)
    order = falling(a->swing, b->swing);
  return order != 0 ? order : a->row - b->row;
}

fg_status fg_worth_list(const fg_scenario *scenario, const fg_told *told, size_t told_count,
                        fg_worth worths[FG_WORTHS_MAX], size_t *count) {
  size_t n = 0;
  double kept;
  fg_status status = kept_by(scenario, &kept);
  const double now = or_none(kept);
  for (size_t i = 0; i < fg_measurings_count && n < FG_WORTHS_MAX && status == FG_OK; ++i) {
    fg_worth *w = &worths[n];
    if (!in_doubt(scenario, &fg_measurings[i], told, told_count, w))
      continue;
    status = kept_at(scenario, w->row, w->low, &w->kept_low);
    if (status == FG_OK)
      status = kept_at(scenario, w->row, w->high, &w->kept_high);
    const double a = or_none(w->kept_low), b = or_none(w->kept_high);
    w->swing = fmax(now, fmax(a, b)) - fmin(now, fmin(a, b));
    ++n;
  }
  if (status != FG_OK)
    return status;
  qsort(worths, n, sizeof worths[0], most_first);
  *count = n;
  return FG_OK;
}
