/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Many runs: sampling, quantiles, weights, shares of variance, cleaning, blowers.  Expected values
 * are closed forms or printed in the sources named. */
#include "fg_demo.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/air.h"
#include "flourgold/catalogue.h"
#include "flourgold/complaints.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "model/holding.h"
#include "physics/engine.h"
#include "physics/laws.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "stats/discovery.h"
#include "stats/samples.h"
#include "study/blowers.h"
#include "study/cleanup.h"
#include "study/day.h"
#include "study/doubts.h"
#include "study/gains.h"
#include "study/plan.h"

static double *numbers(size_t count) {
  double *made = calloc(count, sizeof *made);
  assert_non_null(made);
  return made;
}

/* ---- quantiles and weights ---- */

/* Hazen's plotting position: of 1 to 9 the quarter is at 0.25 x 9 + 0.5 = 2.75 (R's quantile(1:9,
 * 0.25, type = 5)); order and NaN do not matter. */
static void test_quantiles_of_a_few_numbers(void **state) {
  (void)state;
  const double values[] = {7, 1, 9, NAN, 3, 5, 2, 8, 4, 6};
  double scratch[20];
  assert_within(fg_weighted_quantile(values, NULL, 10, 0.25, scratch), 2.75, 1e-12);
  assert_within(fg_weighted_quantile(values, NULL, 10, 0.5, scratch), 5.0, 1e-12);
  assert_within(fg_weighted_quantile(values, NULL, 10, 0.9, scratch), 8.6, 1e-12);
  assert_within(fg_weighted_quantile(values, NULL, 10, 0.0, scratch), 1.0, 1e-12);
  assert_within(fg_weighted_quantile(values, NULL, 10, 1.0, scratch), 9.0, 1e-12);
  const double none[] = {NAN, NAN};
  assert_true(isnan(fg_weighted_quantile(none, NULL, 2, 0.5, scratch)));
  /* R's quantile(1:9, c(.1, .5, .9), type = 5). */
  const fg_band band = fg_weighted_band(values, NULL, 10, scratch);
  assert_within(band.low, 1.4, 1e-12);
  assert_within(band.mid, 5.0, 1e-12);
  assert_within(band.high, 8.6, 1e-12);
  assert_true(isnan(fg_weighted_band(none, NULL, 2, scratch).mid));
  const double weights[] = {0, 1, 0, 1, 0, 0, 0, 0, 0, 0};
  assert_within(fg_weighted_quantile(values, weights, 10, 0.5, scratch), 1.0, 1e-12);
}

/* Standard normal: 10, 50, 90 % at -1.28155, 0, 1.28155; exponential: -ln(1 - p). */
static void test_quantiles_of_known_distributions(void **state) {
  (void)state;
  enum { N = 4096 };
  double *table = numbers(N), *normal = numbers(N), *exponential = numbers(N);
  double *scratch = numbers((size_t)2 * N);
  assert_int_equal(fg_sample_table(N, 1, 7, table), FG_OK);
  for (size_t i = 0; i < N; ++i) {
    normal[i] = gsl_cdf_ugaussian_Pinv(table[i]);
    exponential[i] = -log1p(-table[i]);
  }
  assert_within(fg_weighted_quantile(normal, NULL, N, 0.1, scratch), -1.2815515655, 0.002);
  assert_within(fg_weighted_quantile(normal, NULL, N, 0.5, scratch), 0.0, 0.002);
  assert_within(fg_weighted_quantile(normal, NULL, N, 0.9, scratch), 1.2815515655, 0.002);
  assert_within(fg_weighted_quantile(exponential, NULL, N, 0.1, scratch), 0.1053605157, 0.001);
  assert_within(fg_weighted_quantile(exponential, NULL, N, 0.5, scratch), 0.6931471806, 0.001);
  assert_within(fg_weighted_quantile(exponential, NULL, N, 0.9, scratch), 2.3025850930, 0.004);
  free(table);
  free(normal);
  free(exponential);
  free(scratch);
}

static void test_effective_size(void **state) {
  (void)state;
  const double equal[] = {2, 2, 2, 2}, one[] = {0, 5, 0}, mixed[] = {3, 1};
  assert_within(fg_effective_size(equal, 4), 4.0, 1e-12);
  assert_within(fg_effective_size(one, 3), 1.0, 1e-12);
  assert_within(fg_effective_size(mixed, 2), 1.6, 1e-12);
}

/* x ~ N(0, 1) seen as y = x + e, e ~ N(0, s): the posterior is N(y/(1 + s2), s2/(1 + s2)), and the
 * effective share (E w)^2/E w^2 follows from two Gaussian integrals. */
static void test_weights_of_a_linear_gaussian_case(void **state) {
  (void)state;
  enum { N = 16384 };
  const double y = 0.8, s2 = 0.36;
  double *x = numbers(N), *w = numbers(N), *scratch = numbers((size_t)2 * N);
  assert_int_equal(fg_sample_table(N, 1, 3, x), FG_OK);
  for (size_t i = 0; i < N; ++i) {
    x[i] = gsl_cdf_ugaussian_Pinv(x[i]);
    w[i] = exp(-0.5 * (y - x[i]) * (y - x[i]) / s2);
  }
  const double mean = y / (1.0 + s2), spread = sqrt(s2 / (1.0 + s2)), tenth = 1.2815515655446;
  assert_within(fg_weighted_quantile(x, w, N, 0.5, scratch), mean, 0.002);
  assert_within(fg_weighted_quantile(x, w, N, 0.1, scratch), mean - tenth * spread, 0.003);
  assert_within(fg_weighted_quantile(x, w, N, 0.9, scratch), mean + tenth * spread, 0.003);
  const double first = sqrt(s2 / (1.0 + s2)) * exp(-0.5 * y * y / (1.0 + s2));
  const double second = sqrt(0.5 * s2 / (1.0 + 0.5 * s2)) * exp(-0.5 * y * y / (1.0 + 0.5 * s2));
  assert_close(fg_effective_size(w, N) / N, first * first / second, 0.002);
  free(x);
  free(w);
  free(scratch);
}

