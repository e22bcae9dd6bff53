/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is drawn for a doubtful setting: quantiles by definition, and values written on another
 * basis than the one the model works in. */
#include "fg_demo.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "flourgold/doubt.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "physics/laws.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "study/advice.h"
#include "study/plan.h"

/* The doubt of one setting; the test fails when there is none. */
static fg_doubt doubt_of(const fg_scenario *s, const char *key) {
  fg_doubt doubts[FG_SETTINGS_MAX];
  const size_t count = fg_doubt_list(s, doubts);
  const int row = fg_setting_find(key);
  size_t i = 0;
  while (i < count && doubts[i].row != row)
    ++i;
  assert_true(i < count);
  return doubts[i];
}

/* The value in force after a draw. */
static double drawn(const fg_scenario *s, const char *key, double probability) {
  const fg_doubt d = doubt_of(s, key);
  fg_scenario member = *s;
  fg_doubt_apply(&d, probability, &member);
  assert_int_equal(fg_scenario_resolve(&member), FG_OK);
  return fg_setting_value(&fg_settings[d.row], &member);
}

/* An error written "+-" is one standard deviation: 10 and 90 % lie 1.2816 of them away. */
static void test_a_written_error_is_a_standard_deviation(void **state) {
  (void)state;
  static const char *const sets[] = {"ground.moisture=2 % +- 0.5 %"};
  fg_scenario s;
  read_demo(&s, sets, 1);
  assert_close(drawn(&s, "ground.moisture", 0.1), 0.02 - 1.2815516 * 0.005, 1e-6);
  assert_close(drawn(&s, "ground.moisture", 0.5), 0.02, 1e-9);
  assert_close(drawn(&s, "ground.moisture", 0.9), 0.02 + 1.2815516 * 0.005, 1e-6);
}

/* The same doubt in the unit the model keeps and in another: 20 % of the value each. */
static void test_a_value_on_another_basis_is_drawn_too(void **state) {
  (void)state;
  static const struct {
    const char *key, *set;
  } cases[] = {
      {"run.feed", "run.feed=0.25 kg/s +- 0.05 kg/s"},
      {"run.feed", "run.feed=0.75 yd3/h +- 0.15 yd3/h"},
      {"gold.grade", "gold.grade=0.5 g/yd3 +- 0.1 g/yd3"},
      {"gold.grade", "gold.grade=0.3 g/t +- 0.06 g/t"},
      {"hose.roughness", "hose.roughness=0.02 +- 0.004"},
      {"hose.roughness", "hose.roughness=2 mm +- 0.4 mm"},
  };
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    fg_scenario s;
    read_demo(&s, &cases[i].set, 1);
    const double now = drawn(&s, cases[i].key, 0.5);
    assert_close(drawn(&s, cases[i].key, 0.1) / now, 1.0 - 0.2 * 1.2815516, 1e-6);
    assert_close(drawn(&s, cases[i].key, 0.9) / now, 1.0 + 0.2 * 1.2815516, 1e-6);
  }
}

/* A volume of looser gravel weighs less: a feed by volume follows the bulk density. */
static void test_a_feed_by_volume_follows_the_bulk_density(void **state) {
  (void)state;
  static const char *const sets[] = {"run.feed=0.75 yd3/h +- 0.15 yd3/h"};
  fg_scenario s;
  read_demo(&s, sets, 1);
  fg_doubt feed = doubt_of(&s, "run.feed"), bulk = doubt_of(&s, "ground.bulk_density");
  fg_scenario member = s;
  fg_doubt_apply(&feed, 0.9, &member);
  fg_doubt_apply(&bulk, 0.2, &member);
  assert_int_equal(fg_scenario_resolve(&member), FG_OK);
  assert_close(member.run.feed / s.run.feed,
               (1.0 + 0.2 * 1.2815516) * member.ground.bulk_density / s.ground.bulk_density, 1e-6);
}

/* The same clay, told by a share or by a jar's layers, is the same clay to take away. */
static void test_a_jar_does_not_bring_the_clay_back(void **state) {
  (void)state;
  static const char *const told[] = {"ground.clay=8 %", "ground.moisture=1.5 %"};
  static const char *const seen[] = {"ground.jar_sand=88 mm", "ground.jar_silt=4 mm",
                                     "ground.jar_clay=8 mm", "ground.moisture=1.5 %"};
  fg_scenario by_share, by_jar;
  read_demo(&by_share, told, 2);
  read_demo(&by_jar, seen, 4);
  assert_close(by_jar.ground.clay, by_share.ground.clay, 1e-12);
  assert_close(fg_kept_without_clay(&by_jar, NULL), fg_kept_without_clay(&by_share, NULL), 1e-9);
}

static void assert_ends(const char *set, fg_setting_row row, double low, double high) {
  fg_scenario s;
  fg_doubt d;
  read_demo(&s, &set, set ? 1 : 0);
  assert_true(fg_doubt_of(&s, row, &d));
  assert_close(d.low, low, 1e-9);
  assert_close(d.high, high, 1e-9);
}

/* One rule for all studies, here for a setting that the deck does not feel.  Its likely range is
 * 0.15 to 0.35 kg/s about 0.25 (settings table). */
