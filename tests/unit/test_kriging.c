/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings, projection, variograms, kriging, the ranking.  Expected values come from the sources
 * named at each test, from closed forms worked out beside them, or from fields made here with
 * known parameters. */
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

#include "core/project.h"
#include "stats/kriging.h"
#include "stats/neighbours.h"
#include "stats/regression.h"
#include "study/streaks.h"

static const double pi = 3.14159265358979323846;

/* ---- Projection --------------------------------------------------------------------------- */

/* EPSG Guidance Note 7-2, Transverse Mercator, example OSGB 1936 / British National Grid:
 * 50 deg 30' N, 0 deg 30' E is E 577274.99, N 69740.50 (value from memory). */
static void test_projection_meets_the_national_grid_example(void **state) {
  (void)state;
  const fg_ellipsoid airy = {6377563.396, 1.0 / 299.32496};
  fg_tmerc p;
  double x;
  double y;
  assert_int_equal(fg_tmerc_set(&airy, 49.0, -2.0, 0.9996012717, &p), FG_OK);
  assert_int_equal(fg_tmerc_forward(&p, 50.5, 0.5, &x, &y), FG_OK);
  assert_within(x + 400000.0, 577274.99, 0.015);
  assert_within(y - 100000.0, 69740.50, 0.015);
}

/* The quarter meridian of WGS 84 is 10001965.729 m (value from memory). */
static void test_projection_measures_the_meridian(void **state) {
  (void)state;
  fg_tmerc p;
  double x;
  double y;
  assert_int_equal(fg_tmerc_set(&fg_wgs84, 0.0, 10.0, 1.0, &p), FG_OK);
  assert_int_equal(fg_tmerc_forward(&p, 90.0, 10.0, &x, &y), FG_OK);
  assert_within(y, 10001965.729, 0.001);
  assert_within(x, 0.0, 1e-6);
}

static void test_projection_comes_back(void **state) {
  (void)state;
  static const double places[][2] = {{34, -113}, {-33.5, 151}, {0, 0}, {71, 179.95}, {-45, -180}};
  for (size_t i = 0; i < sizeof places / sizeof places[0]; ++i)
    for (int k = 0; k < 8; ++k) {
      fg_tmerc p;
      double x;
      double y;
      double latitude;
      double longitude;
      const double angle = pi * k / 4.0;
      assert_int_equal(fg_tmerc_set(&fg_wgs84, places[i][0], places[i][1], 1.0, &p), FG_OK);
      assert_int_equal(
          fg_tmerc_inverse(&p, 20e3 * sin(angle), 20e3 * cos(angle), &latitude, &longitude), FG_OK);
      assert_between(longitude, -180.0, 180.0);
      assert_int_equal(fg_tmerc_forward(&p, latitude, longitude, &x, &y), FG_OK);
      assert_within(x, 20e3 * sin(angle), 1e-6);
      assert_within(y, 20e3 * cos(angle), 1e-6);
    }
}

static void test_projection_refuses_what_is_no_place(void **state) {
  (void)state;
  fg_tmerc p;
  double x = 7.0;
  double y = 7.0;
  assert_int_equal(fg_tmerc_set(&fg_wgs84, 120.0, 0.0, 1.0, &p), FG_EDOMAIN);
  assert_int_equal(fg_tmerc_set(&fg_wgs84, 34.0, -113.0, 1.0, &p), FG_OK);
  assert_int_equal(fg_tmerc_forward(&p, (double)NAN, 0.0, &x, &y), FG_EDOMAIN);
  assert_int_equal(fg_tmerc_forward(&p, 34.0, 10.0, &x, &y), FG_EDOMAIN);
  assert_true(x == 7.0 && y == 7.0);
}

/* ---- Neighbours --------------------------------------------------------------------------- */

