/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FLOW_H
#define FLOURGOLD_FLOW_H

#include <stddef.h>

#include "flourgold/bed.h"
#include "flourgold/packing.h"
#include "flourgold/status.h"

/* How a bed of grains flows down the deck. */

/* Frictional resistance (Pa) under a normal stress (Pa) at a total shear rate (1/s):
 * mu(I) N with I = G d/sqrt(N/rho_s), written to stay regular at N = 0.
 * Source: Jop, Forterre & Pouliquen, Nature 441:727, 2006, equation 2. */
double fg_bed_resistance(const fg_bed *bed, double normal_pa, double total_1_s);

/* Apparent viscosity (Pa s): fluid part plus resistance over rate; infinite in a bed at rest. */
double fg_bed_viscosity(const fg_bed *bed, double normal_pa, double total_1_s);

/* What gas at a superficial velocity (m/s) carries of grains at any packing: Ergun's gradient at
 * voidage 1 - phi over phi times a weight of the grains' own volume (Pa/m).  The voidage of
 * *packing itself does not count. */
fg_status fg_bed_lift(const fg_packing *packing, double velocity_m_s, double density_kg_m3,
                      double viscosity_pa_s, double grain_weight_pa_m, fg_lift *lift);

/* Share of the weight carried at a packing, at most 1. */
double fg_lift_share(const fg_lift *lift, double packing);

/* Packing of a flowing bed: phi0/(1 + k I/phi0), which starts as the linear law phi0 - k I of
 * Forterre & Pouliquen, Annu. Rev. Fluid Mech. 40:1, 2008 (k 0.2, value from memory), and stays
 * positive; never below half the packing at rest (model). */
double fg_bed_packing(const fg_bed *bed, double inertial);

/* Share of the friction that holds up a flow down the slope while a shake shears it sideways to and
 * fro: the mean over a stroke of g/sqrt(g^2 + s^2 cos^2), which is (2/pi) p K(1 - p^2) with p = g/
 * sqrt(g^2 + s^2), 0 < p <= 1, and K the complete elliptic integral, parameter m; by the
 * arithmetic-geometric mean, p/agm(1, p) (Abramowitz & Stegun, 17.6).  *slope: its derivative. */
double fg_bed_turned(double part, double *slope);

/* Shear at settled height y (m) in a bed of settled depth (m): the rate at which
 * eta rate + mu(I) N f = rho_b g sin(slope) (h - y), f from fg_bed_turned() and 1 unshaken, with
 * the packing of that I and the share of the weight that the air carries at that packing taken off
 * N (as if all grains above stood so: exact where I is even over the depth).  guess: an inertial
 * number near the answer, which saves steps; 0: none.  FG_ENOROOT where no steady rate exists (no
 * viscosity and a slope too steep for mu_2). */
fg_status fg_bed_shear(const fg_bed *bed, double settled_m, double y_m, double guess,
                       fg_shear *shear);

/* Mass that flows per width (kg/(s m)): bulk density times the integral of the speed over the
 * settled depth. */
fg_status fg_bed_capacity(const fg_bed *bed, double settled_m, double *kg_s_m);

/* Settled depth (m) of a flow of `per_width` (kg/(s m)) over a heap of the same grains, which
 * shears evenly at a rate (1/s) of its own.  *middle: how the bed stands at mid depth. */
double fg_heap_depth(const fg_bed *bed, double rate_1_s, double per_width, fg_shear *middle);

/* Mean speed (m/s) in each of `cells` layers of as many grains, from the cloth up; no slip at
 * the cloth. */
fg_status fg_bed_profile(const fg_bed *bed, double settled_m, size_t cells, double *speed_m_s);

#endif
