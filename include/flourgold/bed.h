/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BED_H
#define FLOURGOLD_BED_H

#ifdef __cplusplus
extern "C" {
#endif

/* A bed of grains that flows down a slope, loosened by air and shaken from below. */
typedef struct fg_bed {
  double bulk_kg_m3;
  double grain_kg_m3;
  double grain_m; /* Sauter mean */
  double slope_rad;
  double support;         /* share of the weight across the slope that the air carries, 0-1 */
  double cohesion_pa;     /* added to the normal stress: water bonds */
  double viscosity_pa_s;  /* of the air-loosened bed without friction, >= 0 */
  double friction_static; /* mu_s */
  double friction_rise;   /* mu_2 - mu_s */
  double inertial_number; /* I0 */
  double shake_1_s;       /* rate at which shaking shears the bed, >= 0 */
} fg_bed;

/* One height in the bed. */
typedef struct fg_shear {
  double rate_1_s;  /* downslope shear rate */
  double total_1_s; /* with the shaking: sqrt(rate^2 + shake^2) */
  double normal_pa;
  double resistance_pa; /* mu(I) N at the total rate */
} fg_shear;

#ifdef __cplusplus
}
#endif

#endif
