/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The march of grains down the deck, against exact solutions. */
#include "fg_test.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>

#include "core/roots.h"
#include "physics/march.h"

enum { CELLS_MAX = 3200, CLASSES_MAX = 12 };

/* One open strip of plain numbers: depth 1, mean speed 1, length 1. */
typedef struct trial {
  size_t classes, cells, steps;
  double speed[CELLS_MAX];
  double sinking[CLASSES_MAX];
  double mixing;
  double lift[CLASSES_MAX];
  double trap[CLASSES_MAX];
  double closed[CLASSES_MAX];
  double creep[CLASSES_MAX], skin[CLASSES_MAX]; /* skin 0: the depth */
} trial;

typedef enum profile { PLUG, LINEAR, PARABOLIC } profile;

/* Speeds of the layers, as integrals of 1, 2 z and 3/2 (2 z - z^2), whose means are 1. */
static trial one_class(profile shape, size_t cells, size_t steps, double sinking, double mixing,
                       double trap) {
  trial t = {.classes = 1, .cells = cells, .steps = steps, .mixing = mixing};
  for (size_t j = 0; j < cells; ++j) {
    const double a = (double)j / (double)cells;
    const double b = (double)(j + 1) / (double)cells;
    const double linear = a + b;
    const double parabolic = 1.5 * (a + b) - 0.5 * (a * a + a * b + b * b);
    t.speed[j] = shape == PLUG ? 1 : shape == LINEAR ? linear : parabolic;
  }
  t.sinking[0] = sinking;
  t.trap[0] = trap;
  return t;
}

static fg_march *march_of(const trial *t) {
  fg_march *march = NULL;
  double skin[CLASSES_MAX];
  for (size_t k = 0; k < CLASSES_MAX; ++k)
    skin[k] = t->skin[k] > 0 ? t->skin[k] : 1;
  const double mixing[FG_STRIP_KINDS] = {t->mixing, 0};
  const fg_march_setup setup = {.classes = t->classes,
                                .cells = t->cells,
                                .steps = {t->steps, 0},
                                .length_m = {1, 0},
                                .depth_m = 1,
                                .speed_m_s = t->speed,
                                .sinking_m_s = {t->sinking, t->sinking},
                                .mixing_m2_s = mixing,
                                .lift_m_s = {t->lift, t->lift},
                                .creep_m_s = t->creep,
                                .skin_m = skin};
  assert_int_equal(fg_march_new(&setup, &march), FG_OK);
  fg_march_begin(march, NULL);
  return march;
}

/* Share of the first class caught on one length. */
static double caught(const trial *t) {
  double trapped[CLASSES_MAX] = {0};
  fg_march *march = march_of(t);
  fg_march_pitch(march, &(fg_march_pocket){t->trap, t->closed}, trapped, NULL);
  fg_march_free(march);
  return trapped[0];
}

/* Camp, Trans. ASCE 111:895, 1946: without mixing the overflow rate alone counts, min(1, w L/(u
 * h)), whatever the profile of the speed.  At the corner the scheme smears the clear front, by
 * 0.4 sqrt(1/cells + 1/steps) of the whole: 0.8 % here. */
static void test_still_bed_catches_by_overflow_rate(void **state) {
  (void)state;
  for (profile shape = PLUG; shape <= PARABOLIC; ++shape) {
    for (int w_step = 0; w_step < 6; ++w_step) {
      const double w = 0.05 + 0.11 * w_step;
      const trial t = one_class(shape, 200, 800, w, 0, 1);
      assert_close(caught(&t), w, 1e-6);
    }
    for (int w_step = 0; w_step < 5; ++w_step) {
      const double w = 1.4 + 0.4 * w_step;
      const trial t = one_class(shape, 200, 800, w, 0, 1);
      assert_close(caught(&t), 1, 1e-4);
    }
  }
  const trial corner = one_class(PLUG, 3200, 8000, 1, 0, 1);
  assert_within(caught(&corner), 1, 0.01);
}

/* Deutsch, Annalen der Physik 68:335, 1922: fully mixed, 1 - exp(-w L/(u h)), here with the step
 * error of first order taken out. */