static void test_neighbours_are_those_of_a_plain_search(void **state) {
  (void)state;
  enum { COUNT = 300, MOST = 12 };
  static double points[COUNT][2];
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  for (size_t i = 0; i < COUNT; ++i) {
    /* Whole numbers give many equal coordinates and distances. */
    points[i][0] = floor(20.0 * gsl_rng_uniform(rng));
    points[i][1] = floor(20.0 * gsl_rng_uniform(rng));
  }
  fg_neighbours *tree = NULL;
  assert_int_equal(fg_neighbours_new((const double(*)[2])points, COUNT, &tree), FG_OK);
  for (size_t trial = 0; trial < 200; ++trial) {
    const double x = floor(40.0 * gsl_rng_uniform(rng)) / 2.0;
    const double y = floor(40.0 * gsl_rng_uniform(rng)) / 2.0;
    const size_t skip = trial % COUNT;
    size_t index[MOST];
    double square[MOST];
    assert_int_equal(fg_neighbours_find(tree, x, y, MOST, skip, index, square), MOST);
    for (size_t i = 0; i < COUNT; ++i) {
      const double dx = points[i][0] - x;
      const double dy = points[i][1] - y;
      const double own = dx * dx + dy * dy;
      bool listed = false;
      for (size_t k = 0; k < MOST; ++k)
        listed = listed || index[k] == i;
      const bool nearer =
          own < square[MOST - 1] || (own == square[MOST - 1] && i <= index[MOST - 1]);
      assert_int_equal(listed, nearer && i != skip);
    }
  }
  fg_neighbours_free(tree);
  gsl_rng_free(rng);
}

/* ---- Kriging ------------------------------------------------------------------------------ */

#define AT(x, y, reading)                                                                          \
  { .x_m = (x), .y_m = (y), .value = (reading) }

static const fg_datum seven[] = {AT(61, 139, 477), AT(63, 140, 696), AT(64, 129, 227),
                                 AT(68, 128, 646), AT(71, 140, 606), AT(73, 141, 791),
                                 AT(75, 128, 783)};

static const fg_value_scale own_scale = {false, 0.0};

static fg_kriging *make_kriging(const fg_datum *data, size_t count, const char *model,
                                size_t neighbours) {
  char message[256];
  fg_variogram v;
  fg_kriging *k = NULL;
  assert_true(fg_variogram_parse(model, &v, message, sizeof message));
  assert_int_equal(fg_kriging_new(data, count, &v, neighbours, &k), FG_OK);
  return k;
}

static double weight_of(const fg_kriging *k, size_t datum) {
  size_t count;
  const size_t *index;
  const double *weight;
  fg_kriging_last(k, &count, &index, &weight);
  for (size_t i = 0; i < count; ++i)
    if (index[i] == datum)
      return weight[i];
  return 0.0;
}

/* Isaaks & Srivastava (1989), ch. 12, covariance 10 exp(-0.3 h) at (65, 137): weights, estimate
 * 592.7 and variance 8.96 as printed (values from memory). */
static void test_kriging_meets_the_seven_point_example(void **state) {
  (void)state;
  static const double weights[] = {.173, .318, .129, .086, .151, .057, .086};
  fg_kriging *k = make_kriging(seven, 7, "exponential nugget=0 sill=10 range=10", 7);
  fg_kriged got;
  assert_int_equal(fg_kriging_at(k, 65, 137, &got), FG_OK);
  assert_within(got.estimate, 592.7, 0.05);
  assert_within(got.variance, 8.96, 0.005);
  for (size_t i = 0; i < 7; ++i)
    assert_within(weight_of(k, i), weights[i], 0.0005);
  fg_kriging_free(k);
}

/* Two data a apart, place on their middle line: weights are 1/2 each, and the variance is
 * sill - 2 c(d) + (sill + c(a)) / 2 by the definition of the error's variance. */
static void test_kriging_of_two_data_by_hand(void **state) {
  (void)state;
  const fg_datum two[] = {AT(0, 0, 2), AT(6, 0, 4)};
  fg_kriging *k = make_kriging(two, 2, "spherical nugget=1 sill=5 range=12", 2);
  fg_kriged got;
  assert_int_equal(fg_kriging_at(k, 3, 4, &got), FG_OK);
  const double apart = 4.0 * (1.0 - 1.5 * 0.5 + 0.5 * 0.125);
  const double near = 4.0 * (1.0 - 1.5 * (5.0 / 12.0) + 0.5 * pow(5.0 / 12.0, 3.0));
  assert_close(got.estimate, 3.0, 1e-12);
  assert_close(got.variance, 5.0 - 2.0 * near + 0.5 * (5.0 + apart), 1e-12);
  fg_kriging_free(k);
}

