/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Counting statistics and sampling: published values, closed forms, exact limits, and counts
 * made from a known grade. */
#include "fg_demo.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "pages/sample_report.h"
#include "physics/grains.h"
#include "physics/safety.h"
#include "stats/counts.h"
#include "stats/gy.h"
#include "stats/sequential.h"
#include "study/leave_or_stay.h"
#include "study/plan.h"

/* ---- limits ---- */

static void test_limits_far_out(void **state) {
  (void)state;
  fg_interval l;
  /* Large counts: the normal law with its next term, n + (z^2 + 2)/3 +- z sqrt(n)
   * (Cornish-Fisher), good to a few 1/sqrt(n). */
  const double z = 1.959963984540054;
  assert_int_equal(fg_poisson_limits(1e9, 0.95, &l), FG_OK);
  assert_within(l.lower, 1e9 - z * sqrt(1e9) + (z * z - 1.0) / 3.0, 0.01);
  assert_within(l.upper, 1e9 + 1.0 + z * sqrt(1e9 + 1.0) + (z * z - 1.0) / 3.0, 0.01);
  /* One event: closed form -ln(1 - alpha/2). */
  assert_int_equal(fg_poisson_limits(1.0, 0.999998, &l), FG_OK);
  assert_close(l.lower, 1.0000005e-6, 1e-9);
  assert_int_equal(fg_poisson_limits(0.0, 0.5, &l), FG_OK);
  assert_close(l.upper, log(4.0), 1e-12);
  assert_int_equal(fg_binomial_limits(1.0, 1e6, 0.95, &l), FG_OK);
  assert_close(l.lower, -expm1(log(0.975) / 1e6), 1e-9);
}

static void test_limits_refuse(void **state) {
  (void)state;
  fg_interval l = {-1.0, -1.0};
  double x = -1.0;
  const double bad[] = {-1.0, NAN, INFINITY};
  for (size_t i = 0; i < 3; ++i) {
    assert_int_equal(fg_poisson_limits(bad[i], 0.95, &l), FG_EDOMAIN);
    assert_int_equal(fg_binomial_limits(bad[i], 20.0, 0.95, &l), FG_EDOMAIN);
    assert_int_equal(fg_grains_needed(bad[i], 0.95, &x), FG_EDOMAIN);
    assert_int_equal(fg_silica_hours(bad[i], &x), FG_EDOMAIN);
  }
  const double no_confidence[] = {0.0, 1.0, -0.5, NAN};
  for (size_t i = 0; i < 4; ++i)
    assert_int_equal(fg_poisson_limits(3.0, no_confidence[i], &l), FG_EDOMAIN);
  assert_int_equal(fg_binomial_limits(3.0, 2.0, 0.95, &l), FG_EDOMAIN);
  assert_int_equal(fg_binomial_limits(1.5, 2.0, 0.95, &l), FG_EDOMAIN);
  assert_close(l.lower, -1.0, 0.0);
  assert_close(x, -1.0, 0.0);
}

/* None seen: one-sided 95 %, 2.996 (Hanley & Lippman-Hand, JAMA 249:1743, 1983). */
static void test_none_seen(void **state) {
  (void)state;
  double upper;
  assert_int_equal(fg_poisson_upper(0.0, 0.95, &upper), FG_OK);
  assert_close(upper, -log(0.05), 1e-12);
}

/* Clifton et al. 1969, USGS Prof. Paper 625-C: 20 particles, P(10 <= X <= 30) = .982. */
static void test_clifton(void **state) {
  (void)state;
  double chance;
  assert_int_equal(fg_poisson_within(20.0, 0.5, &chance), FG_OK);
  assert_within(chance, 0.982, 0.0005);
  /* Its case as Marshall 2002 worked it: 20 discs of 177 um, a tenth as thick, in 50 g: 3 ppm. */
  assert_within(1e6 * 20.0 * fg_disc_mass(177e-6, 0.1, 17000.0) / 0.050, 2.96, 0.005);
}

static void test_equal_weights_are_garwood(void **state) {
  (void)state;
  const double counts[] = {3.0, 0.0, 2.0}, weights[] = {0.25, 0.25, 0.25};
  fg_interval weighted, plain;
  assert_int_equal(fg_weighted_limits(counts, weights, 3, 0.95, &weighted), FG_OK);
  assert_int_equal(fg_poisson_limits(5.0, 0.95, &plain), FG_OK);
  assert_close(weighted.lower, 0.25 * plain.lower, 1e-10);
  assert_close(weighted.upper, 0.25 * plain.upper, 1e-10);
  /* One heavy grain among light ones widens both ends. */
  const double uneven[] = {0.05, 0.05, 0.5};
  assert_int_equal(fg_weighted_limits(counts, uneven, 3, 0.95, &weighted), FG_OK);
  const double sum = 3.0 * 0.05 + 2.0 * 0.5;
  assert_true(weighted.lower < sum * plain.lower / 5.0);
  assert_true(weighted.upper > sum * plain.upper / 5.0);
}

