/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTLING_H
#define FLOURGOLD_SETTLING_H

#include "flourgold/drag.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Settling (terminal) velocity (m/s) of one grain in still gas: where the drag of a law of
 * flourgold/drag.h is its weight less buoyancy.  FG_EDOMAIN when the grain floats or its shape lies
 * outside the law, FG_ENOROOT as fg_drag_speed(). */
fg_status fg_settling_velocity(int law, const fg_grain *grain, const fg_gas *gas,
                               double *speed_m_s);

/* A mineral as a family of grains of one shape: sieve size to settling velocity and back. */
typedef struct fg_settling_family {
  const char *name;
  double density_kg_m3;
  fg_shape shape;
  double volume_ratio; /* equal-volume diameter over sieve size: 1 but for discs */
} fg_settling_family;

/* Gold of a density (kg/m3) as discs of a thickness ratio, thickness over diameter, 0.001 to 1;
 * FG_EDOMAIN outside. */
fg_status fg_settling_gold(double density_kg_m3, double thickness_ratio,
                           fg_settling_family *family);

/* A mineral, of fg_grain_mineral() for instance; its sphericity may be overruled, 0.02 to 1 (0: its
 * own).  FG_EDOMAIN outside.  The name stays the mineral's. */
fg_status fg_settling_mineral(const fg_mineral *mineral, double sphericity,
                              fg_settling_family *family);

/* Settling velocity (m/s) of a sieve size (m).  Errors as fg_settling_velocity(). */
fg_status fg_settling_speed(const fg_settling_family *family, int law, const fg_gas *gas,
                            double size_m, double *speed_m_s);

/* Sieve size (m), between 1 um and 0.2 m, that settles at a speed (m/s) above 0, to 12 digits;
 * FG_EDOMAIN for another speed, FG_ENOROOT when no size does. */
fg_status fg_settling_size(const fg_settling_family *family, int law, const fg_gas *gas,
                           double speed_m_s, double *size_m);

#ifdef __cplusplus
}
#endif

#endif