static const char *const models[] = {"exponential nugget=0 sill=3 range=40",
                                     "spherical nugget=0 sill=3 range=25",
                                     "gaussian nugget=0.1 sill=3 range=30",
                                     "exponential nugget=1 sill=3 range=40",
                                     "spherical nugget=0 sill=3 range=60 direction=30 ratio=0.3",
                                     "nugget nugget=2",
                                     "gaussian nugget=0 sill=3 range=20"};
enum { MODELS = sizeof models / sizeof models[0], FIELD = 150 };

static void scatter_places(gsl_rng *rng, fg_datum *data, size_t count) {
  for (size_t i = 0; i < count; ++i)
    data[i] = (fg_datum)AT(100.0 * gsl_rng_uniform(rng), 100.0 * gsl_rng_uniform(rng),
                           10.0 + gsl_ran_gaussian(rng, 2.0));
}

static void test_weights_sum_to_one(void **state) {
  (void)state;
  static fg_datum data[FIELD];
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  scatter_places(rng, data, FIELD);
  for (size_t m = 0; m < MODELS; ++m) {
    fg_kriging *k = make_kriging(data, FIELD, models[m], 24);
    for (size_t trial = 0; trial < 40; ++trial) {
      fg_kriged got;
      double sum = 0.0;
      assert_int_equal(fg_kriging_at(k, 120.0 * gsl_rng_uniform(rng) - 10.0,
                                     120.0 * gsl_rng_uniform(rng) - 10.0, &got),
                       FG_OK);
      for (size_t i = 0; i < FIELD; ++i)
        sum += weight_of(k, i);
      assert_within(sum, 1.0, 1e-9);
      assert_between(got.variance, 0.0, 3.0 * 2.5);
    }
    fg_kriging_free(k);
  }
  gsl_rng_free(rng);
}

static void test_data_are_met_without_a_nugget_and_smoothed_with_one(void **state) {
  (void)state;
  static fg_datum data[FIELD];
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  scatter_places(rng, data, FIELD);
  for (size_t m = 0; m < MODELS; ++m) {
    fg_kriging *k = make_kriging(data, FIELD, models[m], 24);
    const bool exact = strstr(models[m], "nugget=0 ") != NULL;
    for (size_t i = 0; i < FIELD; ++i) {
      fg_kriged got;
      assert_int_equal(fg_kriging_at(k, data[i].x_m, data[i].y_m, &got), FG_OK);
      if (exact) {
        assert_close(got.estimate, data[i].value, 1e-12);
        assert_true(got.variance == 0.0);
      } else {
        assert_true(got.variance > 0.0);
      }
    }
    fg_kriging_free(k);
  }
  gsl_rng_free(rng);
}

/* Close by a datum the estimate must go over into it, by the solver and not by a special case. */
static void test_estimate_is_continuous_at_data(void **state) {
  (void)state;
  fg_kriging *k = make_kriging(seven, 7, "spherical nugget=0 sill=10 range=30", 7);
  for (size_t i = 0; i < 7; ++i) {
    fg_kriged got;
    assert_int_equal(fg_kriging_at(k, seven[i].x_m + 1e-6, seven[i].y_m, &got), FG_OK);
    assert_within(got.estimate, seven[i].value, 1e-3);
    assert_between(got.variance, 0.0, 1e-5);
  }
  fg_kriging_free(k);
}

/* All data at one distance: plain mean whatever the power.  One of two at twice the distance:
 * weights 1 and 2^-p. */
static void test_inverse_distance_by_hand(void **state) {
  (void)state;
  const fg_datum ring[] = {AT(5, 0, 1), AT(-5, 0, 2), AT(0, 5, 6), AT(0, -10, 8)};
  fg_kriging *k = make_kriging(ring, 4, "exponential sill=1 range=10", 4);
  fg_kriged got;
  assert_int_equal(fg_kriging_at(k, 0, 0, &got), FG_OK);
  assert_close(fg_inverse_distance(k, 2.0, &own_scale), (1 + 2 + 6 + 8 / 4.0) / 3.25, 1e-12);
  assert_close(fg_inverse_distance(k, 1.0, &own_scale), (1 + 2 + 6 + 8 / 2.0) / 3.5, 1e-12);
  assert_int_equal(fg_kriging_at(k, 0, 5, &got), FG_OK);
  assert_true(fg_inverse_distance(k, 2.0, &own_scale) == 6.0);
  fg_kriging_free(k);
}

