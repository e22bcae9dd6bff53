/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The day, the scatter of a catch and the verdict.  Expected values: NIOSH 2017-127, counting by
 * hand, the Poisson and normal laws, and simulation. */
#include "fg_demo.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "physics/heat.h"
#include "study/catch.h"
#include "study/day.h"
#include "study/plan.h"
#include "study/verdict.h"
#include "study/verdict_internal.h"

enum { SAMPLES = 64 };

/* ---- heat ---- */

static double kelvin(double fahrenheit) { return (fahrenheit + 459.67) / 1.8; }

/* NIOSH 2017-127, column "heavy work". */
static void test_rests_follow_the_schedule(void **state) {
  (void)state;
  static const struct {
    double f, minutes;
  } rows[] = {{60, 60},  {94, 60},  {95, 45},  {96, 45},  {97, 40},  {98, 35}, {99, 35}, {100, 30},
              {101, 30}, {102, 25}, {103, 20}, {104, 20}, {105, 15}, {106, 0}, {115, 0}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i)
    assert_within(60.0 * fg_heat_work_share(kelvin(rows[i].f)), rows[i].minutes, 1e-9);
  assert_within(60.0 * fg_heat_work_share(kelvin(96.4)), 40.0, 1e-9); /* the hotter row */
}

static void test_sun_and_humidity_shift_the_schedule(void **state) {
  (void)state;
  double adjusted;
  assert_int_equal(fg_heat_adjusted(kelvin(90), 0.30, FG_SKY_SHADE, &adjusted), FG_OK);
  assert_within(adjusted, kelvin(90), 1e-9);
  assert_int_equal(fg_heat_adjusted(kelvin(90), 0.30, FG_SKY_SUN, &adjusted), FG_OK);
  assert_within(adjusted, kelvin(103), 1e-9);
  assert_int_equal(fg_heat_adjusted(kelvin(90), 0.20, FG_SKY_CLOUD, &adjusted), FG_OK);
  assert_within(adjusted, kelvin(93), 1e-9);
  assert_int_equal(fg_heat_adjusted(kelvin(90), 0.55, FG_SKY_SHADE, &adjusted), FG_OK);
  assert_within(adjusted, kelvin(97.5), 1e-9);
  assert_int_equal(fg_heat_adjusted(kelvin(90), 0.02, FG_SKY_SHADE, &adjusted), FG_OK);
  assert_within(adjusted, kelvin(82), 1e-9);
  assert_int_equal(fg_heat_adjusted(kelvin(90), 1.5, FG_SKY_SHADE, &adjusted), FG_EDOMAIN);
}

/* ---- the day ---- */

/* One person who keeps up 0.2 kg/s on a feed of 0.25: fed 4/5 of the running time; 40 minutes of
 * feeding take 50, and 5 for cleaning. */
