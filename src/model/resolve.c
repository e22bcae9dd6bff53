/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "flourgold/air.h"
#include "flourgold/grain.h"
#include "flourgold/settings.h"
#include "model/household.h"
#include "model/resolve.h"
#include "physics/grains.h"
#include "physics/moisture.h"
#include "physics/soil.h"
#include "scenario/settings_table.h"

static const double usual_gold_kg_m3 = 17500.0;

static void mark_derived(fg_scenario *s, fg_setting_row row) { s->origin[row] = FG_FROM_DERIVED; }

static fg_status resolve_pressure(fg_scenario *s) {
  if (fg_setting_given(s, FG_SET_SITE_PRESSURE))
    return FG_OK;
  mark_derived(s, FG_SET_SITE_PRESSURE);
  return fg_air_standard(s->site.elevation, NULL, &s->site.pressure);
}

static fg_status resolve_gold(fg_scenario *s) {
  if (fg_setting_given(s, FG_SET_GOLD_DENSITY)) {
    mark_derived(s, FG_SET_GOLD_FINENESS);
    if (fg_grain_gold_fineness(s->gold.density, &s->gold.fineness) != FG_OK)
      s->gold.fineness = NAN;
    return FG_OK;
  }
  mark_derived(s, FG_SET_GOLD_DENSITY);
  if (fg_setting_given(s, FG_SET_GOLD_FINENESS))
    return fg_grain_gold_density(s->gold.fineness, &s->gold.density);
  s->gold.density = usual_gold_kg_m3;
  mark_derived(s, FG_SET_GOLD_FINENESS);
  return fg_grain_gold_fineness(s->gold.density, &s->gold.fineness);
}

/* Brings a value on another basis to SI.  `last` is the factor of the resolving before, so that a
 * value changed since stays changed, and still moves with what the factor is made of. */
static void rebase(double *value, int basis, double *last, double factor, double *error) {
  if (basis == FG_BASIS_SI)
    return;
  const double change = *last > 0.0 ? factor / *last : factor;
  *value *= change;
  if (error)
    *error *= change;
  *last = factor;
}

static void resolve_bases(fg_scenario *s) {
  const double loose = s->ground.bulk_density, in_place = loose * s->ground.swell;
  rebase(&s->run.feed, s->run.feed_basis, &s->run.feed_factor, loose,
         &s->error_of[FG_SET_RUN_FEED]);
  rebase(&s->as_run.feed, s->as_run.feed_basis, &s->as_run.feed_factor, loose, NULL);
  rebase(&s->gold.grade, s->gold.grade_basis, &s->gold.grade_factor, in_place,
         &s->error_of[FG_SET_GOLD_GRADE]);
  rebase(&s->sample.threshold, s->sample.threshold_basis, &s->sample.threshold_factor, in_place,
         &s->error_of[FG_SET_SAMPLE_THRESHOLD]);
  rebase(&s->hose.roughness, s->hose.roughness_basis, &s->hose.roughness_factor,
         1.0 / s->hose.diameter, &s->error_of[FG_SET_HOSE_ROUGHNESS]);
  rebase(&s->limits.feed_least, s->limits.feed_least_basis, &s->limits.feed_least_factor, loose,
         &s->error_of[FG_SET_LIMITS_FEED_LEAST]);
  rebase(&s->limits.feed_most, s->limits.feed_most_basis, &s->limits.feed_most_factor, loose,
         &s->error_of[FG_SET_LIMITS_FEED_MOST]);
  rebase(&s->day.pace, s->day.pace_basis, &s->day.pace_factor, loose,
         &s->error_of[FG_SET_DAY_PACE]);
}

/* Lumps hold by dry clay and by the water bonds of the fines between the grains, taken as a
 * tenth of the bed's grain size. */
static fg_status resolve_clods(fg_scenario *s) {
  if (fg_setting_given(s, FG_SET_GROUND_CLODS))
    return FG_OK;
  mark_derived(s, FG_SET_GROUND_CLODS);
  double passing, sauter, voidage, water;
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  fg_status status = fg_sizes_below(&sizes, s->screen.opening, &passing, &sauter);
  if (status == FG_OK)
    status = fg_voidage(s->ground.bulk_density, FG_QUARTZ_KG_M3, &voidage);
  if (status == FG_OK)
    status = fg_binding_water(s->ground.moisture, s->ground.clay, &water);
  if (status != FG_OK)
    return status;
  const fg_bond bond = {s->closure.bond_strength, s->closure.bond_moisture};
  const double strength = s->closure.clod_strength * s->ground.clay +
                          fg_bond_tension(&bond, 0.1 * sauter, voidage, water);
  return fg_clod_share(s->ground.clay, s->closure.clod_clay, strength, s->ground.bulk_density,
                       s->deck.drop_height, &s->ground.clods);
}