/* ---- the table of draws ---- */

enum { ROWS = 256, COLUMNS = 55 };

static void test_table_is_even_in_every_column(void **state) {
  (void)state;
  double *table = numbers((size_t)ROWS * COLUMNS);
  assert_int_equal(fg_sample_table(ROWS, COLUMNS, 1, table), FG_OK);
  for (size_t j = 0; j < COLUMNS; ++j) {
    int strata[64] = {0};
    for (size_t i = 0; i < ROWS; ++i) {
      const double u = table[i * COLUMNS + j];
      assert_true(u > 0.0 && u < 1.0);
      ++strata[(int)(u * 64.0)];
    }
    /* 4 each; a shift may move one point of Sobol's over an edge */
    for (int k = 0; k < 64; ++k)
      assert_between(strata[k], j < FG_SOBOL_COLUMNS ? 3 : 4, j < FG_SOBOL_COLUMNS ? 5 : 4);
  }
  free(table);
}

static double correlation(const double *table, size_t a, size_t b) {
  double mean_a = 0.0, mean_b = 0.0, ab = 0.0, aa = 0.0, bb = 0.0;
  for (size_t i = 0; i < ROWS; ++i) {
    mean_a += table[i * COLUMNS + a] / ROWS;
    mean_b += table[i * COLUMNS + b] / ROWS;
  }
  for (size_t i = 0; i < ROWS; ++i) {
    const double x = table[i * COLUMNS + a] - mean_a, y = table[i * COLUMNS + b] - mean_b;
    ab += x * y;
    aa += x * x;
    bb += y * y;
  }
  return ab / sqrt(aa * bb);
}

/* Independent columns correlate with a standard deviation of 1/sqrt(256) = 0.0625: of 1485 pairs
 * the largest is below 4.5 of these in all but one table of a hundred.  Sobol's columns that are
 * used, shifted, stay below 0.15; from the 9th on pairs reach 0.35, beyond the 40th 0.76. */
static void test_columns_do_not_correlate(void **state) {
  (void)state;
  double *table = numbers((size_t)ROWS * COLUMNS);
  for (unsigned long seed = 1; seed <= 5; ++seed) {
    assert_int_equal(fg_sample_table(ROWS, COLUMNS, seed, table), FG_OK);
    for (size_t a = 0; a < COLUMNS; ++a)
      for (size_t b = 0; b < a; ++b) {
        const double bound = a < FG_SOBOL_COLUMNS ? 0.15 : 4.5 * 0.0625;
        assert_between(correlation(table, a, b), -bound, bound);
      }
  }
  free(table);
}

static void test_seed_makes_the_table(void **state) {
  (void)state;
  double *a = numbers((size_t)ROWS * COLUMNS), *b = numbers((size_t)ROWS * COLUMNS);
  assert_int_equal(fg_sample_table(ROWS, COLUMNS, 42, a), FG_OK);
  assert_int_equal(fg_sample_table(ROWS, COLUMNS, 42, b), FG_OK);
  assert_memory_equal(a, b, (size_t)ROWS * COLUMNS * sizeof *a);
  assert_int_equal(fg_sample_table(ROWS, COLUMNS, 43, b), FG_OK);
  size_t same = 0;
  for (size_t i = 0; i < (size_t)ROWS * COLUMNS; ++i)
    same += a[i] == b[i];
  assert_true(same < 10);
  assert_int_equal(fg_sample_table(0, 1, 1, a), FG_EDOMAIN);
  assert_int_equal(fg_sample_table(1, 0, 1, a), FG_EDOMAIN);
  free(a);
  free(b);
}

/* ---- distributions ---- */

static void check_ends(const fg_doubt *d) {
  assert_close(fg_doubt_value(d, 0.1), d->low, 1e-9);
  assert_close(fg_doubt_value(d, 0.5), d->nominal, 1e-9);
  assert_close(fg_doubt_value(d, 0.9), d->high, 1e-9);
}

/* 10, 50 and 90 % are the low end, the nominal value and the high end, whatever the kind; a split
 * uniform is even from end to end, so its ends are those of all of it. */
static void test_doubts_hit_their_ends(void **state) {
  (void)state;
  const int row = fg_setting_find("closure.sieving");
  const fg_doubt log_normal = {row, FG_D_LOG_NORMAL, 0.05, 0.26, 1.0};
  const fg_doubt normal = {row, FG_D_NORMAL, 0.2, 0.26, 0.4};
  check_ends(&log_normal);
  check_ends(&normal);
  const fg_doubt split = {fg_setting_find("closure.excess_air"), FG_D_SPLIT_UNIFORM, 0.0, 0.5, 1.0};
  assert_within(fg_doubt_value(&split, 0.1), 0.1, 1e-9);
  assert_within(fg_doubt_value(&split, 0.5), 0.5, 1e-9);
  assert_within(fg_doubt_value(&split, 0.95), 0.95, 1e-9);
  const fg_doubt law = {fg_setting_find("closure.sieving_law"), FG_D_CHOICE, 0, 0, 0};
  size_t drawn[FG_SIEVING_COUNT] = {0};
  for (int i = 0; i < 1000; ++i)
    ++drawn[(int)fg_doubt_value(&law, (i + 0.5) / 1000.0)];
  for (int i = 0; i < FG_SIEVING_COUNT; ++i)
    assert_int_equal(drawn[i], lround(1000 * fg_sieving_laws[i].chance));
}

/* Every doubt of the demo stays inside the settings' allowed range and does not fall as the
 * probability rises. */
