/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/settling.h"
#include "model/capture_internal.h"
#include "model/household.h"
#include "physics/elutriation.h"

double fg_dust_lift(const fg_scenario *s, const fg_machine *m, double velocity_m_s,
                    double settling_m_s) {
  return fg_elutriation_flux(m->air.density_kg_m3, velocity_m_s, settling_m_s) /
         s->ground.bulk_density;
}

fg_status fg_dust_describe(const fg_scenario *s, const fg_machine *m, fg_dust *dust) {
  const fg_gas gas = {m->air.density_kg_m3, m->air.viscosity_pa_s};
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  dust->count = fg_sand_classes(&sizes, s->screen.opening, dust->classes);
  fg_grain grain = {.density_kg_m3 = FG_QUARTZ_KG_M3};
  fg_status status = fg_grain_of_sphericity(s->ground.grain_sphericity, &grain.shape);
  for (size_t i = 0; i < dust->count && status == FG_OK; ++i) {
    grain.dv_m = sqrt(dust->classes[i].lower_m * dust->classes[i].upper_m);
    status = fg_settling_velocity(s->closure.drag_law, &grain, &gas, &dust->settling_m_s[i]);
  }
  return status;
}

/* How many times over the deck's air would blow sand of a settling velocity off on the way down. */
static double blown_times(const fg_scenario *s, const fg_machine *m, double settling_m_s) {
  const double quiet = s->deck.dead_air_share, open = m->at.open_velocity_m_s;
  const double lift = (1.0 - quiet) * fg_dust_lift(s, m, open, settling_m_s) +
                      quiet * fg_dust_lift(s, m, m->at.quiet_velocity_m_s, settling_m_s);
  return lift * s->deck.length * s->deck.width * s->ground.bulk_density / m->deck_feed_kg_s;
}

/* Of what is blown off at an even rate, the mean share still there along the deck. */
static double mean_left(double times) { return times > 1e-9 ? -expm1(-times) / times : 1.0; }

fg_status fg_dust_blow(const fg_scenario *s, const fg_dust *dust, fg_machine *m) {
  double mass = 0.0, inverse = 0.0, left_mass = 0.0, left_inverse = 0.0;
  for (size_t i = dust->count; i-- > 0;) {
    const fg_size_class *c = &dust->classes[i];
    const double left = c->share * mean_left(blown_times(s, m, dust->settling_m_s[i]));
    const double size = sqrt(c->lower_m * c->upper_m);
    mass += c->share;
    inverse += c->share / size;
    left_mass += left;
    left_inverse += left / size;
  }
  if (!(left_mass > 0.0 && left_inverse > 0.0))
    return FG_EDOMAIN;
  m->sand_left = left_mass / mass;
  m->packing.diameter_m = m->feed_sauter_m * m->sand_left / (left_inverse / inverse);
  m->sauter_m = m->packing.diameter_m;
  return FG_OK;
}
