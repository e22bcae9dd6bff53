/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tuning: against brute force on a full grid, on the stalled plateau, beside the cliff; the same
 * result for any number of threads; members drawn by weight against a closed form. */
#include "fg_test.h"

#include <math.h>
#include <omp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "study/knobs.h"
#include "study/map.h"
#include "study/plan.h"

enum { MEMBERS = 8 };

enum { SETS = 5 };

/* sets: up to SETS, NULL ends; or NULL. */
static void read_changed(const char *path, const char *const *sets, fg_scenario *s) {
  fg_complaints complaints = {0};
  size_t count = 0;
  while (sets && count < SETS && sets[count])
    ++count;
  const fg_status status = fg_scenario_read(path, sets, count, s, &complaints);
  for (size_t i = 0; i < complaints.count; ++i)
    print_error("%s\n", complaints.lines[i]);
  fg_complaints_free(&complaints);
  assert_int_equal(status, FG_OK);
}

static void read_scenario(const char *path, const char *set, fg_scenario *s) {
  const char *const sets[SETS] = {set};
  read_changed(path, sets, s);
}

static void free_only(fg_tune_options *options, const fg_knob *knobs, size_t count) {
  for (int k = 0; k < FG_KNOBS; ++k)
    options->knob[k].free = false;
  for (size_t i = 0; i < count; ++i)
    options->knob[knobs[i]].free = true;
}

/* The best of an even grid over three knobs, by the members that the search goes by on the whole
 * deck, how much of the grid stalls for all of them, and what they say of the place found. */
static fg_judged best_of_grid(const fg_scenario *s, const fg_tune_options *o, const fg_knob *knobs,
                              size_t steps, double *stalled, const double found[FG_KNOBS],
                              fg_judged *place) {
  fg_plan plan;
  fg_judged best = {.aim = -1.0}, here;
  double at[FG_KNOBS], none = 0.0, all = 0.0;
  assert_int_equal(fg_plan_new(s, FG_SAMPLES_DEFAULT, FG_SEARCH_SEED, &plan), FG_OK);
  assert_int_equal(fg_tune_judge(s, &plan, o->samples, o->aim, found, place), FG_OK);
  fg_tune_present(s, at);
  for (size_t i = 0; i < steps; ++i)
    for (size_t j = 0; j < steps; ++j)
      for (size_t k = 0; k < steps; ++k) {
        const size_t index[3] = {i, j, k};
        for (size_t d = 0; d < 3; ++d) {
          const fg_knob_range *range = &o->knob[knobs[d]];
          at[knobs[d]] =
              range->low + (range->high - range->low) * (double)index[d] / ((double)steps - 1.0);
        }
        assert_int_equal(fg_tune_judge(s, &plan, o->samples, o->aim, at, &here), FG_OK);
        all += 1.0;
        none += here.stall_share == 1.0 ? 1.0 : 0.0;
        if (here.aim > best.aim)
          best = here;
      }
  fg_plan_free(&plan);
  *stalled = none / all;
  return best;
}

/* Never worse than the best grid point by more than a part in a hundred beyond what the stated
 * order of choice (2.5 %) and the marks for a hand (1 %) may cost. */
static double check_against_grid(const char *path, const char *const *sets, fg_aim aim,
                                 const fg_knob knobs[3]) {
  static fg_scenario s;
  fg_tune_options o;
  fg_tuned tuned;
  double stalled = 0.0;
  read_changed(path, sets, &s);
  fg_tune_defaults(&s, aim, &o);
  free_only(&o, knobs, 3);
  o.samples = MEMBERS;
  assert_int_equal(fg_tune_run(&s, &o, &tuned), FG_OK);
  fg_judged place;
  const fg_judged grid = best_of_grid(&s, &o, knobs, 5, &stalled, tuned.found.at, &place);
  assert_between(place.aim / grid.aim, 1.0 - 0.01 - 0.025 - 0.01, 10.0);
  assert_true(tuned.stay ? tuned.best.aim == tuned.present.aim
                         : tuned.best.aim == tuned.found.aim && tuned.best.aim > tuned.present.aim);
  for (size_t d = 0; d < 3; ++d)
    assert_between(tuned.best.at[knobs[d]], o.knob[knobs[d]].low, o.knob[knobs[d]].high);
  return stalled;
}

static const fg_knob air_and_feed[3] = {FG_KNOB_THROTTLE, FG_KNOB_GATE, FG_KNOB_FEED};
static const fg_knob air_and_slope[3] = {FG_KNOB_THROTTLE, FG_KNOB_GATE, FG_KNOB_SLOPE};

