/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The settings table and the names of its rows. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "fg_demo.h"
#include "flourgold/doubt.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"

/* A row that has a name and no line in the table would be all zeros. */
static void test_every_row_is_filled(void **state) {
  (void)state;
  assert_int_equal(fg_settings_count, FG_SETTINGS);
  for (int row = 0; row < FG_SETTINGS; ++row) {
    const fg_setting *setting = &fg_settings[row];
    assert_non_null(setting->key);
    assert_non_null(setting->meaning);
    assert_non_null(setting->basis);
    assert_non_null(setting->source);
    assert_int_equal(fg_setting_find(setting->key), row);
    assert_int_equal(fg_setting_row_of(setting), row);
    if (setting->type == FG_T_NUMBER)
      assert_true(setting->lowest < setting->highest);
    if (setting->type == FG_T_CHOICE)
      assert_non_null(setting->choices);
  }
  assert_int_equal(fg_setting_find("run.fed"), FG_SET_NONE);
}

#define ROW(id)                                                                                    \
  { FG_SET_##id, #id }

/* The name of a row says its key. */
static void test_names_say_keys(void **state) {
  (void)state;
  static const struct {
    int row;
    const char *name;
  } named[] = {
      ROW(SITE_NAME),
      ROW(SITE_PRESSURE),
      ROW(GROUND_MOISTURE),
      ROW(GROUND_CLAY),
      ROW(GROUND_BULK_DENSITY),
      ROW(GROUND_JAR_CLAY),
      ROW(SOIL_CLASS),
      ROW(SOIL_SECOND_STAGE),
      ROW(GOLD_GRADE),
      ROW(GOLD_COUNTED_IN),
      ROW(SCREEN_OPENING),
      ROW(DECK_LENGTH),
      ROW(DECK_SLOPE),
      ROW(SHAKER_MASS),
      ROW(SHAKER_SPEED),
      ROW(HOSE_KIND),
      ROW(GATE_AREA),
      ROW(BLOWER_NAME),
      ROW(BLOWER_FUEL_USE),
      ROW(RUN_THROTTLE),
      ROW(RUN_GATE_OPENING),
      ROW(RUN_FEED),
      ROW(OBSERVED_BOX_PRESSURE),
      ROW(OBSERVED_FULL_MINUTES),
      ROW(SAMPLE_THRESHOLD),
      ROW(LIMITS_FEED_MOST),
      ROW(DAY_PACE),
      ROW(CLOSURE_DRAG_LAW),
      ROW(CLOSURE_SIEVING_LAW),
  };
  for (size_t i = 0; i < sizeof named / sizeof named[0]; ++i) {
    char spelled[64];
    size_t length = 0;
    for (const char *c = fg_settings[named[i].row].key; *c != '\0'; ++c)
      spelled[length++] = (char)(*c == '.' ? '_' : toupper((unsigned char)*c));
    spelled[length] = '\0';
    assert_string_equal(spelled, named[i].name);
  }
}

static void test_groups(void **state) {
  (void)state;
  assert_true(fg_setting_same_group(FG_SET_RUN_FEED, FG_SET_RUN_HOURS));
  assert_false(fg_setting_same_group(FG_SET_RUN_FEED, FG_SET_LIMITS_FEED_MOST));
  assert_false(fg_setting_same_group(FG_SET_SITE_NAME, FG_SET_BLOWER_NAME));
}

/* Feeds by volume, gold by mass, a roughness by length: none is in the unit the model keeps. */
static const char *const other_bases[] = {
    "run.feed=0.75 yd3/h", "gold.grade=0.3 g/t",          "sample.threshold=0.2 g/t",
    "hose.roughness=2 mm", "limits.feed_least=0.3 yd3/h", "limits.feed_most=1.5 yd3/h",
    "day.pace=0.7 yd3/h",
};
static const int other_rows[] = {
    FG_SET_RUN_FEED,       FG_SET_GOLD_GRADE,        FG_SET_SAMPLE_THRESHOLD,
    FG_SET_HOSE_ROUGHNESS, FG_SET_LIMITS_FEED_LEAST, FG_SET_LIMITS_FEED_MOST,
    FG_SET_DAY_PACE,
};
enum { OTHER = sizeof other_rows / sizeof other_rows[0] };

/* What is halved in memory stays halved, whatever it was written in, however often resolved. */
static void test_a_change_in_memory_is_not_undone(void **state) {
  (void)state;
  fg_scenario read, s;
  read_demo(&read, other_bases, OTHER);
  for (int i = 0; i < OTHER; ++i) {
    const fg_setting *setting = &fg_settings[other_rows[i]];
    const double half = 0.5 * fg_setting_value(setting, &read);
    s = read;
    *fg_setting_number(setting, &s) = half;
    for (int again = 0; again < 2; ++again) {
      assert_int_equal(fg_scenario_resolve(&s), FG_OK);
      assert_close(fg_setting_value(setting, &s), half, 1e-12);
    }
  }
}

/* A feed by volume weighs more of denser gravel, also when it was changed or drawn; one set so is
 * a mass. */
static void test_what_moves_with_the_bulk_density(void **state) {
  (void)state;
  fg_scenario read, s;
  read_demo(&read, other_bases, OTHER);
  for (int i = 0; i < OTHER; ++i) {
    const int row = other_rows[i];
    const double was = fg_setting_value(&fg_settings[row], &read);
    const double factor = row == FG_SET_HOSE_ROUGHNESS ? 1.0 / 1.25 : 1.25;
    for (int way = 0; way < 4; ++way) {
      s = read;
      if (way == 1)
        *fg_setting_number(&fg_settings[row], &s) = 0.5 * was;
      else if (way == 2)
        assert_int_equal(fg_scenario_draw(&s, row, 0.5 * was), FG_OK);
      else if (way == 3)
        assert_int_equal(fg_scenario_set(&s, row, 0.5 * was), FG_OK);
      s.ground.bulk_density *= 1.25;
      s.hose.diameter *= 1.25;
      assert_int_equal(fg_scenario_resolve(&s), FG_OK);
      assert_close(fg_setting_value(&fg_settings[row], &s),
                   (way > 0 ? 0.5 : 1.0) * (way == 3 ? 1.0 : factor) * was, 1e-12);
    }
  }
  assert_int_equal(fg_scenario_set(&s, FG_SET_SITE_NAME, 1.0), FG_EDOMAIN);
  assert_int_equal(fg_scenario_draw(&s, FG_SET_CLOSURE_DRAG_LAW, 1.0), FG_EDOMAIN);
}

/* A derived number that was set or drawn is not derived again. */
static void test_a_derived_number_can_be_set(void **state) {
  (void)state;
  for (int way = 0; way < 2; ++way) {
    fg_scenario s;
    read_demo(&s, NULL, 0);
    assert_int_equal(s.origin[FG_SET_GROUND_CLODS], FG_FROM_DERIVED);
    assert_int_equal((way ? fg_scenario_set : fg_scenario_draw)(&s, FG_SET_GROUND_CLODS, 0.3),
                     FG_OK);
    assert_int_equal(fg_scenario_resolve(&s), FG_OK);
    assert_close(s.ground.clods, 0.3, 1e-15);
  }
}

/* Numbers that no ensemble draws, and why; whoever adds a setting says here where it belongs. */
static const int not_drawn[] = {
    /* read off a map, a ruler, a label or a clock, or set by hand; measure asks for some */
    FG_SET_SITE_ELEVATION, FG_SET_SITE_LATITUDE, FG_SET_SCREEN_OPENING, FG_SET_DECK_LENGTH,
    FG_SET_DECK_WIDTH, FG_SET_DECK_SLOPE, FG_SET_DECK_RIFFLES, FG_SET_DECK_RIFFLE_HEIGHT,
    FG_SET_DECK_SIDE_HEIGHT, FG_SET_SHAKER_RATED_FLOW, FG_SET_HOSE_LENGTH, FG_SET_HOSE_DIAMETER,
    FG_SET_GATE_AREA, FG_SET_BLOWER_FREE_VOLUME, FG_SET_BLOWER_NOZZLE_SPEED, FG_SET_BLOWER_FUEL_USE,
    FG_SET_BLOWER_MASS, FG_SET_BLOWER_NOISE, FG_SET_RUN_THROTTLE, FG_SET_RUN_GATE_OPENING,
    FG_SET_RUN_FEED, FG_SET_RUN_HOURS, FG_SET_RUN_CLEANING_INTERVAL, FG_SET_RUN_CLEANING_TIME,
    /* follow from others that are drawn */
    FG_SET_SITE_PRESSURE, FG_SET_GROUND_CLODS, FG_SET_GOLD_FINENESS,
    /* readings: drawn with their own error where they were taken */
    FG_SET_GROUND_BUCKET_WEIGHT, FG_SET_GROUND_JAR_SAND, FG_SET_GROUND_JAR_SILT,
    FG_SET_GROUND_JAR_CLAY, FG_SET_DECK_EMPTY_BOX_PRESSURE, FG_SET_SHAKER_STROKE,
    FG_SET_SHAKER_SPEED,
    /* outcomes that weigh the members */
    FG_SET_OBSERVED_BOX_PRESSURE, FG_SET_OBSERVED_ROTOR_SPEED, FG_SET_OBSERVED_BED_DEPTH,
    FG_SET_OBSERVED_CROSSING_TIME, FG_SET_OBSERVED_GATE_STOP, FG_SET_OBSERVED_FULL_MINUTES,
    /* how ground dries, what is counted, how far a search goes, the day around the run: studies
     * of their own */
    FG_SET_SOIL_STONES, FG_SET_SOIL_FIELD_CAPACITY, FG_SET_SOIL_WILTING_POINT,
    FG_SET_SOIL_SATURATION, FG_SET_SOIL_DEPTH, FG_SET_SOIL_LAYER, FG_SET_SOIL_REW, FG_SET_SOIL_TEW,
    FG_SET_SOIL_SECOND_STAGE, FG_SET_SAMPLE_BUCKET, FG_SET_SAMPLE_MOST_BUCKETS,
    FG_SET_SAMPLE_GRAINS, FG_SET_SAMPLE_VISIBLE_SIZE, FG_SET_SAMPLE_CONFIDENCE,
    FG_SET_SAMPLE_THRESHOLD, FG_SET_SAMPLE_LEAVE_RATE, FG_SET_SAMPLE_STAY_RATE, FG_SET_SAMPLE_ALPHA,
    FG_SET_SAMPLE_BETA, FG_SET_SAMPLE_PRIOR_BUCKETS, FG_SET_LIMITS_THROTTLE_LEAST,
    FG_SET_LIMITS_SLOPE_LEAST, FG_SET_LIMITS_SLOPE_MOST, FG_SET_LIMITS_FEED_LEAST,
    FG_SET_LIMITS_FEED_MOST, FG_SET_DAY_PEOPLE, FG_SET_DAY_LENGTH, FG_SET_DAY_SET_UP,
    FG_SET_DAY_WALK, FG_SET_DAY_LOAD, FG_SET_DAY_PACE, FG_SET_DAY_HOTTEST, FG_SET_DAY_DUST,
    FG_SET_DAY_FRAME, FG_SET_DAY_GEAR};

/* Every number is drawn by the ensemble when nobody gave it, or stands in the list above, and
 * none is both: a new setting that no study knows is found here. */
static void test_every_number_has_its_study(void **state) {
  (void)state;
  fg_scenario s;
  fg_doubt doubts[FG_SETTINGS_MAX];
  int places[FG_SETTINGS] = {0};
  read_demo(&s, NULL, 0);
  memset(s.origin, FG_FROM_DEFAULT, sizeof s.origin);
  memset(s.error_of, 0, sizeof s.error_of);
  const size_t count = fg_doubt_list(&s, doubts);
  for (size_t i = 0; i < count; ++i)
    ++places[doubts[i].row];
  for (size_t i = 0; i < sizeof not_drawn / sizeof not_drawn[0]; ++i)
    ++places[not_drawn[i]];
  for (int row = 0; row < FG_SETTINGS; ++row) {
    const fg_setting_type type = fg_settings[row].type;
    if (type == FG_T_NUMBER || type == FG_T_INTEGER) {
      if (places[row] != 1)
        print_error("%s: in %d lists\n", fg_settings[row].key, places[row]);
      assert_int_equal(places[row], 1);
    }
  }
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_row_is_filled),
      cmocka_unit_test(test_names_say_keys),
      cmocka_unit_test(test_groups),
      cmocka_unit_test(test_every_number_has_its_study),
      cmocka_unit_test(test_a_change_in_memory_is_not_undone),
      cmocka_unit_test(test_what_moves_with_the_bulk_density),
      cmocka_unit_test(test_a_derived_number_can_be_set),
  };
  return FG_RUN_GROUP(tests);
}
