/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAFETY_H
#define FLOURGOLD_SAFETY_H

#include "flourgold/status.h"

/* Hours until a day's allowance is used up: published limits, no model. */

/* Time (s) at a steady level (40 to 140 dBA) to a full noise dose.
 * niosh_s: 8 h / 2^((L-85)/3) (NIOSH 98-126, 1998, table 1-1);
 * osha_s: 8 h / 2^((L-90)/5) (29 CFR 1910.95, table G-16a).  FG_EDOMAIN outside. */
fg_status fg_noise_hours(double level_dba, double *niosh_s, double *osha_s);

/* Time (s) at a steady respirable silica dust (kg/m3, above 0) to what 8 hours at OSHA's
 * permissible 50 ug/m3 give (29 CFR 1926.1153): 400/C hours for C in ug/m3. */
fg_status fg_silica_hours(double concentration_kg_m3, double *seconds);

/* Permissible limit and action level of that rule, kg/m3. */
extern const double fg_silica_limit_kg_m3;
extern const double fg_silica_action_kg_m3;

#endif
