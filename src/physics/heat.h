/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_HEAT_H
#define FLOURGOLD_HEAT_H

#include "flourgold/kinds.h"
#include "flourgold/status.h"

/* How much of an hour a healthy, rested, watered person may do heavy work (digging, shovelling)
 * in the heat: the sample work/rest schedule of NIOSH, Heat Stress: Work/Rest Schedules,
 * publication 2017-127 (from 2016-106), worked in degrees Fahrenheit as printed. */

/* Air temperature (K, in the shade) with that schedule's additions: full sun 13 F, part cloud
 * 7 F, shade none; relative humidity (0-1) 10 % -8 F, 20 % -4, 30 % 0, 40 % 3, 50 % 6, 60 % 9,
 * straight lines between (the additions are values from memory).  Drier air counts as 10 %;
 * above 60 % the last step goes on.  FG_EDOMAIN for humidity outside 0-1. */
fg_status fg_heat_adjusted(double shade_k, double humidity, fg_sky sky, double *adjusted_k);

/* Share of each hour for heavy work: 1 below 95 F, then 45/15 minutes down to 15/45 at 105 F,
 * and 0 from 106 F on, where the schedule has only "caution".  A temperature between two rows
 * takes the hotter one. */
double fg_heat_work_share(double adjusted_k);

#endif
