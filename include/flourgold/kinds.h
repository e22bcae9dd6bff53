/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_KINDS_H
#define FLOURGOLD_KINDS_H

#ifdef __cplusplus
extern "C" {
#endif

/* Small kinds that the laws of physics and the scenario share. */

enum { FG_CURVE_MAX = 64 };

typedef struct fg_curve_point {
  double volume_m3_s;
  double pressure_pa;
} fg_curve_point;

typedef enum fg_blower_kind {
  FG_BLOWER_TWO_STROKE = 0,
  FG_BLOWER_FOUR_STROKE,
  FG_BLOWER_BATTERY,
  FG_BLOWER_MAINS
} fg_blower_kind;

typedef enum fg_sky { FG_SKY_SUN = 0, FG_SKY_CLOUD, FG_SKY_SHADE } fg_sky;

#ifdef __cplusplus
}
#endif

#endif