/* Of clay and class of soil one brings the other where only one of them is known. */
static void resolve_clay(fg_scenario *s) {
  if (!fg_setting_given(s, FG_SET_SOIL_CLASS)) {
    mark_derived(s, FG_SET_SOIL_CLASS);
    s->soil.class_index = fg_soil_class_of_clay(s->ground.clay);
    return;
  }
  if (fg_setting_given(s, FG_SET_GROUND_CLAY) || fg_setting_given(s, FG_SET_GROUND_JAR_CLAY))
    return;
  const fg_range clay = fg_soil_classes[s->soil.class_index].clay;
  if (s->ground.clay >= clay.low && s->ground.clay <= clay.high)
    return;
  mark_derived(s, FG_SET_GROUND_CLAY);
  s->ground.clay = fg_range_middle(clay);
}

/* Stones take their part of the ground's volume; no more than nine tenths of it. */
static fg_status resolve_stones(fg_scenario *s) {
  if (fg_setting_given(s, FG_SET_SOIL_STONES))
    return FG_OK;
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  mark_derived(s, FG_SET_SOIL_STONES);
  const double density = fmin(2385.0, s->ground.bulk_density * s->ground.swell);
  return fg_stone_volume(1.0 - fg_sizes_finer(&sizes, FG_STONE_M), density, &s->soil.stones);
}

/* One of field capacity and wilting point brings the other with it as its class has them. */
static void resolve_held_water(fg_scenario *s, const fg_soil_class *soil) {
  const bool capacity = fg_setting_given(s, FG_SET_SOIL_FIELD_CAPACITY);
  const bool wilting = fg_setting_given(s, FG_SET_SOIL_WILTING_POINT);
  const double usual_capacity = fg_range_middle(soil->field_capacity);
  const double usual_wilting = fg_range_middle(soil->wilting_point);
  if (!capacity) {
    mark_derived(s, FG_SET_SOIL_FIELD_CAPACITY);
    s->soil.field_capacity =
        wilting ? s->soil.wilting_point + fg_range_middle(soil->between) : usual_capacity;
  }
  if (!wilting) {
    mark_derived(s, FG_SET_SOIL_WILTING_POINT);
    s->soil.wilting_point = s->soil.field_capacity * usual_wilting / usual_capacity;
  }
}

static fg_status resolve_soil(fg_scenario *s, int *row, char *message) {
  const fg_soil_class *soil = &fg_soil_classes[s->soil.class_index];
  fg_status status = resolve_stones(s);
  if (status != FG_OK)
    return status;
  resolve_held_water(s, soil);
  if (!fg_setting_given(s, FG_SET_SOIL_SATURATION)) {
    mark_derived(s, FG_SET_SOIL_SATURATION);
    const double pores = 1.0 - s->ground.bulk_density * s->ground.swell / FG_QUARTZ_KG_M3;
    s->soil.saturation =
        fmin(0.95, fmax(pores / (1.0 - s->soil.stones), 1.05 * s->soil.field_capacity));
  }
  if (!fg_setting_given(s, FG_SET_SOIL_TEW)) {
    mark_derived(s, FG_SET_SOIL_TEW);
    status = fg_evaporable_water(s->soil.field_capacity, s->soil.wilting_point, s->soil.layer,
                                 &s->soil.tew);
  }
  if (!fg_setting_given(s, FG_SET_SOIL_REW)) {
    mark_derived(s, FG_SET_SOIL_REW);
    s->soil.rew = fg_class_rew(soil, s->soil.layer, s->soil.tew, fg_range_middle(soil->rew_m));
  }
  if (!fg_setting_given(s, FG_SET_SOIL_SECOND_STAGE)) {
    mark_derived(s, FG_SET_SOIL_SECOND_STAGE);
    s->soil.second_stage = soil->second_stage_m;
  }
  if (status != FG_OK || s->soil.rew < s->soil.tew)
    return status;
  *row = fg_setting_given(s, FG_SET_SOIL_REW) ? FG_SET_SOIL_REW : FG_SET_SOIL_TEW;
  snprintf(message, FG_MESSAGE_MAX, "rew (%.3g mm) must be smaller than tew (%.3g mm)",
           1e3 * s->soil.rew, 1e3 * s->soil.tew);
  return FG_ESCENARIO;
}

