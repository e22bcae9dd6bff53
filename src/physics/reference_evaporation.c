/* SPDX-License-Identifier: GPL-3.0-or-later */
/* FAO-56 Penman-Monteith.  The paper's equations are empirical and tied to its units (kPa,
 * C, MJ/m2/day, mm/day), so they are kept in these inside each function. */
#include "physics/reference_evaporation.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

static const double pi = 3.14159265358979323846;
static const double mj_day_w = 1e6 / FG_DAY_SECONDS; /* MJ/(m2 day) in W/m2 */
static const double mm_day_m_s = 1e-3 / FG_DAY_SECONDS;
static const double celsius_k = 273.15;
static const double solar_constant = 0.0820;     /* MJ/(m2 min) */
static const double stefan_boltzmann = 4.903e-9; /* MJ/(K4 m2 day) */
static const double albedo = 0.23;
static const double angstrom_a = 0.25, angstrom_b = 0.50;
static const double inland_factor = 0.16; /* k of eq. 50, away from coasts */
static const double usual_wind_m_s = 2.0;
static const double highest_latitude = 66.5 * 3.14159265358979323846 / 180.0;

/* kPa at a temperature in C. */
static double saturation_kpa(double celsius) {
  return 0.6108 * exp(17.27 * celsius / (celsius + 237.3));
}

double fg_fao_saturation(double temperature_k) {
  return 1e3 * saturation_kpa(temperature_k - celsius_k);
}

fg_status fg_extraterrestrial(double latitude_rad, int day_of_year, double *radiation_w_m2,
                              double *daylight_s) {
  if (!(fabs(latitude_rad) <= highest_latitude) || day_of_year < 1 || day_of_year > 366)
    return FG_EDOMAIN;
  const double angle = 2.0 * pi / 365.0 * day_of_year;
  const double distance = 1.0 + 0.033 * cos(angle);
  const double declination = 0.409 * sin(angle - 1.39);
  /* Just inside the polar circles the sun may stay up, or down, all day. */
  const double sunset = acos(fmax(-1.0, fmin(1.0, -tan(latitude_rad) * tan(declination))));
  const double ra = 24.0 * 60.0 / pi * solar_constant * distance *
                    (sunset * sin(latitude_rad) * sin(declination) +
                     cos(latitude_rad) * cos(declination) * sin(sunset));
  if (radiation_w_m2)
    *radiation_w_m2 = mj_day_w * fmax(0.0, ra);
  if (daylight_s)
    *daylight_s = 24.0 / pi * sunset * 3600.0;
  return FG_OK;
}

fg_status fg_wind_at_2m(double wind_m_s, double height_m, double *wind_2m_m_s) {
  if (!(wind_m_s >= 0.0) || !(height_m > 0.1) || !(height_m <= 1000.0))
    return FG_EDOMAIN;
  *wind_2m_m_s = wind_m_s * 4.87 / log(67.8 * height_m - 5.42);
  return FG_OK;
}

double fg_month_soil_heat(double before_k, double this_k) {
  return mj_day_w * 0.14 * (this_k - before_k);
}

static bool share_or_unknown(double value) {
  return isnan(value) || (value >= 0.0 && value <= 1.0);
}

static bool positive_or_unknown(double value) { return isnan(value) || value >= 0.0; }

static bool plausible(const fg_day_weather *w) {
  return w->tmin_k >= celsius_k - 60.0 && w->tmax_k <= celsius_k + 60.0 && w->tmin_k <= w->tmax_k &&
         w->elevation_m >= -500.0 && w->elevation_m <= 9000.0 &&
         share_or_unknown(w->humidity_max) && share_or_unknown(w->humidity_min) &&
         share_or_unknown(w->humidity_mean) && positive_or_unknown(w->vapour_pa) &&
         positive_or_unknown(w->wind_m_s) && positive_or_unknown(w->sunshine_s) &&
         positive_or_unknown(w->radiation_w_m2) &&
         (isnan(w->dewpoint_k) || (w->dewpoint_k > 173.0 && w->dewpoint_k < 333.2)) &&
         !(w->humidity_min > w->humidity_max) && !isinf(w->soil_heat_w_m2);
}

