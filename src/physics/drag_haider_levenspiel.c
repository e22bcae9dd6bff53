/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "physics/drag_internal.h"

/* Haider & Levenspiel, Powder Technology 58:63, 1989: equation 10 with the shape fits
 * of their table, fitted to discs and isometric solids of sphericity down to 0.026.
 * A true sphere takes their own sphere set, which the general fit misses by up to 9 %;
 * the step between the two is theirs. */
double fg_drag_haider_levenspiel(double reynolds, const fg_shape *shape, double density_ratio) {
  (void)density_ratio;
  const double p = shape->sphericity;
  double a = 0.1806, b = 0.6459, c = 0.4251, d = 6880.95;
  if (p < 1.0) {
    a = exp(2.3288 - 6.4581 * p + 2.4486 * p * p);
    b = 0.0964 + 0.5565 * p;
    c = exp(4.905 - 13.8944 * p + 18.4222 * p * p - 10.2599 * p * p * p);
    d = exp(1.4681 + 12.2584 * p - 20.7322 * p * p + 15.8855 * p * p * p);
  }
  return 24.0 / reynolds * (1.0 + a * pow(reynolds, b)) + c / (1.0 + d / reynolds);
}
