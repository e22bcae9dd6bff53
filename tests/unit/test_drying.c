/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drying ground: conservation of water, exact limits, Ritchie's law, the profile of diffusion,
 * dates and readings.  Expected values come from the equations' exact solutions and from the
 * cited sources, none from the code under test. */
#include "fg_test.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_rng.h>

#include "core/date.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "physics/evaporation.h"
#include "physics/moisture.h"
#include "physics/reference_evaporation.h"
#include "physics/soil.h"
#include "physics/weighed.h"
#include "study/drying.h"

/* ---- dates ---- */

static void test_dates_follow_the_calendar(void **state) {
  (void)state;
  static const struct {
    const char *text;
    int day, of_year, month;
  } known[] = {
      {"1970-01-01", 0, 1, 1},       {"1969-12-31", -1, 365, 12},   {"2000-02-29", 11016, 60, 2},
      {"2001-09-09", 11574, 252, 9}, {"1900-03-01", -25508, 60, 3}, {"2024-12-31", 20088, 366, 12},
      {"1600-01-01", -135140, 1, 1},
  };
  for (size_t i = 0; i < sizeof known / sizeof known[0]; ++i) {
    int day;
    char text[FG_DATE_TEXT_MAX];
    assert_int_equal(fg_date_parse(known[i].text, &day), FG_OK);
    assert_int_equal(day, known[i].day);
    assert_int_equal(fg_date_day_of_year(day), known[i].of_year);
    assert_int_equal(fg_date_month(day), known[i].month);
    assert_string_equal(fg_date_text(day, text, sizeof text), known[i].text);
  }
}

static void test_every_day_comes_back(void **state) {
  (void)state;
  int before = 0;
  for (int day = -135140; day < 376000; day += 13) {
    char text[FG_DATE_TEXT_MAX];
    int back;
    assert_int_equal(fg_date_parse(fg_date_text(day, text, sizeof text), &back), FG_OK);
    assert_int_equal(back, day);
    assert_true(fg_date_day_of_year(day) >= 1 && fg_date_day_of_year(day) <= 366);
    before = day;
  }
  assert_true(before > 0);
}

static void test_days_that_are_none(void **state) {
  (void)state;
  static const char *const wrong[] = {"2023-02-29", "2024-13-01", "2024-00-10", "2024-04-31",
                                      "2024-1-5",   "01/05/2024", "",           "2024-03-15x",
                                      "1500-01-01", "today",      "20240315",   "2024-03-"};
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; ++i) {
    int day = 77;
    assert_int_equal(fg_date_parse(wrong[i], &day), FG_EDOMAIN);
    assert_int_equal(day, 77);
  }
}

static void test_seasons_are_read_as_people_write_them(void **state) {
  (void)state;
  static const struct {
    const char *text;
    int day;
  } known[] = {{"2023-09-03", 246}, {"2024-09-03", 247}, {"09-03", 246},
               {"3 Sept", 246},     {"Sep 3", 246},      {"3 september 2024", 247},
               {"246", 246},        {"29 Feb", 60},      {"February 29", 60},
               {"02-29", 60},       {"31 Dec", 365},     {"1 may", 121}};
  static const char *const wrong[] = {"30 Feb", "0", "367", "Se 3", "3", "", "3 3", "31 April x y"};
  for (size_t i = 0; i < sizeof known / sizeof known[0]; ++i) {
    int day;
    assert_int_equal(fg_date_season(known[i].text, &day), FG_OK);
    assert_int_equal(day, known[i].day);
  }
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; ++i) {
    int day = 0;
    if (strcmp(wrong[i], "3") == 0) /* the third day of the year */
      assert_int_equal(fg_date_season(wrong[i], &day), FG_OK);
    else
      assert_int_equal(fg_date_season(wrong[i], &day), FG_EDOMAIN);
  }
}

/* ---- reference evaporation ---- */

static fg_day_weather some_day(void) {
  return (fg_day_weather){.latitude_rad = 0.6,
                          .elevation_m = 600.0,
                          .day_of_year = 100,
                          .tmin_k = 283.15,
                          .tmax_k = 301.15,
                          .humidity_max = NAN,
                          .humidity_min = NAN,
                          .humidity_mean = NAN,
                          .dewpoint_k = NAN,
                          .vapour_pa = NAN,
                          .wind_m_s = NAN,
                          .wind_height_m = NAN,
                          .sunshine_s = NAN,
                          .radiation_w_m2 = NAN,
                          .soil_heat_w_m2 = NAN};
}

/* FAO-56, examples 2, 13 and 17: psychrometric constant 0.054 kPa/C at 1800 m and 0.0674 at
 * 2 m; slope 0.246 kPa/C at 30.2 C; soil heat of April 0.28 MJ/m2/day after a month 2 C
 * colder.  Values from memory, the first and third agree with copies. */
static void test_constants_of_fao56(void **state) {
  (void)state;
  fg_day_weather day = some_day();
  fg_et0 r;
  day.elevation_m = 1800.0;
  assert_int_equal(fg_reference_evaporation(&day, &r), FG_OK);
  assert_within(r.psychrometric_pa_k, 54.0, 0.5);
  day.elevation_m = 2.0;
  day.tmin_k = day.tmax_k = 273.15 + 30.2;
  assert_int_equal(fg_reference_evaporation(&day, &r), FG_OK);
  assert_within(r.psychrometric_pa_k, 67.4, 0.06);
  assert_within(r.slope_pa_k, 246.0, 0.5);
  assert_within(fg_month_soil_heat(287.25, 289.25) * 0.0864, 0.28, 0.005);
}