static void test_mixed_bed_catches_by_deutsch(void **state) {
  (void)state;
  for (profile shape = PLUG; shape <= PARABOLIC; ++shape)
    for (int w_step = 0; w_step < 5; ++w_step) {
      const double w = 0.1 + 0.6 * w_step;
      const trial whole = one_class(shape, 20, 1000, w, 1e7, 1);
      const trial half = one_class(shape, 20, 2000, w, 1e7, 1);
      const double steps_gone = 2 * caught(&half) - caught(&whole);
      assert_within(caught(&whole), 1 - exp(-w), w * w / 2000);
      assert_within(steps_gone, 1 - exp(-w), 2e-6);
    }
}

static void test_mixed_bed_with_a_weak_trap(void **state) {
  (void)state;
  for (int trap_step = 0; trap_step < 3; ++trap_step) {
    const double trap = 0.1 + 0.3 * trap_step;
    const trial whole = one_class(PARABOLIC, 20, 1000, 1.3, 1e7, trap);
    const trial half = one_class(PARABOLIC, 20, 2000, 1.3, 1e7, trap);
    assert_within(2 * caught(&half) - caught(&whole), 1 - exp(-1.3 * trap), 2e-6);
  }
}

/* Over a full pocket: grains that lie on it all the way sink in with 1 - exp(-w_p L/(u skin)), at
 * any number of layers; grains that are mixed over the depth h with 1 - exp(-w_p L/(u h)), the
 * skin's share of them being skin/h.  Limits of the first-order loss from the skin, with the step
 * error taken out; the way to the bottom is 1/5000 of the length. */
static void test_a_full_pocket_takes_what_lies_on_it(void **state) {
  (void)state;
  static const size_t cells[] = {4, 12, 40};
  for (size_t i = 0; i < 3; ++i) {
    for (int mixed = 0; mixed < 2; ++mixed) {
      double share[2];
      for (size_t half = 0; half < 2; ++half) {
        trial t = one_class(PLUG, cells[i], 2000 << half, mixed ? 0.3 : 5000, mixed ? 1e7 : 0, 0);
        t.closed[0] = 1;
        t.creep[0] = mixed ? 0.25 : 0.025;
        t.skin[0] = 0.05;
        share[half] = caught(&t);
      }
      assert_within(2 * share[1] - share[0], mixed ? 1 - exp(-0.25) : 1 - exp(-0.5), 1e-4);
    }
    trial t = one_class(PLUG, cells[i], 4000, 200, 0, 0);
    t.creep[0] = 0.025;
    t.skin[0] = 0.05;
    assert_within(caught(&t), 0, 0); /* open and without a trap: nothing */
    t.closed[0] = 0.4;
    assert_within(caught(&t), 1 - exp(-0.4 * 0.5), 1e-3);
  }
}

/* Grains that rise, or that would sink into the pocket faster than they reach it. */
static void test_a_full_pocket_takes_no_more_than_comes(void **state) {
  (void)state;
  trial t = one_class(PARABOLIC, 12, 400, -0.3, 0.05, 0);
  t.closed[0] = 1;
  t.creep[0] = 0.5;
  t.skin[0] = 0.05;
  assert_within(caught(&t), 0, 0);
  t.sinking[0] = 0.02;
  const double full = caught(&t);
  trial open = one_class(PARABOLIC, 12, 400, 0.02, 0.05, 1);
  assert_true(full > 0 && full <= caught(&open) + 1e-12);
}

/* Without a trap the profile becomes exp(-w z/D) (Rouse 1937 for constant mixing): cell means
 * keep the ratio exp(-w width/D) exactly. */
static void test_closed_bed_becomes_exponential(void **state) {
  (void)state;
  enum { CELLS = 25 };
  for (int w_step = 0; w_step < 5; ++w_step) {
    const double w = -2 + 1.5 * w_step;
    trial t = one_class(LINEAR, CELLS, 500, w, 0.7, 0);
    double profile_now[CELLS];
    fg_march *march = march_of(&t);
    for (int i = 0; i < 60; ++i)
      fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, NULL, NULL);
    fg_march_profile(march, 0, profile_now);
    fg_march_free(march);
    for (int j = 1; j < CELLS; ++j)
      assert_close(profile_now[j] / profile_now[j - 1], exp(-w / 0.7 / CELLS), 1e-10);
  }
}

