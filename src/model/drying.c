/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "model/capture_internal.h"
#include "model/deck.h"

/* Water (kg) that a kg of the deck's air can still take up: from its own humidity to
 * saturation at its wet bulb, after the blower has warmed it. */
static fg_status drying_room(const fg_scenario *s, const fg_machine *m, double *room) {
  const double warmer =
      m->at.blower_pressure_pa / (s->blower.efficiency * m->air.density_kg_m3 * FG_AIR_HEAT);
  const double inlet_k = m->air.temperature_k + fmax(0.0, warmer);
  double cold, warm, wet, own, saturated;
  fg_status status = fg_air_saturation_pressure(m->air.temperature_k, &cold);
  if (status == FG_OK)
    status = fg_air_saturation_pressure(inlet_k, &warm);
  if (status != FG_OK)
    return status;
  const double humidity = fmin(1.0, m->air.humidity * cold / warm);
  status = fg_air_wet_bulb(inlet_k, m->air.pressure_pa, humidity, &wet);
  if (status == FG_OK)
    status = fg_air_humidity_ratio(wet, m->air.pressure_pa, 1.0, &saturated);
  if (status == FG_OK)
    status = fg_air_humidity_ratio(inlet_k, m->air.pressure_pa, humidity, &own);
  if (status == FG_OK)
    *room = fmax(0.0, saturated - own);
  return status;
}

fg_status fg_deck_drying(const fg_scenario *scenario, const fg_machine *machine, double *moisture) {
  const fg_scenario *s = scenario;
  const size_t riffles = (size_t)s->deck.riffles;
  double room = 0.0;
  if (s->deck.air_drying) {
    const fg_status status = drying_room(s, machine, &room);
    if (status != FG_OK)
      return status;
  }
  const double b = s->deck.dead_air_share;
  const double area = s->deck.length / s->deck.riffles * s->deck.width;
  const double air_kg_s =
      machine->air.density_kg_m3 * area *
      ((1.0 - b) * machine->at.open_velocity_m_s + b * machine->at.quiet_velocity_m_s);
  const double dry_kg_s = machine->deck_feed_kg_s / (1.0 + s->ground.moisture);
  moisture[0] = s->ground.moisture;
  for (size_t i = 0; i < riffles; ++i)
    moisture[i + 1] = fmax(0.0, moisture[i] - room * air_kg_s / dry_kg_s);
  return FG_OK;
}
