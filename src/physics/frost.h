/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FROST_H
#define FLOURGOLD_FROST_H

#include <stdbool.h>

#include "flourgold/status.h"

/* Snow that lies on the ground and frost in it, from a day's temperatures. */

typedef struct fg_cold {
  double snow_m;    /* water in the snow that lies */
  double frost_k_d; /* frost index, degree-days */
} fg_cold;

typedef struct fg_cold_day {
  double water_m; /* rain and melt that reach the ground */
  bool snow;      /* lies at the end of the day */
  bool frozen;    /* the ground, then */
} fg_cold_day;

/* One day.  What falls with a mean temperature below 1 C is snow (common practice, no source).
 * Snow melts by 2.74 mm a degree of mean temperature above 0 C and day (0.06 in a degree F: USDA
 * National Engineering Handbook, part 630, ch. 11; value from memory).  Frost index: 0.97 of that
 * of the day before less the mean temperature times exp(-0.4 x 0.57 x snow depth in cm), never
 * below 0, snow of 450 kg/m3; above 56 the ground is frozen (Molnau & Bissell, Western Snow
 * Conference 51, 1983, with the constants of the handbooks that cite it).  FG_EDOMAIN unless
 * precipitation >= 0 and tmin <= tmax, both finite. */
fg_status fg_cold_step(double precipitation_m, double tmin_k, double tmax_k, fg_cold *cold,
                       fg_cold_day *day);

#endif