static void test_doubts_of_a_scenario(void **state) {
  (void)state;
  static fg_scenario s;
  fg_doubt doubts[FG_SETTINGS_MAX];
  read_demo(&s, NULL, 0);
  const size_t count = fg_doubt_list(&s, doubts);
  assert_true(count > 30);
  for (size_t k = 0; k < count; ++k) {
    const fg_setting *row = &fg_settings[doubts[k].row];
    double before = -INFINITY;
    if (row->type != FG_T_NUMBER)
      continue;
    for (int i = 0; i <= 100; ++i) {
      const double value = fg_doubt_value(&doubts[k], fmin(1 - 1e-12, fmax(1e-12, i / 100.0)));
      assert_between(value, row->lowest, row->highest);
      assert_true(value >= before);
      before = value;
    }
  }
}

/* ---- shares of variance ---- */

static double ishigami(const double *u, size_t columns, void *context) {
  (void)columns;
  (void)context;
  const double x1 = M_PI * (2.0 * u[0] - 1.0), x2 = M_PI * (2.0 * u[1] - 1.0);
  const double x3 = M_PI * (2.0 * u[2] - 1.0);
  return sin(x1) + 7.0 * sin(x2) * sin(x2) + 0.1 * pow(x3, 4.0) * sin(x1);
}

/* Sobol's g-function with a = 0, 1, 4.5, 9, 99, 99, 99, 99. */
static const double g_weights[8] = {0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0};
static double sobol_g(const double *u, size_t columns, void *context) {
  double product = 1.0;
  (void)context;
  for (size_t j = 0; j < columns; ++j)
    product *= (fabs(4.0 * u[j] - 2.0) + g_weights[j]) / (1.0 + g_weights[j]);
  return product;
}

/* 4 x1 + 2 x2 + x3: no inputs together. */
static double sum_of_three(const double *u, size_t columns, void *context) {
  (void)columns;
  (void)context;
  return 4.0 * u[0] + 2.0 * u[1] + u[2];
}

/* Outputs of a table and of the same with column j taken from `columns` more columns. */
typedef double (*cube_function)(const double *point, size_t columns, void *context);
static void total_effects(cube_function f, size_t columns, size_t rows, unsigned long seed,
                          double *total, double *error) {
  double *table = numbers(rows * 2 * columns), *output = numbers(rows), *redrawn = numbers(rows);
  assert_int_equal(fg_sample_table(rows, 2 * columns, seed, table), FG_OK);
  for (size_t i = 0; i < rows; ++i)
    output[i] = f(table + i * 2 * columns, columns, NULL);
  for (size_t j = 0; j < columns; ++j) {
    for (size_t i = 0; i < rows; ++i) {
      double *point = table + i * 2 * columns;
      const double own = point[j];
      point[j] = point[columns + j];
      redrawn[i] = f(point, columns, NULL);
      point[j] = own;
    }
    const fg_redrawn pairs = {output, redrawn, NULL, NULL, rows};
    assert_int_equal(fg_total_effect(&pairs, &total[j], &error[j]), FG_OK);
  }
  free(table);
  free(output);
  free(redrawn);
}

/* Ishigami & Homma 1990 with a = 7, b = 0.1; indices from Saltelli et al., Global Sensitivity
 * Analysis, 2008: first .3139 .4424 0, total .5576 .4424 .2437.  Also few rows, as the program
 * takes them: the error told is about the scatter over seeds, never below it by more than half. */
static void test_ishigami(void **state) {
  (void)state;
  static const double first_known[3] = {0.3139, 0.4424, 0.0};
  static const double total_known[3] = {0.5576, 0.4424, 0.2437};
  enum { N = 1 << 14, SEEDS = 40, FEW = 250 };
  double *table = numbers((size_t)N * 3), *y = numbers(N);
  double first[3], total[3], error[3], sum[3] = {0}, square[3] = {0}, told[3] = {0};
  assert_int_equal(fg_sample_table(N, 3, 4, table), FG_OK);
  for (size_t i = 0; i < N; ++i)
    y[i] = ishigami(table + i * 3, 3, NULL);
  assert_int_equal(fg_first_order_given_data(table, y, N, 3, 64, first), FG_OK);
  total_effects(ishigami, 3, N, 4, total, error);
  for (int j = 0; j < 3; ++j) {
    assert_within(first[j], first_known[j], 0.005);
    assert_within(total[j], total_known[j], 0.01);
    assert_between(error[j], 0.0, 0.01);
  }
  for (unsigned long seed = 0; seed < SEEDS; ++seed) {
    total_effects(ishigami, 3, FEW, seed, total, error);
    for (int j = 0; j < 3; ++j) {
      sum[j] += total[j] / SEEDS;
      square[j] += total[j] * total[j] / SEEDS;
      told[j] += error[j] / SEEDS;
    }
  }
  for (int j = 0; j < 3; ++j) {
    const double scatter = sqrt(fmax(0.0, square[j] - sum[j] * sum[j]));
    assert_within(sum[j], total_known[j], 0.02);
    assert_between(scatter, 0.0, 1.5 * told[j]);
    assert_between(told[j], 0.01, 0.1);
  }
  free(table);
  free(y);
}

/* Sobol's g-function, totals from the closed form V_j = 1/(3(1 + a_j)^2), total_j = V_j prod over
 * the others (1 + V)/(prod over all (1 + V) - 1); as published (Saltelli et al. 2008, values from
 * memory): .787 .242 .034 .011 .0001. */
static void test_totals_of_the_g_function(void **state) {
  (void)state;
  static const double published[5] = {0.787, 0.242, 0.034, 0.011, 0.0001};
  double total[8], error[8], all = 1.0;
  for (int j = 0; j < 8; ++j)
    all *= 1.0 + 1.0 / (3.0 * (1.0 + g_weights[j]) * (1.0 + g_weights[j]));
  total_effects(sobol_g, 8, 1 << 14, 7, total, error);
  for (int j = 0; j < 8; ++j) {
    const double v = 1.0 / (3.0 * (1.0 + g_weights[j]) * (1.0 + g_weights[j]));
    const double exact = v * all / (1.0 + v) / (all - 1.0);
    assert_within(exact, published[j < 4 ? j : 4], 0.0006);
    assert_within(total[j], exact, 4.0 * error[j]);
    assert_between(error[j], 0.0, 0.01);
  }
}

