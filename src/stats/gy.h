/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_GY_H
#define FLOURGOLD_GY_H

#include "flourgold/status.h"

/* Gy's formula for the fundamental error of sampling broken ore: the least error there is,
 * from the number of grains alone (Gy 1979; Wills & Finch, Mineral Processing Technology). */
typedef struct fg_ore {
  double shape_factor;  /* f: grain volume over cube of its size; 0.5 for most minerals */
  double size_factor;   /* g: 0.25 for a wide range of sizes, 0.5 for a sieved fraction */
  double liberation_m;  /* size at which the mineral is free; as large as top_size or larger:
                           it is all free */
  double top_size_m;    /* sieve that passes 95 % */
  double assay;         /* metal, mass share of the ore, above 0 */
  double mineral_grade; /* metal, mass share of the pure mineral; above the assay, up to 1 */
  double mineral_kg_m3, gangue_kg_m3;
} fg_ore;

/* Sampling constant C (kg/m3): relative variance = C top_size^3 / mass, with
 * C = f g l m, l = sqrt(liberation/top_size), m = (1-a)/a [(1-a) r + a t].
 * FG_EDOMAIN when a value is out of range. */
fg_status fg_gy_constant(const fg_ore *ore, double *constant_kg_m3);

/* Mass (kg) of sample whose relative standard deviation is `deviation` (> 0). */
fg_status fg_gy_sample(const fg_ore *ore, double deviation, double *sample_kg);

/* Relative standard deviation of a sample of `sample_kg` (> 0). */
fg_status fg_gy_deviation(const fg_ore *ore, double sample_kg, double *deviation);

#endif