static void test_never_worse_than_a_grid(void **state) {
  (void)state;
  (void)check_against_grid("configs/demo.cfg", NULL, FG_AIM_GOLD_PER_HOUR, air_and_feed);
  (void)check_against_grid("configs/demo.cfg", NULL, FG_AIM_LEAST_LOSS, air_and_slope);
  (void)check_against_grid("configs/wash_clayey.cfg", NULL, FG_AIM_GOLD_PER_HOUR, air_and_slope);
  (void)check_against_grid("configs/streak_black.cfg", NULL, FG_AIM_LEAST_LOSS, air_and_slope);
  (void)check_against_grid("configs/bench_high.cfg", NULL, FG_AIM_GOLD_PER_HOUR, air_and_feed);
}

/* Hardly any shake, a flat deck and a dense cloth: most of the box of settings stalls, and nothing
 * there tells uphill. */
static void test_finds_its_way_off_the_stalled_plateau(void **state) {
  (void)state;
  static const char *const sets[SETS] = {"shaker.unbalance=0.0004 kg m", "deck.slope=7 deg",
                                         "deck.cloth_permeability=20 cfm/ft2"};
  const double stalled =
      check_against_grid("configs/demo.cfg", sets, FG_AIM_GOLD_PER_HOUR, air_and_feed);
  assert_between(stalled, 0.4, 0.99);
}

static void test_says_when_nothing_runs(void **state) {
  (void)state;
  static fg_scenario s;
  fg_tune_options o;
  fg_tuned tuned;
  static const char *const sets[SETS] = {"shaker.unbalance=0.0004 kg m", "deck.slope=1 deg",
                                         "deck.cloth_permeability=2 cfm/ft2"};
  read_changed("configs/demo.cfg", sets, &s);
  fg_tune_defaults(&s, FG_AIM_GOLD_PER_HOUR, &o);
  o.samples = MEMBERS;
  o.knob[FG_KNOB_SLOPE].free = false;
  assert_int_equal(fg_tune_run(&s, &o, &tuned), FG_ESTALL);
}

/* The best of the nominal run alone lies closer to the cliff than the best of the ensemble: on
 * the ensemble it stalls more often and is worth less. */
static void test_a_setting_beside_the_cliff_loses(void **state) {
  (void)state;
  static fg_scenario s;
  fg_tune_options o;
  fg_tuned careful, bold;
  fg_judged edge;
  fg_plan plan;
  static const char *const sets[SETS] = {"shaker.unbalance=0.0004 kg m", "deck.slope=5 deg",
                                         "deck.cloth_permeability=20 cfm/ft2"};
  read_changed("configs/demo.cfg", sets, &s);
  fg_tune_defaults(&s, FG_AIM_LEAST_LOSS, &o);
  o.knob[FG_KNOB_SLOPE].free = false;
  o.samples = 48;
  assert_int_equal(fg_tune_run(&s, &o, &careful), FG_OK);
  o.exact = true;
  o.samples = 1;
  assert_int_equal(fg_tune_run(&s, &o, &bold), FG_OK);
  assert_int_equal(fg_plan_new(&s, 48, o.seed, &plan), FG_OK);
  assert_int_equal(fg_tune_judge(&s, &plan, 48, o.aim, bold.found.at, &edge), FG_OK);
  fg_plan_free(&plan);
  assert_true(bold.found.stall_share == 0.0);
  assert_true(edge.stall_share > careful.found.stall_share);
  assert_true(careful.found.aim > edge.aim);
}

static void test_ends_of_ranges_are_told(void **state) {
  (void)state;
  static fg_scenario s;
  fg_tune_options o;
  fg_tuned tuned;
  read_scenario("configs/demo.cfg", NULL, &s);
  fg_tune_defaults(&s, FG_AIM_GOLD_PER_HOUR, &o);
  o.samples = MEMBERS;
  o.quick = true;
  o.knob[FG_KNOB_FEED].high = 0.1;
  assert_int_equal(fg_tune_run(&s, &o, &tuned), FG_OK);
  assert_true(tuned.edge_high[FG_KNOB_FEED]);
  assert_false(tuned.edge_low[FG_KNOB_FEED]);
}

static void test_only_free_knobs_move(void **state) {
  (void)state;
  static fg_scenario s;
  const fg_knob one[] = {FG_KNOB_GATE};
  fg_tune_options o;
  fg_tuned tuned;
  read_scenario("configs/demo.cfg", NULL, &s);
  fg_tune_defaults(&s, FG_AIM_LEAST_LOSS, &o);
  free_only(&o, one, 1);
  o.samples = MEMBERS;
  assert_int_equal(fg_tune_run(&s, &o, &tuned), FG_OK);
  for (int k = 0; k < FG_KNOBS; ++k)
    if (k != FG_KNOB_GATE)
      assert_true(tuned.best.at[k] == tuned.present.at[k]);
  assert_between(tuned.good_low[FG_KNOB_GATE], 0.0, tuned.best.at[FG_KNOB_GATE]);
  assert_between(tuned.good_high[FG_KNOB_GATE], tuned.best.at[FG_KNOB_GATE], 1.0);
}

