/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/soil.h"
#include "flourgold/grain.h"

#include <math.h>
#include <string.h>

#define MM(low, high)                                                                              \
  { (low) * 1e-3, (high)*1e-3 }

const fg_soil_class fg_soil_classes[FG_SOIL_CLASSES] = {
    {"sand",
     {0.00, 0.10},
     {0.07, 0.17},
     {0.02, 0.07},
     {0.05, 0.11},
     MM(2, 7),
     MM(6, 12),
     3.3e-3,
     0.10},
    {"loamy_sand",
     {0.00, 0.15},
     {0.11, 0.19},
     {0.03, 0.10},
     {0.06, 0.12},
     MM(4, 8),
     MM(9, 14),
     3.5e-3,
     0.15},
    {"sandy_loam",
     {0.00, 0.20},
     {0.18, 0.28},
     {0.06, 0.16},
     {0.11, 0.15},
     MM(6, 10),
     MM(15, 20),
     3.8e-3,
     0.25},
    {"loam",
     {0.07, 0.27},
     {0.20, 0.30},
     {0.07, 0.17},
     {0.13, 0.18},
     MM(8, 10),
     MM(16, 22),
     4.0e-3,
     0.35},
    {"silt_loam",
     {0.00, 0.27},
     {0.22, 0.36},
     {0.09, 0.21},
     {0.13, 0.19},
     MM(8, 11),
     MM(18, 25),
     4.3e-3,
     0.45},
    {"silt",
     {0.00, 0.12},
     {0.28, 0.36},
     {0.12, 0.22},
     {0.16, 0.20},
     MM(8, 11),
     MM(22, 26),
     4.5e-3,
     0.45},
    {"silt_clay_loam",
     {0.27, 0.40},
     {0.30, 0.37},
     {0.17, 0.24},
     {0.13, 0.18},
     MM(8, 11),
     MM(22, 27),
     5.1e-3,
     0.55},
    {"silty_clay",
     {0.40, 0.60},
     {0.30, 0.42},
     {0.17, 0.29},
     {0.13, 0.19},
     MM(8, 12),
     MM(22, 28),
     4.0e-3,
     0.65},
    {"clay",
     {0.40, 0.60},
     {0.32, 0.40},
     {0.20, 0.24},
     {0.12, 0.20},
     MM(8, 12),
     MM(22, 29),
     3.5e-3,
     0.70},
};

const char *const fg_soil_class_names[FG_SOIL_CLASSES + 1] = {
    "sand", "loamy_sand",     "sandy_loam", "loam", "silt_loam",
    "silt", "silt_clay_loam", "silty_clay", "clay", NULL};

int fg_soil_class_of_clay(double clay) {
  static const char *const silty[] = {"silt_loam", "silt", "silty_clay"};
  for (int i = 0; i < FG_SOIL_CLASSES; ++i) {
    const fg_soil_class *soil = &fg_soil_classes[i];
    bool few_silt = true;
    for (size_t k = 0; k < sizeof silty / sizeof silty[0]; ++k)
      few_silt = few_silt && strcmp(soil->name, silty[k]) != 0;
    if (few_silt && clay <= soil->clay.high)
      return i;
  }
  return FG_SOIL_CLASSES - 1;
}

double fg_range_middle(fg_range range) { return 0.5 * (range.low + range.high); }

fg_status fg_stone_volume(double mass_share, double dry_kg_m3, double *volume_share) {
  if (!(mass_share >= 0.0) || !(mass_share <= 1.0) || !(dry_kg_m3 > 0.0))
    return FG_EDOMAIN;
  const double volume = mass_share * dry_kg_m3 / FG_QUARTZ_KG_M3;
  if (!(volume < 1.0))
    return FG_EDOMAIN;
  *volume_share = volume;
  return FG_OK;
}

fg_status fg_evaporable_water(double field_capacity, double wilting_point, double layer_m,
                              double *tew_m) {
  if (!(wilting_point >= 0.0) || !(wilting_point < field_capacity) || !(field_capacity < 1.0) ||
      !(layer_m > 0.0))
    return FG_EDOMAIN;
  *tew_m = (field_capacity - 0.5 * wilting_point) * layer_m;
  return FG_OK;
}

double fg_class_rew(const fg_soil_class *soil, double layer_m, double tew_m, double usual_m) {
  const double usual_tew = layer_m * (fg_range_middle(soil->field_capacity) -
                                      0.5 * fg_range_middle(soil->wilting_point));
  return fmin(usual_m * tew_m / usual_tew, 0.8 * tew_m);
}