/* Without inputs that work together the total is the share alone: 16/21, 4/21, 1/21.  A row without
 * an answer counts as little as one without weight; weights that depend on another input change the
 * law of that one alone; nothing varies or hardly a pair: refused. */
static void test_totals_of_a_sum(void **state) {
  (void)state;
  enum { N = 8192 };
  double total[3], error[3], share[2], unused;
  double *table = numbers((size_t)N * 4), *y = numbers(N), *z = numbers(N), *w = numbers(N);
  static const double parts[3] = {16.0, 4.0, 1.0};
  total_effects(sum_of_three, 3, N, 3, total, error);
  for (int j = 0; j < 3; ++j)
    assert_within(total[j], parts[j] / 21.0, 4.0 * error[j] + 1e-3);
  /* y = x1 + x2 by weights x1^2: the variance of x1 is 3/80 instead of 1/12, so x2 has 20/29. */
  assert_int_equal(fg_sample_table(N, 4, 5, table), FG_OK);
  for (size_t i = 0; i < N; ++i) {
    y[i] = table[i * 4] + table[i * 4 + 1];
    z[i] = table[i * 4] + table[i * 4 + 3];
    w[i] = table[i * 4] * table[i * 4];
  }
  fg_redrawn pairs = {y, z, w, w, N};
  assert_int_equal(fg_total_effect(&pairs, &share[0], &unused), FG_OK);
  assert_within(share[0], 20.0 / 29.0, 0.02);
  for (size_t i = 0; i < N; i += 5)
    w[i] = 0.0;
  assert_int_equal(fg_total_effect(&pairs, &share[0], &unused), FG_OK);
  for (size_t i = 0; i < N; i += 5) {
    w[i] = 1.0;
    (i % 2 ? y : z)[i] = NAN;
  }
  assert_int_equal(fg_total_effect(&pairs, &share[1], &unused), FG_OK);
  assert_close(share[1], share[0], 1e-12);
  pairs.rows = FG_PAIRS_LEAST;
  assert_int_equal(fg_total_effect(&pairs, &share[1], &unused), FG_EDOMAIN);
  for (size_t i = 0; i < N; ++i)
    y[i] = z[i] = 2.0;
  pairs.rows = N;
  assert_int_equal(fg_total_effect(&pairs, &share[1], &unused), FG_EDOMAIN);
  free(table);
  free(y);
  free(z);
  free(w);
}

/* y = 4 x1 + 2 x2 + x3 of uniform inputs: shares 16/21, 4/21, 1/21; a fourth does nothing. */
static void test_shares_from_data(void **state) {
  (void)state;
  enum { N = 4096, K = 4 };
  double *table = numbers((size_t)N * K), *y = numbers(N), *w = numbers(N), share[K], again[K];
  assert_int_equal(fg_sample_table(N, K, 11, table), FG_OK);
  for (size_t i = 0; i < N; ++i) {
    y[i] = 4.0 * table[i * K] + 2.0 * table[i * K + 1] + table[i * K + 2];
    w[i] = 1.0;
  }
  assert_int_equal(fg_first_order_given_data(table, y, N, K, 16, share), FG_OK);
  assert_within(share[0], 16.0 / 21.0, 0.01);
  assert_within(share[1], 4.0 / 21.0, 0.01);
  assert_within(share[2], 1.0 / 21.0, 0.01);
  assert_within(share[3], 0.0, 0.005);
  /* A row without an answer counts as little as one without weight. */
  for (size_t i = 0; i < N; i += 5)
    w[i] = 0.0;
  assert_int_equal(fg_first_order_weighted(table, y, w, N, K, 16, share), FG_OK);
  for (size_t i = 0; i < N; i += 5)
    y[i] = NAN;
  assert_int_equal(fg_first_order_weighted(table, y, NULL, N, K, 16, again), FG_OK);
  for (size_t j = 0; j < K; ++j)
    assert_within(again[j], share[j], 1e-12);
  assert_int_equal(fg_first_order_given_data(table, y, 20, K, 16, share), FG_EDOMAIN);
  free(table);
  free(y);
  free(w);
}

/* Weights bring another distribution: with w = x1^2 the variance of x1 falls from 1/12 to 3/80, so
 * of y = x1 + x2 the first share goes from 1/2 to (3/80)/(3/80 + 1/12) = 9/29. */
static void test_weighted_shares(void **state) {
  (void)state;
  enum { N = 8192, K = 2 };
  double *table = numbers((size_t)N * K), *y = numbers(N), *w = numbers(N), share[K];
  assert_int_equal(fg_sample_table(N, K, 5, table), FG_OK);
  for (size_t i = 0; i < N; ++i) {
    y[i] = table[i * K] + table[i * K + 1];
    w[i] = table[i * K] * table[i * K];
  }
  assert_int_equal(fg_first_order_weighted(table, y, w, N, K, 16, share), FG_OK);
  assert_within(share[0], 9.0 / 29.0, 0.01);
  assert_within(share[1], 20.0 / 29.0, 0.01);
  free(table);
  free(y);
  free(w);
}

/* The 15 p values of Benjamini & Hochberg 1995, section 4 (values from memory): at 5 % the first
 * four are told; nine lie below 5 % by themselves. */