/* Plug flow with mixing D and a perfect trap, h = u = 1: c(z) = sum A exp(-wz/2D) psi(z)
 * exp(-lambda x), psi = cos qz + Pe/(2q) sin qz, Pe = w/D, with Pe cos q + (Pe^2/4q - q) sin q = 0
 * and lambda = D (q^2 + Pe^2/4): separation of variables. */
static double eigen_condition(double q, void *context) {
  const double pe = *(double *)context;
  return pe * cos(q) + (pe * pe / (4 * q) - q) * sin(q);
}

static double psi(double q, double pe, double z) { return cos(q * z) + pe / (2 * q) * sin(q * z); }

/* Simpson's rule for exp(tilt z) psi^power over the depth. */
static double integral(double q, double pe, double tilt, int power) {
  enum { HALVES = 2000 };
  double sum = 0;
  for (int i = 0; i <= 2 * HALVES; ++i) {
    const double z = (double)i / (2 * HALVES);
    const double p = psi(q, pe, z);
    const double weight = i == 0 || i == 2 * HALVES ? 1 : i % 2 == 1 ? 4 : 2;
    sum += weight * exp(tilt * z) * (power == 2 ? p * p : p);
  }
  return sum / (6 * HALVES);
}

static double caught_by_series(double w, double mixing) {
  double left = 0;
  double pe = w / mixing;
  for (int n = 0; n < 30; ++n) {
    double q = NAN;
    const double low = n == 0 ? 1e-6 : n * M_PI;
    assert_int_equal(fg_root(eigen_condition, &pe, low, (n + 1) * M_PI, 1e-14, &q), FG_OK);
    const double amount = integral(q, pe, pe / 2, 1) / integral(q, pe, 0, 2);
    const double mean = integral(q, pe, -pe / 2, 1);
    left += amount * mean * exp(-mixing * (q * q + pe * pe / 4));
  }
  return 1 - left;
}

static void test_plug_flow_with_mixing_agrees_with_its_series(void **state) {
  (void)state;
  static const double rows[][2] = {{0.5, 0.3}, {1, 0.2}, {1, 1}, {2, 0.5}, {0.3, 0.05}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    const trial whole = one_class(PLUG, 200, 1000, rows[i][0], rows[i][1], 1);
    const trial half = one_class(PLUG, 200, 2000, rows[i][0], rows[i][1], 1);
    const double exact = caught_by_series(rows[i][0], rows[i][1]);
    assert_within(2 * caught(&half) - caught(&whole), exact, 1e-4);
  }
}

/* Error falls with the first power of the step and of the layer's height or faster. */
static void test_convergence(void **state) {
  (void)state;
  const double exact = caught_by_series(1, 0.3);
  double by_step[3];
  double by_cell[3];
  for (int i = 0; i < 3; ++i) {
    const trial steps = one_class(PLUG, 400, 50u << i, 1, 0.3, 1);
    const trial fine = one_class(PLUG, 10u << i, 20000, 1, 0.3, 1);
    by_step[i] = fabs(caught(&steps) - exact);
    by_cell[i] = fabs(caught(&fine) - exact);
  }
  for (int i = 0; i < 2; ++i) {
    assert_between(log2(by_step[i] / by_step[i + 1]), 0.9, 1.1);
    assert_between(log2(by_cell[i] / by_cell[i + 1]), 1.7, 2.5);
  }
}

/* Rising grains that leave at the surface: the overflow rate upside down. */
static void test_rising_grains_leave_at_the_surface(void **state) {
  (void)state;
  for (int w_step = 0; w_step < 4; ++w_step) {
    const double w = 0.1 + 0.15 * w_step;
    trial t = one_class(PARABOLIC, 200, 800, -w, 0, 1);
    double trapped = 0;
    double blown = 0;
    t.lift[0] = 1;
    fg_march *march = march_of(&t);
    fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, &trapped, &blown);
    fg_march_free(march);
    assert_within(trapped, 0, 0);
    assert_close(blown, w, 1e-6);
  }
}

