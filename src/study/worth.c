/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/worth.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/config.h"
#include "flourgold/loss.h"
#include "flourgold/settings.h"
#include "study/advice.h"

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

static bool is_given(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && s->origin[row] >= FG_FROM_CATALOGUE;
}

/* Whether the scenario leaves open what this row measures. */
static bool lacking(const fg_scenario *s, const fg_measuring *m, fg_worth *w) {
  if (strncmp(m->key, "observed.", 9) == 0 || strncmp(m->key, "ground.jar_", 11) == 0)
    return false;
  const char *key = m->stands_for ? m->stands_for : m->key;
  const int row = fg_setting_find(key);
  if (row < 0 || is_given(s, m->key) || s->origin[row] != FG_FROM_DEFAULT)
    return false;
  if (strcmp(m->key, "shaker.stroke") == 0 && is_given(s, "shaker.mass"))
    return false;
  if (strcmp(m->key, "deck.empty_box_pressure") == 0 && is_given(s, "deck.board_open_share"))
    return false;
  if (strcmp(key, "gold.median_size") == 0 && s->gold.class_count > 0)
    return false;
  if (strcmp(key, "blower.label_derate") == 0 && s->blower.curve_count > 0)
    return false;
  *w = (fg_worth){.how = m, .row = row};
  return fg_likely_range((size_t)row, &w->low, &w->high);
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