/* ---- scatter ---- */

/* Bliss & Fisher, Biometrics 9:176, 1953: mites on 150 apple leaves; k = 1.0246 by maximum
 * likelihood, mean 1.14667; value from memory. */
static void test_bliss_and_fisher(void **state) {
  (void)state;
  static const int leaves[] = {70, 38, 17, 10, 9, 3, 2, 1};
  double counts[150], one[150];
  size_t n = 0;
  for (int mites = 0; mites < 8; ++mites)
    for (int i = 0; i < leaves[mites]; ++i) {
      counts[n] = mites;
      one[n++] = 1.0;
    }
  fg_scatter s;
  assert_int_equal(n, 150);
  assert_int_equal(fg_count_scatter(counts, one, n, &s), FG_OK);
  assert_within(s.k, 1.0246, 0.00005);
  assert_close(s.mean, 172.0 / 150.0, 1e-12);
  assert_true(s.scattered);
  assert_true(s.chi2_chance < 1e-6 && s.ratio_chance < 1e-6);
}

/* Buckets that scatter less than chance, or in step with their size, are Poisson. */
static void test_no_scatter(void **state) {
  (void)state;
  const double flat[] = {7.0, 7.0, 7.0, 7.0}, none[] = {0.0, 0.0, 0.0};
  const double size[] = {1.0, 1.0, 1.0, 1.0}, uneven[] = {1.0, 2.0, 0.5, 1.0};
  const double in_step[] = {6.0, 12.0, 3.0, 6.0};
  fg_scatter s;
  fg_interval limits, plain;
  assert_int_equal(fg_count_scatter(flat, size, 4, &s), FG_OK);
  assert_false(s.scattered);
  assert_true(isinf(s.k));
  assert_close(s.likelihood_ratio, 0.0, 0.0);
  assert_int_equal(fg_scatter_limits(&s, size, 0.95, &limits), FG_OK);
  assert_int_equal(fg_poisson_limits(28.0, 0.95, &plain), FG_OK);
  assert_close(limits.lower, plain.lower / 4.0, 1e-12);
  assert_int_equal(fg_count_scatter(in_step, uneven, 4, &s), FG_OK);
  assert_within(s.chi2, 0.0, 1e-12);
  assert_close(s.mean, 6.0, 1e-12);
  assert_int_equal(fg_count_scatter(none, size, 3, &s), FG_OK);
  assert_false(s.scattered);
  assert_true(isnan(s.chi2_chance));
  assert_int_equal(fg_count_scatter(none, size, 0, &s), FG_EDOMAIN);
  const double negative[] = {1.0, -1.0};
  assert_int_equal(fg_count_scatter(negative, size, 2, &s), FG_EDOMAIN);
}

/* Fisher's index by hand: 2, 10, 18: mean 10, squares 64 + 0 + 64, chi2 12.8, 2 degrees of
 * freedom, chance exp(-6.4). */
static void test_index_of_dispersion(void **state) {
  (void)state;
  const double counts[] = {2.0, 10.0, 18.0}, one[] = {1.0, 1.0, 1.0};
  fg_scatter s;
  fg_interval wide, plain;
  assert_int_equal(fg_count_scatter(counts, one, 3, &s), FG_OK);
  assert_close(s.chi2, 12.8, 1e-12);
  assert_close(s.chi2_chance, exp(-6.4), 1e-10);
  assert_true(s.scattered);
  assert_true(fg_scatter_factor(&s, one) >= 6.4);
  assert_int_equal(fg_scatter_limits(&s, one, 0.95, &wide), FG_OK);
  assert_int_equal(fg_poisson_limits(30.0, 0.95, &plain), FG_OK);
  assert_true(wide.lower < plain.lower / 3.0 && wide.upper > plain.upper / 3.0);
}

/* ---- posteriors ---- */

static void test_which_is_richer(void **state) {
  (void)state;
  const fg_gamma a = {1.0, 2.0}, b = {1.0, 3.0}, c = {7.5, 4.0};
  /* Exponential rates: P(A > B) = b/(a + b). */
  assert_close(fg_gamma_beats(&a, &b), 3.0 / 5.0, 1e-12);
  assert_close(fg_gamma_beats(&c, &c), 0.5, 1e-10);
  assert_close(fg_gamma_beats(&a, &c) + fg_gamma_beats(&c, &a), 1.0, 1e-12);
  assert_close(fg_gamma_above(&c, 0.0), 1.0, 0.0);
  double median;
  assert_int_equal(fg_gamma_quantile(&a, 0.5, &median), FG_OK);
  assert_close(median, log(2.0) / 2.0, 1e-10);
}