static void test_one_rule_tells_the_doubt(void **state) {
  (void)state;
  assert_ends(NULL, FG_SET_DAY_PACE, 0.15, 0.35);
  assert_ends("day.pace=0.4 kg/s", FG_SET_DAY_PACE, 0.4 * sqrt(0.15 / 0.25),
              0.4 * sqrt(0.35 / 0.25));
  assert_ends("day.pace=0.4 kg/s +- 0.1 kg/s", FG_SET_DAY_PACE, 0.4 - 0.12815515655446,
              0.4 + 0.12815515655446);
  /* An error by volume is worth as much of the value as one by mass: a fifth. */
  fg_scenario s;
  fg_doubt d;
  DEMO(&s, "day.pace=0.75 yd3/h +- 0.15 yd3/h");
  assert_true(fg_doubt_of(&s, FG_SET_DAY_PACE, &d));
  assert_close(d.high / d.nominal, 1.0 + 0.2 * 1.2815515655446, 1e-9);
  /* A tenth of a normal distribution lies below -1.2816 (any table of it). */
  assert_close(fg_doubt_deviation(-1.2815515655446, 1.2815515655446), 1.0, 1e-12);
}

static bool is_drawn(const char *set, fg_setting_row row) {
  fg_scenario s;
  fg_doubt doubts[FG_SETTINGS_MAX];
  read_demo(&s, &set, 1);
  const size_t count = fg_doubt_list(&s, doubts);
  for (size_t i = 0; i < count; ++i)
    if (doubts[i].row == (int)row)
      return true;
  return false;
}

/* Whoever runs a machine sees its slope: given it is as given, and drawn only with an error. */
static void test_what_is_read_off_is_drawn_with_an_error_only(void **state) {
  (void)state;
  fg_scenario s;
  fg_doubt d;
  read_demo(&s, NULL, 0);
  s.origin[FG_SET_DECK_SLOPE] = FG_FROM_FILE;
  assert_false(fg_doubt_of(&s, FG_SET_DECK_SLOPE, &d));
  s.origin[FG_SET_DECK_SLOPE] = FG_FROM_DEFAULT;
  assert_true(fg_doubt_of(&s, FG_SET_DECK_SLOPE, &d));
  assert_false(is_drawn("deck.slope=20 deg", FG_SET_DECK_SLOPE));
  assert_true(is_drawn("deck.slope=20 deg +- 1 deg", FG_SET_DECK_SLOPE));
}

/* The share of 1000 evenly spread draws of a law's setting that choose each law. */
static void shares_of_draws(const char *key, double *shares) {
  fg_scenario s;
  read_demo(&s, NULL, 0);
  const fg_doubt d = doubt_of(&s, key);
  for (int i = 0; i < 1000; ++i)
    shares[(int)fg_doubt_value(&d, (i + 0.5) / 1000.0)] += 0.001;
}

/* A law without a source may not stand, one that refuses flakes may not be drawn, and the draws
 * are as the table's chances say, which sum to 1. */
static void test_laws_are_drawn_by_their_tables_chances(void **state) {
  (void)state;
  double drag[FG_DRAG_COUNT] = {0.0}, sieving[FG_SIEVING_COUNT] = {0.0}, sum = 0.0;
  shares_of_draws("closure.drag_law", drag);
  for (int law = 0; law < FG_DRAG_COUNT; ++law) {
    assert_non_null(fg_drag_laws[law].source);
    assert_true(strlen(fg_drag_laws[law].source) > 10);
    assert_true(fg_drag_laws[law].least_sphericity < 1.0 || fg_drag_laws[law].chance == 0.0);
    assert_within(drag[law], fg_drag_laws[law].chance, 0.001);
    sum += fg_drag_laws[law].chance;
  }
  assert_within(sum, 1.0, 1e-12);
  shares_of_draws("closure.sieving_law", sieving);
  sum = 0.0;
  for (int law = 0; law < FG_SIEVING_COUNT; ++law) {
    assert_non_null(fg_sieving_laws[law].source);
    assert_true(strlen(fg_sieving_laws[law].source) > 10);
    assert_within(sieving[law], fg_sieving_laws[law].chance, 0.001);
    sum += fg_sieving_laws[law].chance;
  }
  assert_within(sum, 1.0, 1e-12);
}

/* A row of chance 0 at the end, in front or between leaves every draw where it was. */
static void test_a_choice_of_no_weight_shifts_nothing(void **state) {
  (void)state;
  static const double bare[] = {0.25, 0.25, 0.5}, more[] = {0.0, 0.25, 0.25, 0.0, 0.5, 0.0};
  static const size_t place[] = {1, 2, 4};
  for (int i = 0; i <= 1000; ++i) {
    const double p = i / 1000.0;
    const size_t chosen = fg_weighted_choice(bare, 3, p);
    assert_int_equal(chosen, p < 0.5 ? 2 : p < 0.75 ? 1 : 0);
    assert_int_equal(fg_weighted_choice(more, 6, p), place[chosen]);
  }
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_written_error_is_a_standard_deviation),
      cmocka_unit_test(test_a_value_on_another_basis_is_drawn_too),
      cmocka_unit_test(test_a_feed_by_volume_follows_the_bulk_density),
      cmocka_unit_test(test_a_jar_does_not_bring_the_clay_back),
      cmocka_unit_test(test_one_rule_tells_the_doubt),
      cmocka_unit_test(test_what_is_read_off_is_drawn_with_an_error_only),
      cmocka_unit_test(test_laws_are_drawn_by_their_tables_chances),
      cmocka_unit_test(test_a_choice_of_no_weight_shifts_nothing),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