static void test_more_sun_wind_and_dryness_evaporate_more(void **state) {
  (void)state;
  fg_et0 before, after;
  fg_day_weather day = some_day();
  day.humidity_mean = 0.4;
  day.radiation_w_m2 = 200.0;
  day.wind_m_s = 1.0;
  assert_int_equal(fg_reference_evaporation(&day, &before), FG_OK);
  day.radiation_w_m2 = 260.0;
  assert_int_equal(fg_reference_evaporation(&day, &after), FG_OK);
  assert_true(after.et0_m_s > before.et0_m_s);
  before = after;
  day.wind_m_s = 4.0;
  assert_int_equal(fg_reference_evaporation(&day, &after), FG_OK);
  assert_true(after.et0_m_s > before.et0_m_s);
  before = after;
  day.humidity_mean = 0.2;
  assert_int_equal(fg_reference_evaporation(&day, &after), FG_OK);
  assert_true(after.et0_m_s > before.et0_m_s);
}

static void test_fallbacks_are_told(void **state) {
  (void)state;
  fg_day_weather day = some_day();
  fg_et0 r;
  assert_int_equal(fg_reference_evaporation(&day, &r), FG_OK);
  assert_int_equal(r.fallbacks, FG_ET0_SUN_FROM_TEMPERATURE | FG_ET0_VAPOUR_FROM_TMIN |
                                    FG_ET0_WIND_ASSUMED | FG_ET0_NO_SOIL_HEAT);
  day.dewpoint_k = 280.0;
  day.sunshine_s = 9.0 * 3600.0;
  day.wind_m_s = 3.0;
  day.soil_heat_w_m2 = 1.0;
  assert_int_equal(fg_reference_evaporation(&day, &r), FG_OK);
  assert_int_equal(r.fallbacks, FG_ET0_SUN_FROM_SUNSHINE);
  day.dewpoint_k = NAN;
  day.humidity_min = 0.2;
  assert_int_equal(fg_reference_evaporation(&day, &r), FG_OK);
  assert_int_equal(r.fallbacks, FG_ET0_SUN_FROM_SUNSHINE | FG_ET0_VAPOUR_FROM_LOWEST);
  for (unsigned bit = 1; bit < FG_ET0_FALLBACKS_END; bit <<= 1)
    assert_non_null(fg_et0_fallback_text(bit));
  assert_null(fg_et0_fallback_text(FG_ET0_FALLBACKS_END));
}

static void test_weather_that_cannot_be(void **state) {
  (void)state;
  fg_et0 r = {.et0_m_s = 7.0};
  for (int i = 0; i < 9; ++i) {
    fg_day_weather day = some_day();
    switch (i) {
    case 0:
      day.tmin_k = 302.0;
      break;
    case 1:
      day.tmax_k = 340.0;
      break;
    case 2:
      day.radiation_w_m2 = 600.0;
      break;
    case 3:
      day.sunshine_s = 20.0 * 3600.0;
      break;
    case 4:
      day.humidity_max = 1.2;
      break;
    case 5:
      day.vapour_pa = 9000.0;
      break;
    case 6:
      day.latitude_rad = 1.3;
      break;
    case 7:
      day.wind_m_s = -1.0;
      break;
    default:
      day.tmin_k = NAN;
      break;
    }
    assert_int_equal(fg_reference_evaporation(&day, &r), FG_EDOMAIN);
    assert_close(r.et0_m_s, 7.0, 1e-12);
    assert_non_null(fg_weather_contradiction(&day));
  }
}

/* Exact: day and night are equal at the equator; at 60 degrees the longest day and the
 * shortest add up to 24 hours. */
static void test_length_of_the_day(void **state) {
  (void)state;
  double equator, summer, winter;
  assert_int_equal(fg_extraterrestrial(0.0, 200, NULL, &equator), FG_OK);
  assert_close(equator, 43200.0, 1e-12);
  assert_int_equal(fg_extraterrestrial(1.047, 172, NULL, &summer), FG_OK);
  assert_int_equal(fg_extraterrestrial(-1.047, 172, NULL, &winter), FG_OK);
  assert_close(summer + winter, 86400.0, 1e-12);
}

/* ---- soil ---- */

/* FAO-56, table 19: every row's total evaporable water agrees with eq. 73 for a layer of
 * 0.10 m within the table's own rounding and spread. */
static void test_table_19_hangs_together(void **state) {
  (void)state;
  for (int i = 0; i < FG_SOIL_CLASSES; ++i) {
    const fg_soil_class *soil = &fg_soil_classes[i];
    double tew;
    assert_string_equal(soil->name, fg_soil_class_names[i]);
    assert_int_equal(fg_evaporable_water(fg_range_middle(soil->field_capacity),
                                         fg_range_middle(soil->wilting_point), 0.10, &tew),
                     FG_OK);
    assert_between(tew, soil->tew_m.low, soil->tew_m.high);
    assert_true(soil->rew_m.high < soil->tew_m.high);
    assert_true(soil->rew_m.low < soil->tew_m.low);
  }
  assert_null(fg_soil_class_names[FG_SOIL_CLASSES]);
}

/* By hand: 1060 g wet, 1000 g dry, scale in steps of 2 g, set to zero with the pan on it: 6 %,
 * error 0.001 sqrt(1 + 1.06^2 + 0.06^2). */