/* ---- sequential ---- */

/* NIST/SEMATECH e-Handbook 6.2.6: after 24 items accept at 0, reject at 3; no acceptance
 * before the 24th; value from memory. */
static void test_nist_sequential(void **state) {
  (void)state;
  fg_sequential t;
  assert_int_equal(fg_sequential_shares(0.01, 0.10, 0.05, 0.10, &t), FG_OK);
  assert_close(fg_sequential_leave_at(&t, 24.0), 0.0, 0.0);
  assert_close(fg_sequential_leave_at(&t, 23.0), -1.0, 0.0);
  assert_close(fg_sequential_stay_at(&t, 24.0), 3.0, 0.0);
  assert_int_equal(fg_sequential_shares(0.10, 0.01, 0.05, 0.10, &t), FG_EDOMAIN);
  assert_int_equal(fg_sequential_rates(2.0, 2.0, 0.05, 0.10, &t), FG_EDOMAIN);
  assert_int_equal(fg_sequential_rates(2.0, 5.0, 0.0, 0.10, &t), FG_EDOMAIN);
  assert_int_equal(fg_sequential_rates(2.0, 5.0, 0.1, 0.5, &t), FG_EDOMAIN);
}

/* Wald's inequalities: with no end to the table alpha' <= alpha/(1 - beta), beta' <=
 * beta/(1 - alpha), alpha' + beta' <= alpha + beta; and the expected number is at least his
 * approximation, which takes the sum to stop on the line. */
static void test_sequential_keeps_its_risks(void **state) {
  (void)state;
  static const double cases[][4] = {
      {2, 5, 0.1, 0.1}, {0.5, 1.0, 0.05, 0.2}, {4, 6, 0.01, 0.05}, {0.1, 0.4, 0.1, 0.1}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    const double leave = cases[i][0], stay = cases[i][1], a = cases[i][2], b = cases[i][3];
    fg_sequential t;
    fg_sequential_odds at_leave, at_stay;
    assert_int_equal(fg_sequential_rates(leave, stay, a, b, &t), FG_OK);
    assert_int_equal(fg_sequential_odds_at(&t, leave, 400, &at_leave), FG_OK);
    assert_int_equal(fg_sequential_odds_at(&t, stay, 400, &at_stay), FG_OK);
    assert_within(at_leave.leave + at_leave.stay + at_leave.open, 1.0, 1e-9);
    assert_true(at_leave.open < 1e-3 && at_stay.open < 1e-3);
    assert_true(at_leave.stay <= a / (1.0 - b) + 1e-9);
    assert_true(at_stay.leave <= b / (1.0 - a) + 1e-9);
    assert_true(at_leave.stay + at_stay.leave <= a + b + 1e-9);
    const double down = log((1.0 - a) / b), up = log((1.0 - b) / a);
    const double drift = leave * t.log_ratio - (stay - leave);
    const double wald = (a * up - (1.0 - a) * down) / drift;
    assert_true(at_leave.buckets >= 0.999 * wald);
    assert_true(at_leave.buckets <= 2.5 * wald + 2.0);
  }
}

/* ---- plan and judgement ---- */

static void set_one_class(fg_scenario *s, double lower_m, double upper_m) {
  s->gold.class_count = 1;
  s->gold.classes[0] = (fg_size_class){lower_m, upper_m, 1.0};
}

static fg_sample_plan plan_of(const fg_scenario *s) {
  fg_sample_basis basis;
  fg_sample_plan plan;
  assert_int_equal(fg_sample_basis_new(s, &basis), FG_OK);
  assert_int_equal(fg_sample_plan_make(s, &basis, &plan), FG_OK);
  fg_sample_basis_free(&basis);
  return plan;
}