static void test_kriging_refuses_what_it_cannot_use(void **state) {
  (void)state;
  const fg_variogram good = {FG_VARIOGRAM_EXPONENTIAL, 0.0, 1.0, 10.0, 0.0, 1.0};
  const fg_variogram bad = {FG_VARIOGRAM_EXPONENTIAL, 2.0, 1.0, 10.0, 0.0, 1.0};
  const fg_datum odd[] = {AT(0, 0, 1), AT(1, (double)NAN, 1)};
  fg_kriging *k = NULL;
  fg_kriged got;
  assert_int_equal(fg_kriging_new(seven, 0, &good, 8, &k), FG_EDOMAIN);
  assert_int_equal(fg_kriging_new(seven, 7, &bad, 8, &k), FG_EDOMAIN);
  assert_int_equal(fg_kriging_new(seven, 7, &good, 1000, &k), FG_EDOMAIN);
  assert_int_equal(fg_kriging_new(odd, 2, &good, 8, &k), FG_EDOMAIN);
  assert_null(k);
  assert_int_equal(fg_kriging_new(seven, 7, &good, 8, &k), FG_OK);
  assert_int_equal(fg_kriging_at(k, (double)NAN, 0, &got), FG_EDOMAIN);
  assert_int_equal(fg_kriging_without(k, 7, &got), FG_EDOMAIN);
  fg_kriging_free(k);
}

/* ---- Variogram ---------------------------------------------------------------------------- */

/* Practical range: 5 % of the likeness is left (exactly e^-3); the spherical has none. */
static void test_models_end_at_their_range(void **state) {
  (void)state;
  fg_variogram v = {FG_VARIOGRAM_EXPONENTIAL, 2.0, 12.0, 50.0, 0.0, 1.0};
  assert_close(fg_variogram_covariance(&v, 50.0), 10.0 * exp(-3.0), 1e-12);
  assert_close(fg_variogram_gamma(&v, 30.0, 40.0), 12.0 - 10.0 * exp(-3.0), 1e-12);
  assert_true(fg_variogram_gamma(&v, 0.0, 0.0) == 0.0);
  v.kind = FG_VARIOGRAM_GAUSSIAN;
  assert_close(fg_variogram_covariance(&v, 50.0), 10.0 * exp(-3.0), 1e-12);
  v.kind = FG_VARIOGRAM_SPHERICAL;
  assert_true(fg_variogram_covariance(&v, 50.0) == 0.0);
  assert_close(fg_variogram_covariance(&v, 25.0), 10.0 * (1.0 - 0.75 + 0.0625), 1e-12);
  /* Along azimuth 90 deg the range is whole, across it a quarter. */
  v.direction_rad = pi / 2.0;
  v.ratio = 0.25;
  assert_close(fg_variogram_distance(&v, 10.0, 0.0), 10.0, 1e-12);
  assert_close(fg_variogram_distance(&v, 0.0, 10.0), 40.0, 1e-12);
}

/* A field with the model's covariance: L z, with L L' the covariance matrix. */
static void simulate(gsl_rng *rng, const fg_variogram *v, fg_datum *data, size_t count) {
  gsl_matrix *a = gsl_matrix_alloc(count, count);
  double *z = malloc(count * sizeof *z);
  if (!a || !z)
    abort();
  for (size_t i = 0; i < count; ++i) {
    z[i] = gsl_ran_ugaussian(rng);
    for (size_t j = 0; j < count; ++j)
      gsl_matrix_set(
          a, i, j,
          i == j ? v->sill
                 : fg_variogram_covariance(v, fg_variogram_distance(v, data[i].x_m - data[j].x_m,
                                                                    data[i].y_m - data[j].y_m)));
  }
  assert_int_equal(gsl_linalg_cholesky_decomp1(a), GSL_SUCCESS);
  for (size_t i = 0; i < count; ++i) {
    data[i].value = 20.0;
    for (size_t j = 0; j <= i; ++j)
      data[i].value += gsl_matrix_get(a, i, j) * z[j];
  }
  gsl_matrix_free(a);
  free(z);
}

enum { SIMULATED = 260, RUNS = 14 };

