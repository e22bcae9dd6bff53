/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/heat.h"

#include <math.h>

enum { FIRST_ROW_F = 95, ROWS = 11 };

/* Minutes of heavy work in the hour at 95, 96 ... 105 F. */
static const double minutes[ROWS] = {45, 45, 40, 35, 35, 30, 30, 25, 20, 20, 15};

static double fahrenheit(double kelvin) { return kelvin * 1.8 - 459.67; }

static double humidity_step(double humidity) {
  static const double steps[] = {-8.0, -4.0, 0.0, 3.0, 6.0, 9.0}; /* at 10, 20 ... 60 % */
  enum { LAST = sizeof steps / sizeof steps[0] - 2 };
  const double place = fmax(0.0, 10.0 * humidity - 1.0);
  const int from = place < LAST ? (int)place : LAST;
  return steps[from] + (place - from) * (steps[from + 1] - steps[from]);
}

fg_status fg_heat_adjusted(double shade_k, double humidity, fg_sky sky, double *adjusted_k) {
  static const double skies[] = {[FG_SKY_SUN] = 13.0, [FG_SKY_CLOUD] = 7.0, [FG_SKY_SHADE] = 0.0};
  if (!isfinite(shade_k) || !(humidity >= 0.0 && humidity <= 1.0))
    return FG_EDOMAIN;
  *adjusted_k = shade_k + (skies[sky] + humidity_step(humidity)) / 1.8;
  return FG_OK;
}

double fg_heat_work_share(double adjusted_k) {
  /* A row's own temperature must not slip to the next by rounding. */
  const double row = ceil(fahrenheit(adjusted_k) - 1e-6) - FIRST_ROW_F;
  if (row < 0.0)
    return 1.0;
  return row < ROWS ? minutes[(int)row] / 60.0 : 0.0;
}