/* One class panned whole: by hand from grade, bucket, swell and discs of even mass over ln size. */
static void test_grains_per_bucket(void **state) {
  (void)state;
  static fg_scenario s;
  fg_sample_basis basis;
  DEMO(&s, "sample.method=pan", "sample.bucket=20 l", "ground.swell=1.25", "gold.grade=0.1 g/m3",
       "gold.fineness=0.85", "gold.thickness_ratio=0.1");
  set_one_class(&s, 150e-6, 250e-6);
  assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
  const double cube = M_PI / 4.0 * 0.1 * s.gold.density, wide = 3.0 * log(250.0 / 150.0);
  const double grains_a_kg = (pow(150e-6, -3) - pow(250e-6, -3)) / wide / cube;
  const double expected = 0.1e-3 * 0.020 / 1.25 * grains_a_kg;
  const double telling = cube * (pow(250e-6, 3) - pow(150e-6, 3)) / wide;
  assert_close(fg_sample_colours(&basis, s.gold.grade, 0.0, INFINITY), expected, 1e-12);
  assert_close(fg_sample_gold_share(&basis, 150e-6, 250e-6), 1.0, 1e-12);
  assert_close(fg_sample_colour_kg(&s, 0.0, INFINITY), 1.0 / grains_a_kg, 1e-12);
  fg_sample_basis_free(&basis);
  const fg_sample_plan plan = plan_of(&s);
  assert_close(plan.to_count, ceil(20.0 / expected), 1e-12);
  assert_close(plan.kg, plan.buckets * 0.020 * s.ground.bulk_density, 1e-12);
  assert_close(plan.count_error, 1.959964 / sqrt(plan.buckets * expected), 1e-6);
  assert_close(plan.mass_error, 1.959964 / sqrt(plan.buckets * 0.1e-3 * 0.020 / 1.25 / telling),
               1e-6);
  /* Equal grains: count and weight say the same. */
  set_one_class(&s, 200e-6, 200.0001e-6);
  const fg_sample_plan equal = plan_of(&s);
  assert_close(equal.mass_error, equal.count_error, 1e-6);
}

/* Gold of a log-normal, panned: as many colours as the integral over its sizes says, which the
 * middles of its sieve classes miss, and each as heavy.  Cut at 4.75 mm, the
 * coarsest sieve, beyond which lies 1e-7 of it. */
static void test_colours_of_a_lognormal(void **state) {
  (void)state;
  static fg_scenario s;
  fg_sample_basis basis;
  DEMO(&s, "sample.method=pan", "gold.grade=0.1 g/m3", "gold.median_size=0.4 mm",
       "gold.size_spread=1.6", "gold.thickness_ratio=0.1");
  const double cube = M_PI / 4.0 * 0.1 * s.gold.density, spread = log(1.6);
  const double sieves[] = {150e-6, 250e-6, 500e-6, 1e-3};
  assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
  for (int i = 0; i < 3; ++i) {
    double share = 0.0, grains = 0.0;
    const int steps = 20000; /* midpoint sum, good to 1e-8 */
    for (int k = 0; k < steps; ++k) {
      const double wide = log(sieves[i + 1] / sieves[i]) / steps;
      const double log_size = log(sieves[i]) + (k + 0.5) * wide;
      const double z = (log_size - log(0.4e-3)) / spread;
      const double mass = wide * exp(-0.5 * z * z) / (spread * sqrt(2.0 * M_PI));
      share += mass;
      grains += mass / (cube * exp(3.0 * log_size));
    }
    assert_close(fg_sample_gold_share(&basis, sieves[i], sieves[i + 1]), share, 1e-5);
    assert_close(fg_sample_colours(&basis, 1.0, sieves[i], sieves[i + 1]),
                 grains * basis.in_place_m3, 1e-5);
    assert_close(fg_sample_colour_kg(&s, sieves[i], sieves[i + 1]), share / grains, 1e-5);
  }
  fg_sample_basis_free(&basis);
}

/* More buckets for poorer ground, coarser gold and a worse deck. */
static void test_plan_trends(void **state) {
  (void)state;
  static const char *const worse[] = {"gold.grade=0.05 g/yd3", "gold.median_size=1 mm",
                                      "run.feed=80 lb/min", "sample.grains=60",
                                      "sample.bucket=2 gal"};
  static fg_scenario s;
  fg_sample_basis basis;
  fg_sample_plan plan;
  read_demo(&s, NULL, 0);
  assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
  assert_int_equal(fg_sample_plan_make(&s, &basis, &plan), FG_OK);
  const double buckets = plan.buckets;
  fg_sample_basis_free(&basis);
  for (size_t i = 0; i < sizeof worse / sizeof worse[0]; ++i) {
    read_demo(&s, &worse[i], 1);
    assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
    assert_int_equal(fg_sample_plan_make(&s, &basis, &plan), FG_OK);
    assert_true(plan.buckets >= buckets);
    fg_sample_basis_free(&basis);
  }
}