static void test_any_number_of_threads_gives_the_same(void **state) {
  (void)state;
  static fg_scenario s;
  fg_tune_options o;
  static fg_tuned one, three;
  read_scenario("configs/demo.cfg", NULL, &s);
  fg_tune_defaults(&s, FG_AIM_GOLD_PER_HOUR, &o);
  o.samples = 16;
  o.quick = true;
  const int usual = omp_get_max_threads();
  omp_set_num_threads(1);
  assert_int_equal(fg_tune_run(&s, &o, &one), FG_OK);
  omp_set_num_threads(3);
  assert_int_equal(fg_tune_run(&s, &o, &three), FG_OK);
  omp_set_num_threads(usual);
  assert_memory_equal(one.best.at, three.best.at, sizeof one.best.at);
  assert_true(one.best.aim == three.best.aim && one.gain.mid == three.gain.mid);
  assert_true(one.best_kg_s.low == three.best_kg_s.low && one.runs == three.runs);
}

/* Uniform draws weighed by a normal likelihood are draws of that normal distribution: its mean
 * and deviation, and in any first part of them too. */
static void test_members_are_drawn_by_weight(void **state) {
  (void)state;
  enum { N = 2000 };
  fg_plan plan = {.samples = N,
                  .count = 1,
                  .table = calloc(N, sizeof(double)),
                  .weight = calloc(N, sizeof(double))};
  const double centre = 0.4, deviation = 0.05;
  for (size_t i = 0; i < N; ++i) {
    const double turn = 0.7548776662466927 * (double)i; /* all over 0-1, in no order */
    plan.table[i] = turn - floor(turn);
    plan.weight[i] = exp(-0.5 * pow((plan.table[i] - centre) / deviation, 2.0));
  }
  assert_int_equal(fg_plan_resample(&plan), FG_OK);
  for (size_t count = 50; count <= N; count *= 40) {
    double sum = 0.0, square = 0.0;
    for (size_t i = 0; i < count; ++i) {
      sum += plan.table[i];
      square += pow(plan.table[i] - centre, 2.0);
    }
    const double slack = count == N ? 0.01 : 0.3;
    assert_within(sum / (double)count, centre, slack * deviation);
    assert_close(sqrt(square / (double)count), deviation, count == N ? 0.02 : 0.4);
  }
  fg_plan_free(&plan);
}

/* What was seen is what the model expects: some members fit better, none is ruled out alone.
 * What cannot be: the effective size falls below what counts as agreement. */
static void test_readings_weigh_the_members(void **state) {
  (void)state;
  static fg_scenario s;
  static fg_loss loss;
  fg_bands bands;
  read_scenario("configs/demo.cfg", NULL, &s);
  assert_int_equal(fg_loss_run(&s, NULL, &loss), FG_OK);
  char fits[64], cannot[64];
  (void)snprintf(fits, sizeof fits, "observed.box_pressure=%.4g +- 20 Pa",
                 loss.machine.at.box_pressure_pa);
  (void)snprintf(cannot, sizeof cannot, "observed.box_pressure=%.4g +- 5 Pa",
                 8.0 * loss.machine.at.box_pressure_pa);
  read_scenario("configs/demo.cfg", fits, &s);
  assert_int_equal(fg_ensemble_run(&s, &loss, NULL, 64, 1, &bands), FG_OK);
  assert_true(bands.plan.weighed);
  assert_between(bands.plan.effective, 5.0, 60.0);
  const double wide =
      bands.at[FG_HIGH].machine.at.box_pressure_pa - bands.at[FG_LOW].machine.at.box_pressure_pa;
  assert_between(wide, 1.0, 80.0);
  fg_ensemble_free(&bands);
  read_scenario("configs/demo.cfg", cannot, &s);
  assert_int_equal(fg_ensemble_run(&s, &loss, NULL, 64, 1, &bands), FG_OK);
  assert_true(bands.plan.weighed && bands.plan.effective < fg_least_effective);
  fg_ensemble_free(&bands);
  fg_loss_free(&loss);
}

/* ---- errors written on the knobs ---- */

