/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REFERENCE_EVAPORATION_H
#define FLOURGOLD_REFERENCE_EVAPORATION_H

#include "flourgold/status.h"

/* Reference evapotranspiration by the FAO Penman-Monteith method, with the paper's own
 * fall-backs for weather that was not measured.  Source throughout: Allen, Pereira, Raes &
 * Smith, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Rome 1998; "eq."
 * below is its numbering. */

#define FG_DAY_SECONDS 86400.0

/* Weather of one day, or the mean day of a month.  NaN: not known. */
typedef struct fg_day_weather {
  double latitude_rad; /* north positive, at most 66 deg either way */
  double elevation_m;
  int day_of_year;                                  /* 1-366 */
  double tmin_k, tmax_k;                            /* needed */
  double humidity_max, humidity_min, humidity_mean; /* relative, 0-1 */
  double dewpoint_k;
  double vapour_pa; /* mean actual vapour pressure */
  double wind_m_s;
  double wind_height_m;  /* where it was measured; NaN: 2 m */
  double sunshine_s;     /* hours of bright sun, in s */
  double radiation_w_m2; /* solar, daily mean */
  double soil_heat_w_m2; /* into the ground; NaN: 0, as for single days (eq. 42) */
} fg_day_weather;

/* What stood in for a value that was not given; bits of fg_et0.fallbacks. */
typedef enum fg_et0_fallback {
  FG_ET0_SUN_FROM_SUNSHINE = 1,    /* eq. 35, a 0.25, b 0.50 */
  FG_ET0_SUN_FROM_TEMPERATURE = 2, /* eq. 50, k 0.16 */
  FG_ET0_VAPOUR_FROM_MEAN = 4,     /* eq. 19 */
  FG_ET0_VAPOUR_FROM_HIGHEST = 8,  /* eq. 18 */
  FG_ET0_VAPOUR_FROM_LOWEST = 16,  /* the second half of eq. 17 alone */
  FG_ET0_VAPOUR_FROM_TMIN = 32,    /* eq. 48 */
  FG_ET0_WIND_ASSUMED = 64,        /* 2 m/s */
  FG_ET0_NO_SOIL_HEAT = 128,       /* eq. 42 */
  FG_ET0_FALLBACKS_END = 256
} fg_et0_fallback;

typedef struct fg_et0 {
  double et0_m_s;
  double hargreaves_m_s; /* eq. 52, from temperatures alone: a check */
  double radiation_w_m2; /* solar, at the ground */
  double extraterrestrial_w_m2, clear_sky_w_m2;
  double net_short_w_m2, net_long_w_m2, net_w_m2;
  double daylight_s;
  double pressure_pa; /* eq. 7 */
  double psychrometric_pa_k, slope_pa_k;
  double saturation_pa, vapour_pa;
  double wind_m_s; /* at 2 m */
  unsigned fallbacks;
} fg_et0;

/* Saturation vapour pressure (Pa) at a temperature (K), eq. 11. */
double fg_fao_saturation(double temperature_k);

/* Extraterrestrial radiation (W/m2, mean of the day) and daylight (s), eq. 21-25, 34;
 * either pointer may be NULL.  Latitude at most 66 deg either way. */
fg_status fg_extraterrestrial(double latitude_rad, int day_of_year, double *radiation_w_m2,
                              double *daylight_s);

/* Wind speed (m/s) at 2 m from one at another height (m, above 0.1), eq. 47. */
fg_status fg_wind_at_2m(double wind_m_s, double height_m, double *wind_2m_m_s);

/* Heat into the ground (W/m2) in a month whose mean temperature (K) differs from the month
 * before, eq. 44. */
double fg_month_soil_heat(double before_k, double this_k);

/* Reference evapotranspiration, eq. 6, everything that leads there, and which fall-backs
 * were used.  Solar radiation is held below that of a clear sky, as eq. 39 asks.  It may come
 * out slightly below 0 (dew) on cold humid days.  FG_EDOMAIN: a needed value is missing or a
 * value is out of its range (tmin above tmax, air outside -60 to 60 C, sunshine longer than
 * the day, solar radiation above extraterrestrial, humidity outside 0-1 ...). */
fg_status fg_reference_evaporation(const fg_day_weather *weather, fg_et0 *result);

/* Why fg_reference_evaporation() refuses a day's weather, for people; never NULL. */
const char *fg_weather_contradiction(const fg_day_weather *weather);

/* What one fall-back bit means, for people; NULL for a number that is none. */
const char *fg_et0_fallback_text(unsigned bit);

#endif
