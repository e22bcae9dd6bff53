/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_DRYING_INTERNAL_H
#define FLOURGOLD_SITE_DRYING_INTERNAL_H

#include "study/drying.h"

#define FG_BARE_KC_MAX 1.20 /* wet bare ground: FAO-56, eq. 72 with no plants */

/* What a day does to the ground; its evaporation times `power`. */
fg_ground_day fg_drying_ground_day(const fg_drying_day *day, double power);

/* The chance of each day over samples of the ground's properties, the state it started from,
 * the weather's power to dry and the measurements' errors.  The days' weather is taken as it
 * is. */
fg_status fg_drying_chances(const fg_scenario *scenario, const fg_drying_options *options,
                            fg_drying *drying);

#endif