static void test_false_discovery_rate(void **state) {
  (void)state;
  static const double p[15] = {.0344, .0001, .5719, .0019, .3240, .0095, .0201, .0278,
                               .0298, .0459, .4262, .0004, .6528, .7590, 1.000};
  double largest = -1.0;
  assert_int_equal(fg_discoveries(p, 15, 0.05, &largest), FG_OK);
  assert_close(largest, 0.0095, 0.0);
  assert_int_equal(fg_discoveries(p + 12, 3, 0.05, &largest), FG_OK);
  assert_close(largest, 0.0, 0.0);
  assert_int_equal(fg_discoveries(p, 15, 1.0, &largest), FG_EDOMAIN);
  static const double reached[4] = {0.0, 0.0, 0.1, 0.3};
  assert_close(fg_chance_of(reached, 4, 0.1), 3.0 / 5.0, 1e-15);
  assert_close(fg_chance_of(reached, 4, 0.0), 1.0, 1e-15);
  assert_close(fg_chance_of(reached, 4, 0.4), 1.0 / 5.0, 1e-15);
}

/* Twenty inputs that do nothing: a list names one in about 5 of 100 cases (60 here: 0 to 8, chance
 * of more 1 in 200); judged one by one at 1 in 100 it would in 18. */
static void test_chance_inputs_are_seldom_named(void **state) {
  (void)state;
  enum { N = 256, K = 20, BINS = 4, SHUFFLES = 1000, LISTS = 60 };
  double *table = numbers((size_t)N * K), *y = numbers(N), *null = numbers(SHUFFLES);
  int named = 0;
  gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(rng);
  for (unsigned long seed = 0; seed < LISTS; ++seed) {
    double share[K], chance[K], limit;
    assert_int_equal(fg_sample_table(N, K, seed, table), FG_OK);
    for (size_t i = 0; i < N; ++i)
      y[i] = gsl_ran_exponential(rng, 1.0);
    assert_int_equal(fg_first_order_given_data(table, y, N, K, BINS, share), FG_OK);
    assert_int_equal(fg_first_order_by_chance(y, NULL, N, BINS, seed, SHUFFLES, null), FG_OK);
    for (size_t j = 0; j < K; ++j)
      chance[j] = fg_chance_of(null, SHUFFLES, share[j]);
    assert_int_equal(fg_discoveries(chance, K, 0.05, &limit), FG_OK);
    named += limit > 0.0;
  }
  assert_between(named, 0, 8);
  gsl_rng_free(rng);
  free(table);
  free(y);
  free(null);
}

/* ---- cleaning ---- */

/* H(T) = (1 - exp(-a T))/a: the best T solves exp(a T) = 1 + a (T + t). */
static void test_best_interval_of_an_exponential(void **state) {
  (void)state;
  enum { N = 40 };
  const double a = 1.0 / 2400.0, cleaning = 300.0;
  double after[N], held[N];
  for (size_t i = 0; i < N; ++i) {
    after[i] = 18000.0 * pow((double)(i + 1) / N, 2.0);
    held[i] = -expm1(-a * after[i]) / a;
  }
  fg_clean_interval best;
  assert_int_equal(fg_interval_best(after, held, N, cleaning, &best), FG_OK);
  double low = 1.0, high = 18000.0;
  for (int i = 0; i < 100; ++i) {
    const double middle = 0.5 * (low + high);
    if (expm1(a * middle) < a * (middle + cleaning))
      low = middle;
    else
      high = middle;
  }
  assert_close(best.best_s, low, 0.02); /* the optimum is flat */
  assert_close(best.rate, exp(-a * low), 1e-4);
  assert_false(best.at_end);
  const double edge[2] = {best.from_s, best.to_s};
  for (int i = 0; i < 2; ++i)
    assert_close(-expm1(-a * edge[i]) / a / (edge[i] + cleaning), 0.99 * exp(-a * low), 1e-3);
}

static void test_best_interval_at_the_end(void **state) {
  (void)state;
  const double after[4] = {600, 1200, 2400, 3600}, held[4] = {300, 600, 1200, 1800};
  const double nothing[4] = {0, 0, 0, 0};
  fg_clean_interval best;
  assert_int_equal(fg_interval_best(after, held, 4, 300.0, &best), FG_OK);
  assert_true(best.at_end);
  assert_within(best.best_s, 3600.0, 1e-9);
  assert_within(best.rate, 1800.0 / 3900.0, 1e-9);
  assert_int_equal(fg_interval_best(after, held, 4, 0.0, &best), FG_EDOMAIN);
  assert_int_equal(fg_interval_best(after, held, 2, 300.0, &best), FG_EDOMAIN);
  assert_int_equal(fg_interval_best(after, nothing, 4, 300.0, &best), FG_EDOMAIN);
}

/* The build-up from one run against the ordinary model at each interval by itself: within one
 * percentage point; the pockets' fill and the concentrate too. */
static void test_build_up_is_the_models(void **state) {
  (void)state;
  static const char *const sets[][1] = {{"ground.magnetite=0.6 %"}, {"ground.magnetite=4 %"}};
  enum { N = 40 };
  double after[N];
  for (size_t i = 0; i < N; ++i)
    after[i] = 10.0 * pow(240.0, (double)i / (N - 1.0));
  const fg_loss_options fine = {.times = 48};
  for (size_t k = 0; k < 2; ++k) {
    static fg_scenario s;
    fg_holding h;
    read_demo(&s, sets[k], 1);
    assert_int_equal(fg_holding_run(&s, NULL, after, N, 0.25e-3, &h), FG_OK);
    for (size_t i = 19; i < N; i += 5) {
      fg_loss loss;
      s.run.cleaning_interval = after[i];
      assert_int_equal(fg_loss_run(&s, &fine, &loss), FG_OK);
      assert_within(h.held_s[i] / after[i], loss.kept, 0.01);
      assert_close(h.gold_kg_s, loss.kept_kg_s + loss.lost_kg_s, 1e-9);
      assert_close(h.concentrate_kg[i] / after[i], loss.concentrate_kg_s, 0.01);
      for (size_t r = 0; r < h.riffles; ++r)
        assert_within(h.fill[i * h.riffles + r], loss.fill[r], 0.02);
      fg_loss_free(&loss);
    }
    fg_holding_free(&h);
  }
  static fg_scenario s;
  fg_holding h;
  const double falling[2] = {60, 30};
  read_demo(&s, NULL, 0);
  assert_int_equal(fg_holding_run(&s, NULL, falling, 2, 0.25e-3, &h), FG_EDOMAIN);
}