/* Without doubt the ratio is Wald's: c ln 2 - rate/2, and leads to his lines. */
static void test_leaving_without_doubt_is_walds(void **state) {
  (void)state;
  const double sure[1] = {1.0}, stay = 14.0, alpha = 0.1, beta = 0.05;
  fg_sequential wald;
  assert_close(fg_stay_ratio(9.0, stay, sure, 1), 9.0 * M_LN2 - 7.0, 1e-12);
  assert_int_equal(fg_sequential_rates(0.5 * stay, stay, alpha, beta, &wald), FG_OK);
  for (int colours = 0; colours < 40; ++colours) {
    const fg_decision told = fg_decide(fg_stay_ratio(colours, stay, sure, 1), alpha, beta);
    assert_int_equal(told == FG_LEAVE, colours <= fg_sequential_leave_at(&wald, 1.0));
    assert_int_equal(told == FG_STAY, colours >= fg_sequential_stay_at(&wald, 1.0));
  }
}

/* Doubt of the model in the table: ground of either grade, its grade behind a colour drawn anew, is
 * judged wrongly no more often than Wald's bounds on average, alpha/(1 - beta) and beta/(1 -
 * alpha); lines that know of no doubt err far beyond. */
static void test_leaving_holds_its_risks(void **state) {
  (void)state;
  enum { DRAWS = 200, TRIES = 20000 };
  const double stay = 20.0, risk = 0.1, sure[1] = {1.0};
  double factor[DRAWS];
  int wrong[2] = {0}, naive[2] = {0};
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  for (int i = 0; i < DRAWS; ++i)
    factor[i] = exp(gsl_ran_gaussian(rng, 0.6));
  for (int worked = 0; worked < 2; ++worked)
    for (int i = 0; i < TRIES; ++i) {
      const double rate = (worked ? 1.0 : 0.5) * stay / factor[gsl_rng_uniform_int(rng, DRAWS)];
      const double colours = (double)gsl_ran_poisson(rng, rate);
      const fg_decision bad = worked ? FG_LEAVE : FG_STAY;
      wrong[worked] += fg_decide(fg_stay_ratio(colours, stay, factor, DRAWS), risk, risk) == bad;
      naive[worked] += fg_decide(fg_stay_ratio(colours, stay, sure, 1), risk, risk) == bad;
    }
  for (int worked = 0; worked < 2; ++worked) {
    /* four standard deviations of the count of tries */
    assert_between(wrong[worked], 1, TRIES * (1.0 / 9.0) + 4.0 * sqrt(TRIES * 0.1));
    assert_true(naive[worked] > TRIES * 0.15);
  }
  gsl_rng_free(rng);
}

/* No count that nobody makes, three buckets at most, rounded, and a gap that the doubt widens; the
 * owner's rates bring Wald's own lines for as many buckets as asked. */
static void test_leave_or_stay(void **state) {
  (void)state;
  static fg_scenario s;
  static fg_leave_or_stay rich, poor, own;
  fg_sequential wald;
  DEMO(&s, "sample.threshold=2 g/yd3");
  assert_int_equal(fg_leave_or_stay_new(&s, 1, &rich), FG_OK);
  DEMO(&s, "sample.threshold=0.05 g/yd3");
  assert_int_equal(fg_leave_or_stay_new(&s, 1, &poor), FG_OK);
  assert_true(rich.size_m > poor.size_m && poor.size_m >= s.sample.visible_size);
  const fg_leave_or_stay *both[] = {&rich, &poor};
  for (int k = 0; k < 2; ++k) {
    assert_true(both[k]->count >= 1 && both[k]->count <= FG_DECIDED_MOST);
    for (size_t i = 0; i < both[k]->count; ++i) {
      const fg_decision_row *row = &both[k]->row[i];
      assert_between(row->stay_at_least, 1.0, FG_COUNTED_MOST);
      assert_true(row->stay_at_least < 20.0 || fmod(row->stay_at_least, 5.0) == 0.0);
      assert_true(row->stay_at_least > both[k]->stay * (double)(i + 1));
      assert_true(isnan(row->leave_at_most) ||
                  row->leave_at_most < both[k]->leave * (double)(i + 1));
    }
  }
  DEMO(&s, "sample.leave_rate=2", "sample.stay_rate=5", "sample.most_buckets=7");
  assert_int_equal(fg_leave_or_stay_new(&s, 1, &own), FG_OK);
  assert_int_equal(fg_sequential_rates(2.0, 5.0, s.sample.alpha, s.sample.beta, &wald), FG_OK);
  assert_true(own.own && own.count == 7);
  for (int i = 0; i < 7; ++i)
    assert_close(own.row[i].stay_at_least, fg_sequential_stay_at(&wald, i + 1.0), 0.0);
}