static void test_weighing(void **state) {
  (void)state;
  double moisture, error;
  assert_int_equal(fg_moisture_weighed(1.060, 1.000, 0.0, 2e-3, &moisture, &error), FG_OK);
  assert_close(moisture, 0.06, 1e-12);
  assert_close(error, 1e-3 * sqrt(1.0 + 1.06 * 1.06 + 0.06 * 0.06), 1e-12);
  assert_int_equal(fg_moisture_weighed(0.9, 1.0, 0.0, 2e-3, &moisture, &error), FG_EDOMAIN);
  assert_int_equal(fg_moisture_weighed(1.0, 0.0, 0.0, 2e-3, &moisture, &error), FG_EDOMAIN);
}

/* ---- the layer ---- */

static void test_a_layer_without_rain_dries_to_tew_and_no_further(void **state) {
  (void)state;
  fg_layer_day day = {0.020, 0.009, 0.0, 0.0, 0.0045, 1.2, 0.0, 1.0};
  double evaporated = 0.0;
  for (int i = 0; i < 400; ++i) {
    fg_layer_result r;
    assert_int_equal(fg_layer_step(&day, &r), FG_OK);
    assert_between(r.kr, 0.0, 1.0);
    assert_true(r.depletion_m >= day.depletion_m);
    evaporated += r.evaporation_m;
    day.depletion_m = r.depletion_m;
  }
  assert_close(day.depletion_m, 0.020, 1e-9);
  assert_close(evaporated, 0.020, 1e-9);
}

/* Ritchie's Table 1 soils (values from memory): U 6, 9, 12 mm and 3.34, 4.04, 5.08 mm in the
 * first day; after n days the second stage has drawn sqrt(n) times as much. */
static void test_ritchie(void **state) {
  (void)state;
  static const double first[3] = {0.006, 0.009, 0.012}, rate[3] = {3.34e-3, 4.04e-3, 5.08e-3};
  for (int i = 0; i < 3; ++i) {
    double loss;
    assert_int_equal(fg_ritchie_loss(first[i], rate[i], 0.0, &loss), FG_OK);
    assert_close(loss, first[i], 1e-12);
    assert_int_equal(fg_ritchie_loss(first[i], rate[i], 16.0, &loss), FG_OK);
    assert_close(loss, first[i] + 4.0 * rate[i], 1e-12);
  }
}

/* ---- the ground ---- */

static fg_ground some_ground(void) {
  return (fg_ground){.field_capacity = 0.12,
                     .residual = 0.02,
                     .saturation = 0.30,
                     .layer_m = 0.10,
                     .tew_m = 0.010,
                     .rew_m = 0.0045,
                     .second_stage_m = 3.34e-3,
                     .hold = 0.1,
                     .flooded_m = 0.20,
                     .below_m = 1.5,
                     .dry_kg_m3 = 1700.0};
}

static void test_water_is_conserved(void **state) {
  (void)state;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  gsl_rng_set(rng, 3);
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_at_capacity(&w);
  const double start = fg_ground_missing(&w);
  double in = 0.0, out = 0.0;
  for (int i = 0; i < 3000; ++i) {
    const double chance = gsl_rng_uniform(rng);
    const fg_ground_day day = {chance < 0.1 ? 0.05 * gsl_rng_uniform(rng) : 0.0,
                               0.010 * gsl_rng_uniform(rng) - 0.0005, 1.2, chance > 0.995};
    fg_ground_result r;
    const double before = fg_ground_missing(&w);
    assert_int_equal(fg_ground_step(&g, &day, &w, &r), FG_OK);
    const double change = fg_ground_missing(&w) - before;
    assert_within(day.rain_m + r.flood_m - r.evaporation_m - r.drained_m + change, 0.0, 1e-12);
    assert_between(w.depletion_m, 0.0, g.tew_m);
    assert_true(r.evaporation_m <= 1.2 * fmax(0.0, day.et0_m) + 1e-15);
    assert_true(r.evaporation_below_m >= 0.0);
    in += day.rain_m + r.flood_m;
    out += r.evaporation_m + r.drained_m;
    const double mean = fg_ground_mean_moisture(&g, &w, 0.2);
    assert_between(mean, g.residual * 1000.0 / g.dry_kg_m3 - 1e-9,
                   g.saturation * 1000.0 / g.dry_kg_m3 + 1e-9);
  }
  assert_within(in - out + fg_ground_missing(&w) - start, 0.0, 1e-9);
  gsl_rng_free(rng);
}

static void test_a_flood_saturates_and_drains(void **state) {
  (void)state;
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_result r;
  fg_ground_dried(&g, 1.0, 0.3, &w);
  const fg_ground_day flood = {0.0, 0.005, 1.2, true}, still = {0.0, 0.0, 1.2, false};
  assert_int_equal(fg_ground_step(&g, &flood, &w, &r), FG_OK);
  const double full = g.saturation * 1000.0 / g.dry_kg_m3;
  assert_close(fg_ground_moisture(&g, &w, 0.15), full, 1e-12);
  assert_close(fg_ground_mean_moisture(&g, &w, 0.20), full, 1e-12);
  for (int i = 0; i < 30; ++i)
    assert_int_equal(fg_ground_step(&g, &still, &w, &r), FG_OK);
  assert_close(fg_ground_mean_moisture(&g, &w, 0.20), g.field_capacity * 1000.0 / g.dry_kg_m3,
               1e-9);
}

