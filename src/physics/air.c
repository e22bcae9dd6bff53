/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/air.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "core/roots.h"

static const double earth_radius_m = 6356766.0;
static const double gas_constant_1976 = 8314.32; /* J/(kmol K), as the 1976 standard fixes it */
static const double air_molar_1976 = 28.9644;    /* kg/kmol */

/* Base of each layer: geopotential height (m), lapse rate (K/m). */
static const struct {
  double height, lapse;
} layers[] = {{0, -0.0065}, {11000, 0.0},     {20000, 0.001}, {32000, 0.0028},
              {47000, 0.0}, {51000, -0.0028}, {71000, -0.002}};

static double layer_pressure(double base_pa, double base_k, double lapse, double rise_m) {
  const double hydro = FG_GRAVITY * air_molar_1976 / gas_constant_1976;
  if (lapse == 0.0)
    return base_pa * exp(-hydro * rise_m / base_k);
  return base_pa * pow(base_k / (base_k + lapse * rise_m), hydro / lapse);
}

fg_status fg_air_standard(double elevation_m, double *temperature_k, double *pressure_pa) {
  if (!(elevation_m >= -5000.0 && elevation_m <= 80000.0))
    return FG_EDOMAIN;
  const double height = earth_radius_m * elevation_m / (earth_radius_m + elevation_m);
  const size_t count = sizeof layers / sizeof layers[0];
  double kelvin = 288.15, pascal = FG_STANDARD_PRESSURE;
  for (size_t i = 0; i < count; ++i) {
    const bool last = i + 1 == count || height <= layers[i + 1].height;
    const double rise = (last ? height : layers[i + 1].height) - layers[i].height;
    pascal = layer_pressure(pascal, kelvin, layers[i].lapse, rise);
    kelvin += layers[i].lapse * rise;
    if (last)
      break;
  }
  if (temperature_k)
    *temperature_k = kelvin;
  if (pressure_pa)
    *pressure_pa = pascal;
  return FG_OK;
}

fg_status fg_air_saturation_pressure(double temperature_k, double *pressure_pa) {
  if (!(temperature_k >= 200.0 && temperature_k <= 400.0))
    return FG_EDOMAIN;
  const double t = temperature_k;
  *pressure_pa = exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6.3431645e3 / t);
  return FG_OK;
}

/* Mole fraction of water vapour, equation A1.2 with the enhancement factor A1.3; above 1 where
 * water would boil. */
static fg_status vapour_over_all(double kelvin, double pascal, double humidity, double *fraction) {
  double saturated;
  const fg_status status = fg_air_saturation_pressure(kelvin, &saturated);
  if (status != FG_OK)
    return status;
  const double t = kelvin - 273.15;
  const double enhancement = 1.00062 + 3.14e-8 * pascal + 5.6e-7 * t * t;
  *fraction = humidity * enhancement * saturated / pascal;
  return FG_OK;
}

static fg_status vapour_fraction(double kelvin, double pascal, double humidity, double *fraction) {
  double x;
  const fg_status status = vapour_over_all(kelvin, pascal, humidity, &x);
  if (status != FG_OK)
    return status;
  if (x >= 1.0)
    return FG_EDOMAIN;
  *fraction = x;
  return FG_OK;
}

static bool air_state_valid(double kelvin, double pascal, double humidity) {
  return kelvin >= 200.0 && kelvin <= 400.0 && pascal >= 1e3 && pascal <= 2e5 && humidity >= 0.0 &&
         humidity <= 1.0;
}

fg_status fg_air_density(double temperature_k, double pressure_pa, double humidity,
                         double *density_kg_m3) {
  if (!air_state_valid(temperature_k, pressure_pa, humidity))
    return FG_EDOMAIN;
  double x;
  const fg_status status = vapour_fraction(temperature_k, pressure_pa, humidity, &x);
  if (status != FG_OK)
    return status;
  const double t = temperature_k - 273.15, p = pressure_pa, pt = p / temperature_k;
  const double z = 1.0 -
                   pt * (1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t +
                         (5.707e-6 - 2.051e-8 * t) * x + (1.9898e-4 - 2.376e-6 * t) * x * x) +
                   pt * pt * (1.83e-11 - 0.765e-8 * x * x);
  const double dry_molar = 28.96546e-3, gas_constant = 8.314472;
  *density_kg_m3 = p * dry_molar / (z * gas_constant * temperature_k) * (1.0 - 0.3780 * x);
  return FG_OK;
}

fg_status fg_air_viscosity(double temperature_k, double *viscosity_pa_s) {
  if (!(temperature_k >= 100.0 && temperature_k <= 1900.0))
    return FG_EDOMAIN;
  *viscosity_pa_s = 1.458e-6 * pow(temperature_k, 1.5) / (temperature_k + 110.4);
  return FG_OK;
}

fg_status fg_air_at(double temperature_k, double pressure_pa, double humidity, fg_air *air) {
  fg_air here = {.temperature_k = temperature_k, .pressure_pa = pressure_pa, .humidity = humidity};
  fg_status status = fg_air_density(temperature_k, pressure_pa, humidity, &here.density_kg_m3);
  if (status == FG_OK)
    status = fg_air_viscosity(temperature_k, &here.viscosity_pa_s);
  if (status == FG_OK)
    *air = here;
  return status;
}

fg_status fg_air_humidity_ratio(double temperature_k, double pressure_pa, double humidity,
                                double *ratio) {
  if (!air_state_valid(temperature_k, pressure_pa, humidity))
    return FG_EDOMAIN;
  double x;
  const fg_status status = vapour_fraction(temperature_k, pressure_pa, humidity, &x);
  if (status == FG_OK)
    *ratio = 0.62198 * x / (1.0 - x);
  return status;
}

typedef struct wet_bulb_case {
  double kelvin, pascal, ratio;
} wet_bulb_case;

/* The enthalpy balance times the share of dry air at saturation, so that it stays finite where
 * water boils. */
static double wet_bulb_gap(double wet_k, void *context) {
  const wet_bulb_case *c = context;
  double x;
  if (vapour_over_all(wet_k, c->pascal, 1.0, &x) != FG_OK)
    return NAN;
  const double latent = 2.501e6 - 2361.0 * (wet_k - 273.15);
  return (FG_AIR_HEAT + 1860.0 * c->ratio) * (c->kelvin - wet_k) * (1.0 - x) -
         latent * (0.62198 * x - c->ratio * (1.0 - x));
}

fg_status fg_air_wet_bulb(double temperature_k, double pressure_pa, double humidity,
                          double *wet_bulb_k) {
  wet_bulb_case c = {temperature_k, pressure_pa, 0.0};
  const fg_status status = fg_air_humidity_ratio(temperature_k, pressure_pa, humidity, &c.ratio);
  if (status != FG_OK)
    return status;
  return fg_root(wet_bulb_gap, &c, 200.0, fmin(400.0, temperature_k + 0.01), 1e-10, wet_bulb_k);
}