static fg_status resolve_all(fg_scenario *scenario, int *row, char *message) {
  *row = -1;
  message[0] = '\0';
  fg_note_as_run(scenario);
  if (!fg_setting_given(scenario, FG_SET_SAMPLE_LEAVE_RATE))
    mark_derived(scenario, FG_SET_SAMPLE_LEAVE_RATE);
  if (!fg_setting_given(scenario, FG_SET_SAMPLE_STAY_RATE))
    mark_derived(scenario, FG_SET_SAMPLE_STAY_RATE);
  if (!fg_setting_given(scenario, FG_SET_DAY_HOTTEST)) {
    mark_derived(scenario, FG_SET_DAY_HOTTEST);
    scenario->day.hottest = scenario->site.air_temperature;
  }
  if (scenario->gold.class_count == 0)
    mark_derived(scenario, FG_SET_GOLD_CLASSES);
  if (scenario->blower.curve_count == 0)
    mark_derived(scenario, FG_SET_BLOWER_CURVE);
  fg_status status = fg_household_ground(scenario, row, message);
  if (status != FG_OK)
    return status;
  resolve_bases(scenario);
  status = resolve_pressure(scenario);
  if (status == FG_OK)
    status = resolve_gold(scenario);
  resolve_clay(scenario);
  if (status == FG_OK)
    status = resolve_clods(scenario);
  if (status == FG_OK)
    status = resolve_soil(scenario, row, message);
  return status == FG_OK ? fg_household_machine(scenario, row, message) : status;
}

/* Clay and class of soil as they were given; a study that draws clay is not asked. */
static fg_status clay_fits_class(const fg_scenario *s, int *row, char *message) {
  const fg_soil_class *soil = &fg_soil_classes[s->soil.class_index];
  const double clay = s->ground.clay;
  const bool jar = fg_setting_given(s, FG_SET_GROUND_JAR_CLAY);
  if (!fg_setting_given(s, FG_SET_SOIL_CLASS) ||
      (clay >= soil->clay.low && clay <= soil->clay.high))
    return FG_OK;
  const fg_setting_row told = jar ? FG_SET_GROUND_JAR_CLAY : FG_SET_GROUND_CLAY;
  *row = s->origin[told] > s->origin[FG_SET_SOIL_CLASS] ? (int)told : (int)FG_SET_SOIL_CLASS;
  snprintf(message, FG_MESSAGE_MAX,
           "soil.class \"%s\" has %.0f to %.0f %% clay, but %s says %.3g %%: give one of them "
           "alone, clay within that range, or a class such as \"%s\"",
           soil->name, 100.0 * soil->clay.low, 100.0 * soil->clay.high, fg_settings[told].key,
           100.0 * clay, fg_soil_classes[fg_soil_class_of_clay(clay)].name);
  return FG_ESCENARIO;
}

fg_status fg_resolve_saying(fg_scenario *scenario, int *row, char *message) {
  const fg_status status = resolve_all(scenario, row, message);
  return status == FG_OK ? clay_fits_class(scenario, row, message) : status;
}

fg_status fg_scenario_resolve(fg_scenario *scenario) {
  char message[FG_MESSAGE_MAX];
  int row;
  return resolve_all(scenario, &row, message);
}

fg_status fg_scenario_set(fg_scenario *s, int row, double value) {
  const fg_setting *setting = fg_setting_of(row);
  double *number = setting ? fg_setting_number(setting, s) : NULL;
  if (!number)
    return FG_EDOMAIN;
  *number = value;
  if (s->origin[row] < FG_FROM_CATALOGUE)
    s->origin[row] = FG_FROM_SET;
  if (setting->basis_offset != 0)
    *(int *)(void *)((char *)s + setting->basis_offset) = FG_BASIS_SI;
  return FG_OK;
}

fg_status fg_scenario_draw(fg_scenario *s, int row, double value) {
  const fg_setting *setting = fg_setting_of(row);
  double *number = setting ? fg_setting_number(setting, s) : NULL;
  if (!number)
    return FG_EDOMAIN;
  *number = value;
  if (s->origin[row] == FG_FROM_DERIVED)
    s->origin[row] = FG_FROM_SET;
  return FG_OK;
}

fg_status fg_scenario_correct(fg_scenario *s, int row, double value) {
  const fg_status status = fg_scenario_set(s, row, value);
  if (status != FG_OK)
    return status;
  if (row == FG_SET_RUN_THROTTLE)
    s->as_run.throttle = value;
  if (row == FG_SET_RUN_GATE_OPENING)
    s->as_run.gate_opening = value;
  if (row == FG_SET_DECK_SLOPE)
    s->as_run.slope = value;
  if (row == FG_SET_RUN_FEED) {
    s->as_run.feed = value;
    s->as_run.feed_basis = FG_BASIS_SI;
  }
  return fg_scenario_resolve(s);
}
