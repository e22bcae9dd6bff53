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

/* How many times over the deck's air would blow a class of sand off on the way down. */
static fg_status blown_times(const fg_scenario *s, const fg_machine *m, const fg_size_class *c,
                             double *times) {
  const fg_gas gas = {m->air.density_kg_m3, m->air.viscosity_pa_s};
  fg_grain grain = {.dv_m = sqrt(c->lower_m * c->upper_m), .density_kg_m3 = FG_QUARTZ_KG_M3};
  double speed;
  fg_status status = fg_grain_of_sphericity(s->ground.grain_sphericity, &grain.shape);
  if (status == FG_OK)
    status = fg_settling_velocity(s->closure.drag_law, &grain, &gas, &speed);
  if (status != FG_OK)
    return status;
  const double quiet = s->deck.dead_air_share, open = m->at.open_velocity_m_s;
  const double lift = (1.0 - quiet) * fg_dust_lift(s, m, open, speed) +
                      quiet * fg_dust_lift(s, m, m->at.quiet_velocity_m_s, speed);
  *times = lift * s->deck.length * s->deck.width * s->ground.bulk_density / m->deck_feed_kg_s;
  return FG_OK;
}

/* Of what is blown off at an even rate, the mean share still there along the deck. */
static double mean_left(double times) { return times > 1e-9 ? -expm1(-times) / times : 1.0; }

fg_status fg_dust_blow(const fg_scenario *s, fg_machine *m) {
  fg_size_class classes[FG_SAND_CLASSES_MAX];
  fg_sizes sizes;
  fg_ground_sizes(s, &sizes);
  double mass = 0.0, inverse = 0.0, left_mass = 0.0, left_inverse = 0.0;
  for (size_t i = fg_sand_classes(&sizes, s->screen.opening, classes); i-- > 0;) {
    double times = 0.0;
    const fg_status status = blown_times(s, m, &classes[i], &times);
    if (status != FG_OK)
      return status;
    const double share = classes[i].share, left = share * mean_left(times);
    const double size = sqrt(classes[i].lower_m * classes[i].upper_m);
    mass += share;
    inverse += share / size;
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
