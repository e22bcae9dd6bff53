/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BLOWER_H
#define FLOURGOLD_BLOWER_H

#include "flourgold/kinds.h"
#include "flourgold/status.h"
#include <stdbool.h>
#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A fan's total pressure against volume at full speed and sea-level air, and the
 * speed it runs at.  Build with fg_fan_label() or fg_fan_points(). */
typedef struct fg_fan {
  /* from a label: p = shutoff - (shutoff - rated) (Q/rated volume)^2 */
  double shutoff_pa;
  double rated_pa;   /* at the rated volume */
  double rated_m3_s; /* label volume after derating, or the last point of a curve */
  size_t count;      /* points of a measured curve; 0 for a label */
  fg_curve_point points[FG_CURVE_MAX];
  double speed;         /* over full speed: throttle and altitude */
  double density_ratio; /* air density over FG_STANDARD_DENSITY */
} fg_fan;

/* Fan speed over its greatest at sea level, for the air's density (kg/m3) at an elevation (m):
 * throttle x (power / density ratio)^(1/3), the speed at which the fan takes just the power there
 * is; motors whose speed is held keep the throttle.  Source: fan laws, power ~ density n^3. */
double fg_fan_speed(fg_blower_kind kind, double throttle, double elevation_m,
                    double air_density_kg_m3);

/* Fan from a label: volume (m3/s, derated by the caller) and nozzle speed (m/s), both above 0.
 * With `open` the volume is that of the blower without its nozzle, where the pressure is 0.
 * shutoff_ratio k, 1 or more: shut-off pressure is k times the nozzle's velocity pressure.
 * FG_EDOMAIN outside.  At full speed in sea-level air; set fan->speed and fan->density_ratio for
 * another.  Estimate: model (a parabola through two points). */
fg_status fg_fan_label(double volume_m3_s, double nozzle_m_s, double shutoff_ratio, bool open,
                       fg_fan *fan);

/* Fan from 2 to FG_CURVE_MAX measured points, at full speed in sea-level air: volume rising,
 * pressure falling, none below 0; FG_EDOMAIN otherwise.
 * Between points a monotone cubic (Steffen 1990), beyond the last the line of the last two.  Below
 * the first the pressure stays: a centrifugal fan's curve is nearly flat towards its shut-off, and
 * a line drawn on from two points would promise pressures no fan has (estimate: common practice, no
 * source). */
fg_status fg_fan_points(const fg_curve_point *points, size_t count, fg_fan *fan);

/* Total pressure (Pa) the fan gives at a volume (m3/s), by the fan laws Q ~ n,
 * p ~ n^2 rho.  Below zero beyond its free delivery: the fan would be a brake.  NaN only where
 * memory ran out. */
double fg_fan_pressure(const fg_fan *fan, double volume_m3_s);

/* Volume (m3/s) at which it gives no pressure; HUGE_VAL where it never stops giving some. */
double fg_fan_free_volume(const fg_fan *fan);

#ifdef __cplusplus
}
#endif

#endif