#define STRONG "limits.feed_most=0.4 kg/s" /* a shoveller strong enough for a gain */
static const char *const no_errors[SETS] = {STRONG};
static const char *const knob_errors[SETS] = {
    STRONG, "run.throttle=65 +- 4 %", "run.gate_opening=80 +- 5 %", "run.feed=2 +- 0.2 min/bucket",
    "deck.slope=4 3/8 +- 1/8 in/ft"};

/* An error of a knob is how far it strays from where it is set (an eighth of an inch to the foot of
 * slope, five points of gate), wherever a trial sets it; the feed strays in proportion. */
static void test_an_error_of_a_knob_follows_the_trial(void **state) {
  (void)state;
  enum { MANY = 256 };
  static fg_scenario s, set, member;
  fg_plan plan;
  const double at[FG_KNOBS] = {0.5, 0.4, 0.26, 0.1, 0.00635};
  const double error[FG_KNOBS] = {0.04, 0.05, 0.125 / 12.0, 0.01, 0.0};
  double sum[FG_KNOBS] = {0.0}, square[FG_KNOBS] = {0.0};
  read_changed("configs/demo.cfg", knob_errors, &s);
  assert_int_equal(fg_plan_new(&s, MANY, 1, &plan), FG_OK);
  assert_int_equal(fg_tune_apply(&s, at, &set), FG_OK);
  for (size_t i = 0; i < MANY; ++i) {
    double here[FG_KNOBS];
    assert_int_equal(fg_plan_member(&plan, &set, i, &member), FG_OK);
    fg_tune_present(&member, here);
    for (int k = 0; k < FG_KNOBS; ++k) {
      sum[k] += here[k] - at[k];
      square[k] += (here[k] - at[k]) * (here[k] - at[k]);
    }
  }
  fg_plan_free(&plan);
  /* Four standard errors of a mean of 256, and of a standard deviation. */
  for (int k = 0; k < FG_KNOB_SCREEN; ++k) {
    assert_between(sum[k] / MANY, -error[k] / 4.0, error[k] / 4.0);
    assert_between(sqrt(square[k] / MANY), 0.8 * error[k], 1.2 * error[k]);
  }
  assert_between(sum[FG_KNOB_SCREEN], -1e-12, 1e-12);
}

/* Errors smaller than anybody's hand leave the search where it was: so little moves no aim by more
 * than the draws do. */
static void test_small_errors_leave_the_search(void **state) {
  (void)state;
  static fg_scenario s[2];
  static fg_map map[2];
  fg_tuned tuned[2];
  const fg_map_choice choice = {{FG_KNOB_THROTTLE, FG_KNOB_GATE}, FG_AIM_GOLD_PER_HOUR};
  double highest[2] = {0.0, 0.0};
  for (int i = 0; i < 2; ++i) {
    fg_tune_options o;
    read_changed("configs/demo.cfg", i == 0 ? no_errors : knob_errors, &s[i]);
    fg_tune_defaults(&s[i], FG_AIM_GOLD_PER_HOUR, &o);
    o.samples = 64;
    assert_int_equal(fg_tune_run(&s[i], &o, &tuned[i]), FG_OK);
    assert_int_equal(fg_map_run(&s[i], &choice, &map[i]), FG_OK);
    for (size_t j = 0; j < FG_MAP_STEPS; ++j)
      for (size_t k = 0; k < FG_MAP_STEPS; ++k)
        highest[i] = fmax(highest[i], map[i].judged[j][k].aim);
  }
  assert_between(tuned[0].gain.mid, 0.1, 10.0);
  assert_between(tuned[1].gain.mid - tuned[0].gain.mid, -0.1, 0.1);
  assert_between(tuned[1].best.aim / tuned[0].best.aim, 0.95, 1.05);
  assert_between(tuned[1].present.aim / tuned[0].present.aim, 0.95, 1.05);
  assert_between(highest[1] / highest[0], 0.95, 1.05);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_never_worse_than_a_grid),
      cmocka_unit_test(test_finds_its_way_off_the_stalled_plateau),
      cmocka_unit_test(test_says_when_nothing_runs),
      cmocka_unit_test(test_a_setting_beside_the_cliff_loses),
      cmocka_unit_test(test_ends_of_ranges_are_told),
      cmocka_unit_test(test_only_free_knobs_move),
      cmocka_unit_test(test_any_number_of_threads_gives_the_same),
      cmocka_unit_test(test_members_are_drawn_by_weight),
      cmocka_unit_test(test_readings_weigh_the_members),
      cmocka_unit_test(test_an_error_of_a_knob_follows_the_trial),
      cmocka_unit_test(test_small_errors_leave_the_search),
  };
  return FG_RUN_GROUP(tests);
}
