/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_GRAIN_H
#define FLOURGOLD_GRAIN_H

#include <stddef.h>

#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The shape of a grain as the drag laws need it. */
typedef struct fg_shape {
  double sphericity;  /* surface of the equal-volume sphere over its own */
  double broad_ratio; /* D/dv: widest diameter over equal-volume diameter */
  double flatness;    /* thickness over widest diameter; 1 for a grain as high as wide */
} fg_shape;

typedef struct fg_mineral {
  const char *name;
  double density_kg_m3;
  double sphericity;
  const char *note;
} fg_mineral;

/* The two that a bed is made of. */
#define FG_QUARTZ_KG_M3 2650.0
#define FG_MAGNETITE_KG_M3 5180.0

/* A mineral by its name (quartz, magnetite, garnet ...), or NULL.  Gold is none of them: its
 * density and shape are the scenario's own.  Densities: handbook values from memory. */
const fg_mineral *fg_grain_mineral(const char *name);

/* The minerals one after the other, from index 0 on; NULL behind the last. */
const fg_mineral *fg_grain_mineral_at(size_t index);

/* Density (kg/m3) of native gold of a fineness 0-1, the rest silver: ideal mixing of gold 19.32 and
 * silver 10.49 g/cm3.  FG_EDOMAIN outside 0-1. */
fg_status fg_grain_gold_density(double fineness, double *density_kg_m3);

/* Its inverse: fineness of a density (kg/m3) between those of silver and gold; FG_EDOMAIN outside.
 */
fg_status fg_grain_gold_fineness(double density_kg_m3, double *fineness);

/* Shape of a disc of thickness ratio f, thickness over diameter D: dv = D (1.5 f)^(1/3),
 * sphericity = dv^2/(D^2/2 + D^2 f), exactly.  f 0.001 to 1; FG_EDOMAIN outside. */
fg_status fg_grain_disc(double thickness_ratio, fg_shape *shape);

/* Shape of a grain of which only the sphericity is known (0.02 to 1): the disc of
 * that sphericity as far as discs go (0.874, a disc as thick as wide), beyond it a
 * grain between that and a sphere (estimate: model).  FG_EDOMAIN outside the range. */
fg_status fg_grain_of_sphericity(double sphericity, fg_shape *shape);

#ifdef __cplusplus
}
#endif

#endif
