/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "flourgold/air.h"
#include "flourgold/grain.h"
#include "flourgold/settings.h"
#include "model/household.h"
#include "model/resolve.h"
#include "physics/moisture.h"
#include "physics/soil.h"

static const double usual_gold_kg_m3 = 17500.0;

/* Whether a row's value was put there by the user or a catalogue. */
static bool was_given(const fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && s->origin[row] >= FG_FROM_CATALOGUE;
}

static void mark_derived(fg_scenario *s, const char *key) {
  const int row = fg_setting_find(key);
  if (row >= 0)
    s->origin[row] = FG_FROM_DERIVED;
}

static fg_status resolve_pressure(fg_scenario *s) {
  if (was_given(s, "site.pressure"))
    return FG_OK;
  mark_derived(s, "site.pressure");
  return fg_standard_atmosphere(s->site.elevation, NULL, &s->site.pressure);
}

static fg_status resolve_gold(fg_scenario *s) {
  if (was_given(s, "gold.density")) {
    mark_derived(s, "gold.fineness");
    if (fg_gold_fineness(s->gold.density, &s->gold.fineness) != FG_OK)
      s->gold.fineness = NAN;
    return FG_OK;
  }
  mark_derived(s, "gold.density");
  if (was_given(s, "gold.fineness"))
    return fg_gold_density(s->gold.fineness, &s->gold.density);
  s->gold.density = usual_gold_kg_m3;
  mark_derived(s, "gold.fineness");
  return fg_gold_fineness(s->gold.density, &s->gold.fineness);
}

/* Moves a value to another basis, its error in proportion. */
static void rebase(fg_scenario *s, const char *key, double *value, double rebased) {
  const int row = fg_setting_find(key);
  if (row >= 0 && *value > 0.0)
    s->error_of[row] *= rebased / *value;
  *value = rebased;
}

/* Values given on another basis are kept as given, so that a study may change the bulk
 * density and resolve again. */
/* Limits are turned into masses once: no study draws them anew. */
static void limit_by_volume(double *feed, int *basis, double bulk_kg_m3) {
  if (*basis == FG_BASIS_VOLUME)
    *feed *= bulk_kg_m3;
  *basis = FG_BASIS_SI;
}

static void resolve_bases(fg_scenario *s) {
  if (s->run.feed_basis == FG_BASIS_VOLUME) {
    if (!(s->run.feed_volume > 0.0))
      s->run.feed_volume = s->run.feed;
    rebase(s, "run.feed", &s->run.feed, s->run.feed_volume * s->ground.bulk_density);
  }
  limit_by_volume(&s->limits.feed_least, &s->limits.feed_least_basis, s->ground.bulk_density);
  limit_by_volume(&s->limits.feed_most, &s->limits.feed_most_basis, s->ground.bulk_density);
  limit_by_volume(&s->day.pace, &s->day.pace_basis, s->ground.bulk_density);
  if (s->gold.grade_basis == FG_BASIS_MASS) {
    if (!(s->gold.grade_mass > 0.0))
      s->gold.grade_mass = s->gold.grade;
    rebase(s, "gold.grade", &s->gold.grade,
           s->gold.grade_mass * s->ground.bulk_density * s->ground.swell);
  }
  if (s->sample.threshold_basis == FG_BASIS_MASS) {
    if (!(s->sample.threshold_mass > 0.0))
      s->sample.threshold_mass = s->sample.threshold;
    rebase(s, "sample.threshold", &s->sample.threshold,
           s->sample.threshold_mass * s->ground.bulk_density * s->ground.swell);
  }
  if (s->hose.roughness_basis == FG_BASIS_LENGTH) {
    if (!(s->hose.roughness_height > 0.0))
      s->hose.roughness_height = s->hose.roughness;
    rebase(s, "hose.roughness", &s->hose.roughness, s->hose.roughness_height / s->hose.diameter);
  }
}

/* Lumps hold by dry clay and by the water bonds of the fines between the grains, taken as a
 * tenth of the bed's grain size. */
static fg_status resolve_clods(fg_scenario *s) {
  if (was_given(s, "ground.clods"))
    return FG_OK;
  mark_derived(s, "ground.clods");
  double passing, sauter, voidage, water;
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  fg_status status = fg_sizes_below(&sizes, s->screen.opening, &passing, &sauter);
  if (status == FG_OK)
    status = fg_voidage(s->ground.bulk_density, 2650.0, &voidage);
  if (status == FG_OK)
    status = fg_free_water(s->ground.moisture, s->ground.clay, &water);
  if (status != FG_OK)
    return status;
  const fg_bond bond = {s->closure.bond_strength, s->closure.bond_moisture};
  const double strength = s->closure.clod_strength * s->ground.clay +
                          fg_bond_tension(&bond, 0.1 * sauter, voidage, water);
  return fg_clod_share(s->ground.clay, s->closure.clod_clay, strength, s->ground.bulk_density,
                       s->deck.drop_height, &s->ground.clods);
}

