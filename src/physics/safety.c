/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/safety.h"

#include <math.h>

static const double shift_s = 8.0 * 3600.0;

const double fg_silica_limit_kg_m3 = 50e-9;
const double fg_silica_action_kg_m3 = 25e-9;

fg_status fg_noise_hours(double level_dba, double *niosh_s, double *osha_s) {
  if (!(level_dba >= 40.0 && level_dba <= 140.0))
    return FG_EDOMAIN;
  *niosh_s = shift_s / exp2((level_dba - 85.0) / 3.0);
  *osha_s = shift_s / exp2((level_dba - 90.0) / 5.0);
  return FG_OK;
}

fg_status fg_silica_hours(double concentration_kg_m3, double *seconds) {
  if (!(concentration_kg_m3 > 0.0) || !isfinite(concentration_kg_m3))
    return FG_EDOMAIN;
  const double found = shift_s * fg_silica_limit_kg_m3 / concentration_kg_m3;
  if (!isfinite(found))
    return FG_EDOMAIN;
  *seconds = found;
  return FG_OK;
}