/* The mean over several fields of what is fitted, range by its logarithm. */
static void fit_fields(const fg_variogram *truth, bool anisotropic, fg_variogram *mean,
                       double turned[2]) {
  static fg_datum data[SIMULATED];
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  const fg_variogram_freedom freedom = {anisotropic, (double)NAN, 1.0, 140.0};
  *mean = (fg_variogram){0};
  turned[0] = turned[1] = 0.0;
  for (int run = 0; run < RUNS; ++run) {
    fg_variogram v;
    double evidence;
    scatter_places(rng, data, SIMULATED);
    simulate(rng, truth, data, SIMULATED);
    assert_int_equal(fg_variogram_fit(truth->kind, data, SIMULATED, &freedom, &v, &evidence),
                     FG_OK);
    mean->nugget += v.nugget / RUNS;
    mean->sill += v.sill / RUNS;
    mean->range_m += log(v.range_m) / RUNS;
    mean->ratio += log(v.ratio) / RUNS;
    turned[0] += cos(2.0 * v.direction_rad);
    turned[1] += sin(2.0 * v.direction_rad);
  }
  mean->range_m = exp(mean->range_m);
  mean->ratio = exp(mean->ratio);
  gsl_rng_free(rng);
}

/* Fourteen fields leave the mean of the fits a scatter of some 10 %; a quarter is allowed. */
static void test_fits_recover_known_fields(void **state) {
  (void)state;
  static const fg_variogram truths[] = {
      {FG_VARIOGRAM_EXPONENTIAL, 1.0, 5.0, 30.0, 0.0, 1.0},
      {FG_VARIOGRAM_SPHERICAL, 1.0, 5.0, 25.0, 0.0, 1.0},
      {FG_VARIOGRAM_GAUSSIAN, 1.0, 5.0, 25.0, 0.0, 1.0},
  };
  for (size_t i = 0; i < sizeof truths / sizeof truths[0]; ++i) {
    fg_variogram mean;
    double turned[2];
    fit_fields(&truths[i], false, &mean, turned);
    assert_close(mean.sill, truths[i].sill, 0.2);
    assert_close(mean.range_m, truths[i].range_m, 0.25);
    assert_within(mean.nugget, truths[i].nugget, 0.5);
  }
}

static void test_fits_find_the_direction(void **state) {
  (void)state;
  const fg_variogram truth = {FG_VARIOGRAM_SPHERICAL, 0.5, 5.0, 32.0, 60.0 * pi / 180.0, 0.35};
  fg_variogram mean;
  double turned[2];
  fit_fields(&truth, true, &mean, turned);
  assert_within(0.5 * atan2(turned[1], turned[0]), truth.direction_rad, 8.0 * pi / 180.0);
  assert_close(mean.ratio, truth.ratio, 0.3);
  assert_close(mean.range_m, truth.range_m, 0.3);
}

static void test_variogram_text(void **state) {
  (void)state;
  static const char *const wrong[] = {"",
                                      "exponentiel sill=1 range=2",
                                      "spherical range=2",
                                      "spherical sill=1",
                                      "spherical sill=1 range=0",
                                      "spherical sill=1 range=-4",
                                      "spherical nugget=2 sill=1 range=4",
                                      "spherical sill=1 range=4 ratio=2",
                                      "spherical sill=1 range=4 colour=2",
                                      "spherical sill",
                                      "spherical sill=x range=4",
                                      "spherical sill=1 range=4 kg",
                                      "spherical sill=nan range=4"};
  fg_variogram v = {.range_m = 7.0};
  char message[256];
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; ++i) {
    message[0] = '\0';
    assert_false(fg_variogram_parse(wrong[i], &v, message, sizeof message));
    assert_true(message[0] != '\0' && v.range_m == 7.0);
  }
  assert_true(fg_variogram_parse("Spherical, nugget=1 sill=3, range=100ft direction=210 ratio=.5",
                                 &v, message, sizeof message));
  assert_close(v.range_m, 30.48, 1e-12);
  assert_close(v.direction_rad, 30.0 * pi / 180.0, 1e-12);
}

/* ---- Decisions ---------------------------------------------------------------------------- */

typedef struct worth_case {
  double mean, sd, cut;
} worth_case;

/* Loss of the better blind choice against knowing: integral of |x - cut| where it was wrong. */
static double regret(double x, void *context) {
  const worth_case *c = context;
  const double off = c->mean > c->cut ? c->cut - x : x - c->cut;
  return off > 0.0 ? off * gsl_ran_gaussian_pdf(x - c->mean, c->sd) : 0.0;
}

