/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/variogram.h"

#include <math.h>

const char *const fg_variogram_names[FG_VARIOGRAM_KINDS + 1] = {
    [FG_VARIOGRAM_NUGGET] = "nugget",
    [FG_VARIOGRAM_EXPONENTIAL] = "exponential",
    [FG_VARIOGRAM_SPHERICAL] = "spherical",
    [FG_VARIOGRAM_GAUSSIAN] = "gaussian",
};

bool fg_variogram_is_valid(const fg_variogram *v) {
  return v->kind < FG_VARIOGRAM_KINDS && v->nugget >= 0.0 && isfinite(v->sill) &&
         v->sill >= v->nugget && v->sill > 0.0 && isfinite(v->range_m) && v->range_m > 0.0 &&
         isfinite(v->direction_rad) && v->ratio > 0.0 && v->ratio <= 1.0;
}

void fg_variogram_turn(const fg_variogram *v, double dx_m, double dy_m, double turned[2]) {
  const bool alike = v->ratio >= 1.0;
  const double s = alike ? 1.0 : sin(v->direction_rad);
  const double c = alike ? 0.0 : cos(v->direction_rad);
  turned[0] = dx_m * s + dy_m * c;
  turned[1] = (dx_m * c - dy_m * s) / v->ratio;
}

double fg_variogram_distance(const fg_variogram *v, double dx_m, double dy_m) {
  double turned[2];
  fg_variogram_turn(v, dx_m, dy_m, turned);
  return hypot(turned[0], turned[1]);
}

static double likeness(fg_variogram_kind kind, double r) {
  switch (kind) {
  case FG_VARIOGRAM_EXPONENTIAL:
    return exp(-3.0 * r);
  case FG_VARIOGRAM_SPHERICAL:
    return r < 1.0 ? 1.0 - r * (1.5 - 0.5 * r * r) : 0.0;
  case FG_VARIOGRAM_GAUSSIAN:
    return exp(-3.0 * r * r);
  default:
    return 0.0;
  }
}

double fg_variogram_covariance(const fg_variogram *v, double distance_m) {
  return (v->sill - v->nugget) * likeness(v->kind, distance_m / v->range_m);
}

double fg_variogram_gamma(const fg_variogram *v, double dx_m, double dy_m) {
  const double distance = fg_variogram_distance(v, dx_m, dy_m);
  return distance > 0.0 ? v->sill - fg_variogram_covariance(v, distance) : 0.0;
}
