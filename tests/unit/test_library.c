/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a user of the library meets first, by its public header alone. */
#include <flourgold/flourgold.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_log.h>
#include <string.h>

#include "fg_demo.h"

/* GSL's own handler would end this program. */
static void test_init_switches_the_handler_off(void **state) {
  (void)state;
  gsl_sf_result result;
  (void)gsl_set_error_handler(NULL);
  fg_init();
  assert_int_equal(gsl_sf_log_e(-1.0, &result), GSL_EDOM);
}

/* An inch is 25.4 mm by definition. */
static void test_usable_after_finish(void **state) {
  (void)state;
  char message[256];
  for (int i = 0; i < 2; ++i) {
    double si = 0.0;
    assert_int_equal(fg_quantity_parse("8 in", FG_Q_LENGTH, &si, NULL, message, sizeof message),
                     FG_OK);
    assert_close(si, 0.2032, 1e-12);
    fg_finish();
  }
  assert_string_equal(fg_version(), FG_VERSION);
}

static void test_rows_that_are_none(void **state) {
  (void)state;
  static const int none[] = {FG_SET_NONE, FG_SETTINGS, 1000000, -1000000};
  fg_scenario s;
  DEMO(&s, "run.throttle=0.6");
  for (size_t i = 0; i < sizeof none / sizeof none[0]; ++i) {
    assert_null(fg_setting_of(none[i]));
    assert_false(fg_setting_given(&s, none[i]));
    assert_int_equal(fg_scenario_set(&s, none[i], 1.0), FG_EDOMAIN);
    assert_int_equal(fg_scenario_draw(&s, none[i], 1.0), FG_EDOMAIN);
  }
  assert_int_equal(fg_scenario_set(&s, FG_SET_DECK_RIFFLES, 1.0), FG_EDOMAIN);
  assert_int_equal(fg_scenario_set(&s, FG_SET_RUN_THROTTLE, 0.5), FG_OK);
  assert_close(fg_setting_value(fg_setting_of(FG_SET_RUN_THROTTLE), &s), 0.5, 0.0);
}

/* As the demo and the settings below give them. */
static void test_values_as_text(void **state) {
  (void)state;
  static const struct {
    fg_setting_row row;
    const char *us, *si;
  } cases[] = {{FG_SET_SCREEN_OPENING, "6.35 mm (1/4 in)", "6.35 mm"},
               {FG_SET_DECK_LENGTH, "31.5 in", "800 mm"},
               {FG_SET_DECK_RIFFLES, "7", "7"},
               {FG_SET_DECK_AIR_DRYING, "no", "no"},
               {FG_SET_BLOWER_KIND, "battery", "battery"},
               {FG_SET_SITE_NAME, "Sidewinder Fork (invented)", "Sidewinder Fork (invented)"},
               {FG_SET_GOLD_CLASSES, "none", "none"},
               {FG_SET_OBSERVED_BED_DEPTH, "unknown", "unknown"},
               {FG_SET_GROUND_MOISTURE, "0.8 % +- 0.3 %", "0.8 % +- 0.3 %"}};
  fg_scenario s;
  char text[300];
  DEMO(&s, "deck.air_drying=false", "blower.kind=battery", "ground.moisture=0.8 +- 0.3 %");
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    const fg_setting *setting = fg_setting_of(cases[i].row);
    assert_string_equal(fg_setting_text(setting, &s, FG_UNITS_US, text, sizeof text), cases[i].us);
    assert_string_equal(fg_setting_text(setting, &s, FG_UNITS_SI, text, sizeof text), cases[i].si);
  }
  memset(text, 'x', sizeof text);
  (void)fg_setting_text(fg_setting_of(FG_SET_SITE_NAME), &s, FG_UNITS_US, text, 5);
  assert_memory_equal(text, "Side\0x", 6);
  (void)fg_setting_text(fg_setting_of(FG_SET_SITE_NAME), &s, FG_UNITS_US, text, 0);
  assert_int_equal(text[0], 'S');
}

static void test_lists_have_an_end(void **state) {
  (void)state;
  size_t count = 0;
  for (const fg_mineral *m = fg_grain_mineral_at(0); m; m = fg_grain_mineral_at(++count))
    assert_ptr_equal(fg_grain_mineral(m->name), m);
  assert_true(count >= 2);
  assert_null(fg_grain_mineral("unobtainium"));
  /* Handbook density of quartz, value from memory. */
  assert_close(fg_grain_mineral("quartz")->density_kg_m3, 2650.0, 0.0);
  for (int law = 0; law < FG_DRAG_COUNT; ++law) {
    assert_true(strlen(fg_drag_law_of(law)->name) > 0);
    assert_true(strlen(fg_drag_law_of(law)->source) > 0);
  }
  assert_null(fg_drag_law_of(-1));
  assert_null(fg_drag_law_of(FG_DRAG_COUNT));
  assert_int_equal(fg_tune_knob_row(FG_KNOB_FEED), FG_SET_RUN_FEED);
  assert_int_equal(fg_tune_knob_row(FG_KNOB_SCREEN), FG_SET_SCREEN_OPENING);
  assert_int_equal(fg_tune_knob_row(FG_KNOBS), FG_SET_NONE);
  assert_int_equal(fg_tune_knob_row((fg_knob)-1), FG_SET_NONE);
}

/* Defaults alone are no machine: no deck, no feed, no blower. */
static void test_an_incomplete_scenario_has_no_answer(void **state) {
  (void)state;
  fg_scenario s;
  fg_machine machine;
  fg_loss loss;
  fg_complaints complaints = {NULL, 0};
  static const char *const needed[] = {"few.cfg", "deck.length", "run.feed", "blower"};
  const char *few = "run = { hours = \"6 h\"; };\n";
  fg_scenario_default(&s);
  assert_int_equal(fg_scenario_resolve(&s), FG_OK);
  assert_int_equal(fg_machine_solve(&s, &machine), FG_EDOMAIN);
  assert_int_equal(fg_loss_run(&s, NULL, &loss), FG_EDOMAIN);
  assert_int_equal(fg_scenario_read_text("few.cfg", few, &s, &complaints), FG_ESCENARIO);
  assert_int_equal(complaints.count, 1);
  for (size_t i = 0; i < sizeof needed / sizeof needed[0]; ++i)
    assert_non_null(strstr(complaints.lines[0], needed[i]));
  for (int i = 0; i < 2; ++i) {
    fg_complaints_free(&complaints);
    assert_int_equal(complaints.count, 0);
    assert_null(complaints.lines);
  }
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_init_switches_the_handler_off),
      cmocka_unit_test(test_usable_after_finish),
      cmocka_unit_test(test_rows_that_are_none),
      cmocka_unit_test(test_values_as_text),
      cmocka_unit_test(test_lists_have_an_end),
      cmocka_unit_test(test_an_incomplete_scenario_has_no_answer),
  };
  return FG_RUN_GROUP(tests);
}
