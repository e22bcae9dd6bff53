/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BED_H
#define FLOURGOLD_BED_H

#ifdef __cplusplus
extern "C" {
#endif

/* What air carries of the grains it rises through, as a share of their weight across the slope:
 * (viscous phi + inertial)/(1 - phi)^3 at a packing phi (Ergun's law). */
typedef struct fg_lift {
  double viscous, inertial;
} fg_lift;

/* A bed of grains that flows down a slope, loosened by air and shaken from below.  It dilates as
 * it flows, so depths and heights are *settled* ones: of the same grains at rest. */
typedef struct fg_bed {
  double bulk_kg_m3; /* at rest */
  double grain_kg_m3;
  double grain_m; /* Sauter mean */
  double slope_rad;
  fg_lift lift;
  double dilation;        /* loss of packing per inertial number, >= 0 */
  double cohesion_pa;     /* added to the normal stress: water bonds */
  double viscosity_pa_s;  /* of grains without friction, >= 0 */
  double friction_static; /* mu_s */
  double friction_rise;   /* mu_2 - mu_s */
  double inertial_number; /* I0 */
  double shake_1_s;       /* peak rate at which shaking shears the bed sideways, >= 0 */
} fg_bed;

/* One height in the bed. */
typedef struct fg_shear {
  double rate_1_s;  /* downslope shear rate */
  double total_1_s; /* with the shaking: sqrt(rate^2 + shake^2/2) */
  double normal_pa;
  double resistance_pa; /* mu(I) N at the total rate */
  double inertial;      /* I = G d/sqrt(N/rho_s); 1e12 where the air carries all */
  double packing;       /* phi(I) */
  double support;       /* share of the weight that the air carries at that packing */
} fg_shear;

#ifdef __cplusplus
}
#endif

#endif