/* Share of the first class blown off on one length. */
static double blown_off(const trial *t) {
  double blown[CLASSES_MAX] = {0};
  fg_march *march = march_of(t);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t->trap}, NULL, blown);
  fg_march_free(march);
  return blown[0];
}

/* Fully mixed, lifted at v: 1 - exp(-v L/(u h)), whether the grains sink or rise; grains that sink
 * and are not mixed never come to the surface. */
static void test_mixed_grains_are_lifted_off(void **state) {
  (void)state;
  for (int w_step = -1; w_step < 2; ++w_step)
    for (int v_step = 0; v_step < 4; ++v_step) {
      const double lift = 0.05 + 0.4 * v_step;
      double share[2];
      for (size_t half = 0; half < 2; ++half) {
        trial t = one_class(PARABOLIC, 20, 1000 << half, 0.3 * w_step, 1e7, 0);
        t.lift[0] = lift;
        share[half] = blown_off(&t);
      }
      assert_within(2 * share[1] - share[0], 1 - exp(-lift), 2e-6);
    }
  trial still = one_class(PARABOLIC, 20, 400, 0.3, 0, 1);
  still.lift[0] = 10;
  assert_within(blown_off(&still), 0, 0);
}

/* What bubbles mix in again does not come to the pocket: fully mixed, 1 - exp(-m w L/(u h)). */
static void test_mixed_in_again(void **state) {
  (void)state;
  const trial t = one_class(PARABOLIC, 20, 4000, 0.8, 1e7, 1);
  const double mixing[FG_STRIP_KINDS] = {t.mixing, 0}, settled = 0.35;
  const fg_march_setup setup = {.classes = 1,
                                .cells = t.cells,
                                .steps = {t.steps, 0},
                                .length_m = {1, 0},
                                .depth_m = 1,
                                .speed_m_s = t.speed,
                                .sinking_m_s = {t.sinking, t.sinking},
                                .mixing_m2_s = mixing,
                                .settled = {&settled, &settled}};
  fg_march *march = NULL;
  double trapped = 0;
  assert_int_equal(fg_march_new(&setup, &march), FG_OK);
  fg_march_begin(march, NULL);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, &trapped, NULL);
  fg_march_free(march);
  assert_within(trapped, 1 - exp(-0.35 * 0.8), 1e-4);
}

/* In balance, with the loss small, the surface holds w/D/(1 - exp(-w/D)) exp(-w/D) of the mean
 * (profile exp(-w z/D)); the first grains are lifted off at v times that. */
static void test_lift_follows_the_profile(void **state) {
  (void)state;
  for (int w_step = 0; w_step < 4; ++w_step) {
    const double w = -1.5 + w_step;
    trial t = one_class(PLUG, 40, 400, w, 0.7, 0);
    t.lift[0] = 1e-6;
    const double surface = w / 0.7 / -expm1(-w / 0.7) * exp(-w / 0.7);
    fg_march *march = march_of(&t);
    double blown = 0;
    for (int i = 0; i < 40; ++i)
      fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, NULL, i < 20 ? NULL : &blown);
    fg_march_free(march);
    assert_close(blown / 20, 1e-6 * surface, 1e-3);
  }
}

