/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The column of ground that dries, and what a day does to it. */
#include <math.h>

#include "flourgold/grain.h"
#include "model/household.h"
#include "physics/moisture.h"
#include "physics/soil.h"
#include "study/drying_internal.h"

fg_status fg_scenario_ground(const fg_scenario *scenario, fg_ground *column) {
  const fg_soil_class *soil = &fg_soil_classes[scenario->soil.class_index];
  fg_sizes sizes;
  double residual;
  const fg_status status =
      fg_residual_water(scenario->ground.clay, scenario->site.humidity, &residual);
  if (status != FG_OK)
    return status;
  fg_ground_sizes(scenario, &sizes);
  const double dry_kg_m3 = scenario->ground.bulk_density * scenario->ground.swell *
                           fg_sizes_finer(&sizes, scenario->screen.opening);
  residual *= dry_kg_m3 / FG_WATER_KG_M3;
  /* The settings are for the soil between the stones, this is the whole ground. */
  const double between = 1.0 - scenario->soil.stones;
  const double capacity =
      residual + between * (scenario->soil.field_capacity - 0.5 * scenario->soil.wilting_point);
  *column = (fg_ground){
      .field_capacity = capacity,
      .residual = residual,
      .saturation = fmax(capacity, between * scenario->soil.saturation),
      .layer_m = scenario->soil.layer,
      .tew_m = between * scenario->soil.tew,
      .rew_m = between * scenario->soil.rew,
      .second_stage_m = between * scenario->soil.second_stage,
      .hold = soil->hold,
      .flooded_m = fmax(scenario->soil.depth, scenario->soil.layer),
      .below_m = fmax(1.5, 2.0 * scenario->soil.depth),
      .dry_kg_m3 = dry_kg_m3,
  };
  return FG_OK;
}

/* Ground under snow, or frozen, gives the air nothing. */
fg_ground_day fg_drying_ground_day(const fg_drying_day *day, double power) {
  const double et0_m = fg_drying_open(day) ? day->et0.et0_m_s * FG_DAY_SECONDS : 0.0;
  return (fg_ground_day){day->cold.water_m, power * et0_m, FG_BARE_KC_MAX, day->flooded};
}

bool fg_drying_open(const fg_drying_day *day) { return !day->cold.snow && !day->cold.frozen; }