/* A long shift, cycle after cycle, each interval run by itself: gold of whole cycles and of the
 * rest at the end. */
static double simulate_shift(const fg_scenario *scenario, double interval_s, double shift_s) {
  fg_scenario s = *scenario;
  double gold = 0.0, clock = 0.0;
  fg_loss whole;
  s.run.cleaning_interval = interval_s;
  assert_int_equal(fg_loss_run(&s, NULL, &whole), FG_OK);
  const double of_cycle = whole.kept_kg_s * interval_s;
  fg_loss_free(&whole);
  while (clock + interval_s + s.run.cleaning_time <= shift_s) {
    gold += of_cycle;
    clock += interval_s + s.run.cleaning_time;
  }
  const double rest = shift_s - clock - s.run.cleaning_time;
  if (rest < 60.0)
    return gold;
  s.run.cleaning_interval = rest;
  assert_int_equal(fg_loss_run(&s, NULL, &whole), FG_OK);
  gold += whole.kept_kg_s * rest;
  fg_loss_free(&whole);
  return gold;
}

static void test_renewal_reward_against_a_simulated_shift(void **state) {
  (void)state;
  static const char *const sets[][2] = {{"ground.magnetite=0.6 %", "run.hours=24 h"},
                                        {"ground.magnetite=4 %", "run.hours=24 h"}};
  for (size_t k = 0; k < 2; ++k) {
    static fg_scenario s;
    static fg_cleanup c;
    read_demo(&s, sets[k], 2);
    assert_int_equal(fg_cleanup_run(&s, 0, 1, &c), FG_OK);
    assert_false(c.best.at_end);
    double most = 0.0;
    for (int step = -6; step <= 6; ++step)
      most = fmax(most, simulate_shift(&s, pow(1.25, step) * c.best.best_s, s.run.hours));
    const double chosen = simulate_shift(&s, c.best.best_s, s.run.hours);
    assert_true(chosen >= 0.995 * most);
    /* Over ten days the broken last cycle hardly counts. */
    assert_close(simulate_shift(&s, c.best.best_s, 10.0 * s.run.hours) / (10.0 * s.run.hours),
                 c.best_kg_s.nominal, 0.01);
    /* The whole batches of the shift are worth what they say. */
    assert_close(simulate_shift(&s, c.shift.interval_s, s.run.hours * (1.0 + 1e-9)),
                 c.shift.gold_kg, 0.01);
  }
}

/* ---- blowers ---- */

/* Fan laws: volume ~ n, pressure ~ n^2 rho.  An engine has 1 - 3 % a thousand feet above 500 ft of
 * its power, and turns the fan as fast as that power and the thinner air allow. */
static void test_altitude(void **state) {
  (void)state;
  static const char *const sets[][3] = {
      {"site.elevation=6500 ft", "blower.kind=two_stroke", "run.feed=20 lb/min"},
      {"site.elevation=6500 ft", "blower.kind=battery", "run.feed=20 lb/min"}};
  for (size_t k = 0; k < 2; ++k) {
    static fg_scenario s;
    fg_blower_verdict v;
    fg_air here, low;
    read_demo(&s, sets[k], 3);
    const fg_blowers_options options = {1, 1, true, NULL};
    assert_int_equal(fg_blower_judge(&s, &options, &v), FG_OK);
    assert_int_equal(fg_air_at(s.site.air_temperature, s.site.pressure, s.site.humidity, &here),
                     FG_OK);
    assert_int_equal(fg_air_at(s.site.air_temperature, 101325.0, s.site.humidity, &low), FG_OK);
    const double thin = here.density_kg_m3 / low.density_kg_m3;
    const double speed = k == 0 ? cbrt((1.0 - 0.03 * 6.0) / thin) : 1.0;
    assert_close(v.speed_here, speed, 1e-6);
    assert_close(v.volume_here, speed, 1e-6);
    assert_close(v.pressure_here, speed * speed * thin, 1e-6);
    assert_true(v.runs);
    assert_close(v.flow_m3_s, v.deck_m3_s + v.bled_m3_s + v.leak_m3_s, 1e-9);
    assert_between(v.spare_share, v.bled_share * v.flow_m3_s / v.full_m3_s - 1e-9, 1.0);
  }
}

/* At full throttle the whole figure, at no load a fifth of it; at 10,500 ft the engine has 0.7 of
 * its power.  Motors burn nothing. */
static void test_fuel(void **state) {
  (void)state;
  const fg_blower_kind engine = FG_BLOWER_TWO_STROKE;
  assert_close(fg_blower_fuel(engine, 1e-6, 1.0, 0.0), 1e-6, 1e-12);
  assert_close(fg_blower_fuel(engine, 1e-6, 0.0, 0.0), 0.2e-6, 1e-12);
  assert_close(fg_blower_fuel(engine, 1e-6, 0.5, 10500.0 * 0.3048),
               1e-6 * (0.2 + 0.8 * 0.7 * 0.125), 1e-12);
  assert_close(fg_blower_fuel(FG_BLOWER_BATTERY, 1e-6, 1.0, 0.0), 0.0, 0.0);
}