static void test_much_rain_fills_to_field_capacity(void **state) {
  (void)state;
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_result r;
  fg_ground_dried(&g, 1.0, 1.0, &w);
  const fg_ground_day storm = {1.0, 0.0, 1.2, false};
  assert_int_equal(fg_ground_step(&g, &storm, &w, &r), FG_OK);
  assert_within(fg_ground_missing(&w), 0.0, 1e-12);
  assert_true(r.drained_m > 0.5);
}

/* A little rain on dry ground wets it from the top down: the layer first, then just as deep as
 * the rest reaches; what lies deeper stays dry. */
static void test_rain_wets_from_the_top(void **state) {
  (void)state;
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_result r;
  fg_ground_dried(&g, 1.0, 5.0, &w);
  const fg_ground_day rain = {0.015, 0.0, 1.2, false};
  assert_int_equal(fg_ground_step(&g, &rain, &w, &r), FG_OK);
  assert_within(r.percolation_m, 0.005, 1e-12);
  assert_within(r.drained_m, 0.0, 1e-15);
  const double wet = g.field_capacity * 1000.0 / g.dry_kg_m3;
  assert_close(fg_ground_moisture(&g, &w, 0.05), wet, 1e-9);
  assert_true(fg_ground_moisture(&g, &w, 0.12) > 0.6 * wet);
  assert_true(fg_ground_moisture(&g, &w, 0.50) < 0.5 * wet);
}

/* Crank, The Mathematics of Diffusion, 1975, section 3.3: from a dry layer held at residual,
 * what lies below loses coefficient sqrt(t), and is missing range erfc(z/(2 sqrt(D t))) at
 * depth z: with D = pi/4 (coefficient/range)^2, z over coefficient sqrt(pi t)/range. */
static void test_ground_below_a_dry_layer_follows_ritchie(void **state) {
  (void)state;
  fg_ground g = some_ground();
  fg_ground_water w;
  const double range = g.field_capacity - g.residual;
  double drawn = 0.0;
  fg_ground_at_capacity(&w);
  w.depletion_m = g.tew_m;
  for (int i = 1; i <= 100; ++i) {
    const fg_ground_day day = {0.0, 0.010, 1.2, false};
    fg_ground_result r;
    assert_int_equal(fg_ground_step(&g, &day, &w, &r), FG_OK);
    drawn += r.evaporation_below_m;
    if (i == 4 || i == 25 || i == 100)
      assert_close(drawn, g.second_stage_m * sqrt(i), i == 4 ? 0.05 : 0.02);
  }
  const double length = g.second_stage_m * sqrt(3.14159265358979323846 * 100.0) / range;
  static const double depths[] = {0.15, 0.2, 0.3, 0.5, 0.8};
  for (size_t i = 0; i < sizeof depths / sizeof depths[0]; ++i) {
    const double exact = g.field_capacity - range * erfc((depths[i] - g.layer_m) / length);
    assert_close(fg_ground_moisture(&g, &w, depths[i]) * g.dry_kg_m3 / 1000.0, exact, 0.02);
  }
}

/* Ritchie 1972: first stage at full power, then coefficient sqrt(days), layer and ground below
 * together.  By hand, 12 mm of power a day: sand (rew 4.5, 3.3 mm) loses 4.5 + 3.3 sqrt(5 - 0.375)
 * = 11.6 mm in 5 days, clay (10, 3.5) 10 + 3.5 sqrt(10 - 0.833) = 20.6 in 10; the soils of his
 * table 1 (values from memory) the same way.  Class middles of FAO-56, table 19. */
static void test_the_second_stage_counts_once(void **state) {
  (void)state;
  static const struct {
    double capacity, wilting, rew_m, stage_m;
    int days;
  } soils[] = {{0.12, 0.045, 0.0045, 3.3e-3, 5},
               {0.36, 0.22, 0.010, 3.5e-3, 10},
               {0.12, 0.045, 0.006, 3.34e-3, 20},
               {0.25, 0.12, 0.009, 4.04e-3, 20},
               {0.32, 0.20, 0.012, 5.08e-3, 20}};
  for (size_t i = 0; i < sizeof soils / sizeof soils[0]; ++i) {
    fg_ground g = some_ground();
    fg_ground_water w;
    double lost = 0.0;
    g.field_capacity = soils[i].capacity;
    g.residual = 0.5 * soils[i].wilting;
    g.saturation = 0.4;
    g.tew_m = (g.field_capacity - g.residual) * g.layer_m;
    g.rew_m = soils[i].rew_m;
    g.second_stage_m = soils[i].stage_m;
    fg_ground_at_capacity(&w);
    for (int k = 0; k < soils[i].days; ++k) {
      const fg_ground_day day = {0.0, 0.010, 1.2, false};
      fg_ground_result r;
      assert_int_equal(fg_ground_step(&g, &day, &w, &r), FG_OK);
      lost += r.evaporation_m;
    }
    const double second = soils[i].days - soils[i].rew_m / 0.012;
    assert_close(lost, soils[i].rew_m + soils[i].stage_m * sqrt(second), 0.01);
    assert_within(fg_ground_missing(&w), lost, 1e-9);
    assert_true(i != 0 || fabs(lost - 11.6e-3) < 0.1e-3);
    assert_true(i != 1 || fabs(lost - 20.6e-3) < 0.1e-3);
  }
}

/* A shower on dry ground evaporates sooner than the ground dried before, and leaves the ground no
 * drier than it would be without, whatever fell. */
