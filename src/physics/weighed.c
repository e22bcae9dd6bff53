/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Kitchen arithmetic: jar, pan and scale. */
#include <math.h>

#include "physics/weighed.h"

fg_status fg_jar_shares(const double layer_m[3], double share[3]) {
  double sum = 0.0;
  for (int i = 0; i < 3; ++i) {
    if (!(layer_m[i] >= 0.0))
      return FG_EDOMAIN;
    sum += layer_m[i];
  }
  if (!(sum > 0.0) || !isfinite(sum))
    return FG_EDOMAIN;
  for (int i = 0; i < 3; ++i)
    share[i] = layer_m[i] / sum;
  return FG_OK;
}

fg_status fg_jar_errors(const double layer_m[3], const double error_m[3], double error[3]) {
  double share[3];
  const fg_status status = fg_jar_shares(layer_m, share);
  if (status != FG_OK)
    return status;
  const double sum = layer_m[0] + layer_m[1] + layer_m[2];
  for (int i = 0; i < 3; ++i) {
    double square = 0.0;
    for (int k = 0; k < 3; ++k) {
      const double slope = ((i == k ? 1.0 : 0.0) - share[i]) / sum;
      square += slope * slope * error_m[k] * error_m[k];
    }
    error[i] = sqrt(square);
  }
  return FG_OK;
}

const char *fg_texture_class(double sand, double silt, double clay) {
  if (silt + 1.5 * clay < 0.15)
    return "sand";
  if (silt + 2.0 * clay < 0.30)
    return "loamy sand";
  if (clay >= 0.40)
    return sand > 0.45 ? "sandy clay" : silt >= 0.40 ? "silty clay" : "clay";
  if (clay >= 0.35 && sand > 0.45)
    return "sandy clay";
  if (clay >= 0.27 && sand <= 0.45)
    return sand <= 0.20 ? "silty clay loam" : "clay loam";
  if (clay >= 0.20 && silt < 0.28)
    return "sandy clay loam";
  if (silt >= 0.80 && clay < 0.12)
    return "silt";
  if (silt >= 0.50)
    return "silt loam";
  if (clay >= 0.07 && silt >= 0.28 && sand <= 0.52)
    return "loam";
  return "sandy loam";
}

fg_status fg_moisture_weighed(double wet_kg, double dry_kg, double pan_kg, double step_kg,
                              double *moisture, double *error) {
  if (!(pan_kg >= 0.0 && dry_kg > pan_kg && wet_kg >= dry_kg && step_kg >= 0.0))
    return FG_EDOMAIN;
  const double solids = dry_kg - pan_kg, w = (wet_kg - dry_kg) / solids;
  *moisture = w;
  /* Slopes against wet, dry and pan: 1, -(1 + w) and w, over the solids. */
  *error = 0.5 * step_kg / solids * sqrt(1.0 + (1.0 + w) * (1.0 + w) + w * w);
  return FG_OK;
}

fg_status fg_flake_thickness(double count, double mass_kg, double mass_error_kg, double size_m,
                             double size_error_m, double density_kg_m3, double *ratio,
                             double *error) {
  if (!(count >= 1.0 && mass_kg > 0.0 && mass_error_kg >= 0.0 && size_m > 0.0 &&
        size_error_m >= 0.0 && density_kg_m3 > 0.0))
    return FG_EDOMAIN;
  const double f = 4.0 * mass_kg / (M_PI * density_kg_m3 * size_m * size_m * size_m * count);
  *ratio = f;
  *error = f * hypot(mass_error_kg / mass_kg, 3.0 * size_error_m / size_m);
  return FG_OK;
}
