/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How ground dries: reference evaporation, and a day of a layer of bare soil. */
#include <math.h>
#include <stdio.h>

#include "cli/calc_formulas.h"
#include "physics/evaporation.h"
#include "physics/reference_evaporation.h"

static const double degree = 3.14159265358979323846 / 180.0;
static const double day_s = 86400.0;

static void give_results(fg_calc_work *work, const fg_et0 *r) {
  fg_calc_result(work, "et0_mm_day", r->et0_m_s);
  fg_calc_result(work, "radiation_mj_m2_day", r->extraterrestrial_w_m2);
  fg_calc_result(work, "solar_mj_m2_day", r->radiation_w_m2);
  fg_calc_result(work, "clear_sky_mj_m2_day", r->clear_sky_w_m2);
  fg_calc_result(work, "net_short_mj_m2_day", r->net_short_w_m2);
  fg_calc_result(work, "net_long_mj_m2_day", r->net_long_w_m2);
  fg_calc_result(work, "net_radiation_mj_m2_day", r->net_w_m2);
  fg_calc_result(work, "daylight_h", r->daylight_s);
  fg_calc_result(work, "wind_2m_m_s", r->wind_m_s);
  fg_calc_result(work, "saturation_kpa", r->saturation_pa);
  fg_calc_result(work, "vapour_kpa", r->vapour_pa);
  fg_calc_result(work, "pressure_kpa", r->pressure_pa);
  fg_calc_result(work, "hargreaves_mm_day", r->hargreaves_m_s);
  size_t used = 0;
  for (unsigned bit = 1; bit < FG_ET0_FALLBACKS_END; bit <<= 1)
    if ((r->fallbacks & bit) && used + 1 < FG_CALC_FALLBACKS)
      work->fallbacks[used++] = fg_et0_fallback_text(bit);
}

static fg_status work_et0(fg_calc_work *work) {
  const fg_day_weather day = {
      .latitude_rad = fg_calc_value(work, "latitude"),
      .elevation_m = fg_calc_value(work, "elevation"),
      .day_of_year = (int)fg_calc_value(work, "date"),
      .tmin_k = fg_calc_value(work, "tmin"),
      .tmax_k = fg_calc_value(work, "tmax"),
      .humidity_max = fg_calc_value(work, "humidity_max"),
      .humidity_min = fg_calc_value(work, "humidity_min"),
      .humidity_mean = fg_calc_value(work, "humidity"),
      .dewpoint_k = fg_calc_value(work, "dewpoint"),
      .vapour_pa = fg_calc_value(work, "vapour_pressure"),
      .wind_m_s = fg_calc_value(work, "wind"),
      .wind_height_m = fg_calc_value(work, "wind_height"),
      .sunshine_s = fg_calc_value(work, "sunshine"),
      .radiation_w_m2 = fg_calc_value(work, "radiation"),
      .soil_heat_w_m2 = fg_calc_value(work, "soil_heat"),
  };
  if (fg_calc_given(work, "wind_height") && isnan(day.wind_m_s))
    return fg_calc_refuse(work, "wind_height is given without wind");
  fg_et0 result;
  const fg_status status = fg_reference_evaporation(&day, &result);
  if (status == FG_EDOMAIN)
    return fg_calc_refuse(work, "%s", fg_weather_contradiction(&day));
  if (status != FG_OK)
    return status;
  give_results(work, &result);
  return FG_OK;
}

/* clang-format off */
#define TEMPERATURE(name_, need_, meaning_)                                                        \
  {(name_), FG_Q_TEMPERATURE, .need = (need_), .lowest = 213.15, .highest = 333.15,                \
   .meaning = (meaning_)}
#define HUMIDITY(name_, meaning_)                                                                  \
  {(name_), FG_Q_PERCENT, .highest = 1.0, .otherwise = "not used", .meaning = (meaning_)}
/* clang-format on */

const fg_calc fg_calc_of_et0 = {
    .name = "et0",
    .title = "reference evaporation of a day, FAO Penman-Monteith",
    .inputs = {{"latitude", FG_Q_ANGLE, .need = FG_CALC_NEEDED, .lowest = -66.5 * degree,
                .highest = 66.5 * degree, .meaning = "north positive"},
               {"elevation", FG_Q_DISTANCE, .need = FG_CALC_STANDARD, .standard = 0.0,
                .lowest = -450.0, .highest = 6000.0, .meaning = "above sea level"},
               {"date", .kind = FG_CALC_DATE, .need = FG_CALC_NEEDED,
                .meaning = "day; for the mean day of a month its middle"},
               TEMPERATURE("tmax", FG_CALC_NEEDED, "highest of the day"),
               TEMPERATURE("tmin", FG_CALC_NEEDED, "lowest of the day"),
               HUMIDITY("humidity_max", "relative, highest of the day"),
               HUMIDITY("humidity_min", "relative, lowest of the day"),
               HUMIDITY("humidity", "relative, mean of the day"),
               TEMPERATURE("dewpoint", FG_CALC_OPTIONAL, "mean dew point"),
               {"vapour_pressure", FG_Q_VAPOUR, .lowest = 0.0, .highest = 2e4,
                .otherwise = "from the humidity, or from tmin as dew point",
                .meaning = "mean actual vapour pressure"},
               {"wind", FG_Q_NOZZLE_SPEED, .lowest = 0.0, .highest = 60.0, .otherwise = "2 m/s",
                .meaning = "mean of the day"},
               {"wind_height", FG_Q_DISTANCE, .lowest = 0.2, .highest = 200.0, .otherwise = "2 m",
                .meaning = "where the wind was measured"},
               {"sunshine", FG_Q_HOURS, .lowest = 0.0, .highest = 24.0 * 3600.0,
                .otherwise = "not used", .meaning = "hours of bright sun"},
               {"radiation", FG_Q_RADIATION, .lowest = 0.0, .highest = 600.0,
                .otherwise = "from sunshine, or from the temperature range",
                .meaning = "solar, at the ground"},
               {"soil_heat", FG_Q_RADIATION, .lowest = -600.0, .highest = 600.0, .otherwise = "0",
                .meaning = "heat into the ground"}},
    .outputs = {{"et0_mm_day", "Reference evaporation", FG_Q_WATER_RATE},
                {"radiation_mj_m2_day", "Radiation above the air (Ra)", FG_Q_RADIATION},
                {"solar_mj_m2_day", "Solar radiation at the ground", FG_Q_RADIATION},
                {"clear_sky_mj_m2_day", "- with a clear sky", FG_Q_RADIATION},
                {"net_short_mj_m2_day", "- kept by the ground", FG_Q_RADIATION},
                {"net_long_mj_m2_day", "Long-wave radiation lost", FG_Q_RADIATION},
                {"net_radiation_mj_m2_day", "Net radiation", FG_Q_RADIATION},
                {"daylight_h", "Daylight", FG_Q_HOURS},
                {"wind_2m_m_s", "Wind at 2 m", FG_Q_SPEED},
                {"saturation_kpa", "Saturation vapour pressure", FG_Q_VAPOUR},
                {"vapour_kpa", "Actual vapour pressure", FG_Q_VAPOUR},
                {"pressure_kpa", "Air pressure", FG_Q_VAPOUR},
                {"hargreaves_mm_day", "Check: by Hargreaves' formula", FG_Q_WATER_RATE}},
    .source = "Allen et al., Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, 1998, "
              "equations 6 to 52",
    .example = "latitude='34 deg' elevation='2000 ft' date=2024-04-15 tmax='84 F' tmin='53 F'",
    .work = work_et0,
};