static void test_rain_never_dries_a_ground(void **state) {
  (void)state;
  static const double falls[] = {0.0, 0.001, 0.003, 0.006, 0.012, 0.03};
  const fg_ground g = some_ground();
  double missing = INFINITY, lost = 0.0;
  for (size_t k = 0; k < sizeof falls / sizeof falls[0]; ++k) {
    fg_ground_water w;
    double since = 0.0;
    fg_ground_at_capacity(&w);
    for (int i = 0; i < 45; ++i) {
      const fg_ground_day day = {i == 30 ? falls[k] : 0.0, 0.006, 1.2, false};
      fg_ground_result r;
      assert_int_equal(fg_ground_step(&g, &day, &w, &r), FG_OK);
      since += i >= 30 ? r.evaporation_m : 0.0;
    }
    assert_true(fg_ground_missing(&w) < missing);
    assert_true(since >= lost);
    assert_true(k != 2 || since > lost + 0.001);
    missing = fg_ground_missing(&w);
    lost = since;
  }
}

/* By hand: 25 mm a day at a mean of -12 C all lies as snow; dry cold of -12 C a day sums to
 * 12 (1 + 0.97 + ...) degree-days, above 56 (56.5) on the fifth day and not before; 4 mm of snow
 * melt at 2 C in one day, by 2 x 2.74 mm; rain at 10 C stays rain and leaves no frost. */
static void test_snow_lies_and_frost_enters(void **state) {
  (void)state;
  fg_cold c = {0};
  fg_cold_day d;
  for (int i = 1; i <= 10; ++i) {
    assert_int_equal(fg_cold_step(0.025, 255.15, 267.15, &c, &d), FG_OK);
    assert_close(c.snow_m, 0.025 * i, 1e-12);
    assert_true(d.snow && d.water_m == 0.0);
  }
  c = (fg_cold){0};
  for (int i = 1; i <= 6; ++i) {
    assert_int_equal(fg_cold_step(0.0, 255.15, 267.15, &c, &d), FG_OK);
    assert_int_equal(d.frozen, 12.0 * (1.0 - pow(0.97, i)) / 0.03 > 56.0);
    assert_int_equal(d.frozen, i >= 5);
    assert_false(d.snow);
  }
  c = (fg_cold){.snow_m = 0.004};
  assert_int_equal(fg_cold_step(0.0, 273.15, 277.15, &c, &d), FG_OK);
  assert_close(d.water_m, 0.004, 1e-12);
  assert_false(d.snow);
  assert_int_equal(fg_cold_step(0.01, 278.15, 288.15, &c, &d), FG_OK);
  assert_true(d.water_m == 0.01 && !d.snow && !d.frozen);
  assert_int_equal(fg_cold_step(-0.01, 278.15, 288.15, &c, &d), FG_EDOMAIN);
  assert_int_equal(fg_cold_step(0.0, 288.15, 278.15, &c, &d), FG_EDOMAIN);
}

static void test_weak_sun_limits_all_evaporation(void **state) {
  (void)state;
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_result r;
  fg_ground_dried(&g, 1.0, 0.0, &w);
  const fg_ground_day dull = {0.0, 0.0005, 1.2, false};
  assert_int_equal(fg_ground_step(&g, &dull, &w, &r), FG_OK);
  assert_close(r.evaporation_m, 0.0006, 1e-9);
  const fg_ground_day dew = {0.0, -0.001, 1.2, false};
  assert_int_equal(fg_ground_step(&g, &dew, &w, &r), FG_OK);
  assert_within(r.evaporation_m, 0.0, 0.0);
}

static void test_measured_moisture_is_met(void **state) {
  (void)state;
  static const double depths[] = {0.05, 0.10, 0.2, 0.6};
  const double per_volume = 1000.0 / some_ground().dry_kg_m3;
  for (size_t i = 0; i < sizeof depths / sizeof depths[0]; ++i)
    for (int k = 0; k <= 24; ++k) {
      const double volume = 0.005 * k;
      fg_ground g = some_ground();
      fg_ground_water w;
      assert_int_equal(fg_ground_measured(&g, depths[i], volume * per_volume, &w), FG_OK);
      if (volume > 0.0 || depths[i] <= 0.10)
        assert_within(fg_ground_mean_moisture(&g, &w, depths[i]), volume * per_volume, 1e-7);
      else /* bone dry cannot be had below the layer: what is left is a few hundredths of a point */
        assert_between(fg_ground_mean_moisture(&g, &w, depths[i]), 0.0, 0.006);
      assert_between(w.depletion_m, 0.0, g.tew_m * (1.0 + 1e-9));
    }
  fg_ground g = some_ground();
  fg_ground_water w;
  assert_int_equal(fg_ground_measured(&g, 0.2, 0.25 * per_volume, &w), FG_OK);
  assert_close(fg_ground_mean_moisture(&g, &w, 0.2), 0.25 * per_volume, 1e-9);
  assert_int_equal(fg_ground_measured(&g, 0.2, 0.31 * per_volume, &w), FG_EDOMAIN);
  assert_int_equal(fg_ground_measured(&g, 0.2, -0.01, &w), FG_EDOMAIN);
}

