/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Suspects: which settings they own, and what each took. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"
#include "study/plan.h"
#include "study/verdict_internal.h"

const char *const fg_cause_names[FG_CAUSES] = {
    "poor ground", "damp",         "too much air", "too little air",  "flaky gold",
    "fine gold",   "full riffles", "over-feeding", "the deck itself", "luck"};

const fg_stray fg_strays[] = {
    {FG_SET_GOLD_GRADE, 0.4, 1.6},
    {FG_SET_GOLD_THICKNESS_RATIO, 0.35, 1.6},
    {FG_SET_GOLD_MEDIAN_SIZE, 0.6, 1.5},
    {FG_SET_GROUND_MOISTURE, 0.6, 3.0},
    {FG_SET_GROUND_MAGNETITE, 0.5, 2.5},
    {FG_SET_RUN_THROTTLE, 0.85, 1.15},
    {FG_SET_RUN_GATE_OPENING, 0.7, 1.4},
    {FG_SET_RUN_FEED, 0.7, 1.7},
    {FG_SET_RUN_CLEANING_INTERVAL, 0.7, 2.0},
};
const size_t fg_strays_count = sizeof fg_strays / sizeof fg_strays[0];

/* Settings of a suspect; with `group` all beside it too.  Grain size belongs to
 * the air: coarser ground wants more of it. */
static const struct {
  fg_cause cause;
  fg_setting_row row;
  bool group;
} owned[] = {
    {FG_CAUSE_GROUND, FG_SET_GOLD_GRADE, false},
    {FG_CAUSE_GROUND, FG_SET_GROUND_SWELL, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_MOISTURE, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_CLAY, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_CLODS, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_JAR_SAND, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_JAR_SILT, false},
    {FG_CAUSE_DAMP, FG_SET_GROUND_JAR_CLAY, false},
    {FG_CAUSE_DAMP, FG_SET_CLOSURE_BOND_STRENGTH, false},
    {FG_CAUSE_DAMP, FG_SET_CLOSURE_BOND_MOISTURE, false},
    {FG_CAUSE_DAMP, FG_SET_CLOSURE_CLOD_CLAY, false},
    {FG_CAUSE_DAMP, FG_SET_CLOSURE_CLOD_STRENGTH, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_RUN_THROTTLE, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_RUN_GATE_OPENING, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_BLOWER_NAME, true},
    {FG_CAUSE_LITTLE_AIR, FG_SET_HOSE_LENGTH, true},
    {FG_CAUSE_LITTLE_AIR, FG_SET_GATE_AREA, true},
    {FG_CAUSE_LITTLE_AIR, FG_SET_SITE_NAME, true},
    {FG_CAUSE_LITTLE_AIR, FG_SET_SHAKER_LOSS, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_DECK_CLOTH_PERMEABILITY, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_DECK_BOARD_OPEN_SHARE, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_DECK_EMPTY_BOX_PRESSURE, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_CLOSURE_SHUTOFF_RATIO, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_GROUND_MEDIAN_GRAIN, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_GROUND_GRAIN_SPREAD, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_GROUND_GRAIN_SPHERICITY, false},
    {FG_CAUSE_LITTLE_AIR, FG_SET_GROUND_SIEVES, false},
    {FG_CAUSE_FLAKY, FG_SET_GOLD_THICKNESS_RATIO, false},
    {FG_CAUSE_FINE, FG_SET_GOLD_MEDIAN_SIZE, false},
    {FG_CAUSE_FINE, FG_SET_GOLD_SIZE_SPREAD, false},
    {FG_CAUSE_FULL, FG_SET_RUN_CLEANING_INTERVAL, false},
    {FG_CAUSE_FULL, FG_SET_GROUND_MAGNETITE, false},
    {FG_CAUSE_FULL, FG_SET_GROUND_MAGNETITE_MEDIAN, false},
    {FG_CAUSE_FULL, FG_SET_GROUND_MAGNETITE_SPREAD, false},
    {FG_CAUSE_FEED, FG_SET_RUN_FEED, false},
};

fg_cause fg_cause_of(int row) {
  for (size_t i = 0; i < sizeof owned / sizeof owned[0]; ++i)
    if (owned[i].group ? fg_setting_same_group(row, owned[i].row) : row == (int)owned[i].row)
      return owned[i].cause;
  return FG_CAUSE_REST;
}

/* ---- the ensemble ---- */

void fg_verdict_base(const fg_scenario *scenario, fg_scenario *base) {
  *base = *scenario;
  for (size_t i = 0; i < fg_strays_count; ++i) {
    const int row = fg_strays[i].row;
    if (fg_settings[row].basis_offset != 0)
      *(int *)(void *)((char *)base + fg_settings[row].basis_offset) = FG_BASIS_SI;
  }
}

