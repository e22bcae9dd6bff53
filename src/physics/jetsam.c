/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/jetsam.h"

#include <math.h>

double fg_jetsam_takeover(double floating_ratio, double density_ratio, double size_ratio) {
  return pow(fmax(1.0, floating_ratio), 1.2) +
         0.9 * pow(density_ratio - 1.0, 1.1) * pow(size_ratio, 0.7);
}

double fg_jetsam_mixed(double air_ratio, double takeover) {
  if (!(air_ratio > 1.0))
    return 0.0;
  const double z = (air_ratio - takeover) / (air_ratio - 1.0) * exp(air_ratio / takeover);
  return 1.0 / (1.0 + exp(-z));
}