/* Mean actual vapour pressure (Pa), the best way the day's data allow. */
static double vapour(const fg_day_weather *w, unsigned *fallbacks) {
  const double cold = fg_fao_saturation(w->tmin_k), warm = fg_fao_saturation(w->tmax_k);
  if (!isnan(w->vapour_pa))
    return w->vapour_pa;
  if (!isnan(w->dewpoint_k))
    return fg_fao_saturation(w->dewpoint_k);
  if (!isnan(w->humidity_max) && !isnan(w->humidity_min))
    return 0.5 * (cold * w->humidity_max + warm * w->humidity_min);
  if (!isnan(w->humidity_max)) {
    *fallbacks |= FG_ET0_VAPOUR_FROM_HIGHEST;
    return cold * w->humidity_max;
  }
  if (!isnan(w->humidity_mean)) {
    *fallbacks |= FG_ET0_VAPOUR_FROM_MEAN;
    return 0.5 * (cold + warm) * w->humidity_mean;
  }
  if (!isnan(w->humidity_min)) {
    *fallbacks |= FG_ET0_VAPOUR_FROM_LOWEST;
    return warm * w->humidity_min;
  }
  *fallbacks |= FG_ET0_VAPOUR_FROM_TMIN;
  return cold;
}

/* Solar radiation at the ground (W/m2); FG_EDOMAIN when what was given cannot be. */
static fg_status solar(const fg_day_weather *w, fg_et0 *r) {
  const double extra = r->extraterrestrial_w_m2;
  double radiation = w->radiation_w_m2;
  if (radiation > 1.02 * extra)
    return FG_EDOMAIN;
  if (isnan(radiation) && !isnan(w->sunshine_s)) {
    if (w->sunshine_s > r->daylight_s + 1800.0)
      return FG_EDOMAIN;
    r->fallbacks |= FG_ET0_SUN_FROM_SUNSHINE;
    radiation = extra * (angstrom_a + angstrom_b * fmin(1.0, w->sunshine_s / r->daylight_s));
  } else if (isnan(radiation)) {
    r->fallbacks |= FG_ET0_SUN_FROM_TEMPERATURE;
    radiation = fmin(inland_factor * sqrt(w->tmax_k - w->tmin_k) * extra, r->clear_sky_w_m2);
  }
  r->radiation_w_m2 = radiation;
  return FG_OK;
}

/* Net long-wave radiation away from the ground (W/m2), eq. 39. */
static double net_long(const fg_day_weather *w, const fg_et0 *r) {
  /* The paper rounds 273.15 to 273.16 here. */
  const double hot = pow(w->tmax_k + 0.01, 4.0), cold = pow(w->tmin_k + 0.01, 4.0);
  const double relative = fmin(1.0, r->radiation_w_m2 / r->clear_sky_w_m2);
  return mj_day_w * stefan_boltzmann * 0.5 * (hot + cold) *
         (0.34 - 0.14 * sqrt(1e-3 * r->vapour_pa)) * (1.35 * relative - 0.35);
}

static fg_status radiation_balance(const fg_day_weather *w, fg_et0 *r) {
  fg_status status = fg_extraterrestrial(w->latitude_rad, w->day_of_year, &r->extraterrestrial_w_m2,
                                         &r->daylight_s);
  if (status != FG_OK)
    return status;
  if (!(r->extraterrestrial_w_m2 > 0.1) || !(r->daylight_s > 0.0))
    return FG_EDOMAIN;
  r->clear_sky_w_m2 = (0.75 + 2e-5 * w->elevation_m) * r->extraterrestrial_w_m2;
  status = solar(w, r);
  if (status != FG_OK)
    return status;
  r->net_short_w_m2 = (1.0 - albedo) * r->radiation_w_m2;
  r->net_long_w_m2 = net_long(w, r);
  r->net_w_m2 = r->net_short_w_m2 - r->net_long_w_m2;
  return FG_OK;
}

static fg_status wind(const fg_day_weather *w, fg_et0 *r) {
  if (isnan(w->wind_m_s)) {
    r->fallbacks |= FG_ET0_WIND_ASSUMED;
    r->wind_m_s = usual_wind_m_s;
    return FG_OK;
  }
  if (isnan(w->wind_height_m) || w->wind_height_m == 2.0) {
    r->wind_m_s = w->wind_m_s;
    return FG_OK;
  }
  return fg_wind_at_2m(w->wind_m_s, w->wind_height_m, &r->wind_m_s);
}