/* Doubts that stray are widened in place, or added when the deck's own study has none. */
static void add_strays(const fg_scenario *s, fg_plan *plan) {
  for (size_t i = 0; i < fg_strays_count; ++i) {
    const int row = fg_strays[i].row;
    const double value = fg_setting_value(&fg_settings[row], s);
    if (!(value > 0.0) || s->error_of[row] > 0.0)
      continue;
    fg_doubt d = {row, FG_D_LOG_NORMAL, value * fg_strays[i].low, value, value * fg_strays[i].high};
    size_t j = 0;
    while (j < plan->count && plan->doubts[j].row != row)
      ++j;
    if (j == FG_SETTINGS_MAX)
      continue;
    /* What is only assumed may be in more doubt than that. */
    if (j < plan->count && s->origin[row] < FG_FROM_CATALOGUE) {
      d.low = fmin(d.low, fmax(plan->doubts[j].low, 1e-3 * value));
      d.high = fmax(d.high, plan->doubts[j].high);
    }
    plan->doubts[j] = d;
    plan->count += j == plan->count;
  }
}

fg_status fg_verdict_plan(const fg_scenario *s, size_t samples, unsigned long seed, fg_plan *plan) {
  fg_plan p = {.samples = samples};
  p.count = fg_doubt_list(s, p.doubts);
  add_strays(s, &p);
  const fg_status status = fg_plan_draw(&p, seed);
  if (status == FG_OK)
    *plan = p;
  return status;
}

void fg_member_grades(const fg_plan *plan, size_t index, double own, double grades[FG_GRADES]) {
  for (int g = 0; g < FG_GRADES; ++g)
    grades[g] = own;
  for (size_t j = 0; j < plan->count; ++j) {
    if (plan->doubts[j].row != FG_SET_GOLD_GRADE)
      continue;
    const double at = plan->table[index * plan->count + j];
    for (int g = 1; g < FG_GRADES; ++g) {
      const double shifted = at + (double)g / FG_GRADES;
      grades[g] = own * fg_doubt_value(&plan->doubts[j], shifted - floor(shifted)) /
                  fg_doubt_value(&plan->doubts[j], at);
    }
  }
}

/* ---- what each took ---- */

/* A member without the draws of one suspect. */
static fg_status put_right(const fg_plan *plan, const fg_scenario *base, size_t index,
                           fg_cause cause, fg_scenario *member, bool *differs) {
  *member = *base;
  *differs = false;
  for (size_t j = 0; j < plan->count; ++j)
    if (fg_cause_of(plan->doubts[j].row) == cause)
      *differs = true;
    else
      fg_doubt_apply(&plan->doubts[j], plan->table[index * plan->count + j], member);
  return fg_scenario_resolve(member);
}

static double harm_of(double righted_kg, double expected_kg) {
  return righted_kg > 0.0 && expected_kg > 0.0 ? log(righted_kg / expected_kg) : 0.0;
}

static void air_harm(double harm, double ratio, double righted, double harms[FG_CAUSES]) {
  const bool much = ratio > righted;
  harms[FG_CAUSE_MUCH_AIR] = much ? harm : 0.0;
  harms[FG_CAUSE_LITTLE_AIR] = much ? 0.0 : harm;
}

/* The harm of every suspect at the member's own grade, luck left out. */
static void find_harm(const fg_plan *plan, const fg_scenario *base, size_t index, double loose_m3,
                      fg_scenario *member, double harms[FG_CAUSES]) {
  static const fg_cause settings[] = {FG_CAUSE_GROUND, FG_CAUSE_DAMP, FG_CAUSE_LITTLE_AIR,
                                      FG_CAUSE_FLAKY,  FG_CAUSE_FINE, FG_CAUSE_FULL,
                                      FG_CAUSE_FEED,   FG_CAUSE_REST};
  double ratio = NAN, righted_ratio = NAN;
  bool differs = false;
  if (fg_plan_member(plan, base, index, member) != FG_OK)
    return;
  const double expected = fg_expected_catch(member, loose_m3, &ratio);
  for (size_t i = 0; i < sizeof settings / sizeof settings[0]; ++i) {
    if (put_right(plan, base, index, settings[i], member, &differs) != FG_OK || !differs)
      continue;
    const double harm = harm_of(fg_expected_catch(member, loose_m3, &righted_ratio), expected);
    if (settings[i] == FG_CAUSE_LITTLE_AIR)
      air_harm(harm, ratio, righted_ratio, harms);
    else
      harms[settings[i]] = harm;
  }
}

void fg_member_harm(const fg_plan *plan, const fg_scenario *base, size_t index,
                    const fg_evidence *evidence, fg_finds *finds) {
  double harms[FG_CAUSES] = {0};
  fg_scenario *member = malloc(sizeof *member);
  if (member)
    find_harm(plan, base, index, evidence->loose_m3, member, harms);
  free(member);
  for (int g = 0; g < FG_GRADES; ++g) {
    fg_finds *f = &finds[g];
    for (int c = 0; c < FG_CAUSES; ++c)
      f->harm[c] = harms[c];
    f->harm[FG_CAUSE_GROUND] += harm_of(finds[0].grade, f->grade);
    f->harm[FG_CAUSE_LUCK] = harm_of(f->expected_kg, fmax(evidence->found_kg, evidence->error_kg));
  }
}
