/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How every deck of the scenarios behaves as one setting moves: what must only help, what must
 * only hurt, and that nothing jumps.  The directions are the trade's own and those of the
 * equations; no figure here was produced by the code under test. */
#include "fg_demo.h"

#include <gsl/gsl_errno.h>
#include <math.h>

#include "flourgold/loss.h"

static const char *const decks[] = {
    "configs/demo.cfg",        "configs/bench_high.cfg",      "configs/streak_black.cfg",
    "configs/wash_clayey.cfg", "configs/household_small.cfg", "configs/household_watched.cfg"};
enum { DECKS = sizeof decks / sizeof decks[0], CLASSES = 40 };

/* One deck with one setting. */
static fg_scenario deck_with(size_t deck, const char *set) {
  fg_scenario s;
  fg_complaints complaints = {0};
  assert_int_equal(fg_scenario_read(decks[deck], &set, 1, &s, &complaints), FG_OK);
  fg_complaints_free(&complaints);
  return s;
}

/* What is kept of all gold, and of each class where `kept` is given; NaN where the deck stalls. */
static double kept_of(const fg_scenario *s, double kept[CLASSES]) {
  const fg_loss_options quick = {.kept_only = true};
  fg_loss loss;
  const fg_status status = fg_loss_run(s, &quick, &loss);
  const double all = status == FG_OK ? loss.kept : (double)NAN;
  assert_true(status == FG_OK || status == FG_ESTALL);
  assert_true(loss.gold_count <= CLASSES);
  for (size_t k = 0; kept && k < loss.gold_count; ++k)
    kept[k] = loss.gold[k].kept;
  fg_loss_free(&loss);
  return all;
}

static double kept_with(size_t deck, const char *key, double value, const char *unit) {
  char set[96];
  snprintf(set, sizeof set, "%s=%.9g %s", key, value, unit);
  const fg_scenario s = deck_with(deck, set);
  return kept_of(&s, NULL);
}

/* A longer interval between cleanings never helps a class: pockets only fill. */
static void test_a_longer_interval_helps_no_class(void **state) {
  (void)state;
  static const double minutes[] = {2, 5, 10, 20, 40, 80, 160, 320};
  for (size_t d = 0; d < DECKS; ++d) {
    double before[CLASSES] = {0};
    for (size_t i = 0; i < sizeof minutes / sizeof minutes[0]; ++i) {
      fg_scenario s = deck_with(d, "run.hours=8 h");
      double now[CLASSES] = {0};
      s.run.cleaning_interval = 60.0 * minutes[i];
      (void)kept_of(&s, now);
      for (size_t k = 0; k < CLASSES && i > 0; ++k)
        assert_true(now[k] <= before[k] + 5e-4); /* steps of time: a twentieth of a point */
      for (size_t k = 0; k < CLASSES; ++k)
        before[k] = now[k];
    }
  }
}

/* Black sand hurts gently: a twentieth more of it fills the pockets a twentieth sooner, which costs
 * at most that share of what open pockets keep, three points with something to spare; and gold
 * that comes to full pockets is not lost to the last grain. */
static void test_black_sand_hurts_gently(void **state) {
  (void)state;
  for (size_t d = 0; d < DECKS; ++d) {
    double before = NAN, last = NAN;
    for (double percent = 0.2; percent < 12.0; percent *= 1.05) {
      last = kept_with(d, "ground.magnetite", percent, "%");
      if (!isnan(before))
        assert_between(last, before - 0.03, before + 0.002);
      before = last;
    }
    assert_true(last > 0.05);
  }
}

/* Creep alone lets gold into full pockets: without it, or without shake, as good as none; more of
 * it never holds less. */
static void test_creep_opens_full_pockets(void **state) {
  (void)state;
  const size_t streak = 2;
  static const double creep[] = {0, 0.05, 0.15, 0.5, 2};
  double before = 0.0;
  for (size_t i = 0; i < sizeof creep / sizeof creep[0]; ++i) {
    fg_scenario s = deck_with(streak, "ground.magnetite=15 %");
    s.closure.pocket_creep = creep[i];
    s.run.cleaning_interval = 8 * 3600.0;
    const double kept = kept_of(&s, NULL);
    if (i > 0)
      assert_true(kept > before + 0.01);
    else
      assert_true(kept < 0.03); /* full within minutes of eight hours */
    before = kept;
  }
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_a_longer_interval_helps_no_class),
      cmocka_unit_test(test_black_sand_hurts_gently),
      cmocka_unit_test(test_creep_opens_full_pockets),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