static void test_dry_depth(void **state) {
  (void)state;
  const fg_ground g = some_ground();
  fg_ground_water w;
  fg_ground_dried(&g, 1.0, 0.2, &w);
  const double limit = 0.04 * 1000.0 / g.dry_kg_m3;
  const double depth = fg_ground_dry_depth(&g, &w, limit, 1.0);
  assert_between(depth, g.layer_m, 0.9);
  assert_close(fg_ground_mean_moisture(&g, &w, depth), limit, 1e-5);
  fg_ground_at_capacity(&w);
  assert_within(fg_ground_dry_depth(&g, &w, limit, 1.0), 0.0, 0.0);
  assert_within(fg_ground_dry_depth(&g, &w, INFINITY, 1.0), 1.0, 0.0);
}

static fg_spread some_spread(void) {
  return (fg_spread){.thickness_m = 0.02,
                     .raked_m = 0.05,
                     .sun_s = 6.0 * 3600.0,
                     .daylight_s = 12.0 * 3600.0,
                     .net_w_m2 = 150.0,
                     .air_k = 298.15,
                     .vapour_pa = 800.0,
                     .pressure_pa = 95000.0,
                     .wind_m_s = 2.0,
                     .bulk_kg_m3 = 1600.0,
                     .moisture = 0.02,
                     .residual = 0.004};
}

/* Exact limits: no sun's warmth in air as damp as the gravel takes nothing; any sun ends at the
 * residual. */
static void test_spreading_has_its_limits(void **state) {
  (void)state;
  fg_spread s = some_spread();
  double moisture;
  s.net_w_m2 = 0.0;
  s.vapour_pa = fg_fao_saturation(s.air_k);
  assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
  assert_within(moisture, 0.02, 1e-9);
  s = some_spread();
  s.thickness_m = 0.002;
  assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
  assert_close(moisture, s.residual, 1e-9);
  s.sun_s = 0.0;
  assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
  assert_within(moisture, 0.02, 0.0);
  s.bulk_kg_m3 = 0.0;
  assert_int_equal(fg_spread_drying(&s, &moisture), FG_EDOMAIN);
}

/* Wet gravel loses what Penman's combination gives for a wet surface whose radiation rises with its
 * warmth (Monteith & Unsworth, Principles of Environmental Physics, ch. 13): (slope R + rho c
 * D/r_h) over slope + gamma r_v/r_h, by latent heat, worked out here; 15 % for slope and air at one
 * temperature, and for the heat the gravel keeps. */
static void test_spreading_follows_penman(void **state) {
  (void)state;
  fg_spread s = some_spread();
  double moisture;
  s.moisture = 0.25;
  s.sun_s = s.daylight_s;
  const double day_j = s.net_w_m2 * 86400.0;
  assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
  const double lost_kg = (0.25 - moisture) * s.thickness_m * s.bulk_kg_m3;
  const double celsius = s.air_k - 273.15, e = 610.8 * exp(17.27 * celsius / (celsius + 237.3));
  const double slope = 4098.0 * e / ((celsius + 237.3) * (celsius + 237.3));
  const double gamma = 0.665e-3 * s.pressure_pa, heat = 1013.0 * s.pressure_pa / (287.05 * s.air_k);
  const double r_v = 208.0 / s.wind_m_s, r_r = heat / (4.0 * 5.67e-8 * pow(s.air_k, 3.0));
  const double r_h = 1.0 / (1.0 / r_v + 1.0 / r_r);
  const double penman = (slope * day_j + s.daylight_s * heat * (e - s.vapour_pa) / r_h) /
                        (slope + gamma * r_v / r_h) / 2.45e6;
  assert_close(lost_kg, penman, 0.15);
}

/* Thicker, damper air, less wind or sun: damper. Six inches do not dry through in four hours: a
 * rake reaches the top two, and the rest stays as it was. */
static void test_spreading_goes_the_right_way(void **state) {
  (void)state;
  double before = 0.0, moisture;
  for (int mm = 5; mm <= 150; mm += 5) {
    fg_spread s = some_spread();
    s.thickness_m = 1e-3 * mm;
    assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
    assert_true(moisture >= before);
    before = moisture;
  }
  assert_true(before >= 0.02 - 0.016 / 3.0);
  for (int k = 0; k < 4; ++k) {
    fg_spread s = some_spread();
    double worse;
    s.thickness_m = 0.05;
    s.moisture = 0.03;
    assert_int_equal(fg_spread_drying(&s, &moisture), FG_OK);
    s.sun_s *= k == 0 ? 0.5 : 1.0;
    s.net_w_m2 *= k == 1 ? 0.5 : 1.0;
    s.vapour_pa *= k == 2 ? 2.0 : 1.0;
    s.raked_m *= k == 3 ? 0.5 : 1.0;
    assert_int_equal(fg_spread_drying(&s, &worse), FG_OK);
    assert_true(worse > moisture);
  }
}

/* ---- the whole ---- */

static void read_scenario(fg_scenario *s, const char *const *sets, size_t count) {
  fg_complaints complaints = {0};
  const fg_status status = fg_scenario_read("configs/dry-demo.cfg", sets, count, s, &complaints);
  for (size_t i = 0; i < complaints.count; ++i)
    print_error("%s\n", complaints.lines[i]);
  fg_complaints_free(&complaints);
  assert_int_equal(status, FG_OK);
}

static void test_damp_costs_more_and_more(void **state) {
  (void)state;
  fg_scenario s;
  read_scenario(&s, NULL, 0);
  fg_damp d;
  assert_int_equal(fg_damp_solve(&s, 0.10, &d), FG_OK);
  assert_between(d.limit, 0.001, 0.03);
  assert_within(1.0 - d.limit_kept / d.dry_kept, 0.10, 0.02);
  double before = -1.0;
  for (int k = 0; k < 400; ++k) {
    const double lost = fg_damp_lost(&d, 0.0005 * k);
    assert_between(lost, 0.0, 1.0);
    assert_true(lost >= before - 1e-12);
    before = lost;
  }
  assert_within(fg_damp_lost(&d, d.limit), 0.10, 1e-9);
}