/* eq. 6 and 52, mm/day. */
static void evaporate(const fg_day_weather *w, double soil_heat_w_m2, fg_et0 *r) {
  const double mean = 0.5 * (w->tmin_k + w->tmax_k) - celsius_k;
  const double slope = 1e-3 * r->slope_pa_k, gamma = 1e-3 * r->psychrometric_pa_k;
  const double energy = (r->net_w_m2 - soil_heat_w_m2) / mj_day_w;
  const double deficit = 1e-3 * (r->saturation_pa - r->vapour_pa);
  const double et0 =
      (0.408 * slope * energy + gamma * 900.0 / (mean + 273.0) * r->wind_m_s * deficit) /
      (slope + gamma * (1.0 + 0.34 * r->wind_m_s));
  r->et0_m_s = mm_day_m_s * et0;
  r->hargreaves_m_s = mm_day_m_s * 0.0023 * (mean + 17.8) * sqrt(w->tmax_k - w->tmin_k) * 0.408 *
                      r->extraterrestrial_w_m2 / mj_day_w;
}

fg_status fg_reference_evaporation(const fg_day_weather *weather, fg_et0 *result) {
  fg_et0 r = {0};
  if (!plausible(weather))
    return FG_EDOMAIN;
  const double mean = 0.5 * (weather->tmin_k + weather->tmax_k) - celsius_k;
  r.pressure_pa = 101.3e3 * pow((293.0 - 0.0065 * weather->elevation_m) / 293.0, 5.26);
  r.psychrometric_pa_k = 0.665e-3 * r.pressure_pa;
  r.slope_pa_k = 1e3 * 4098.0 * saturation_kpa(mean) / ((mean + 237.3) * (mean + 237.3));
  r.saturation_pa = 0.5 * (fg_fao_saturation(weather->tmin_k) + fg_fao_saturation(weather->tmax_k));
  r.vapour_pa = vapour(weather, &r.fallbacks);
  /* Vapour the day's air cannot hold at its warmest is a wrong number; a little above the mean
   * saturation happens in fog and rain. */
  if (r.vapour_pa > 1.02 * fg_fao_saturation(weather->tmax_k))
    return FG_EDOMAIN;
  fg_status status = wind(weather, &r);
  if (status == FG_OK)
    status = radiation_balance(weather, &r);
  if (status != FG_OK)
    return status;
  if (isnan(weather->soil_heat_w_m2))
    r.fallbacks |= FG_ET0_NO_SOIL_HEAT;
  evaporate(weather, isnan(weather->soil_heat_w_m2) ? 0.0 : weather->soil_heat_w_m2, &r);
  *result = r;
  return FG_OK;
}

const char *fg_weather_contradiction(const fg_day_weather *weather) {
  const fg_day_weather *w = weather;
  double most, daylight;
  if (fg_extraterrestrial(w->latitude_rad, w->day_of_year, &most, &daylight) != FG_OK)
    return "the latitude is beyond 66.5 degrees";
  if (!(w->tmin_k <= w->tmax_k))
    return "tmin is above tmax";
  if (w->humidity_min > w->humidity_max)
    return "humidity_min is above humidity_max";
  if (!(most > 0.1))
    return "the sun does not rise there that day";
  if (w->radiation_w_m2 > most)
    return "more solar radiation than reaches the top of the air there that day";
  if (w->sunshine_s > daylight)
    return "more sunshine than the day is long there";
  if (w->vapour_pa > fg_fao_saturation(w->tmax_k) || w->dewpoint_k > w->tmax_k)
    return "the air cannot hold so much vapour at tmax";
  return "a value lies outside what the formula is made for";
}

const char *fg_et0_fallback_text(unsigned bit) {
  switch (bit) {
  case FG_ET0_SUN_FROM_SUNSHINE:
    return "solar radiation from hours of sunshine";
  case FG_ET0_SUN_FROM_TEMPERATURE:
    return "solar radiation from the day's temperature range";
  case FG_ET0_VAPOUR_FROM_MEAN:
    return "vapour pressure from mean humidity";
  case FG_ET0_VAPOUR_FROM_HIGHEST:
    return "vapour pressure from the highest humidity alone";
  case FG_ET0_VAPOUR_FROM_LOWEST:
    return "vapour pressure from the lowest humidity alone";
  case FG_ET0_VAPOUR_FROM_TMIN:
    return "vapour pressure: dew point taken as the night's low";
  case FG_ET0_WIND_ASSUMED:
    return "wind assumed 2 m/s";
  case FG_ET0_NO_SOIL_HEAT:
    return "heat into the ground taken as 0";
  default:
    return NULL;
  }
}
