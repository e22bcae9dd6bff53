/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which single setting would bring model and observations together. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "study/observe.h"
#include "study/plan.h"

enum { SIDES = 2, REFINED = 4, STEPS = 9, GRID = 40 };

/* A doubtful setting, with the observations at both ends of its doubt. */
typedef struct candidate {
  int row;
  double now, end[SIDES];
  bool known[SIDES]; /* the model has an answer there */
  fg_observed at[SIDES];
  double value, misfit; /* the best so far */
} candidate;

/* A suspect may stray by two standard deviations to each side. */
static const double stray[SIDES] = {0.02275013194817921, 0.9772498680518208};

/* Both ends of a setting's doubt. */
static bool find_ends(const fg_scenario *s, size_t row, candidate *c) {
  fg_doubt doubt;
  if (fg_setting_same_group((int)row, FG_SET_OBSERVED_BOX_PRESSURE) ||
      !fg_doubt_of(s, (int)row, &doubt) || doubt.kind == FG_D_CHOICE)
    return false;
  *c = (candidate){.row = (int)row, .now = doubt.nominal};
  for (int side = 0; side < SIDES; ++side)
    c->end[side] = fg_doubt_value(&doubt, stray[side]);
  return c->end[1] > c->end[0];
}

static bool observe_at(const fg_scenario *s, int row, double value, fg_observed *o) {
  fg_scenario moved = *s;
  return fg_scenario_correct(&moved, row, value) == FG_OK && fg_observe_predict(&moved, o) == FG_OK;
}

/* Misfit part of the way to an end, the deviations taken as straight lines. */
static double misfit_along(const fg_observed *from, const fg_observed *to, double part) {
  double sum = 0.0;
  for (size_t i = 0; i < from->count; ++i) {
    const double a = from->item[i].deviation, b = to->item[i].deviation;
    const double deviation = a + part * (b - a);
    sum += deviation * deviation;
  }
  return sum;
}

/* The first guess: an end, or a point on the way to it. */
static void guess(const fg_observed *nominal, candidate *c) {
  c->value = c->now;
  c->misfit = nominal->misfit;
  for (int side = 0; side < SIDES; ++side) {
    if (!c->known[side] || c->at[side].stalled)
      continue;
    for (int i = nominal->stalled ? GRID : 1; i <= GRID; ++i) {
      const double part = (double)i / GRID;
      const double misfit =
          nominal->stalled ? c->at[side].misfit : misfit_along(nominal, &c->at[side], part);
      if (!(misfit < c->misfit))
        continue;
      c->misfit = misfit;
      c->value = c->now + part * (c->end[side] - c->now);
    }
  }
}

/* Looks for the least misfit about the guess with the model itself (golden section). */
static void refine(const fg_scenario *s, candidate *c) {
  static const double golden = 0.6180339887498949;
  const double reach = 0.3 * (c->end[1] - c->end[0]);
  double low = fmax(c->end[0], c->value - reach), high = fmin(c->end[1], c->value + reach);
  double best = c->value, least = INFINITY;
  double a = high - golden * (high - low), b = low + golden * (high - low);
  for (int i = 0; i < STEPS; ++i) {
    fg_observed o[2];
    const double left = observe_at(s, c->row, a, &o[0]) ? o[0].misfit : (double)INFINITY;
    const double right = observe_at(s, c->row, b, &o[1]) ? o[1].misfit : (double)INFINITY;
    if (left < least)
      best = a, least = left;
    if (right < least)
      best = b, least = right;
    if (left <= right)
      high = b;
    else
      low = a;
    a = high - golden * (high - low);
    b = low + golden * (high - low);
  }
  fg_observed at_guess;
  if (observe_at(s, c->row, c->value, &at_guess) && at_guess.misfit < least) {
    c->misfit = at_guess.misfit;
    return;
  }
  c->value = best;
  c->misfit = least;
}

static int by_misfit(const void *left, const void *right) {
  const double a = ((const candidate *)left)->misfit, b = ((const candidate *)right)->misfit;
  return a < b ? -1 : a > b;
}

fg_status fg_observe_explain(const fg_scenario *scenario, const fg_observed *nominal,
                             fg_suspect *suspects, size_t most, size_t *count) {
  candidate *all = calloc(fg_settings_count, sizeof *all);
  if (!all)
    return FG_EMEMORY;
  size_t n = 0, found = 0;
  for (size_t row = 0; row < fg_settings_count; ++row) {
    candidate *c = &all[n];
    if (!find_ends(scenario, row, c))
      continue;
    for (int side = 0; side < SIDES; ++side)
      c->known[side] = observe_at(scenario, c->row, c->end[side], &c->at[side]);
    guess(nominal, c);
    if (c->misfit < nominal->misfit)
      ++n;
  }
  qsort(all, n, sizeof *all, by_misfit);
  const size_t tried = n < REFINED ? n : REFINED;
  for (size_t i = 0; i < tried; ++i)
    refine(scenario, &all[i]);
  qsort(all, tried, sizeof *all, by_misfit);
  for (size_t i = 0; i < tried && found < most; ++i)
    if (isfinite(all[i].misfit) && !(all[i].misfit > 0.5 * nominal->misfit))
      suspects[found++] = (fg_suspect){all[i].row, all[i].value, all[i].now, all[i].misfit};
  free(all);
  *count = found;
  return FG_OK;
}
