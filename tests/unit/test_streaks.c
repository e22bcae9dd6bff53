/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the map of streaks is as sure as it says.  Fields are made here with known parameters
 * and places held back; other expected values are closed forms worked out beside them. */
#include "fg_test.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "stats/kriging.h"
#include "study/streaks.h"

enum {
  PLACES_MOST = 40,
  ASKED = 20,
  ASKED_TWICE = 2 * ASKED,
  POINTS_MOST = PLACES_MOST + ASKED_TWICE
};

/* ---- Fields -------------------------------------------------------------------------------- */

typedef struct field {
  double at[POINTS_MOST][2];
  double value[POINTS_MOST]; /* of the places, of ASKED places between, of ASKED fresh readings */
  size_t places;
} field;

typedef enum design { STRIP, SQUARE, GRID, DESIGNS } design;

static void put_place(gsl_rng *rng, design kind, size_t index, double at[2]) {
  const double across[] = {[STRIP] = 30.0, [SQUARE] = 70.0, [GRID] = 70.0};
  at[0] = 70.0 * gsl_rng_uniform(rng) * (kind == STRIP ? 2.0 : 1.0);
  at[1] = across[kind] * gsl_rng_uniform(rng);
  if (kind == GRID && index < PLACES_MOST) {
    const size_t row = index / 7;
    at[0] = 10.0 * (double)(index % 7) + gsl_ran_gaussian(rng, 0.5);
    at[1] = 12.0 * (double)row + gsl_ran_gaussian(rng, 0.5);
  }
}

/* Readings with the model's covariance: L z, with L L' the covariance matrix.  The fresh ones are
 * at the first places again, so only the nugget parts them. */
static void make_field(gsl_rng *rng, design kind, size_t places, const fg_variogram *v, field *f) {
  const size_t count = places + ASKED_TWICE;
  gsl_matrix *a = gsl_matrix_alloc(count, count);
  double z[POINTS_MOST];
  assert_non_null(a);
  f->places = places;
  for (size_t i = 0; i < count; ++i) {
    z[i] = gsl_ran_ugaussian(rng);
    if (i < places + ASKED)
      put_place(rng, i < places ? kind : (kind == STRIP ? STRIP : SQUARE), i, f->at[i]);
    else
      memcpy(f->at[i], f->at[(i - places - ASKED) % places], sizeof f->at[i]);
    for (size_t j = 0; j <= i; ++j) {
      const double distance =
          fg_variogram_distance(v, f->at[i][0] - f->at[j][0], f->at[i][1] - f->at[j][1]);
      gsl_matrix_set(a, i, j,
                     i == j ? v->sill * (1.0 + 1e-9) : fg_variogram_covariance(v, distance));
    }
  }
  assert_int_equal(gsl_linalg_cholesky_decomp1(a), GSL_SUCCESS);
  for (size_t i = 0; i < count; ++i) {
    f->value[i] = 0.0;
    for (size_t j = 0; j <= i; ++j)
      f->value[i] += gsl_matrix_get(a, i, j) * z[j];
  }
  gsl_matrix_free(a);
}

/* ---- Coming true --------------------------------------------------------------------------- */

/* Bands of a chance that was said, by their upper ends. */
static const double ends[] = {0.2, 0.4, 0.6, 0.8, 0.95, 1.01};
enum { BANDS = sizeof ends / sizeof ends[0] };

/* What came true of what was said. */
typedef struct tally {
  double asked, in_80, in_95;
  double said[BANDS], beat[BANDS], count[BANDS];
} tally;

static bool is_within_95(const fg_streaks *s, const fg_kriged *got, double truth) {
  const double reach = gsl_cdf_tdist_Pinv(0.975, s->freedom) * sqrt(got->variance);
  return fabs(fg_scale_to(&s->scale, truth) - got->estimate) <= reach;
}

static void count_one(const fg_streaks *s, const fg_kriged *got, double truth, tally *t) {
  const fg_foretold f = fg_foretell(s, got);
  size_t band = 0;
  while (f.chance >= ends[band])
    ++band;
  t->asked += 1.0;
  t->in_80 += truth >= f.low && truth <= f.high;
  t->in_95 += is_within_95(s, got, truth);
  t->said[band] += f.chance;
  t->beat[band] += truth > s->cut;
  t->count[band] += 1.0;
}

/* A reading that the program is given for a normal value. */
static double reading_of(double value, bool skewed) { return skewed ? exp(value) : 20.0 + value; }