/* Two strips, each with its own speed of sinking and length, fully mixed. */
static void test_two_kinds_of_strip(void **state) {
  (void)state;
  enum { CELLS = 10 };
  double speed[CELLS];
  for (int j = 0; j < CELLS; ++j)
    speed[j] = 0.2;
  const double open = 0.001;
  const double quiet = 0.004;
  const double mixing[] = {1e4, 1e4};
  fg_march_setup setup = {.classes = 1,
                          .cells = CELLS,
                          .steps = {1000, 1000},
                          .length_m = {0.3, 0.1},
                          .depth_m = 0.01,
                          .speed_m_s = speed,
                          .sinking_m_s = {&open, &quiet},
                          .mixing_m2_s = mixing};
  const double trap = 1;
  double trapped = 0;
  fg_march *march = NULL;
  assert_int_equal(fg_march_new(&setup, &march), FG_OK);
  fg_march_begin(march, NULL);
  fg_march_pitch(march, &(fg_march_pocket){.trap = &trap}, &trapped, NULL);
  fg_march_free(march);
  assert_within(trapped, 1 - exp(-(0.001 * 0.3 + 0.004 * 0.1) / (0.2 * 0.01)), 1e-4);
}

/* Twelve classes, from rising to heavy, some blown off. */
static trial mixed_bag(void) {
  trial t = one_class(PARABOLIC, 30, 40, 0, 0.05, 1);
  t.classes = CLASSES_MAX;
  for (size_t k = 0; k < CLASSES_MAX; ++k) {
    t.sinking[k] = -0.6 + 0.2 * (double)k;
    t.lift[k] = k % 2 == 0 ? 1 : 0;
    t.trap[k] = (double)(k + 1) / CLASSES_MAX;
  }
  return t;
}

static void test_nothing_is_lost_or_made(void **state) {
  (void)state;
  const trial t = mixed_bag();
  double inflow[CLASSES_MAX] = {0};
  double added[CLASSES_MAX] = {0};
  double trapped[CLASSES_MAX] = {0};
  double blown[CLASSES_MAX] = {0};
  double left[CLASSES_MAX];
  for (size_t k = 0; k < t.classes; ++k) {
    inflow[k] = 0.5 + (double)k;
    added[k] = 0.1 * (double)k;
  }
  fg_march *march = march_of(&t);
  fg_march_begin(march, inflow);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, trapped, blown);
  fg_march_add_mixed(march, added);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, trapped, blown);
  fg_march_add_low(march, added);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, trapped, blown);
  fg_march_remaining(march, left);
  fg_march_free(march);
  for (size_t k = 0; k < t.classes; ++k) {
    assert_close(trapped[k] + blown[k] + left[k], inflow[k] + 2 * added[k], 1e-12);
    assert_true(trapped[k] >= 0 && blown[k] >= 0 && left[k] >= 0);
    assert_true(t.sinking[k] > 0 || trapped[k] == 0);
    assert_true((blown[k] > 0) == (t.lift[k] > 0));
  }
}

static void test_keep_and_back(void **state) {
  (void)state;
  const trial t = mixed_bag();
  double first[CLASSES_MAX] = {0};
  double again[CLASSES_MAX] = {0};
  double weak[CLASSES_MAX] = {0};
  const double half[CLASSES_MAX] = {0};
  fg_march *march = march_of(&t);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, NULL, NULL);
  fg_march_keep(march);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, first, NULL);
  fg_march_back(march);
  fg_march_pitch(march, &(fg_march_pocket){.trap = half}, weak, NULL);
  fg_march_back(march);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, again, NULL);
  fg_march_free(march);
  assert_memory_equal(first, again, sizeof first);
  for (size_t k = 0; k < t.classes; ++k)
    assert_within(weak[k], 0, 0);
}

static void test_classes_together_equal_classes_alone(void **state) {
  (void)state;
  const trial all = mixed_bag();
  double together[CLASSES_MAX] = {0};
  fg_march *march = march_of(&all);
  fg_march_pitch(march, &(fg_march_pocket){.trap = all.trap}, together, NULL);
  fg_march_free(march);
  for (size_t k = 0; k < all.classes; ++k) {
    trial one = all;
    one.classes = 1;
    one.sinking[0] = all.sinking[k];
    one.lift[0] = all.lift[k];
    one.trap[0] = all.trap[k];
    const double alone = caught(&one);
    assert_memory_equal(&alone, &together[k], sizeof alone);
  }
}

static int watched;
static double watched_x;