static void test_time_is_spent_as_by_hand(void **state) {
  (void)state;
  fg_scenario s;
  fg_loss loss;
  fg_day day;
  DEMO(&s, "run.feed=0.25 kg/s", "day.pace=0.2 kg/s", "day.load=500 kg", "day.walk=15 min",
       "day.set_up=30 min", "run.hours=5.5 h", "run.cleaning_interval=40 min",
       "run.cleaning_time=5 min");
  assert_int_equal(fg_loss_run(&s, NULL, &loss), FG_OK);
  assert_int_equal(fg_day_run(&s, &loss, &day), FG_OK);
  assert_int_equal(day.loads, 1);
  assert_within(day.walking_s, 1800.0, 1e-6);
  assert_within(day.duty, 0.8, 1e-9);
  assert_within(day.fed_s, 6.0 * 40.0 * 60.0, 1e-6);
  assert_within(day.cleaning_s, 6.0 * 5.0 * 60.0, 1e-6);
  assert_within(day.rest_s, 6.0 * 10.0 * 60.0, 1e-6);
  assert_within(day.gravel_kg, 0.25 * 14400.0, 1e-6);
  assert_close(day.gold_kg, loss.kept_kg_s * 14400.0, 1e-12);
  assert_close(day.buckets, day.gravel_kg / s.ground.bulk_density / s.sample.bucket, 1e-12);
  /* a fifth at idle, the rest with the cube of 0.65 and the power left at 2000 ft (3 % less per
   * 1000 ft above 500 ft), for 5 hours of running */
  assert_close(day.fuel_m3, 18000.0 * s.blower.fuel_use * (0.2 + 0.8 * 0.274625 * 0.955), 1e-9);
  assert_close(day.oil_m3, day.fuel_m3 / 50.0, 1e-12);
  /* 6.5 hours away, four and three cups of 8 fl oz an hour */
  assert_close(day.water_m3, 26.0 * 236.588e-6, 1e-5);
  assert_close(day.water_low_m3, 19.5 * 236.588e-6, 1e-5);
  double carried = 0.0;
  for (int i = 0; i < FG_LOAD_ITEMS; ++i)
    carried += day.load[i].kg;
  assert_close(day.carry_kg, carried, 1e-12);
  fg_loss_free(&loss);
}

static void test_heat_loads_and_length_cost_time(void **state) {
  (void)state;
  fg_scenario s;
  fg_day day;
  DEMO(&s, "day.hottest=91 F", "site.humidity=30 %", "day.pace=1 kg/s"); /* 104 F: 20/40 */
  assert_int_equal(fg_day_run(&s, NULL, &day), FG_OK);
  assert_within(day.work_share, 1.0 / 3.0, 1e-9);
  assert_within(day.duty, 1.0 / 3.0, 1e-9);
  assert_true(day.gold_kg == 0.0); /* no run: a stall */
  DEMO(&s, "day.hottest=91 F", "site.humidity=30 %", "day.pace=1 kg/s", "day.people=3");
  assert_int_equal(fg_day_run(&s, NULL, &day), FG_OK);
  assert_within(day.duty, 1.0, 1e-9); /* they take turns */
  DEMO(&s, "day.hottest=110 F");
  assert_int_equal(fg_day_run(&s, NULL, &day), FG_OK);
  assert_true(day.fed_s == 0.0 && day.fuel_m3 == 0.0);
  DEMO(&s, "day.load=10 kg", "day.walk=1 h", "day.length=10 h");
  assert_int_equal(fg_day_run(&s, NULL, &day), FG_OK);
  assert_int_equal(day.end, FG_DAY_ENDS_LENGTH);
  assert_true(day.run_s == 0.0 && day.loads > 4);
}

/* ---- days with doubt ---- */

static void run_days(const fg_scenario *a, const fg_scenario *b, fg_days *days) {
  const fg_scenario *list[2] = {a, b};
  assert_int_equal(fg_days_run(list, b ? 2 : 1, SAMPLES, 1, days, NULL), FG_OK);
}

static void test_common_draws_cannot_decide(void **state) {
  (void)state;
  static fg_scenario a, b;
  static fg_days days;
  DEMO(&a, "run.hours=5 h", "run.throttle=75 %");
  b = a;
  run_days(&a, &b, &days);
  assert_within(days.beats[0][1], 0.5, 1e-12);
  assert_within(days.trip[0].chance_best, 0.5, 1e-12);
  fg_days_free(&days);
  /* The same day but for longer stops is worse in every draw that runs at all; where both stall
   * neither is better. */
  DEMO(&b, "run.hours=5 h", "run.throttle=75 %", "run.cleaning_time=15 min");
  run_days(&a, &b, &days);
  assert_between(days.trip[0].stall_share, 0.0, 0.3);
  assert_between(days.beats[0][1], 0.98 - 0.5 * days.trip[0].stall_share, 1.0);
  assert_int_equal(days.order[0], 0);
  fg_days_free(&days);
  /* Another place with twice the grade, each grade in its own doubt: better, not surely. */
  DEMO(&b, "run.hours=5 h", "gold.grade=1 g/yd3");
  run_days(&a, &b, &days);
  assert_int_equal(days.order[0], 1);
  assert_between(days.beats[1][0], 0.75, 0.99);
  assert_within(days.beats[1][0] + days.beats[0][1], 1.0, 1e-12);
  fg_days_free(&days);
}

