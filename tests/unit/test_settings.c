/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The settings table and the names of its rows. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "fg_test.h"
#include "flourgold/settings.h"

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

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_every_row_is_filled),
      cmocka_unit_test(test_names_say_keys),
      cmocka_unit_test(test_groups),
  };
  return FG_RUN_GROUP(tests);
}
