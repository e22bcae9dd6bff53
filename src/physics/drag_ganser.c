/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/drag_internal.h"

/* Ganser, Powder Technology 77:143, 1993, with Stokes' factor for a grain wider than its
 * equal-volume sphere, K1 = 1/(D/(3 dv) + 2/3 phi^-0.5), and Newton's factor
 * K2 = 10^(1.8148 (-log10 phi)^0.5743).  Meant for discs; K1 = K2 = 1 for a sphere. */
double fg_drag_ganser(double reynolds, const fg_shape *shape, double density_ratio) {
  (void)density_ratio;
  const double phi = shape->sphericity;
  const double k1 = 1.0 / (shape->broad_ratio / 3.0 + 2.0 / 3.0 / sqrt(phi));
  const double k2 = pow(10.0, 1.8148 * pow(fmax(0.0, -log10(phi)), 0.5743));
  const double scaled = reynolds * k1 * k2;
  return k2 *
         (24.0 / scaled * (1.0 + 0.1118 * pow(scaled, 0.6567)) + 0.4305 / (1.0 + 3305.0 / scaled));
}
