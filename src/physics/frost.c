/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/frost.h"

#include <math.h>

static const double freezing_k = 273.15;
static const double snow_below_k = 274.15;
static const double melt_m_k = 2.74e-3;  /* a degree and day */
static const double index_kept = 0.97;   /* a day */
static const double shelter_1_m = 22.8;  /* 0.4 x 0.57 a cm of snow */
static const double snow_density = 0.45; /* over that of water */
static const double frozen_above = 56.0; /* degree-days */

fg_status fg_cold_step(double precipitation_m, double tmin_k, double tmax_k, fg_cold *cold,
                       fg_cold_day *day) {
  if (!(precipitation_m >= 0.0) || !isfinite(precipitation_m) || !(tmin_k <= tmax_k) ||
      !isfinite(tmin_k) || !isfinite(tmax_k))
    return FG_EDOMAIN;
  fg_cold c = *cold;
  fg_cold_day d = {.water_m = precipitation_m};
  const double mean_k = 0.5 * (tmin_k + tmax_k);
  if (mean_k < snow_below_k) {
    c.snow_m += precipitation_m;
    d.water_m = 0.0;
  }
  const double melt = fmin(c.snow_m, melt_m_k * fmax(0.0, mean_k - freezing_k));
  c.snow_m -= melt;
  d.water_m += melt;
  const double shelter = exp(-shelter_1_m * c.snow_m / snow_density);
  c.frost_k_d = fmax(0.0, index_kept * c.frost_k_d - (mean_k - freezing_k) * shelter);
  d.snow = c.snow_m > 0.0;
  d.frozen = c.frost_k_d > frozen_above;
  *cold = c;
  *day = d;
  return FG_OK;
}