/* Stones take their part of the ground's volume; no more than nine tenths of it. */
static fg_status resolve_stones(fg_scenario *s) {
  if (was_given(s, "soil.stones"))
    return FG_OK;
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  mark_derived(s, "soil.stones");
  const double density = fmin(2385.0, s->ground.bulk_density * s->ground.swell);
  return fg_stone_volume(1.0 - fg_sizes_finer(&sizes, FG_STONE_M), density, &s->soil.stones);
}

/* One of field capacity and wilting point brings the other with it as its class has them. */
static void resolve_held_water(fg_scenario *s, const fg_soil_class *soil) {
  const bool capacity = was_given(s, "soil.field_capacity");
  const bool wilting = was_given(s, "soil.wilting_point");
  const double usual_capacity = fg_range_middle(soil->field_capacity);
  const double usual_wilting = fg_range_middle(soil->wilting_point);
  if (!capacity) {
    mark_derived(s, "soil.field_capacity");
    s->soil.field_capacity =
        wilting ? s->soil.wilting_point + fg_range_middle(soil->between) : usual_capacity;
  }
  if (!wilting) {
    mark_derived(s, "soil.wilting_point");
    s->soil.wilting_point = s->soil.field_capacity * usual_wilting / usual_capacity;
  }
}

static fg_status resolve_soil(fg_scenario *s, int *row, char *message) {
  const fg_soil_class *soil = &fg_soil_classes[s->soil.class_index];
  fg_status status = resolve_stones(s);
  if (status != FG_OK)
    return status;
  resolve_held_water(s, soil);
  if (!was_given(s, "soil.saturation")) {
    mark_derived(s, "soil.saturation");
    const double pores = 1.0 - s->ground.bulk_density * s->ground.swell / 2650.0;
    s->soil.saturation =
        fmin(0.95, fmax(pores / (1.0 - s->soil.stones), 1.05 * s->soil.field_capacity));
  }
  if (!was_given(s, "soil.tew")) {
    mark_derived(s, "soil.tew");
    status = fg_evaporable_water(s->soil.field_capacity, s->soil.wilting_point, s->soil.layer,
                                 &s->soil.tew);
  }
  if (!was_given(s, "soil.rew")) {
    mark_derived(s, "soil.rew");
    s->soil.rew = fg_class_rew(soil, s->soil.layer, s->soil.tew, fg_range_middle(soil->rew_m));
  }
  if (!was_given(s, "soil.second_stage")) {
    mark_derived(s, "soil.second_stage");
    s->soil.second_stage = soil->second_stage_m;
  }
  if (status != FG_OK || s->soil.rew < s->soil.tew)
    return status;
  *row = fg_setting_find(was_given(s, "soil.rew") ? "soil.rew" : "soil.tew");
  snprintf(message, FG_MESSAGE_MAX, "rew (%.3g mm) must be smaller than tew (%.3g mm)",
           1e3 * s->soil.rew, 1e3 * s->soil.tew);
  return FG_ESCENARIO;
}

fg_status fg_resolve_saying(fg_scenario *scenario, int *row, char *message) {
  *row = -1;
  message[0] = '\0';
  fg_note_as_run(scenario);
  if (!was_given(scenario, "sample.leave_rate"))
    mark_derived(scenario, "sample.leave_rate");
  if (!was_given(scenario, "sample.stay_rate"))
    mark_derived(scenario, "sample.stay_rate");
  if (!was_given(scenario, "day.hottest")) {
    mark_derived(scenario, "day.hottest");
    scenario->day.hottest = scenario->site.air_temperature;
  }
  if (scenario->gold.class_count == 0)
    mark_derived(scenario, "gold.classes");
  if (scenario->blower.curve_count == 0)
    mark_derived(scenario, "blower.curve");
  fg_status status = fg_household_ground(scenario, row, message);
  if (status != FG_OK)
    return status;
  resolve_bases(scenario);
  status = resolve_pressure(scenario);
  if (status == FG_OK)
    status = resolve_gold(scenario);
  if (status == FG_OK)
    status = resolve_clods(scenario);
  if (status == FG_OK)
    status = resolve_soil(scenario, row, message);
  return status == FG_OK ? fg_household_machine(scenario, row, message) : status;
}

fg_status fg_scenario_resolve(fg_scenario *scenario) {
  char message[FG_MESSAGE_MAX];
  int row;
  return fg_resolve_saying(scenario, &row, message);
}

static bool is_row(int row, const char *key) { return fg_setting_find(key) == row; }

fg_status fg_scenario_correct(fg_scenario *s, int row, double value) {
  const fg_setting *setting = &fg_settings[row];
  double *number = fg_setting_number(setting, s);
  if (!number)
    return FG_EDOMAIN;
  *number = value;
  if (s->origin[row] < FG_FROM_CATALOGUE)
    s->origin[row] = FG_FROM_SET;
  if (setting->basis_offset != 0)
    *(int *)(void *)((char *)s + setting->basis_offset) = FG_BASIS_SI;
  if (is_row(row, "run.throttle"))
    s->as_run.throttle = value;
  if (is_row(row, "run.gate_opening"))
    s->as_run.gate_opening = value;
  if (is_row(row, "deck.slope"))
    s->as_run.slope = value;
  if (is_row(row, "run.feed")) {
    s->as_run.feed = value;
    s->as_run.feed_basis = FG_BASIS_SI;
  }
  return fg_scenario_resolve(s);
}