static void test_worth_of_knowing_is_the_expected_regret(void **state) {
  (void)state;
  static worth_case cases[] = {{5, 2, 4}, {3, 1, 6}, {0, 3, 0}, {10, 0.5, 9}};
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(500);
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    gsl_function f = {regret, &cases[i]};
    double sum;
    double error;
    assert_int_equal(gsl_integration_qag(&f, cases[i].mean - 12 * cases[i].sd,
                                         cases[i].mean + 12 * cases[i].sd, 1e-10, 1e-9, 500,
                                         GSL_INTEG_GAUSS31, space, &sum, &error),
                     GSL_SUCCESS);
    assert_within(fg_worth_of_knowing(cases[i].mean, cases[i].sd, cases[i].cut), sum, 1e-7);
  }
  gsl_integration_workspace_free(space);
  assert_true(fg_worth_of_knowing(5.0, 0.0, 4.0) == 0.0);
}

/* Anscombe (1973), Am. Statistician 27:17, set 1: slope 0.500, intercept 3.00, r^2 0.667,
 * standard error of the slope 0.118. */
static void test_line_meets_anscombe(void **state) {
  (void)state;
  static const double x[] = {10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5};
  static const double y[] = {8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68};
  static const double flat[] = {2, 2, 2};
  fg_line line = {.count = 9};
  assert_int_equal(fg_line_fit(x, y, 11, &line), FG_OK);
  assert_within(line.slope, 0.500, 0.0005);
  assert_within(line.intercept, 3.00, 0.005);
  assert_within(line.r * line.r, 0.667, 0.0005);
  assert_within(line.slope_error, 0.118, 0.0005);
  double mid;
  double low;
  double high;
  fg_line_foretell(&line, line.mean_x, &mid, &low, &high);
  /* At the mean of x the interval is t(9, .975) s sqrt(12/11); t from the usual table, 2.262. */
  assert_close(high - mid, 2.262 * line.scatter * sqrt(12.0 / 11.0), 1e-4);
  assert_int_equal(fg_line_fit(x, y, 2, &line), FG_EDOMAIN);
  assert_int_equal(fg_line_fit(flat, y, 3, &line), FG_EDOMAIN);
  assert_int_equal(fg_line_fit(x, flat, 3, &line), FG_EDOMAIN);
}

/* On the plane z = x + 2 y every piece lies on the level, and together they cross the map. */
static void test_contours_lie_on_their_level(void **state) {
  (void)state;
  enum { COLUMNS = 12, ROWS = 9 };
  static double z[COLUMNS * ROWS];
  const fg_streaks_map map = {
      .x0_m = 3.0, .y0_m = -2.5, .cell_m = 0.5, .columns = COLUMNS, .rows = ROWS, .estimate = z};
  for (size_t row = 0; row < ROWS; ++row)
    for (size_t column = 0; column < COLUMNS; ++column)
      z[row * COLUMNS + column] =
          3.0 + 0.5 * ((double)column + 0.5) + 2.0 * (-2.5 + 0.5 * ((double)row + 0.5));
  fg_segment *pieces = NULL;
  size_t count = 0;
  assert_int_equal(fg_map_contour(&map, 5.0, &pieces, &count), FG_OK);
  double length = 0.0;
  for (size_t i = 0; i < count; ++i) {
    assert_within(pieces[i].x1_m + 2.0 * pieces[i].y1_m, 5.0, 1e-9);
    assert_within(pieces[i].x2_m + 2.0 * pieces[i].y2_m, 5.0, 1e-9);
    length += hypot(pieces[i].x2_m - pieces[i].x1_m, pieces[i].y2_m - pieces[i].y1_m);
  }
  free(pieces);
  /* x from 3.25 to 8.75 on the line y = (5 - x) / 2, which stays within the map. */
  assert_close(length, 5.5 * sqrt(1.25), 1e-9);
}

/* ---- The invented wash -------------------------------------------------------------------- */

static void read_wash(const char *path, fg_readings *readings) {
  fg_complaints complaints = {0};
  const fg_readings_options options = {0};
  const fg_status status = fg_readings_read(path, &options, readings, &complaints);
  for (size_t i = 0; i < complaints.count; ++i)
    print_error("%s\n", complaints.lines[i]);
  fg_complaints_free(&complaints);
  assert_int_equal(status, FG_OK);
}