static void test_stalls_count_as_no_gold(void **state) {
  (void)state;
  static fg_scenario s;
  static fg_days days;
  DEMO(&s, "shaker.unbalance=0 kg m", "run.throttle=0.5", "deck.slope=15 deg",
       "ground.moisture=0.3 %");
  run_days(&s, NULL, &days);
  assert_true(days.trip[0].stall_share > 0.1);
  assert_true(days.trip[0].gold.low == 0.0);
  double zeros = 0.0;
  for (size_t i = 0; i < SAMPLES; ++i)
    zeros += days.trip[0].gold_kg[i] == 0.0;
  assert_within(zeros / SAMPLES, days.trip[0].stall_share, 1e-9);
  fg_days_free(&days);
}

/* ---- the catch ---- */

static void test_catch_of_one_kind_is_poisson(void **state) {
  (void)state;
  const fg_catch_kind kind = {1e-6, 3.0};
  for (unsigned n = 0; n < 9; ++n) {
    double at_most;
    assert_int_equal(fg_catch_chance(&kind, 1, 3e-8, (n + 0.5) * 1e-6, &at_most, NULL), FG_OK);
    assert_within(at_most, gsl_cdf_poisson_P(n, 3.0), 1e-4);
  }
}

static void test_empty_catch_is_the_scales_error(void **state) {
  (void)state;
  for (int i = -2; i < 3; ++i) {
    const double z = i;
    double at_most, density;
    assert_int_equal(fg_catch_chance(NULL, 0, 1e-6, z * 1e-6, &at_most, &density), FG_OK);
    assert_within(at_most, gsl_cdf_ugaussian_P(z), 1e-6);
    assert_within(density * 1e-6, gsl_ran_ugaussian_pdf(z), 1e-6);
  }
}

/* Many sizes, from dust to a grain that is there in one catch of five. */
static void test_catch_agrees_with_simulation(void **state) {
  (void)state;
  static const fg_catch_kind kinds[] = {
      {2e-9, 3000.0}, {15e-9, 400.0}, {120e-9, 40.0}, {1e-6, 4.0}, {9e-6, 0.2}};
  enum { KINDS = sizeof kinds / sizeof kinds[0], DRAWS = 20000 };
  static const double at[] = {10e-6, 18e-6, 22e-6, 26e-6, 30e-6, 40e-6};
  double below[6] = {0};
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  for (int i = 0; i < DRAWS; ++i) {
    double sum = gsl_ran_gaussian(rng, 0.3e-6);
    for (int k = 0; k < KINDS; ++k)
      sum += kinds[k].mass_kg * gsl_ran_poisson(rng, kinds[k].expected);
    for (int j = 0; j < 6; ++j)
      below[j] += sum <= at[j];
  }
  gsl_rng_free(rng);
  for (int j = 0; j < 6; ++j) {
    double at_most;
    assert_int_equal(fg_catch_chance(kinds, KINDS, 0.3e-6, at[j], &at_most, NULL), FG_OK);
    assert_within(at_most, below[j] / DRAWS, 0.014); /* four standard errors */
  }
}

static void test_catch_refuses_bad_values(void **state) {
  (void)state;
  const fg_catch_kind bad = {-1e-6, 3.0};
  double at_most;
  assert_int_equal(fg_catch_chance(NULL, 0, 0.0, 1e-6, &at_most, NULL), FG_EDOMAIN);
  assert_int_equal(fg_catch_chance(NULL, 0, 1e-6, NAN, &at_most, NULL), FG_EDOMAIN);
  assert_int_equal(fg_catch_chance(&bad, 1, 1e-6, 1e-6, &at_most, NULL), FG_EDOMAIN);
}