/* Day on which ground of this scenario first holds no more binding water than `binding` down to the
 * foot of what is dug, from field capacity under 5 mm a day; 1000 when it does not come to that. */
static int dry_day(const fg_scenario *s, double binding) {
  fg_ground g;
  fg_ground_water w;
  double water;
  assert_int_equal(fg_scenario_ground(s, &g), FG_OK);
  fg_ground_at_capacity(&w);
  for (int day = 1; day < 1000; ++day) {
    const fg_ground_day sunny = {0.0, 0.005, 1.2, false};
    fg_ground_result r;
    assert_int_equal(fg_ground_step(&g, &sunny, &w, &r), FG_OK);
    assert_int_equal(
        fg_binding_water(fg_ground_mean_moisture(&g, &w, s->soil.depth), s->ground.clay, &water),
        FG_OK);
    if (water <= binding)
      return day;
  }
  return 1000;
}

/* Common practice, no source: clay holds on to its water.  Never may it bring the day forward on
 * which a ground is dry, with the class of soil given or left to follow from the clay. */
static void test_clay_never_dries_a_ground_sooner(void **state) {
  (void)state;
  static const char *const files[] = {"configs/demo.cfg",       "configs/dry-demo.cfg",
                                      "configs/pile-demo.cfg",  "configs/streak_black.cfg",
                                      "configs/bench_high.cfg", "configs/household_small.cfg"};
  static const double limits[] = {0.0005, 0.001, 0.002, 0.005, 0.02};
  int sooner = 0, later = 0;
  for (size_t i = 0; i < sizeof files / sizeof files[0]; ++i)
    for (size_t k = 0; k < sizeof limits / sizeof limits[0]; ++k) {
      int before = 0;
      for (int half = 0; half <= 24; ++half) {
        char clay[40];
        const char *const sets[] = {clay};
        fg_scenario s;
        fg_complaints complaints = {0};
        (void)snprintf(clay, sizeof clay, "ground.clay=%.1f %%", 0.5 * half);
        const bool other_class = i == 1 && half > 20;
        assert_int_equal(fg_scenario_read(files[i], sets, 1, &s, &complaints),
                         other_class ? FG_ESCENARIO : FG_OK);
        fg_complaints_free(&complaints);
        if (other_class)
          continue;
        const int day = dry_day(&s, limits[k]);
        sooner += day < before;
        later += day > before;
        before = day;
      }
    }
  assert_int_equal(sooner, 0);
  assert_true(later > 30);
}

/* What the clay holds shifts the moisture that a deck bears, and nothing else does: of 2 % clay at
 * most (w' = 0.3456 %, Fecan et al. 1999, by hand). */
static void test_clay_shifts_the_limit_by_what_it_binds(void **state) {
  (void)state;
  static const char *const clays[] = {"ground.clay=0 %", "ground.clay=2 %", "ground.clay=9 %"};
  fg_damp d[3];
  for (size_t i = 0; i < 3; ++i) {
    fg_scenario s;
    read_scenario(&s, &clays[i], 1);
    assert_int_equal(fg_damp_solve(&s, 0.10, &d[i]), FG_OK);
  }
  assert_within(d[0].bound, 0.0, 0.0);
  assert_within(d[1].limit - d[0].limit, 0.003456, 1e-12);
  assert_within(d[2].limit, d[1].limit, 1e-15);
}

/* The best of several settings is at least as good as the scenario's own. */
static void test_best_is_best(void **state) {
  (void)state;
  fg_scenario s;
  read_scenario(&s, NULL, 0);
  double kept, worse;
  fg_deck_setting best;
  assert_int_equal(fg_best_fine_kept(&s, 0.01, &kept, &best), FG_OK);
  s.run.throttle = 0.5;
  s.run.gate_opening = 1.0;
  assert_int_equal(fg_best_fine_kept(&s, 0.01, &worse, NULL), FG_OK);
  assert_between(kept, 0.0, 1.0);
  assert_close(worse, kept, 0.5);
  s.run.throttle = best.throttle;
  s.run.gate_opening = best.gate_opening;
  assert_int_equal(fg_best_fine_kept(&s, 0.01, &worse, NULL), FG_OK);
  assert_close(worse, kept, 1e-12);
}

static void run_demo(const fg_scenario *s, size_t samples, unsigned long seed, fg_drying *d) {
  fg_weather weather;
  fg_complaints complaints = {0};
  assert_int_equal(fg_weather_read("configs/weather-demo.csv", &weather, &complaints), FG_OK);
  const fg_drying_options o = {.weather_path = "configs/weather-demo.csv",
                               .weather = &weather,
                               .wind_height_m = NAN,
                               .days_ahead = 110,
                               .allow = 0.10,
                               .samples = samples,
                               .seed = seed};
  assert_int_equal(fg_drying_run(s, &o, d, &complaints), FG_OK);
  assert_int_equal(complaints.count, 0);
  fg_weather_free(&weather);
}

