/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_GRAINS_H
#define FLOURGOLD_GRAINS_H

#include <stddef.h>

#include "flourgold/drag.h"
#include "flourgold/grain.h"
#include "flourgold/status.h"

/* Of grains, what the model alone needs. */

extern const fg_mineral fg_minerals[];
extern const size_t fg_minerals_count;

/* Equal-volume diameter and mass (kg) of a disc of diameter D (m). */
double fg_disc_equal_volume(double diameter_m, double thickness_ratio);
double fg_disc_mass(double diameter_m, double thickness_ratio, double density_kg_m3);

/* A log-normal size distribution by mass, cut off above `cut_m`.
 * share: the part finer than the cut.  sauter: harmonic mean by mass of that part (m),
 * from the closed form of the truncated log-normal. */
fg_status fg_lognormal_below(double median_m, double spread, double cut_m, double *share,
                             double *sauter_m);
/* Mass share finer than size. */
double fg_lognormal_cdf(double size_m, double median_m, double spread);

/* Voidage 1 - bulk/grain density; FG_EDOMAIN outside 0.05-0.95. */
fg_status fg_voidage(double bulk_kg_m3, double grain_kg_m3, double *voidage);

/* Weight less buoyancy in the gas (N); 0 or negative when the grain floats. */
double fg_grain_weight(const fg_grain *grain, const fg_gas *gas);

#endif
