/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/blower.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_interp.h>
#include <math.h>
#include <stdbool.h>

#include "flourgold/air.h"
#include "physics/engine.h"

static const double feet_m = 0.3048;

static const double idle_share = 0.2; /* of full-throttle fuel */

bool fg_blower_is_engine(fg_blower_kind kind) {
  return kind == FG_BLOWER_TWO_STROKE || kind == FG_BLOWER_FOUR_STROKE;
}

double fg_engine_power(fg_blower_kind kind, double elevation_m) {
  if (!fg_blower_is_engine(kind))
    return 1.0;
  const double feet = elevation_m / feet_m;
  return fmax(0.05, 1.0 - 0.03 * fmax(0.0, feet - 500.0) / 1000.0);
}

double fg_fan_speed(fg_blower_kind kind, double throttle, double elevation_m,
                    double air_density_kg_m3) {
  if (!fg_blower_is_engine(kind))
    return throttle;
  const double ratio = air_density_kg_m3 / FG_STANDARD_DENSITY;
  return throttle * cbrt(fg_engine_power(kind, elevation_m) / ratio);
}

double fg_blower_fuel(fg_blower_kind kind, double full_m3_s, double throttle, double elevation_m) {
  const double power = throttle * throttle * throttle * fg_engine_power(kind, elevation_m);
  return fg_blower_is_engine(kind) ? full_m3_s * (idle_share + (1.0 - idle_share) * power) : 0.0;
}

fg_status fg_fan_label(double volume_m3_s, double nozzle_m_s, double shutoff_ratio, bool open,
                       fg_fan *fan) {
  if (!(volume_m3_s > 0.0 && nozzle_m_s > 0.0 && shutoff_ratio >= 1.0))
    return FG_EDOMAIN;
  const double velocity_pa = 0.5 * FG_STANDARD_DENSITY * nozzle_m_s * nozzle_m_s;
  *fan = (fg_fan){.shutoff_pa = shutoff_ratio * velocity_pa,
                  .rated_pa = open ? 0.0 : velocity_pa,
                  .rated_m3_s = volume_m3_s,
                  .speed = 1.0,
                  .density_ratio = 1.0};
  return FG_OK;
}

fg_status fg_fan_points(const fg_curve_point *points, size_t count, fg_fan *fan) {
  if (count < 2 || count > FG_CURVE_MAX)
    return FG_EDOMAIN;
  for (size_t i = 0; i < count; ++i) {
    if (!(points[i].volume_m3_s >= 0.0 && points[i].pressure_pa >= 0.0))
      return FG_EDOMAIN;
    if (i > 0 && !(points[i].volume_m3_s > points[i - 1].volume_m3_s &&
                   points[i].pressure_pa < points[i - 1].pressure_pa))
      return FG_EDOMAIN;
  }
  *fan = (fg_fan){.shutoff_pa = points[0].pressure_pa,
                  .rated_pa = points[count - 1].pressure_pa,
                  .rated_m3_s = points[count - 1].volume_m3_s,
                  .count = count,
                  .speed = 1.0,
                  .density_ratio = 1.0};
  for (size_t i = 0; i < count; ++i)
    fan->points[i] = points[i];
  return FG_OK;
}

static double line_through(const fg_curve_point *a, const fg_curve_point *b, double volume) {
  const double slope = (b->pressure_pa - a->pressure_pa) / (b->volume_m3_s - a->volume_m3_s);
  return a->pressure_pa + slope * (volume - a->volume_m3_s);
}

/* Monotone cubic inside the points (GSL's Steffen spline), flat before, a straight line behind. */
static double points_pressure(const fg_fan *fan, double volume) {
  const fg_curve_point *p = fan->points;
  const size_t n = fan->count;
  if (volume <= p[0].volume_m3_s)
    return p[0].pressure_pa;
  if (volume >= p[n - 1].volume_m3_s)
    return line_through(&p[n - 2], &p[n - 1], volume);
  double x[FG_CURVE_MAX], y[FG_CURVE_MAX], result = NAN;
  for (size_t i = 0; i < n; ++i) {
    x[i] = p[i].volume_m3_s;
    y[i] = p[i].pressure_pa;
  }
  if (n < gsl_interp_type_min_size(gsl_interp_steffen))
    return line_through(&p[0], &p[1], volume);
  gsl_interp *curve = gsl_interp_alloc(gsl_interp_steffen, n);
  if (!curve)
    return NAN;
  if (gsl_interp_init(curve, x, y, n) == GSL_SUCCESS &&
      gsl_interp_eval_e(curve, x, y, volume, NULL, &result) != GSL_SUCCESS)
    result = NAN;
  gsl_interp_free(curve);
  return result;
}

double fg_fan_pressure(const fg_fan *fan, double volume_m3_s) {
  const double full = volume_m3_s / fan->speed;
  const double scale = fan->speed * fan->speed * fan->density_ratio;
  if (fan->count > 0)
    return scale * points_pressure(fan, full);
  const double x = full / fan->rated_m3_s;
  return scale * (fan->shutoff_pa - (fan->shutoff_pa - fan->rated_pa) * x * x);
}

double fg_fan_free_volume(const fg_fan *fan) {
  if (fan->count > 0) {
    const fg_curve_point *a = &fan->points[fan->count - 2], *b = &fan->points[fan->count - 1];
    const double slope = (b->pressure_pa - a->pressure_pa) / (b->volume_m3_s - a->volume_m3_s);
    return fan->speed * (b->volume_m3_s - b->pressure_pa / slope);
  }
  const double span = fan->shutoff_pa - fan->rated_pa;
  if (span <= 0.0)
    return HUGE_VAL;
  return fan->speed * fan->rated_m3_s * sqrt(fan->shutoff_pa / span);
}
