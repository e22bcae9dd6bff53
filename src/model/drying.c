/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "model/capture_internal.h"
#include "model/deck.h"

/* J/(kg K) of dry sand and of water; J/kg that water takes to evaporate. */
static const double sand_heat = 800.0, water_heat = 4190.0, latent_heat = 2.45e6;

/* The deck's air as it enters the sand, after the blower has warmed it. */
typedef struct deck_air {
  double temperature_k, pressure_pa, water; /* kg of water in a kg of air */
  double kg_s;                              /* through one pitch */
} deck_air;

static fg_status describe_air(const fg_scenario *s, const fg_machine *m, deck_air *air) {
  const double b = s->deck.dead_air_share;
  const double area = s->deck.length / s->deck.riffles * s->deck.width;
  const double warmer =
      m->at.blower_pressure_pa / (s->blower.efficiency * m->air.density_kg_m3 * FG_AIR_HEAT);
  air->temperature_k = m->air.temperature_k + fmax(0.0, warmer);
  air->pressure_pa = m->air.pressure_pa;
  air->kg_s = m->air.density_kg_m3 * area *
              ((1.0 - b) * m->at.open_velocity_m_s + b * m->at.quiet_velocity_m_s);
  return fg_air_humidity_ratio(m->air.temperature_k, m->air.pressure_pa, m->air.humidity,
                               &air->water);
}

/* A kg of dry sand on its way down the deck. */
typedef struct damp_sand {
  double water, temperature_k;
} damp_sand;

/* One step of `air_kg` for a kg of sand.  The air leaves at the sand's temperature, saturated while
 * there is water: heat of sand and air pays for what evaporates (energy balance). */
static fg_status dry_step(const deck_air *air, double air_kg, damp_sand *sand) {
  double saturated;
  const fg_status status =
      fg_air_humidity_ratio(sand->temperature_k, air->pressure_pa, 1.0, &saturated);
  if (status != FG_OK)
    return status;
  const double gone = fmin(sand->water, fmax(0.0, saturated - air->water) * air_kg);
  const double heat =
      air_kg * FG_AIR_HEAT * (air->temperature_k - sand->temperature_k) - gone * latent_heat;
  sand->temperature_k += heat / (sand_heat + sand->water * water_heat);
  sand->water -= gone;
  return FG_OK;
}

fg_status fg_deck_drying(const fg_scenario *scenario, const fg_machine *machine, double *moisture) {
  const size_t riffles = (size_t)scenario->deck.riffles;
  const double dry_kg_s = machine->deck_feed_kg_s / (1.0 + scenario->ground.moisture);
  damp_sand sand = {scenario->ground.moisture, machine->air.temperature_k};
  deck_air air;
  fg_status status = describe_air(scenario, machine, &air);
  if (status != FG_OK)
    return status;
  const double air_kg = air.kg_s / dry_kg_s;
  /* A step cools the sand by a part of what is left to the wet bulb. */
  const size_t steps = (size_t)ceil(20.0 * air_kg);
  moisture[0] = sand.water;
  for (size_t i = 0; i < riffles && status == FG_OK; ++i) {
    if (scenario->deck.air_drying)
      for (size_t step = 0; step < steps && sand.water > 0.0 && status == FG_OK; ++step)
        status = dry_step(&air, air_kg / (double)steps, &sand);
    moisture[i + 1] = sand.water;
  }
  return status;
}
