/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/drag_internal.h"

/* Hoelzer & Sommerfeld, Powder Technology 184:361, 2008, simple form with the crosswise
 * sphericity (dv/D)^2 of a disc that falls broadside on. */
double fg_drag_hoelzer_sommerfeld(double reynolds, const fg_shape *shape, double density_ratio) {
  (void)density_ratio;
  const double phi = shape->sphericity, crosswise = 1.0 / (shape->broad_ratio * shape->broad_ratio);
  return 8.0 / (reynolds * sqrt(crosswise)) + 16.0 / (reynolds * sqrt(phi)) +
         3.0 / (sqrt(reynolds) * pow(phi, 0.75)) +
         0.42 * pow(10.0, 0.4 * pow(fmax(0.0, -log10(phi)), 0.2)) / crosswise;
}
