/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/charge.h"

#include "flourgold/air.h"

double fg_largest_charge(void) { return FG_VACUUM_PERMITTIVITY * FG_AIR_BREAKDOWN; }

fg_status fg_static_pull(double thickness_m, double density_kg_m3, double charge_c_m2,
                         double *pull_over_weight) {
  if (!(thickness_m > 0.0 && density_kg_m3 > 0.0 && charge_c_m2 >= 0.0))
    return FG_EDOMAIN;
  *pull_over_weight = charge_c_m2 * charge_c_m2 /
                      (2.0 * FG_VACUUM_PERMITTIVITY * density_kg_m3 * FG_GRAVITY * thickness_m);
  return FG_OK;
}