static bool is_one_of(const char *name, const char *const *names, size_t count) {
  for (size_t i = 0; i < count; ++i)
    if (strcmp(name, names[i]) == 0)
      return true;
  return false;
}

/* The flags that were made richest by the streak, from the recipe the wash was made by. */
static const char *const richest[] = {"F34", "F17", "F31", "F20", "F14", "F37",
                                      "F24", "F40", "F28", "F47", "F43", "F33"};
/* And those on the barren ledge of iron-rich rock. */
static const char *const barren[] = {"F57", "F58", "F54"};

static void test_the_hidden_streak_is_found(void **state) {
  (void)state;
  fg_readings r;
  fg_streaks s;
  const fg_streaks_options options = {
      .direction_rad = (double)NAN, .cut = (double)NAN, .power = 2.0};
  read_wash("configs/wash.csv", &r);
  assert_int_equal(r.count, 62);
  assert_int_equal(r.working_count, 1);
  assert_int_equal(fg_streaks_run(&r, &options, &s), FG_OK);
  size_t found = 0;
  size_t misled = 0;
  for (size_t i = 0; i < 10; ++i) {
    const char *name = r.list[s.flags[i].reading].name;
    found += is_one_of(name, richest, sizeof richest / sizeof richest[0]);
    misled += is_one_of(name, barren, sizeof barren / sizeof barren[0]);
  }
  assert_true(found >= 8);
  assert_int_equal(misled, 2); /* what no map of black sand can tell */
  assert_true(s.pan_predicts);
  assert_true(s.cross.rmse < s.cross.inverse_distance_rmse);
  /* The wash runs along 62 deg. */
  assert_int_equal(s.wash_source, FG_WASH_VARIOGRAM);
  assert_within(s.wash_rad, 62.0 * pi / 180.0, 20.0 * pi / 180.0);
  for (size_t i = 0; i < s.next_count; ++i)
    assert_true(hypot(s.next[i].x_m - r.workings[0].x_m, s.next[i].y_m - r.workings[0].y_m) >=
                FG_WORKINGS_CLEARANCE_M);
  fg_streaks_free(&s);
  fg_readings_free(&r);
}

static void test_csv_and_gpx_say_the_same(void **state) {
  (void)state;
  fg_readings a;
  fg_readings b;
  read_wash("configs/wash.csv", &a);
  read_wash("configs/wash.gpx", &b);
  assert_int_equal(a.count, b.count);
  assert_true(a.percent && b.percent);
  for (size_t i = 0; i < a.count; ++i) {
    assert_string_equal(a.list[i].name, b.list[i].name);
    assert_true(a.list[i].value == b.list[i].value);
    assert_true(a.list[i].pan == b.list[i].pan || (isnan(a.list[i].pan) && isnan(b.list[i].pan)));
    assert_within(a.list[i].x_m, b.list[i].x_m, 1e-9);
  }
  fg_readings_free(&a);
  fg_readings_free(&b);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_projection_meets_the_national_grid_example),
      cmocka_unit_test(test_projection_measures_the_meridian),
      cmocka_unit_test(test_projection_comes_back),
      cmocka_unit_test(test_projection_refuses_what_is_no_place),
      cmocka_unit_test(test_neighbours_are_those_of_a_plain_search),
      cmocka_unit_test(test_kriging_meets_the_seven_point_example),
      cmocka_unit_test(test_kriging_of_two_data_by_hand),
      cmocka_unit_test(test_weights_sum_to_one),
      cmocka_unit_test(test_data_are_met_without_a_nugget_and_smoothed_with_one),
      cmocka_unit_test(test_estimate_is_continuous_at_data),
      cmocka_unit_test(test_inverse_distance_by_hand),
      cmocka_unit_test(test_kriging_refuses_what_it_cannot_use),
      cmocka_unit_test(test_models_end_at_their_range),
      cmocka_unit_test(test_fits_recover_known_fields),
      cmocka_unit_test(test_fits_find_the_direction),
      cmocka_unit_test(test_variogram_text),
      cmocka_unit_test(test_worth_of_knowing_is_the_expected_regret),
      cmocka_unit_test(test_line_meets_anscombe),
      cmocka_unit_test(test_contours_lie_on_their_level),
      cmocka_unit_test(test_the_hidden_streak_is_found),
      cmocka_unit_test(test_csv_and_gpx_say_the_same),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