static void test_chances_are_the_same_for_the_same_seed(void **state) {
  (void)state;
  fg_scenario s;
  read_scenario(&s, NULL, 0);
  fg_drying a, b, c;
  run_demo(&s, 64, 1, &a);
  run_demo(&s, 64, 1, &b);
  run_demo(&s, 64, 2, &c);
  assert_int_equal(a.count, 138);
  bool differ = false;
  for (size_t i = 0; i < a.count; ++i) {
    assert_within(a.days[i].chance, b.days[i].chance, 0.0);
    assert_within(a.days[i].chance, c.days[i].chance, 0.35);
    assert_between(a.days[i].chance, 0.0, 1.0);
    differ = differ || a.days[i].chance != c.days[i].chance;
  }
  assert_true(differ);
  /* The days of even odds and of a trip that is planned on: from there on no day has less. */
  const double chance[2] = {0.5, 0.8};
  for (size_t k = 0; k < 2; ++k) {
    assert_true(a.likely[k] > 0);
    assert_true(a.days[a.likely[k] - 1].chance < chance[k]);
    for (size_t i = (size_t)a.likely[k]; i < a.count; ++i)
      assert_true(a.days[i].chance >= chance[k]);
  }
  /* Rain-free days ahead only dry the ground, in every sample. */
  for (size_t i = a.given + 1; i < a.count; ++i) {
    assert_true(a.days[i].chance >= a.days[i - 1].chance);
    assert_true(a.days[i].dug <= a.days[i - 1].dug + 1e-12);
  }
  fg_drying_free(&a);
  fg_drying_free(&b);
  fg_drying_free(&c);
}

static void test_the_ready_day_is_the_first_dry_one(void **state) {
  (void)state;
  fg_scenario s;
  read_scenario(&s, NULL, 0);
  fg_drying d;
  run_demo(&s, 0, 1, &d);
  assert_true(d.ready > 0);
  assert_true(d.days[d.ready - 1].dug > d.damp.limit);
  for (size_t i = (size_t)d.ready; i < d.count; ++i) {
    assert_true(d.days[i].dug <= d.damp.limit);
    assert_between(d.days[i].lost, 0.0, 0.10 + 1e-9);
    assert_true(isnan(d.days[i].chance));
  }
  fg_drying_free(&d);
}

/* A year of made-up weather: Hargreaves' formula, which needs temperatures alone, and
 * Penman-Monteith from temperatures alone agree within the third FAO-56 speaks of. */
static void test_hargreaves_is_a_check(void **state) {
  (void)state;
  double penman = 0.0, hargreaves = 0.0;
  for (int day = 1; day <= 365; ++day) {
    fg_day_weather w = some_day();
    fg_et0 r;
    w.day_of_year = day;
    w.tmin_k = 283.15 - 8.0 * cos(2.0 * 3.14159265358979323846 * (day - 15) / 365.0);
    w.tmax_k = w.tmin_k + 14.0;
    assert_int_equal(fg_reference_evaporation(&w, &r), FG_OK);
    penman += r.et0_m_s;
    hargreaves += r.hargreaves_m_s;
  }
  assert_between(hargreaves / penman, 0.75, 1.35);
}

static const struct CMUnitTest drying_tests[] = {
    cmocka_unit_test(test_dates_follow_the_calendar),
    cmocka_unit_test(test_every_day_comes_back),
    cmocka_unit_test(test_days_that_are_none),
    cmocka_unit_test(test_seasons_are_read_as_people_write_them),
    cmocka_unit_test(test_constants_of_fao56),
    cmocka_unit_test(test_more_sun_wind_and_dryness_evaporate_more),
    cmocka_unit_test(test_fallbacks_are_told),
    cmocka_unit_test(test_weather_that_cannot_be),
    cmocka_unit_test(test_length_of_the_day),
    cmocka_unit_test(test_table_19_hangs_together),
    cmocka_unit_test(test_weighing),
    cmocka_unit_test(test_a_layer_without_rain_dries_to_tew_and_no_further),
    cmocka_unit_test(test_ritchie),
    cmocka_unit_test(test_water_is_conserved),
    cmocka_unit_test(test_a_flood_saturates_and_drains),
    cmocka_unit_test(test_much_rain_fills_to_field_capacity),
    cmocka_unit_test(test_rain_wets_from_the_top),
    cmocka_unit_test(test_ground_below_a_dry_layer_follows_ritchie),
    cmocka_unit_test(test_weak_sun_limits_all_evaporation),
    cmocka_unit_test(test_measured_moisture_is_met),
    cmocka_unit_test(test_dry_depth),
    cmocka_unit_test(test_spreading_has_its_limits),
    cmocka_unit_test(test_spreading_follows_penman),
    cmocka_unit_test(test_spreading_goes_the_right_way),
    cmocka_unit_test(test_damp_costs_more_and_more),
    cmocka_unit_test(test_clay_never_dries_a_ground_sooner),
    cmocka_unit_test(test_clay_shifts_the_limit_by_what_it_binds),
    cmocka_unit_test(test_the_second_stage_counts_once),
    cmocka_unit_test(test_rain_never_dries_a_ground),
    cmocka_unit_test(test_snow_lies_and_frost_enters),
    cmocka_unit_test(test_best_is_best),
    cmocka_unit_test(test_chances_are_the_same_for_the_same_seed),
    cmocka_unit_test(test_the_ready_day_is_the_first_dry_one),
    cmocka_unit_test(test_hargreaves_is_a_check),
};

int main(void) {
  gsl_set_error_handler_off();
  const int failed = FG_RUN_GROUP(drying_tests);
  fg_units_free();
  return failed;
}
