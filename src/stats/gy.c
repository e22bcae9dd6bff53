/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/gy.h"

#include <math.h>
#include <stdbool.h>

static bool is_positive(double value) { return value > 0.0 && isfinite(value); }

fg_status fg_gy_constant(const fg_ore *ore, double *constant_kg_m3) {
  if (!is_positive(ore->shape_factor) || !is_positive(ore->size_factor) ||
      !is_positive(ore->liberation_m) || !is_positive(ore->top_size_m) ||
      !is_positive(ore->assay) || !(ore->mineral_grade <= 1.0) ||
      !(ore->assay < ore->mineral_grade) || !is_positive(ore->mineral_kg_m3) ||
      !is_positive(ore->gangue_kg_m3))
    return FG_EDOMAIN;
  const double a = ore->assay / ore->mineral_grade;
  const double composition =
      (1.0 - a) / a * ((1.0 - a) * ore->mineral_kg_m3 + a * ore->gangue_kg_m3);
  const double liberation = fmin(1.0, sqrt(ore->liberation_m / ore->top_size_m));
  *constant_kg_m3 = ore->shape_factor * ore->size_factor * liberation * composition;
  return FG_OK;
}

fg_status fg_gy_sample(const fg_ore *ore, double deviation, double *sample_kg) {
  double constant;
  if (!is_positive(deviation))
    return FG_EDOMAIN;
  const fg_status status = fg_gy_constant(ore, &constant);
  if (status == FG_OK)
    *sample_kg = constant * pow(ore->top_size_m, 3) / (deviation * deviation);
  return status;
}

fg_status fg_gy_deviation(const fg_ore *ore, double sample_kg, double *deviation) {
  double constant;
  if (!is_positive(sample_kg))
    return FG_EDOMAIN;
  const fg_status status = fg_gy_constant(ore, &constant);
  if (status == FG_OK)
    *deviation = sqrt(constant * pow(ore->top_size_m, 3) / sample_kg);
  return status;
}
