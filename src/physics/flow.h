/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FLOW_H
#define FLOURGOLD_FLOW_H

#include <stddef.h>

#include "flourgold/bed.h"
#include "flourgold/status.h"

/* How a bed of grains flows down the deck. */

/* Frictional resistance (Pa) under a normal stress (Pa) at a total shear rate (1/s):
 * mu(I) N with I = G d/sqrt(N/rho_s), written to stay regular at N = 0.
 * Source: Jop, Forterre & Pouliquen, Nature 441:727, 2006, equation 2. */
double fg_bed_resistance(const fg_bed *bed, double normal_pa, double total_1_s);

/* Apparent viscosity (Pa s): fluid part plus resistance over rate; infinite in a bed at rest. */
double fg_bed_viscosity(const fg_bed *bed, double normal_pa, double total_1_s);

/* Shear at height z (m) in a bed of depth h (m): the root of
 * (eta + R/G) rate = rho_b g sin(slope) (h - z).  FG_ENOROOT where no steady rate exists
 * (no viscosity and a slope steeper than mu_2). */
fg_status fg_bed_shear(const fg_bed *bed, double depth_m, double z_m, fg_shear *shear);

/* Mass that flows per width (kg/(s m)): bulk density times the integral of the speed. */
fg_status fg_bed_capacity(const fg_bed *bed, double depth_m, double *kg_s_m);

/* Mean speed (m/s) in each of `cells` equal layers, from the cloth up; no slip at the cloth. */
fg_status fg_bed_profile(const fg_bed *bed, double depth_m, size_t cells, double *speed_m_s);

#endif