/* Maps the places, and asks of those between and of the fresh readings. */
static void judge(const field *f, bool skewed, tally *between, tally *fresh) {
  fg_reading list[PLACES_MOST] = {0};
  fg_readings readings = {.list = list, .count = f->places, .unit_m = 1.0, .unit = "m"};
  const fg_streaks_options options = {
      .direction_rad = (double)NAN, .cut = (double)NAN, .power = 2.0};
  fg_streaks s;
  fg_kriging *kriging = NULL;
  for (size_t i = 0; i < f->places; ++i)
    list[i] = (fg_reading){.x_m = f->at[i][0],
                           .y_m = f->at[i][1],
                           .value = reading_of(f->value[i], skewed),
                           .pan = (double)NAN,
                           .merged = 1};
  assert_int_equal(fg_streaks_run(&readings, &options, &s), FG_OK);
  assert_int_equal(fg_streaks_kriging(&readings, &s, &kriging), FG_OK);
  for (size_t i = f->places; i < f->places + ASKED_TWICE; ++i) {
    fg_kriged got;
    assert_int_equal(fg_kriging_at(kriging, f->at[i][0], f->at[i][1], &got), FG_OK);
    count_one(&s, &got, reading_of(f->value[i], skewed), i < f->places + ASKED ? between : fresh);
  }
  fg_kriging_free(kriging);
  fg_streaks_free(&s);
}

static const fg_variogram truths[] = {
    {FG_VARIOGRAM_EXPONENTIAL, 0.0, 1.0, 60.0, 0.0, 1.0},
    {FG_VARIOGRAM_SPHERICAL, 0.0, 1.0, 45.0, 0.0, 1.0},
    {FG_VARIOGRAM_EXPONENTIAL, 0.3, 1.0, 60.0, 0.0, 1.0},
    {FG_VARIOGRAM_SPHERICAL, 0.4, 1.0, 80.0, 1.0, 0.4},
    {FG_VARIOGRAM_NUGGET, 1.0, 1.0, 1.0, 0.0, 1.0},
};
enum { TRUTHS = sizeof truths / sizeof truths[0] };
static const size_t sizes[] = {8, 12, 16, 25, 40};
enum { SIZES = sizeof sizes / sizeof sizes[0], ROUNDS = 8 };

static void tell(const char *what, const tally *t) {
  print_message("%s: 80 %% came true in %.3f, 95 %% in %.3f of %.0f\n", what, t->in_80 / t->asked,
                t->in_95 / t->asked, t->asked);
  for (size_t i = 0; i < BANDS; ++i)
    print_message("  said %.2f, true %.2f of %.0f\n", t->said[i] / t->count[i],
                  t->beat[i] / t->count[i], t->count[i]);
}

/* 200 fields of five kinds, three designs, five sizes, every fourth one skewed.  Places of a field
 * go together, so some 3 in 100 are chance even so (80 %); a chance that is said may be 12 points
 * off in its band, of which there are some hundred cases each. */
static void test_what_is_said_comes_true(void **state) {
  (void)state;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  tally between = {0};
  tally fresh = {0};
  for (size_t size = 0; size < SIZES; ++size)
    for (size_t truth = 0; truth < TRUTHS; ++truth)
      for (size_t round = 0; round < ROUNDS; ++round) {
        static field f;
        make_field(rng, (design)(round % DESIGNS), sizes[size], &truths[truth], &f);
        judge(&f, round % 4 == 3, &between, &fresh);
      }
  gsl_rng_free(rng);
  tell("between readings", &between);
  tell("fresh readings at the places", &fresh);
  assert_within(between.in_80 / between.asked, 0.80, 0.04);
  assert_within(between.in_95 / between.asked, 0.95, 0.04);
  /* Without a nugget a fresh reading repeats the old one, which no model of a nugget can know. */
  assert_between(fresh.in_80 / fresh.asked, 0.76, 0.92);
  assert_between(fresh.in_95 / fresh.asked, 0.91, 1.00);
  for (size_t i = 0; i < BANDS; ++i) {
    const double count = between.count[i] + fresh.count[i];
    assert_within((between.beat[i] + fresh.beat[i]) / count,
                  (between.said[i] + fresh.said[i]) / count, 0.12);
  }
}

/* ---- Whether there is a pattern at all ------------------------------------------------------ */