/* ---- the verdict ---- */

static void check_verdict(const fg_verdict *v) {
  double sum = 0.0;
  for (int c = 0; c < FG_CAUSES; ++c) {
    assert_between(v->cause[c].weight, 0.0, 1.0);
    assert_true(v->cause[c].factor > 0.0);
    sum += v->cause[c].weight;
  }
  assert_within(sum, 1.0, 1e-9);
  for (int i = 1; i < FG_CAUSES; ++i)
    assert_true(v->cause[v->order[i - 1]].weight >= v->cause[v->order[i]].weight);
  assert_between(v->chance, 0.0, 1.0);
}

/* Catch and tailings as the model expects them of a planted truth. */
static fg_evidence plant(const fg_scenario *truth, fg_counts *tail, fg_bucket *bucket) {
  fg_loss loss;
  assert_int_equal(fg_loss_run(truth, NULL, &loss), FG_OK);
  const fg_evidence e = {.loose_m3 = 100.0 * truth->sample.bucket,
                         .found_kg = loss.kept_kg_s / loss.feed_m3_s * 100.0 * truth->sample.bucket,
                         .error_kg = 5e-6,
                         .tail = tail};
  static const double sieves[] = {850e-6, 425e-6, 250e-6, 150e-6};
  const double gold = truth->gold.grade / truth->ground.swell * 3.0 * truth->sample.bucket *
                      loss.feed_kg_s / loss.deck_feed_kg_s;
  *tail = (fg_counts){.station_count = 1, .column_count = 4, .bucket_count = 1, .buckets = bucket};
  *bucket = (fg_bucket){.loose_m3 = 3.0 * truth->sample.bucket, .gold_kg = NAN};
  for (size_t c = 0; c < 4; ++c) {
    const double upper = c == 0 ? (double)INFINITY : sieves[c - 1];
    tail->columns[c] = (fg_count_column){sieves[c], upper};
    for (size_t k = 0; k < loss.gold_count; ++k) {
      const fg_class_loss *g = &loss.gold[k];
      const double grain =
          truth->gold.density * M_PI / 4.0 * pow(g->size_m, 3) * truth->gold.thickness_ratio;
      if (g->size_m >= sieves[c] && g->size_m < upper)
        bucket->by_column[c] +=
            gold * g->share * g->passing * (1.0 - g->kept - g->blown_off) / grain;
    }
    bucket->by_column[c] = round(bucket->by_column[c]);
    bucket->colours += bucket->by_column[c];
  }
  fg_loss_free(&loss);
  return e;
}

static void test_verdict_finds_poor_ground(void **state) {
  (void)state;
  static fg_scenario said, truth;
  fg_counts tail;
  fg_bucket bucket = {0};
  fg_verdict v, again;
  DEMO(&said, "run.hours=5 h");
  DEMO(&truth, "gold.grade=0.2 g/yd3");
  const fg_evidence e = plant(&truth, &tail, &bucket);
  assert_int_equal(fg_verdict_run(&said, &e, 128, 1, &v), FG_OK);
  check_verdict(&v);
  assert_int_equal(v.order[0], FG_CAUSE_GROUND);
  assert_true(v.cause[FG_CAUSE_GROUND].weight > 0.5);
  assert_true(v.grade.mid < v.grade_before.mid);
  assert_int_equal(fg_verdict_run(&said, &e, 128, 1, &again), FG_OK);
  assert_memory_equal(&v.cause, &again.cause, sizeof v.cause);
}