static fg_status work_evaporation(fg_calc_work *work) {
  const fg_layer_day day = {
      .tew_m = fg_calc_value(work, "tew"),
      .rew_m = fg_calc_value(work, "rew"),
      .depletion_m = fg_calc_value(work, "depletion"),
      .rain_m = fg_calc_value(work, "rainfall"),
      .et0_m = fg_calc_value(work, "et0") * day_s,
      .kc_max = fg_calc_value(work, "kc_max"),
      .kcb = fg_calc_value(work, "kcb"),
      .exposed = fg_calc_value(work, "exposed"),
  };
  if (!(day.rew_m < day.tew_m))
    return fg_calc_refuse(work, "rew must be smaller than tew");
  if (!(day.depletion_m <= day.tew_m))
    return fg_calc_refuse(work, "depletion cannot be more than tew");
  if (!(day.kcb <= day.kc_max))
    return fg_calc_refuse(work, "kcb cannot be more than kc_max");
  fg_layer_result result;
  const fg_status status = fg_layer_step(&day, &result);
  if (status != FG_OK)
    return status;
  fg_calc_result(work, "kr", result.kr);
  fg_calc_result(work, "ke", result.ke);
  fg_calc_result(work, "evaporation_mm", result.evaporation_m);
  fg_calc_result(work, "percolation_mm", result.percolation_m);
  fg_calc_result(work, "depletion_mm", result.depletion_m);
  return FG_OK;
}

const fg_calc fg_calc_of_evaporation = {
    .name = "evaporation",
    .title = "a day of the evaporation layer of bare soil, dual crop coefficient",
    .inputs = {{"tew", FG_Q_WATER_DEPTH, .need = FG_CALC_NEEDED, .lowest = 1e-6, .highest = 1.0,
                .meaning = "totally evaporable water"},
               {"rew", FG_Q_WATER_DEPTH, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1.0,
                .meaning = "readily evaporable water"},
               {"depletion", FG_Q_WATER_DEPTH, .need = FG_CALC_NEEDED, .lowest = 0.0,
                .highest = 1.0, .meaning = "missing at the end of the day before"},
               {"et0", FG_Q_WATER_RATE, .need = FG_CALC_NEEDED, .lowest = 0.0, .highest = 1e-6,
                .meaning = "reference evaporation of the day"},
               {"kc_max", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 1.2, .lowest = 0.0,
                .highest = 3.0, .meaning = "upper limit of the crop coefficient after rain"},
               {"kcb", FG_Q_NUMBER, .need = FG_CALC_STANDARD, .standard = 0.0, .lowest = 0.0,
                .highest = 3.0, .meaning = "basal crop coefficient, 0 for bare ground"},
               {"exposed", FG_Q_SHARE, .need = FG_CALC_STANDARD, .standard = 1.0, .lowest = 1e-3,
                .highest = 1.0, .meaning = "few: share of the ground that is bare and wetted"},
               {"rainfall", FG_Q_WATER_DEPTH, .need = FG_CALC_STANDARD, .standard = 0.0,
                .lowest = 0.0, .highest = 2.0, .meaning = "early in the day"}},
    .outputs = {{"kr", "Reduction by dryness (Kr)", FG_Q_NUMBER},
                {"ke", "Evaporation coefficient (Ke)", FG_Q_NUMBER},
                {"evaporation_mm", "Evaporation", FG_Q_WATER_DEPTH},
                {"percolation_mm", "Rain that ran through", FG_Q_WATER_DEPTH},
                {"depletion_mm", "Missing at the end of the day", FG_Q_WATER_DEPTH}},
    .source = "Allen et al., FAO Irrigation and Drainage Paper 56, 1998, equations 71, 74, 77, 79",
    .example = "tew='20 mm' rew='9 mm' depletion='9.45 mm' et0='4.5 mm/day' kcb=0.15",
    .work = work_evaporation,
};