/* A day at the settings a blower was judged best at burns what the blower was said to. */
static void test_day_and_blowers_agree_on_fuel(void **state) {
  (void)state;
  static fg_scenario s, set;
  static const char *const kinds[] = {"blower.kind=two_stroke", "blower.kind=battery"};
  for (int i = 0; i < 2; ++i) {
    fg_blower_verdict v;
    fg_loss loss;
    fg_day day;
    const fg_blowers_options options = {1, 1, true, NULL};
    DEMO(&s, "site.elevation=7000 ft", "blower.fuel_use=0.4 gal/h", "run.hours=4 h", kinds[i]);
    assert_int_equal(fg_blower_judge(&s, &options, &v), FG_OK);
    assert_true(v.runs);
    assert_int_equal(fg_tune_apply(&s, v.at, &set), FG_OK);
    assert_int_equal(fg_loss_run(&set, NULL, &loss), FG_OK);
    assert_int_equal(fg_day_run(&set, &loss, &day), FG_OK);
    fg_loss_free(&loss);
    assert_true(day.engine_s > 0.0);
    assert_close(day.fuel_m3 / day.engine_s, v.fuel_m3 / s.run.hours, 1e-12);
    assert_true(i == 0 ? v.fuel_m3 > 0.0 : v.fuel_m3 == 0.0);
  }
}

/* The catalogue holds the classes a prospector meets; labels are read or told off. */
static void test_catalogue_and_labels(void **state) {
  (void)state;
  static fg_scenario s, out;
  fg_scenario *each = NULL;
  size_t count = 0;
  fg_complaints complaints = {0};
  char message[400];
  bool kind[4] = {false};
  read_demo(&s, NULL, 0);
  assert_int_equal(fg_catalogue_read(NULL, &s, &each, &count, &complaints), FG_OK);
  assert_true(count >= 8);
  for (size_t i = 0; i < count; ++i) {
    kind[each[i].blower.kind] = true;
    assert_string_equal(each[i].site.name, s.site.name);
    assert_true(each[i].blower.free_volume > 0.0 && each[i].blower.noise > 0.0);
  }
  assert_true(kind[FG_BLOWER_TWO_STROKE] && kind[FG_BLOWER_FOUR_STROKE] && kind[FG_BLOWER_BATTERY]);
  free(each);
  assert_int_equal(fg_catalogue_label("450 cfm, 170 mph", &s, &out, message, sizeof message),
                   FG_OK);
  assert_close(out.blower.free_volume, 450.0 * 0.0004719474432, 1e-9);
  assert_close(out.blower.nozzle_speed, 170.0 * 0.44704, 1e-9);
  assert_int_equal(out.blower.kind, FG_BLOWER_TWO_STROKE);
  assert_int_equal(fg_catalogue_label("12 m3/min,70 m/s, mains", &s, &out, message, sizeof message),
                   FG_OK);
  assert_int_equal(out.blower.kind, FG_BLOWER_MAINS);
  static const char *const wrong[] = {"450, 170",
                                      "450 cfm",
                                      "",
                                      "450 cfm, 170 cfm",
                                      "0 cfm, 9 mph",
                                      "1 cfm, 2 mph, 3, 4",
                                      "450 cfm, 170 mph, twostroke"};
  for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; ++i) {
    message[0] = '\0';
    assert_int_equal(fg_catalogue_label(wrong[i], &s, &out, message, sizeof message), FG_ESCENARIO);
    assert_true(strlen(message) > 10);
  }
}

/* ---- doubts ---- */

/* An input that is known exactly cannot be part of the doubt, and one told in a wide range must be
 * seen: the shares are those of the model's own spread. */
static void test_doubts_follow_what_is_known(void **state) {
  (void)state;
  static const char *const sets[][1] = {{"ground.moisture=1.2 +- 0.6 %"},
                                        {"ground.moisture=1.2 +- 0.01 %"}};
  double share[2] = {0.0, 0.0};
  for (size_t k = 0; k < 2; ++k) {
    static fg_scenario s;
    static fg_doubts d;
    read_demo(&s, sets[k], 1);
    assert_int_equal(fg_doubts_run(&s, 512, 1, &d), FG_OK);
    assert_true(d.enough);
    for (size_t i = 0; i < d.count; ++i) {
      assert_true(d.input[i].told || d.input[i].fine_told);
      if (i > 0)
        assert_true(d.input[i].share <= d.input[i - 1].share);
      if (d.input[i].row == fg_setting_find("ground.moisture"))
        share[k] = d.input[i].share;
    }
    assert_true(d.count > 0 && d.total_rows == 128);
    assert_true(d.input[0].total.all.share > d.input[0].share - 4.0 * d.input[0].total.all.error);
    assert_between(d.others.all.share, 0.0, 1.0);
    if (k == 0)
      for (size_t i = 0; i < d.count; ++i)
        if (d.input[i].narrowed && d.input[i].row == fg_setting_find("ground.moisture"))
          assert_true(d.input[i].kept.high - d.input[i].kept.low < d.before.high - d.before.low);
  }
  assert_true(share[0] > 0.1);
  assert_true(share[1] == 0.0);
  static fg_scenario s;
  static fg_doubts d;
  read_demo(&s, NULL, 0);
  assert_int_equal(fg_doubts_run(&s, FG_DOUBTS_SAMPLES_LEAST - 1, 1, &d), FG_EDOMAIN);
}

/* Nothing drawn anew leaves nothing, everything drawn anew all of the doubt; the machine's readings
 * weigh both halves of the pairs alike. */