/* The same poor catch with rich tailings speaks for the deck. */
static void test_rich_tailings_clear_the_ground(void **state) {
  (void)state;
  static fg_scenario said, truth;
  fg_counts tail;
  fg_bucket bucket = {0};
  fg_verdict with, without;
  DEMO(&said, "run.hours=5 h");
  DEMO(&truth, "ground.moisture=2.5 %");
  fg_evidence e = plant(&truth, &tail, &bucket);
  assert_int_equal(fg_verdict_run(&said, &e, 128, 1, &with), FG_OK);
  e.tail = NULL;
  assert_int_equal(fg_verdict_run(&said, &e, 128, 1, &without), FG_OK);
  check_verdict(&with);
  check_verdict(&without);
  assert_true(isnan(without.chance_tail));
  assert_true(with.cause[FG_CAUSE_GROUND].weight < 0.5 * without.cause[FG_CAUSE_GROUND].weight);
  assert_true(with.kept.mid < with.kept_before.mid);
  assert_non_null(strstr(fg_verdict_next(&without, false), "tailings"));
}

/* ---- the weights are what they say ---- */

/* A day drawn from the doubts themselves: its finds at random, and what really took its gold. */
typedef struct drawn_day {
  fg_counts tail;
  fg_bucket bucket;
  fg_evidence evidence;
  double shares[FG_CAUSES];
  fg_cause main_cause;
} drawn_day;

/* A catch with its grains as chance takes them. */
static double draw_catch(const fg_scenario *truth, double loose_m3, gsl_rng *rng) {
  static fg_catch_kind kinds[FG_CATCH_KINDS_MAX];
  fg_sample_basis basis;
  double kg = 0.0;
  assert_int_equal(fg_sample_basis_new(truth, &basis), FG_OK);
  const size_t count =
      fg_catch_grains(&basis, truth->gold.grade, loose_m3 / truth->ground.swell, kinds);
  for (size_t k = 0; k < count; ++k)
    kg += kinds[k].mass_kg * gsl_ran_poisson(rng, kinds[k].expected);
  fg_sample_basis_free(&basis);
  return kg;
}

static bool draw_day(const fg_scenario *said, const fg_plan *plan, size_t index, gsl_rng *rng,
                     drawn_day *day) {
  static fg_scenario truth;
  fg_finds finds[FG_GRADES] = {0};
  fg_loss loss;
  if (fg_plan_member(plan, said, index, &truth) != FG_OK ||
      fg_loss_run(&truth, NULL, &loss) != FG_OK)
    return false;
  fg_loss_free(&loss);
  day->bucket = (fg_bucket){0};
  day->evidence = plant(&truth, &day->tail, &day->bucket);
  day->bucket.colours = 0.0;
  const double expected = day->evidence.found_kg;
  day->evidence.found_kg = draw_catch(&truth, day->evidence.loose_m3, rng);
  for (size_t c = 0; c < day->tail.column_count; ++c) {
    /* the scatter between sizes that the verdict assumes: negative binomial, k 4 */
    const double mean = day->bucket.by_column[c] * gsl_ran_gamma(rng, 4.0, 0.25);
    day->bucket.by_column[c] = gsl_ran_poisson(rng, mean);
    day->bucket.colours += day->bucket.by_column[c];
  }
  for (int g = 0; g < FG_GRADES; ++g) {
    finds[g].grade = truth.gold.grade;
    finds[g].expected_kg = expected;
  }
  day->evidence.error_kg = fmax(1e-6, 0.02 * day->evidence.found_kg);
  fg_member_harm(plan, said, index, &day->evidence, finds);
  day->main_cause = fg_finds_shares(&finds[0], day->shares);
  return true;
}

/* The chance that naming one of the suspects blindly, with `tries` names a day, hits that often. */
static double blind_chance(double hits, double days, double tries) {
  return gsl_cdf_binomial_Q((unsigned)hits - 1, tries / FG_CAUSES, (unsigned)days);
}