/* How many of `fields` such fields are given a pattern. */
static double patterns(gsl_rng *rng, const fg_variogram *truth, size_t least, size_t fields) {
  const fg_variogram_freedom freedom = {true, (double)NAN, 5.0, 150.0};
  double found = 0.0;
  for (size_t i = 0; i < fields; ++i) {
    static field f;
    fg_datum data[PLACES_MOST];
    double chance = 0.0;
    make_field(rng, (design)(i % DESIGNS), least + i % (PLACES_MOST - least + 1), truth, &f);
    for (size_t k = 0; k < f.places; ++k)
      data[k] = (fg_datum){.x_m = f.at[k][0], .y_m = f.at[k][1], .value = f.value[k]};
    assert_int_equal(fg_variogram_chance(data, f.places, &freedom, &chance), FG_OK);
    assert_between(chance, 1.0 / (FG_SHUFFLES + 1), 1.0);
    found += chance <= FG_STREAKS_CHANCE;
  }
  return found / (double)fields;
}

/* One in twenty is what the test is made for; of 300 up to 8 in 100 are chance.  And where likeness
 * reaches over half the ground, 30 to 40 places show it nearly always. */
static void test_noise_is_given_no_pattern(void **state) {
  (void)state;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  const fg_variogram noise = {FG_VARIOGRAM_NUGGET, 1.0, 1.0, 1.0, 0.0, 1.0};
  const double by_luck = patterns(rng, &noise, 12, 300);
  const double real = patterns(rng, &truths[1], 30, 60);
  gsl_rng_free(rng);
  print_message("given a pattern: noise %.3f, likeness %.3f\n", by_luck, real);
  assert_between(by_luck, 0.015, 0.08);
  assert_between(real, 0.9, 1.0);
}

/* ---- The sill and repeats ------------------------------------------------------------------- */

#define AT(x, y, reading)                                                                          \
  { .x_m = (x), .y_m = (y), .value = (reading) }

/* Of three data at equal distances with correlation r between any two, the two contrasts have the
 * variance sill (1 - r): the restricted sill is the plain variance over 1 - r. */
static void test_sill_of_three_data_by_hand(void **state) {
  (void)state;
  const fg_datum three[] = {AT(0, 0, 1), AT(10, 0, 2), AT(5, 5 * sqrt(3.0), 6)};
  fg_variogram v = {FG_VARIOGRAM_EXPONENTIAL, 2.0, 8.0, 30.0, 0.0, 1.0};
  const double correlation = 0.75 * exp(-1.0);
  assert_int_equal(fg_variogram_scale(three, 3, &v), FG_OK);
  assert_close(v.sill, 7.0 / (1.0 - correlation), 1e-9);
  assert_close(v.nugget, 0.25 * v.sill, 1e-12);
  assert_close(fg_variogram_free(three, 3), 2.0, 1e-12);
}

/* With a nugget alone, repeats put together at their places tell what all readings one by one do:
 * 1, 3 | 4 | 7, 8, 9 have the variance (220 - 32^2 / 6) / 5 = 148/15. */
static void test_repeats_tell_what_single_readings_do(void **state) {
  (void)state;
  const fg_datum places[] = {
      {0.0, 0.0, 2.0, 2.0, 2.0}, {9.0, 0.0, 4.0, 1.0, 0.0}, {0.0, 9.0, 8.0, 3.0, 2.0}};
  fg_variogram v = {FG_VARIOGRAM_NUGGET, 1.0, 1.0, 1.0, 0.0, 1.0};
  assert_int_equal(fg_variogram_scale(places, 3, &v), FG_OK);
  assert_close(v.sill, 148.0 / 15.0, 1e-9);
  assert_close(fg_variogram_free(places, 3), 5.0, 1e-12);
  /* Their weights for the mean are as their numbers. */
  fg_kriging *k = NULL;
  fg_kriged got;
  assert_int_equal(fg_kriging_new(places, 3, &v, 3, &k), FG_OK);
  assert_int_equal(fg_kriging_at(k, 50.0, 50.0, &got), FG_OK);
  assert_close(got.estimate, 32.0 / 6.0, 1e-9);
  assert_close(got.variance, v.sill * (1.0 + 1.0 / 6.0), 1e-9);
  fg_kriging_free(k);
}

/* Readings on a plane, each place read three times within a tenth: the nugget is about the variance
 * of those readings, 0.01; read once, it cannot be told so small. */