/* Draws of the doubt that stand more than once: by weight some are drawn again. */
static size_t draws_twice(const char *reading) {
  static fg_scenario s;
  fg_sample_basis basis;
  fg_sample_doubt doubt;
  fg_counts counts = {0};
  size_t twice = 0;
  DEMO(&s, reading);
  assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
  assert_int_equal(fg_sample_doubt_new(&s, &basis, &counts, 1, &doubt), FG_OK);
  assert_true(doubt.count > 64);
  assert_true(doubt.band.low < doubt.band.mid && doubt.band.mid < doubt.band.high);
  for (size_t i = 1; i < doubt.count; ++i)
    twice += doubt.factor[i] == doubt.factor[i - 1];
  fg_sample_doubt_free(&doubt);
  fg_sample_basis_free(&basis);
  return twice;
}

/* What was seen on the running machine weighs the draws of a grade's doubt as those of every other
 * study. */
static void test_readings_weigh_the_doubt_of_a_grade(void **state) {
  (void)state;
  assert_int_equal(draws_twice("sample.method=deck"), 0);
  assert_true(draws_twice("observed.bed_depth=0.4 in +- 0.05 in") > 20);
}

/* Counts that are exactly what a grade gives come back as that grade, by every road. */
static void test_round_trip(void **state) {
  (void)state;
  static const char *const methods[] = {"sample.method=pan", "sample.method=deck"};
  static fg_scenario s;
  static fg_counts counts;
  for (int m = 0; m < 2; ++m) {
    fg_sample_basis basis;
    fg_sample_doubt doubt = {
        .factor = (double[]){1.0}, .count = 1, .drawn = 1, .low = 1.0, .high = 1.0};
    fg_sample_result result;
    fg_bucket buckets[4];
    const double grade = 1.3e-3;
    DEMO(&s, methods[m]);
    assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
    memset(&counts, 0, sizeof counts);
    counts.column_count = fg_count_columns_for(s.sample.visible_size, counts.columns);
    assert_int_equal(counts.column_count, 5);
    counts.station_count = 1;
    strcpy(counts.names[0], "here");
    counts.buckets = buckets;
    counts.bucket_count = 4;
    for (size_t i = 0; i < 4; ++i) {
      const double size = i == 3 ? 2.0 : 1.0;
      buckets[i] = (fg_bucket){.loose_m3 = size * s.sample.bucket,
                               .gold_kg = size * grade * basis.in_place_m3 * basis.found_share};
      for (size_t c = 0; c < counts.column_count; ++c) {
        buckets[i].by_column[c] = size * fg_sample_colours(&basis, grade, counts.columns[c].lower_m,
                                                           counts.columns[c].upper_m);
        buckets[i].colours += buckets[i].by_column[c];
      }
    }
    assert_int_equal(fg_sample_judge(&s, &basis, &doubt, &counts, &result), FG_OK);
    const fg_station *here = &result.stations[0];
    assert_close(here->exposure, 5.0, 1e-12);
    assert_close(here->grade.mid, grade, 1e-9);
    assert_close(here->weighed.mid, grade, 1e-9);
    assert_close(here->by_size.mid, grade, 1e-9);
    assert_true(here->grade.low < grade && grade < here->grade.high);
    assert_true(here->by_size.low < grade && grade < here->by_size.high);
    assert_within(here->sizes_chance, 1.0, 1e-6);
    assert_false(here->scatter.scattered);
    assert_int_equal(here->decision, FG_STAY);
    assert_close(here->chance_richest, 1.0, 1e-12);
    assert_close(here->chance_pays, here->chance_by_count, 1e-12);
    fg_sample_result_free(&result);
    fg_sample_basis_free(&basis);
  }
}

/* ---- coverage ---- */

/* One bucket by the form's columns at one station; the colours are still to be put in. */
static void set_form(const fg_scenario *s, double buckets, fg_bucket *bucket, fg_counts *counts) {
  memset(counts, 0, sizeof *counts);
  counts->column_count = fg_count_columns_for(s->sample.visible_size, counts->columns);
  counts->station_count = counts->bucket_count = 1;
  strcpy(counts->names[0], "here");
  counts->buckets = bucket;
  *bucket = (fg_bucket){.loose_m3 = buckets * s->sample.bucket, .gold_kg = NAN};
}

static void count_by_chance(gsl_rng *rng, const double *expected, fg_counts *counts) {
  fg_bucket *bucket = counts->buckets;
  bucket->colours = 0.0;
  for (size_t i = 0; i < counts->column_count; ++i) {
    bucket->by_column[i] = gsl_ran_poisson(rng, expected[i]);
    bucket->colours += bucket->by_column[i];
  }
}

static const fg_sample_doubt no_doubt = {
    .factor = (double[]){1.0}, .count = 1, .drawn = 1, .low = 1.0, .high = 1.0};

/* Share of `trials` counts by chance whose limits by size hold the grade they came from, when the
 * two coarsest sizes hold `coarser` times the gold assumed. */