static void test_totals_at_their_ends(void **state) {
  (void)state;
  static const char *const readings[][1] = {{"sample.method=pan"},
                                            {"observed.bed_depth=0.4 in +- 0.1 in"}};
  for (size_t k = 0; k < 2; ++k) {
    static fg_scenario s;
    fg_plan plan;
    fg_totals totals[2];
    read_demo(&s, readings[k], 1);
    assert_int_equal(fg_plan_new(&s, 256, 1, &plan), FG_OK);
    size_t *group_of = calloc(plan.count, sizeof *group_of);
    assert_non_null(group_of);
    for (size_t j = 0; j < plan.count; ++j)
      group_of[j] = 1;
    assert_int_equal(fg_totals_run(&s, &plan, group_of, 2, 128, 1, totals), FG_OK);
    assert_within(totals[0].all.share, 0.0, 0.0);
    assert_within(totals[0].fine.error, 0.0, 0.0);
    assert_within(totals[1].all.share, 1.0, 4.0 * totals[1].all.error);
    assert_within(totals[1].fine.share, 1.0, 4.0 * totals[1].fine.error);
    assert_between(totals[1].all.error, 0.01, 0.2);
    assert_int_equal(fg_totals_run(&s, &plan, group_of, 2, 257, 1, totals), FG_EDOMAIN);
    free(group_of);
    fg_plan_free(&plan);
  }
}

/* ---- what one change brings ---- */

/* Without any doubt every draw is the nominal run: the band of each gain is the nominal gain. */
static void test_gains_without_doubt_are_nominal(void **state) {
  (void)state;
  static fg_scenario demo;
  DEMO(&demo, "run.cleaning_interval=60 min");
  const fg_loss_options options = {.kept_only = true};
  fg_loss now;
  fg_trial trials[FG_TRIALS_MAX];
  fg_gain gains[FG_TRIALS_MAX];
  size_t count = 0;
  assert_int_equal(fg_loss_run(&demo, &options, &now), FG_OK);
  assert_int_equal(fg_advice_run(&demo, &options, false, trials, &count), FG_OK);
  fg_plan plan = {.samples = 3, .count = 0};
  assert_int_equal(fg_plan_draw(&plan, 1), FG_OK);
  assert_int_equal(fg_gains_run(&demo, &options, &plan, &now, trials, count, gains), FG_OK);
  assert_true(count > 8);
  for (size_t t = 0; t < count; ++t) {
    assert_within(gains[t].kept.nominal, trials[t].kept - now.kept, 1e-12);
    assert_within(gains[t].kept.band.low, gains[t].kept.nominal, 1e-9);
    assert_within(gains[t].kept.band.high, gains[t].kept.nominal, 1e-9);
    if (trials[t].row == FG_SET_RUN_CLEANING_INTERVAL) /* stops count: 5 minutes each */
      assert_within(gains[t].rate.band.mid,
                    trials[t].kept / now.kept * (30.0 / 35.0) / (60.0 / 65.0) - 1.0, 1e-9);
    else
      assert_within(gains[t].rate.band.mid, trials[t].kept_kg_s / now.kept_kg_s - 1.0, 1e-9);
    assert_within(gains[t].runs, 1.0, 1e-12);
  }
  fg_plan_free(&plan);
  fg_loss_free(&now);
}

/* Where nothing is in doubt the nominal gain is that of the draws, and the stops count once. */
static void test_stops_count_once_in_the_gain_of_an_interval(void **state) {
  (void)state;
  static fg_scenario demo;
  DEMO(&demo, "run.cleaning_interval=10 min");
  const fg_loss_options options = {.kept_only = true};
  fg_loss now;
  fg_trial trials[FG_TRIALS_MAX];
  fg_gain gains[FG_TRIALS_MAX];
  size_t count = 0, intervals = 0;
  assert_int_equal(fg_loss_run(&demo, &options, &now), FG_OK);
  assert_int_equal(fg_advice_run(&demo, &options, true, trials, &count), FG_OK);
  fg_plan plan = {.samples = 3, .count = 0};
  assert_int_equal(fg_plan_draw(&plan, 1), FG_OK);
  assert_int_equal(fg_gains_run(&demo, &options, &plan, &now, trials, count, gains), FG_OK);
  for (size_t t = 0; t < count; ++t) {
    assert_within(gains[t].rate.nominal, gains[t].rate.band.mid, 1e-9);
    intervals += trials[t].row == FG_SET_RUN_CLEANING_INTERVAL;
  }
  assert_int_equal(intervals, 1);
  fg_plan_free(&plan);
  fg_loss_free(&now);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_gains_without_doubt_are_nominal),
      cmocka_unit_test(test_stops_count_once_in_the_gain_of_an_interval),
      cmocka_unit_test(test_quantiles_of_a_few_numbers),
      cmocka_unit_test(test_quantiles_of_known_distributions),
      cmocka_unit_test(test_effective_size),
      cmocka_unit_test(test_weights_of_a_linear_gaussian_case),
      cmocka_unit_test(test_table_is_even_in_every_column),
      cmocka_unit_test(test_columns_do_not_correlate),
      cmocka_unit_test(test_seed_makes_the_table),
      cmocka_unit_test(test_doubts_hit_their_ends),
      cmocka_unit_test(test_doubts_of_a_scenario),
      cmocka_unit_test(test_ishigami),
      cmocka_unit_test(test_totals_of_the_g_function),
      cmocka_unit_test(test_totals_of_a_sum),
      cmocka_unit_test(test_shares_from_data),
      cmocka_unit_test(test_weighted_shares),
      cmocka_unit_test(test_false_discovery_rate),
      cmocka_unit_test(test_chance_inputs_are_seldom_named),
      cmocka_unit_test(test_best_interval_of_an_exponential),
      cmocka_unit_test(test_best_interval_at_the_end),
      cmocka_unit_test(test_build_up_is_the_models),
      cmocka_unit_test(test_renewal_reward_against_a_simulated_shift),
      cmocka_unit_test(test_altitude),
      cmocka_unit_test(test_fuel),
      cmocka_unit_test(test_day_and_blowers_agree_on_fuel),
      cmocka_unit_test(test_catalogue_and_labels),
      cmocka_unit_test(test_doubts_follow_what_is_known),
      cmocka_unit_test(test_totals_at_their_ends),
  };
  const int failed = FG_RUN_GROUP(tests);
  fg_units_free();
  return failed;
}
