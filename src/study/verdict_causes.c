/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Suspects: which settings they own, and what each took. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/config.h"
#include "study/verdict_internal.h"

const char *const fg_cause_names[FG_CAUSES] = {
    "poor ground", "damp",         "too much air", "too little air",  "flaky gold",
    "fine gold",   "full riffles", "over-feeding", "the deck itself", "luck"};

const fg_stray fg_strays[] = {
    {"gold.grade", 0.4, 1.6},
    {"gold.thickness_ratio", 0.35, 1.6},
    {"gold.median_size", 0.6, 1.5},
    {"ground.moisture", 0.6, 3.0},
    {"ground.magnetite", 0.5, 2.5},
    {"run.throttle", 0.85, 1.15},
    {"run.gate_opening", 0.7, 1.4},
    {"run.feed", 0.7, 1.7},
    {"run.cleaning_interval", 0.7, 2.0},
};
const size_t fg_strays_count = sizeof fg_strays / sizeof fg_strays[0];

/* Settings of a suspect; a name that ends in a dot stands for its group.  Grain size belongs to
 * the air: coarser ground wants more of it. */
static const struct {
  fg_cause cause;
  const char *key;
} owned[] = {
    {FG_CAUSE_GROUND, "gold.grade"},
    {FG_CAUSE_GROUND, "ground.swell"},
    {FG_CAUSE_DAMP, "ground.moisture"},
    {FG_CAUSE_DAMP, "ground.clay"},
    {FG_CAUSE_DAMP, "ground.clods"},
    {FG_CAUSE_DAMP, "ground.jar_sand"},
    {FG_CAUSE_DAMP, "ground.jar_silt"},
    {FG_CAUSE_DAMP, "ground.jar_clay"},
    {FG_CAUSE_DAMP, "closure.bond_strength"},
    {FG_CAUSE_DAMP, "closure.bond_moisture"},
    {FG_CAUSE_DAMP, "closure.clod_clay"},
    {FG_CAUSE_DAMP, "closure.clod_strength"},
    {FG_CAUSE_LITTLE_AIR, "run.throttle"},
    {FG_CAUSE_LITTLE_AIR, "run.gate_opening"},
    {FG_CAUSE_LITTLE_AIR, "blower."},
    {FG_CAUSE_LITTLE_AIR, "hose."},
    {FG_CAUSE_LITTLE_AIR, "gate."},
    {FG_CAUSE_LITTLE_AIR, "site."},
    {FG_CAUSE_LITTLE_AIR, "shaker.loss"},
    {FG_CAUSE_LITTLE_AIR, "deck.cloth_permeability"},
    {FG_CAUSE_LITTLE_AIR, "deck.board_open_share"},
    {FG_CAUSE_LITTLE_AIR, "deck.empty_box_pressure"},
    {FG_CAUSE_LITTLE_AIR, "closure.shutoff_ratio"},
    {FG_CAUSE_LITTLE_AIR, "ground.median_grain"},
    {FG_CAUSE_LITTLE_AIR, "ground.grain_spread"},
    {FG_CAUSE_LITTLE_AIR, "ground.grain_sphericity"},
    {FG_CAUSE_LITTLE_AIR, "ground.sieves"},
    {FG_CAUSE_FLAKY, "gold.thickness_ratio"},
    {FG_CAUSE_FINE, "gold.median_size"},
    {FG_CAUSE_FINE, "gold.size_spread"},
    {FG_CAUSE_FULL, "run.cleaning_interval"},
    {FG_CAUSE_FULL, "ground.magnetite"},
    {FG_CAUSE_FULL, "ground.magnetite_median"},
    {FG_CAUSE_FULL, "ground.magnetite_spread"},
    {FG_CAUSE_FEED, "run.feed"},
};

fg_cause fg_cause_of(int row) {
  const char *key = fg_settings[row].key;
  for (size_t i = 0; i < sizeof owned / sizeof owned[0]; ++i) {
    const size_t length = strlen(owned[i].key);
    const bool group = owned[i].key[length - 1] == '.';
    if (group ? strncmp(key, owned[i].key, length) == 0 : strcmp(key, owned[i].key) == 0)
      return owned[i].cause;
  }
  return FG_CAUSE_REST;
}

/* ---- the ensemble ---- */

void fg_verdict_base(const fg_scenario *scenario, fg_scenario *base) {
  *base = *scenario;
  for (size_t i = 0; i < fg_strays_count; ++i) {
    const int row = fg_setting_find(fg_strays[i].key);
    if (row >= 0 && fg_settings[row].basis_offset != 0)
      *(int *)(void *)((char *)base + fg_settings[row].basis_offset) = FG_BASIS_SI;
  }
}

/* Doubts that stray are widened in place, or added when the deck's own study has none. */
static void add_strays(const fg_scenario *s, fg_plan *plan) {
  for (size_t i = 0; i < fg_strays_count; ++i) {
    const int row = fg_setting_find(fg_strays[i].key);
    const double value = row >= 0 ? fg_setting_value(&fg_settings[row], s) : (double)NAN;
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
  if (samples == 0 || samples > FG_SAMPLES_MAX)
    return FG_EDOMAIN;
  fg_plan p = {.samples = samples};
  p.count = fg_doubts_list(s, p.doubts);
  add_strays(s, &p);
  p.table = calloc(samples * p.count + 1, sizeof *p.table);
  if (!p.table)
    return FG_EMEMORY;
  const fg_status status = p.count > 0 ? fg_sample_table(samples, p.count, seed, p.table) : FG_OK;
  if (status != FG_OK) {
    fg_plan_free(&p);
    return status;
  }
  *plan = p;
  return FG_OK;
}

void fg_member_grades(const fg_plan *plan, size_t index, double own, double grades[FG_GRADES]) {
  const int row = fg_setting_find("gold.grade");
  for (int g = 0; g < FG_GRADES; ++g)
    grades[g] = own;
  for (size_t j = 0; j < plan->count; ++j) {
    if (plan->doubts[j].row != row)
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