static void test_repeats_measure_the_nugget(void **state) {
  (void)state;
  enum { SIDE = 4, COUNT = SIDE * SIDE };
  const fg_variogram_freedom freedom = {false, (double)NAN, 5.0, 60.0};
  fg_datum data[COUNT];
  fg_variogram once;
  fg_variogram thrice;
  double evidence;
  for (size_t i = 0; i < COUNT; ++i) {
    const size_t row = i / SIDE;
    const double x = (double)(i % SIDE);
    const double y = (double)row;
    data[i] = (fg_datum){10.0 * x, 10.0 * y, sin(2.0 * x) + cos(1.7 * y), 1.0, 0.0};
  }
  assert_int_equal(
      fg_variogram_fit(FG_VARIOGRAM_EXPONENTIAL, data, COUNT, &freedom, &once, &evidence), FG_OK);
  for (size_t i = 0; i < COUNT; ++i) {
    data[i].repeats = 3.0;
    data[i].scatter = 2.0 * 0.01;
  }
  assert_int_equal(
      fg_variogram_fit(FG_VARIOGRAM_EXPONENTIAL, data, COUNT, &freedom, &thrice, &evidence), FG_OK);
  assert_close(thrice.nugget, 0.01, 0.5);
  assert_true(once.nugget > 5.0 * thrice.nugget);
}

/* Below 12 places: exponential, range half the diagonal nugget a quarter of the sill, so
 * that no flag is certain. */
static void test_few_places_get_a_nugget(void **state) {
  (void)state;
  fg_reading list[5] = {0};
  fg_readings readings = {.list = list, .count = 5, .unit_m = 1.0, .unit = "m"};
  const fg_streaks_options options = {
      .direction_rad = (double)NAN, .cut = (double)NAN, .power = 2.0};
  fg_streaks s;
  for (int i = 0; i < 5; ++i)
    list[i] = (fg_reading){.x_m = 16.0 * i,
                           .y_m = i % 2 == 0 ? 0.0 : 12.0 * (i - 2),
                           .value = 3.0 + i * i,
                           .pan = (double)NAN,
                           .merged = 1};
  assert_int_equal(fg_streaks_run(&readings, &options, &s), FG_OK);
  assert_true(s.assumed);
  assert_int_equal(s.variogram.kind, FG_VARIOGRAM_EXPONENTIAL);
  assert_close(s.variogram.nugget, 0.25 * s.variogram.sill, 1e-9);
  assert_close(s.variogram.range_m, 0.5 * hypot(64.0, 24.0), 1e-9);
  assert_true(s.freedom == 4.0);
  assert_between(s.flags[0].there.chance, 0.5, 0.99);
  fg_streaks_free(&s);
}

/* ---- Skewed readings ------------------------------------------------------------------------ */

/* Quantiles of a normal distribution, and what has them for its logarithm. */
static void test_scale_is_found(void **state) {
  (void)state;
  enum { COUNT = 25 };
  double normal[COUNT];
  double skewed[COUNT];
  double shifted[COUNT];
  for (size_t i = 0; i < COUNT; ++i) {
    const double z = gsl_cdf_ugaussian_Pinv(((double)i + 0.5) / COUNT);
    normal[i] = 10.0 + 2.0 * z;
    skewed[i] = exp(1.0 + z);
    shifted[i] = exp(1.0 + z) - 5.0;
  }
  assert_false(fg_scale_choose(normal, COUNT).logarithmic);
  assert_false(fg_scale_choose(skewed, FG_SCALE_LEAST - 1).logarithmic);
  fg_value_scale scale = fg_scale_choose(skewed, COUNT);
  assert_true(scale.logarithmic && scale.shift == 0.0);
  scale = fg_scale_choose(shifted, COUNT);
  assert_true(scale.logarithmic);
  assert_within(scale.shift, -5.0, 1e-9);
  assert_close(fg_scale_back(&scale, fg_scale_to(&scale, 3.0)), 3.0, 1e-12);
  assert_true(isinf(fg_scale_to(&scale, -6.0)));
}

/* Over all fields with a known model the estimate is normal with the variance w'Cw, so the mean of
 * exp(estimate + variance / 2 - lagrange) can be worked out: it must be that of the readings,
 * exp(mean + sill / 2). */