static void watch(const fg_march *march, double x, void *context) {
  (void)march;
  assert_ptr_equal(context, &watched);
  assert_true(watched == 0 ? x == 0.0 : x > watched_x);
  ++watched;
  watched_x = x;
}

static void test_a_watcher_sees_every_step(void **state) {
  (void)state;
  const trial t = one_class(PLUG, 5, 10, 0.3, 0.1, 1);
  fg_march *march = march_of(&t);
  watched = 0;
  fg_march_observe(march, watch, &watched);
  fg_march_begin(march, NULL);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, NULL, NULL);
  assert_int_equal(watched, 11);
  assert_close(watched_x, 1, 1e-12);
  fg_march_observe(march, NULL, NULL);
  fg_march_pitch(march, &(fg_march_pocket){.trap = t.trap}, NULL, NULL);
  assert_int_equal(watched, 11);
  fg_march_free(march);
}

static fg_status status_of(const fg_march_setup *setup) {
  fg_march *march = NULL;
  const fg_status status = fg_march_new(setup, &march);
  if (status == FG_OK)
    fg_march_free(march);
  else
    assert_null(march);
  return status;
}

static void test_bad_setups_are_refused(void **state) {
  (void)state;
  double speed[] = {1, 1, 1};
  double sinking = 0.1;
  double mixing[] = {0.1, 0.1};
  const fg_march_setup good = {.classes = 1,
                               .cells = 3,
                               .steps = {4, 0},
                               .length_m = {1, 0},
                               .depth_m = 1,
                               .speed_m_s = speed,
                               .sinking_m_s = {&sinking, &sinking},
                               .mixing_m2_s = mixing};
  fg_march_setup bad = good;
  assert_int_equal(status_of(&good), FG_OK);
  bad.classes = 0;
  assert_int_equal(status_of(&bad), FG_EDOMAIN);
  bad = good;
  bad.cells = 1;
  assert_int_equal(status_of(&bad), FG_EDOMAIN);
  bad = good;
  bad.depth_m = 0;
  assert_int_equal(status_of(&bad), FG_EDOMAIN);
  bad = good;
  bad.length_m[0] = (double)NAN;
  assert_int_equal(status_of(&bad), FG_EDOMAIN);
  speed[1] = 0;
  assert_int_equal(status_of(&good), FG_EDOMAIN);
  speed[1] = (double)NAN;
  assert_int_equal(status_of(&good), FG_EDOMAIN);
  speed[1] = 1;
  sinking = HUGE_VAL;
  assert_int_equal(status_of(&good), FG_EDOMAIN);
  sinking = 0.1;
  mixing[0] = -1;
  assert_int_equal(status_of(&good), FG_EDOMAIN);
  mixing[0] = (double)NAN;
  assert_int_equal(status_of(&good), FG_EDOMAIN);
  mixing[0] = 0.1;
  assert_int_equal(status_of(&good), FG_OK);
  fg_march_free(NULL);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_still_bed_catches_by_overflow_rate),
      cmocka_unit_test(test_mixed_bed_catches_by_deutsch),
      cmocka_unit_test(test_mixed_bed_with_a_weak_trap),
      cmocka_unit_test(test_a_full_pocket_takes_what_lies_on_it),
      cmocka_unit_test(test_a_full_pocket_takes_no_more_than_comes),
      cmocka_unit_test(test_closed_bed_becomes_exponential),
      cmocka_unit_test(test_plug_flow_with_mixing_agrees_with_its_series),
      cmocka_unit_test(test_convergence),
      cmocka_unit_test(test_rising_grains_leave_at_the_surface),
      cmocka_unit_test(test_mixed_grains_are_lifted_off),
      cmocka_unit_test(test_mixed_in_again),
      cmocka_unit_test(test_lift_follows_the_profile),
      cmocka_unit_test(test_two_kinds_of_strip),
      cmocka_unit_test(test_nothing_is_lost_or_made),
      cmocka_unit_test(test_keep_and_back),
      cmocka_unit_test(test_classes_together_equal_classes_alone),
      cmocka_unit_test(test_a_watcher_sees_every_step),
      cmocka_unit_test(test_bad_setups_are_refused),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
