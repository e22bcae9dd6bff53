/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SOIL_H
#define FLOURGOLD_SOIL_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"

/* How ground holds water, by class of soil. */

typedef struct fg_range {
  double low, high;
} fg_range;

typedef struct fg_soil_class {
  const char *name;
  fg_range clay;           /* by mass of what is finer than 2 mm */
  fg_range field_capacity; /* water by volume that stays against drainage */
  fg_range wilting_point;  /* by volume */
  fg_range between;        /* field capacity less wilting point */
  fg_range rew_m;          /* readily evaporable water */
  fg_range tew_m;          /* total evaporable water of a layer of 0.10 m */
  double second_stage_m;   /* drawn in the first day of the second stage (Ritchie) */
  double hold;             /* share of the water above field capacity left after a day */
} fg_soil_class;

/* Ranges: Allen et al., FAO Irrigation and Drainage Paper 56, 1998, table 19.  Second stage:
 * Ritchie, Water Resources Research 8:1204, 1972, and what he cites: sand 3.3, loam 4.0, clay
 * loam 5.1, clay 3.5 mm (values from memory), classes between them interpolated.  Clay: the US
 * triangle (Soil Science Division Staff, Soil Survey Manual, USDA Handbook 18, ch. 3), cut off
 * at 60 %.  Hold: estimate. */
enum { FG_SOIL_CLASSES = 9 };
extern const fg_soil_class fg_soil_classes[FG_SOIL_CLASSES];
extern const char *const fg_soil_class_names[FG_SOIL_CLASSES + 1];

/* Class of soil with so much clay when little of the rest is silt, as an index. */
int fg_soil_class_of_clay(double clay);

/* Grains coarser than this hold no water of their own; classes are for the soil finer than it
 * (the usual limit of the fine earth). */
#define FG_STONE_M 2e-3

/* Volume share of ground that grains of quartz take which are `mass_share` of its dry mass;
 * dry_kg_m3 is the ground's density in place.  FG_EDOMAIN unless 0 <= mass_share <= 1, and when
 * no room would be left. */
fg_status fg_stone_volume(double mass_share, double dry_kg_m3, double *volume_share);

double fg_range_middle(fg_range range);

/* Water (m) that can evaporate from a layer: (field capacity - 1/2 wilting point) times its
 * thickness (m).  FAO-56 eq. 73.  FG_EDOMAIN unless 0 <= wilting point < field capacity
 * < 1 and the layer is thicker than 0. */
fg_status fg_evaporable_water(double field_capacity, double wilting_point, double layer_m,
                              double *tew_m);

/* Readily evaporable water (m) of a layer whose tew is known: that of its class, `usual_m`, in
 * proportion to tew over the tew that a layer so thick of the class's middle has; at most 0.8 of
 * tew, which thin layers reach. */
double fg_class_rew(const fg_soil_class *soil, double layer_m, double tew_m, double usual_m);

#endif