static double size_coverage(const fg_scenario *s, double grade, double coarser, int trials) {
  fg_sample_basis basis;
  fg_bucket bucket;
  static fg_counts counts;
  double expected[FG_COUNT_COLUMNS_MAX], gold = 0.0, covered = 0.0;
  int held = 0;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  gsl_rng_set(rng, 20);
  set_form(s, 1.0, &bucket, &counts);
  assert_int_equal(fg_sample_basis_new(s, &basis), FG_OK);
  for (size_t i = 0; i < counts.column_count; ++i) {
    const fg_count_column *c = &counts.columns[i];
    const double times = i < 2 ? coarser : 1.0;
    const double share = fg_sample_gold_share(&basis, c->lower_m, c->upper_m);
    expected[i] = times * fg_sample_colours(&basis, grade, c->lower_m, c->upper_m);
    gold += times * grade * share;
    covered += share;
  }
  for (int t = 0; t < trials; ++t) {
    fg_sample_result result;
    count_by_chance(rng, expected, &counts);
    assert_int_equal(fg_sample_judge(s, &basis, &no_doubt, &counts, &result), FG_OK);
    const fg_band *limits = &result.stations[0].by_size;
    held += limits->low <= gold / covered && gold / covered <= limits->high;
    fg_sample_result_free(&result);
  }
  gsl_rng_free(rng);
  fg_sample_basis_free(&basis);
  return (double)held / trials;
}

/* Fay & Feuer 1997 found their gamma limits to hold at least as often as they say, given the
 * heaviest weight of all classes.  1000 trials: standard error 0.7 percentage points. */
static void test_limits_by_size_hold(void **state) {
  (void)state;
  static const double grades[] = {0.2e-3, 0.6e-3}, coarser[] = {1.0, 10.0};
  static fg_scenario s;
  read_demo(&s, NULL, 0);
  for (size_t i = 0; i < 2; ++i)
    for (size_t k = 0; k < 2; ++k)
      assert_between(size_coverage(&s, grades[i], coarser[k], 1000), 0.93, 1.0);
}

/* Decks drawn from the scenario's doubts: what each shows of one grade, and keeps of it. */
typedef struct true_decks {
  const fg_counts *counts;
  double grade;
  double (*expected)[FG_COUNT_COLUMNS_MAX], *kept;
} true_decks;

static fg_status run_true_deck(const fg_scenario *member, size_t index, void *context) {
  const true_decks *d = context;
  fg_sample_basis basis;
  d->kept[index] = NAN;
  const fg_status status = fg_sample_basis_new(member, &basis);
  if (status != FG_OK)
    return status;
  for (size_t i = 0; i < d->counts->column_count; ++i)
    d->expected[index][i] =
        10.0 * fg_sample_colours(&basis, d->grade, d->counts->columns[i].lower_m,
                                 d->counts->columns[i].upper_m);
  d->kept[index] = d->grade * basis.gold_share_running * basis.ground_m3_s;
  fg_sample_basis_free(&basis);
  return FG_OK;
}

/* Whatever deck of the doubted ones it is: what it keeps lies within the limits as often as they
 * say (95 %), within three standard errors of 2.5 percentage points and the 128 draws' own; and
 * they are narrower above than those of the grade, because a deck that shows few colours also keeps
 * little. */
static void test_limits_of_gold_kept_hold(void **state) {
  (void)state;
  enum { DECKS = 120 };
  static fg_scenario s;
  static fg_counts counts;
  static double expected[DECKS][FG_COUNT_COLUMNS_MAX], kept[DECKS];
  fg_sample_basis basis;
  fg_sample_doubt doubt;
  fg_bucket bucket;
  fg_plan plan;
  true_decks decks = {&counts, 0.6e-3, expected, kept};
  int running = 0, held = 0;
  read_demo(&s, NULL, 0);
  set_form(&s, 10.0, &bucket, &counts);
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  assert_int_equal(fg_sample_basis_new(&s, &basis), FG_OK);
  assert_int_equal(fg_sample_doubt_new(&s, &basis, &counts, 1, &doubt), FG_OK);
  assert_int_equal(fg_plan_new(&s, DECKS, 77, &plan), FG_OK);
  assert_int_equal(fg_plan_run(&plan, &s, DECKS, run_true_deck, &decks, NULL), FG_OK);
  for (size_t i = 0; i < DECKS; ++i) {
    fg_sample_result result;
    if (isnan(kept[i]))
      continue;
    ++running;
    count_by_chance(rng, expected[i], &counts);
    assert_int_equal(fg_sample_judge(&s, &basis, &doubt, &counts, &result), FG_OK);
    const fg_station *here = &result.stations[0];
    held += here->kept.low <= kept[i] && kept[i] <= here->kept.high;
    assert_true(here->kept.high / here->kept.mid < here->doubted.high / here->doubted.mid);
    fg_sample_result_free(&result);
  }
  assert_true(running > DECKS / 2);
  assert_between((double)held / running, 0.85, 0.995);
  fg_plan_free(&plan);
  fg_sample_doubt_free(&doubt);
  fg_sample_basis_free(&basis);
  gsl_rng_free(rng);
}

