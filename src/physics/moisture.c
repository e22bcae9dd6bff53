/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/moisture.h"

#include <math.h>

#include "flourgold/air.h"

fg_status fg_bound_water(double clay, double *bound) {
  if (!(clay >= 0.0 && clay <= 1.0))
    return FG_EDOMAIN;
  const double percent = 100.0 * clay;
  *bound = (0.0014 * percent * percent + 0.17 * percent) / 100.0;
  return FG_OK;
}

fg_status fg_free_water(double moisture, double clay, double *water) {
  double bound;
  if (!(moisture >= 0.0 && moisture <= 1.0))
    return FG_EDOMAIN;
  const fg_status status = fg_bound_water(clay, &bound);
  if (status == FG_OK)
    *water = fmax(0.0, moisture - bound);
  return status;
}

fg_status fg_binding_water(double moisture, double clay, double *water) {
  return fg_free_water(moisture, clay > FG_CREDITED_CLAY ? FG_CREDITED_CLAY : clay, water);
}

/* Suction (the logarithm of cm of water) at which water is in balance with air: Kelvin's equation
 * at 25 C. */
static double air_suction(double humidity) {
  const double gas_j_kg_k = 8.314472 / 18.015e-3, room_k = 298.15;
  const double joule_per_kg = gas_j_kg_k * room_k * -log(humidity);
  return log10(joule_per_kg / FG_GRAVITY * 100.0);
}

fg_status fg_air_dry_water(double clay, double humidity, double *water) {
  const double oven = 6.9, wilting = 4.2, per_clay = 0.13;
  if (!(clay >= 0.0 && clay <= 1.0 && humidity >= 0.0 && humidity <= 1.0))
    return FG_EDOMAIN;
  const double suction = humidity > 0.0 && humidity < 1.0 ? air_suction(humidity)
                         : humidity > 0.0                 ? wilting
                                                          : oven;
  *water = per_clay * clay * (oven - fmax(wilting, fmin(oven, suction)));
  return FG_OK;
}

fg_status fg_residual_water(double clay, double humidity, double *water) {
  double bound, air_dry;
  fg_status status = fg_bound_water(fmin(clay, FG_CREDITED_CLAY), &bound);
  if (status == FG_OK)
    status = fg_air_dry_water(clay, humidity, &air_dry);
  if (status == FG_OK)
    *water = fmax(bound, air_dry);
  return status;
}

fg_status fg_threshold_ratio(double moisture, double clay, double *ratio) {
  double water;
  const fg_status status = fg_free_water(moisture, clay, &water);
  if (status == FG_OK)
    *ratio = sqrt(1.0 + 1.21 * pow(100.0 * water, 0.68));
  return status;
}

double fg_bond_force(const fg_bond *bond, double diameter_m, double free_water) {
  if (!(free_water > 0.0))
    return 0.0;
  return bond->strength * M_PI * diameter_m * FG_WATER_TENSION * free_water /
         (free_water + bond->half_moisture);
}

double fg_bond_tension(const fg_bond *bond, double diameter_m, double voidage, double free_water) {
  return (1.0 - voidage) / voidage * fg_bond_force(bond, diameter_m, free_water) /
         (diameter_m * diameter_m);
}

double fg_freed_share(double bond_n, double weight_n, double gamma, double stress_pa, double dv_m) {
  if (!(bond_n > 0.0))
    return 1.0;
  const double pull = weight_n * (1.0 + gamma) + stress_pa * dv_m * dv_m;
  return pull / (pull + bond_n);
}

bool fg_pores_drowned(double moisture, double bulk_kg_m3, double voidage) {
  const double least_air = 0.1;
  return voidage - moisture * bulk_kg_m3 / FG_WATER_KG_M3 < least_air;
}

fg_status fg_clod_share(double clay, double clod_clay, double strength_pa, double bulk_kg_m3,
                        double drop_m, double *share) {
  if (!(clay >= 0.0 && clay <= 1.0 && clod_clay > 0.0 && strength_pa >= 0.0 && drop_m >= 0.0))
    return FG_EDOMAIN;
  const double blow = bulk_kg_m3 * FG_GRAVITY * drop_m;
  const double square = strength_pa * strength_pa;
  const double survive = square > 0.0 ? square / (square + blow * blow) : 0.0;
  *share = (1.0 - exp(-clay / clod_clay)) * survive;
  return FG_OK;
}