/* Days drawn from the doubts.  The suspect that took most is named first, and among the first two,
 * more often than blind choice would in one trial of a hundred.  On average each must be given the
 * weight it had. */
static void test_verdict_finds_a_planted_cause(void **state) {
  (void)state;
  enum { DAYS = 56, MEMBERS = 64 };
  static fg_scenario read, said;
  static drawn_day day;
  fg_plan plan;
  fg_verdict v;
  double hits = 0.0, second = 0.0, running = 0.0, days = 0.0, gap[FG_CAUSES] = {0},
         square[FG_CAUSES] = {0};
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  DEMO(&read, "run.hours=5 h");
  fg_verdict_base(&read, &said);
  assert_int_equal(fg_verdict_plan(&said, DAYS, 4711, &plan), FG_OK);
  for (size_t i = 0; i < DAYS; ++i) {
    if (!draw_day(&said, &plan, i, rng, &day))
      continue; /* that deck stalls: no finds to judge */
    running += 1.0;
    if (fg_verdict_run(&said, &day.evidence, MEMBERS, 1, &v) != FG_OK)
      continue;
    days += 1.0;
    hits += v.order[0] == day.main_cause;
    second += v.order[0] == day.main_cause || v.order[1] == day.main_cause;
    for (int c = 0; c < FG_CAUSES; ++c) {
      const double g = v.cause[c].weight - day.shares[c];
      gap[c] += g;
      square[c] += g * g;
    }
  }
  fg_plan_free(&plan);
  gsl_rng_free(rng);
  assert_true(running > 0.7 * DAYS && days > 0.95 * running);
  assert_true(hits >= 1.0);
  assert_between(blind_chance(hits, days, 1.0), 0.0, 0.01);
  assert_between(blind_chance(second, days, 2.0), 0.0, 0.01);
  for (int c = 0; c < FG_CAUSES; ++c)
    assert_within(gap[c] / days, 0.0, 3.5 * sqrt(square[c]) / days + 0.01);
}

static void test_verdict_says_when_it_cannot_tell(void **state) {
  (void)state;
  static fg_scenario s;
  fg_verdict v;
  DEMO(&s, "run.hours=5 h");
  fg_evidence e = {.loose_m3 = 1.0, .found_kg = 10.0, .error_kg = 1e-6};
  assert_int_equal(fg_verdict_run(&s, &e, 16, 1, &v), FG_ENOROOT); /* ten kilograms */
  e.found_kg = -1.0;
  assert_int_equal(fg_verdict_run(&s, &e, 16, 1, &v), FG_EDOMAIN);
  e = (fg_evidence){.loose_m3 = 1.0, .found_kg = 1e-6, .error_kg = 1e-6};
  DEMO(&s, "run.throttle=0.05");
  assert_int_equal(fg_verdict_run(&s, &e, 16, 1, &v), FG_ESTALL);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_rests_follow_the_schedule),
      cmocka_unit_test(test_sun_and_humidity_shift_the_schedule),
      cmocka_unit_test(test_time_is_spent_as_by_hand),
      cmocka_unit_test(test_heat_loads_and_length_cost_time),
      cmocka_unit_test(test_common_draws_cannot_decide),
      cmocka_unit_test(test_stalls_count_as_no_gold),
      cmocka_unit_test(test_catch_of_one_kind_is_poisson),
      cmocka_unit_test(test_empty_catch_is_the_scales_error),
      cmocka_unit_test(test_catch_agrees_with_simulation),
      cmocka_unit_test(test_catch_refuses_bad_values),
      cmocka_unit_test(test_verdict_finds_poor_ground),
      cmocka_unit_test(test_rich_tailings_clear_the_ground),
      cmocka_unit_test(test_verdict_finds_a_planted_cause),
      cmocka_unit_test(test_verdict_says_when_it_cannot_tell),
  };
  gsl_set_error_handler_off();
  const int code = FG_RUN_GROUP(tests);
  fg_units_free();
  return code;
}
