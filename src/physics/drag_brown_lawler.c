/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/drag_internal.h"

/* Brown & Lawler, Journal of Environmental Engineering 129:222, 2003, equation 19: spheres. */
double fg_drag_brown_lawler(double reynolds, const fg_shape *shape, double density_ratio) {
  (void)shape;
  (void)density_ratio;
  return 24.0 / reynolds * (1.0 + 0.150 * pow(reynolds, 0.681)) + 0.407 / (1.0 + 8710.0 / reynolds);
}
