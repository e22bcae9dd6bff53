/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_AIR_H
#define FLOURGOLD_AIR_H

#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

#define FG_GRAVITY 9.80665            /* m/s2, standard */
#define FG_STANDARD_PRESSURE 101325.0 /* Pa */
#define FG_STANDARD_DENSITY 1.225     /* kg/m3, US Standard Atmosphere 1976 at sea level */
#define FG_AIR_HEAT 1006.0            /* J/(kg K), dry air at constant pressure */

typedef struct fg_air {
  double temperature_k;
  double pressure_pa;
  double humidity; /* relative, 0-1 */
  double density_kg_m3;
  double viscosity_pa_s;
} fg_air;

/* US Standard Atmosphere 1976 at a geometric altitude of -5000 to 80000 m:
 * temperature (K) and pressure (Pa); either pointer may be NULL.  FG_EDOMAIN outside.
 * Source: U.S. Standard Atmosphere 1976, NOAA-S/T 76-1562, equations 18, 23, 33a, 33b. */
fg_status fg_air_standard(double elevation_m, double *temperature_k, double *pressure_pa);

/* Density (kg/m3) of moist air: CIPM-2007 with 400 umol/mol of carbon dioxide.
 * temperature 200-400 K, pressure 1-200 kPa, humidity 0-1; FG_EDOMAIN outside, and where the
 * vapour alone would have the whole pressure (water boils).  The formula's own accuracy, 22 ppm,
 * holds for 15-27 C and 60-110 kPa; outside it drifts by some 0.1 %.
 * Source: Picard et al., Metrologia 45:149, 2008, equations 1 and A1.1-A1.4. */
fg_status fg_air_density(double temperature_k, double pressure_pa, double humidity,
                         double *density_kg_m3);

/* Saturation vapour pressure over water (Pa), same source, equation A1.1; 200-400 K, FG_EDOMAIN
 * outside. */
fg_status fg_air_saturation_pressure(double temperature_k, double *pressure_pa);

/* Dynamic viscosity of air (Pa s), 100-1900 K, FG_EDOMAIN outside; moisture changes it by less
 * than 1 %.
 * Source: US Standard Atmosphere 1976, equation 51 (Sutherland). */
fg_status fg_air_viscosity(double temperature_k, double *viscosity_pa_s);

/* Density and viscosity of the air of one place, with what they follow from: fg_air_density() and
 * fg_air_viscosity() in one, with the ranges of the first. */
fg_status fg_air_at(double temperature_k, double pressure_pa, double humidity, fg_air *air);

/* Water vapour over dry air by mass (kg/kg): 0.62198 times their mole fractions' ratio.  Ranges
 * and source as fg_air_density(). */
fg_status fg_air_humidity_ratio(double temperature_k, double pressure_pa, double humidity,
                                double *ratio);

/* Adiabatic saturation (wet-bulb) temperature (K) of air, at or below its own, from the enthalpy
 * balance cp (T - Tw) = L (Ys(Tw) - Y), L = 2.501e6 - 2361 (Tw - 273.15) J/kg.  Ranges as
 * fg_air_density(); FG_ENOROOT where the balance has no root above 200 K.
 * Source: ASHRAE Handbook of Fundamentals, psychrometrics, equation 33 in this form. */
fg_status fg_air_wet_bulb(double temperature_k, double pressure_pa, double humidity,
                          double *wet_bulb_k);

#ifdef __cplusplus
}
#endif

#endif