static void test_lognormal_mean_is_right_in_the_mean(void **state) {
  (void)state;
  const fg_datum three[] = {AT(0, 0, 0), AT(20, 0, 0), AT(5, 30, 0)};
  const fg_variogram v = {FG_VARIOGRAM_EXPONENTIAL, 0.2, 0.9, 50.0, 0.0, 1.0};
  const fg_value_scale scale = {true, 0.0};
  fg_kriging *k = NULL;
  fg_kriged got;
  assert_int_equal(fg_kriging_new(three, 3, &v, 3, &k), FG_OK);
  assert_int_equal(fg_kriging_at(k, 12.0, 8.0, &got), FG_OK);
  size_t count;
  const size_t *index;
  const double *weight;
  fg_kriging_last(k, &count, &index, &weight);
  double spread = 0.0;
  for (size_t i = 0; i < count; ++i)
    for (size_t j = 0; j < count; ++j) {
      const fg_datum *a = &three[index[i]];
      const fg_datum *b = &three[index[j]];
      const double far = hypot(a->x_m - b->x_m, a->y_m - b->y_m);
      spread += weight[i] * weight[j] * (i == j ? v.sill : fg_variogram_covariance(&v, far));
    }
  const double constant = fg_scale_mean(&scale, 0.0, got.variance, got.lagrange);
  assert_close(constant * exp(0.5 * spread), exp(0.5 * v.sill), 1e-9);
  fg_kriging_free(k);
}

/* Chance, limits and mean of a log-normal reading, by the integral of its density. */
typedef struct skewed_case {
  double mean, sd, cut;
} skewed_case;

static double regret(double z, void *context) {
  const skewed_case *c = context;
  const bool dig = exp(c->mean + 0.5 * c->sd * c->sd) > c->cut;
  const double off = exp(z) - c->cut;
  const double lost = dig ? -off : off;
  return lost > 0.0 ? lost * gsl_ran_gaussian_pdf(z - c->mean, c->sd) : 0.0;
}

static void test_worth_of_knowing_a_skewed_place(void **state) {
  (void)state;
  static skewed_case cases[] = {{1.0, 0.5, 2.0}, {0.0, 1.0, 4.0}, {2.0, 0.3, 7.0}};
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(500);
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    gsl_function f = {regret, &cases[i]};
    double sum;
    double error;
    assert_int_equal(gsl_integration_qag(&f, cases[i].mean - 12 * cases[i].sd,
                                         cases[i].mean + 12 * cases[i].sd, 1e-10, 1e-9, 500,
                                         GSL_INTEG_GAUSS31, space, &sum, &error),
                     GSL_SUCCESS);
    assert_within(fg_worth_of_knowing_skewed(cases[i].mean, cases[i].sd, cases[i].cut), sum, 1e-7);
  }
  gsl_integration_workspace_free(space);
  assert_true(fg_worth_of_knowing_skewed(1.0, 0.0, 2.0) == 0.0);
}

/* Student's table: 1.372 is passed by one in ten at 10 degrees of freedom; a log-normal's deviation
 * is mean sqrt(exp(s^2) - 1). */
static void test_a_foretold_reading(void **state) {
  (void)state;
  const fg_kriged got = {2.0, 0.25, 0.0};
  fg_streaks s = {.freedom = 10.0, .cut = 2.0 - 0.5 * 1.372};
  fg_foretold f = fg_foretell(&s, &got);
  assert_close(f.low, 2.0 - 0.5 * 1.372, 1e-3);
  assert_close(f.high, 2.0 + 0.5 * 1.372, 1e-3);
  assert_close(f.chance, 0.9, 1e-3);
  assert_true(f.estimate == 2.0 && f.sd == 0.5);
  s = (fg_streaks){.freedom = (double)INFINITY, .cut = exp(2.0), .scale = {true, 0.0}};
  f = fg_foretell(&s, &got);
  assert_close(f.estimate, exp(2.125), 1e-12);
  assert_close(f.sd, exp(2.125) * sqrt(exp(0.25) - 1.0), 1e-12);
  assert_close(f.high, exp(2.0 + 0.5 * 1.2815515655446004), 1e-9);
  assert_close(f.chance, 0.5, 1e-12);
  s.cut = -1.0; /* below all that can be read */
  assert_true(fg_foretell(&s, &got).chance == 1.0);
  assert_true(fg_foretell(&s, &got).gain == 0.0);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_what_is_said_comes_true),
      cmocka_unit_test(test_noise_is_given_no_pattern),
      cmocka_unit_test(test_sill_of_three_data_by_hand),
      cmocka_unit_test(test_repeats_tell_what_single_readings_do),
      cmocka_unit_test(test_repeats_measure_the_nugget),
      cmocka_unit_test(test_few_places_get_a_nugget),
      cmocka_unit_test(test_scale_is_found),
      cmocka_unit_test(test_lognormal_mean_is_right_in_the_mean),
      cmocka_unit_test(test_worth_of_knowing_a_skewed_place),
      cmocka_unit_test(test_a_foretold_reading),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