/* A table of the columns of a form, coarse to fine, each beginning where the last ended. */
static void test_form_columns(void **state) {
  (void)state;
  fg_count_column c[FG_COUNT_COLUMNS_MAX];
  char name[48];
  assert_int_equal(fg_count_columns_for(150e-6, c), 5);
  assert_string_equal(fg_count_column_name(&c[0], name, sizeof name), "over 10");
  assert_string_equal(fg_count_column_name(&c[4], name, sizeof name), "60 to 100");
  assert_close(c[4].lower_m, 150e-6, 1e-12);
  assert_int_equal(fg_count_columns_for(180e-6, c), 5);
  assert_string_equal(fg_count_column_name(&c[4], name, sizeof name), "60 to 80");
  assert_int_equal(fg_count_columns_for(20e-6, c), 8);
  assert_int_equal(fg_count_columns_for(4.75e-3, c), 1);
  for (int step = 0; step < 57; ++step) {
    const double size = 20e-6 * pow(1.1, step);
    const size_t n = fg_count_columns_for(size, c);
    assert_true(n >= 1 && isinf(c[0].upper_m));
    for (size_t i = 1; i < n; ++i)
      assert_close(c[i].upper_m, c[i - 1].lower_m, 0.0);
    assert_between(c[n - 1].lower_m, size / 1.15, size * 1.15);
  }
}

/* Whatever bytes a form holds, reading it ends, and says something or gives counts. */
static void test_form_of_odd_bytes(void **state) {
  (void)state;
  static const char head[] = "station,bucket,gravel [gal],over 20,20 to 40,gold [mg]\na,1,,3,4,1\n";
  const fg_bucket_size size = {0.02, 1600.0};
  char path[] = "/tmp/flourgold-form-XXXXXX";
  const int file = mkstemp(path);
  assert_true(file >= 0);
  unsigned long seed = 12345;
  for (int round = 0; round < 400; ++round) {
    char bytes[sizeof head];
    memcpy(bytes, head, sizeof head);
    for (int i = 0; i < 3; ++i) {
      seed = (seed * 6364136223846793005UL + 1442695040888963407UL) & 0xffffffffffffUL;
      bytes[(seed >> 16) % (sizeof head - 1)] = (char)(seed >> 40);
    }
    assert_int_equal(pwrite(file, bytes, sizeof head - 1, 0), (ssize_t)sizeof head - 1);
    static fg_counts counts;
    fg_complaints complaints = {0};
    const fg_status status = fg_counts_read(path, &size, &counts, &complaints);
    assert_true(status == FG_OK || (status == FG_ESCENARIO && complaints.count > 0));
    if (status == FG_OK) {
      assert_true(counts.bucket_count == 1);
      assert_true(counts.buckets[0].colours >= 0.0 && counts.buckets[0].loose_m3 > 0.0);
      fg_counts_free(&counts);
    }
    fg_complaints_free(&complaints);
  }
  (void)close(file);
  (void)unlink(path);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_limits_far_out),
      cmocka_unit_test(test_limits_refuse),
      cmocka_unit_test(test_none_seen),
      cmocka_unit_test(test_clifton),
      cmocka_unit_test(test_equal_weights_are_garwood),
      cmocka_unit_test(test_bliss_and_fisher),
      cmocka_unit_test(test_no_scatter),
      cmocka_unit_test(test_index_of_dispersion),
      cmocka_unit_test(test_which_is_richer),
      cmocka_unit_test(test_nist_sequential),
      cmocka_unit_test(test_sequential_keeps_its_risks),
      cmocka_unit_test(test_grains_per_bucket),
      cmocka_unit_test(test_colours_of_a_lognormal),
      cmocka_unit_test(test_plan_trends),
      cmocka_unit_test(test_leaving_without_doubt_is_walds),
      cmocka_unit_test(test_leaving_holds_its_risks),
      cmocka_unit_test(test_leave_or_stay),
      cmocka_unit_test(test_readings_weigh_the_doubt_of_a_grade),
      cmocka_unit_test(test_round_trip),
      cmocka_unit_test(test_limits_by_size_hold),
      cmocka_unit_test(test_limits_of_gold_kept_hold),
      cmocka_unit_test(test_form_columns),
      cmocka_unit_test(test_form_of_odd_bytes),
  };
  return FG_RUN_GROUP(tests);
}
