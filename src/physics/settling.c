/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/settling.h"

#include <math.h>

#include "core/roots.h"
#include "physics/grains.h"

fg_status fg_settling_velocity(int law, const fg_grain *grain, const fg_gas *gas,
                               double *speed_m_s) {
  const double weight = fg_grain_weight(grain, gas);
  if (!(weight > 0.0))
    return FG_EDOMAIN;
  return fg_drag_speed(law, grain, gas, weight, speed_m_s);
}

fg_status fg_settling_gold(double density_kg_m3, double thickness_ratio,
                           fg_settling_family *family) {
  fg_settling_family f = {.name = "gold", .density_kg_m3 = density_kg_m3};
  const fg_status status = fg_grain_disc(thickness_ratio, &f.shape);
  if (status != FG_OK)
    return status;
  f.volume_ratio = fg_disc_equal_volume(1.0, thickness_ratio);
  *family = f;
  return FG_OK;
}

fg_status fg_settling_mineral(const fg_mineral *mineral, double sphericity,
                              fg_settling_family *family) {
  fg_settling_family f = {
      .name = mineral->name, .density_kg_m3 = mineral->density_kg_m3, .volume_ratio = 1};
  const fg_status status =
      fg_grain_of_sphericity(sphericity > 0.0 ? sphericity : mineral->sphericity, &f.shape);
  if (status == FG_OK)
    *family = f;
  return status;
}

fg_status fg_settling_speed(const fg_settling_family *family, int law, const fg_gas *gas,
                            double size_m, double *speed_m_s) {
  const fg_grain grain = {size_m * family->volume_ratio, family->density_kg_m3, family->shape};
  return fg_settling_velocity(law, &grain, gas, speed_m_s);
}

typedef struct speed_case {
  const fg_settling_family *family;
  const fg_gas *gas;
  int law;
  double speed_m_s;
} speed_case;

static double speed_gap(double log_size, void *context) {
  const speed_case *c = context;
  double speed;
  if (fg_settling_speed(c->family, c->law, c->gas, exp(log_size), &speed) != FG_OK)
    return NAN;
  return log(speed / c->speed_m_s);
}

fg_status fg_settling_size(const fg_settling_family *family, int law, const fg_gas *gas,
                           double speed_m_s, double *size_m) {
  if (!(speed_m_s > 0.0))
    return FG_EDOMAIN;
  speed_case c = {family, gas, law, speed_m_s};
  double log_size;
  const fg_status status = fg_root(speed_gap, &c, log(1e-6), log(0.2), 1e-12, &log_size);
  if (status == FG_OK)
    *size_m = exp(log_size);
  return status;
}
