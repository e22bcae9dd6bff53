/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Machines and gravel drawn at random from all that a scenario may hold: every one that runs
 * accounts for every grain, and every one has a balance of its air. */
#include "fg_demo.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <string.h>

#include "flourgold/loss.h"

/* A setting drawn evenly in the logarithm, or evenly where it may be 0. */
typedef struct odd_setting {
  const char *key;
  double low, high;
  const char *unit;
} odd_setting;

static const odd_setting odd[] = {
    {"site.elevation", 0, 3000, "m"},
    {"ground.moisture", 0, 6, "%"},
    {"ground.clay", 0, 50, "%"},
    {"ground.bulk_density", 1300, 2000, "kg/m3"},
    {"ground.median_grain", 0.2, 10, "mm"},
    {"ground.grain_spread", 1.2, 6, ""},
    {"ground.magnetite", 0, 30, "%"},
    {"ground.magnetite_median", 0.05, 2, "mm"},
    {"gold.thickness_ratio", 0.02, 1, ""},
    {"gold.median_size", 0.03, 15, "mm"},
    {"gold.size_spread", 1.1, 5, ""},
    {"screen.opening", 1, 30, "mm"},
    {"deck.length", 0.2, 3, "m"},
    {"deck.width", 0.05, 1.5, "m"},
    {"deck.slope", 8, 42, "deg"},
    {"deck.riffles", 1, 40, ""},
    {"deck.riffle_height", 2, 60, "mm"},
    {"deck.dead_air_share", 0, 80, "%"},
    {"deck.dead_air_leak", 0, 90, "%"},
    {"deck.cloth_permeability", 0.05, 8, "m/s"},
    {"deck.board_open_share", 5, 90, "%"},
    {"shaker.unbalance", 0.0005, 0.1, "kg m"},
    {"gate.leak_area", 0.1, 1000, "cm2"},
    {"run.throttle", 10, 100, "%"},
    {"run.gate_opening", 0, 100, "%"},
    {"run.feed", 0.001, 2, "kg/s"},
    {"run.cleaning_interval", 2, 600, "min"},
    {"closure.release", 0, 0.5, ""},
    {"closure.shake_transfer", 0, 3, ""},
    {"closure.shear_mixing", 0, 1, ""},
    {"closure.bubble_mixing", 0, 2, ""},
    {"closure.shake_mixing", 0, 5, ""},
    {"closure.bed_viscosity", 0.02, 8, "Pa s"},
};
enum { ODD = sizeof odd / sizeof odd[0], TEXT = 96 };

static void draw_odd(gsl_rng *random, char text[ODD][TEXT], const char *sets[]) {
  for (size_t i = 0; i < ODD; ++i) {
    const odd_setting *o = &odd[i];
    const double u = gsl_rng_uniform(random);
    const double value = o->low > 0.0 ? o->low * pow(o->high / o->low, u) : u * o->high;
    const int whole = strcmp(o->key, "deck.riffles") == 0;
    snprintf(text[i], TEXT, "%s=%.*f %s", o->key, whole ? 0 : 7, value, o->unit);
    sets[i] = text[i];
  }
}

/* A curve as a maker of anything might have measured it: two to five points,
 * the first with the outlet shut. */
static void draw_curve(gsl_rng *random, fg_scenario *s) {
  const size_t count = 2 + gsl_rng_uniform_int(random, 4);
  double volume[FG_CURVE_MAX], pressure[FG_CURVE_MAX], all[2] = {0.0, 0.0};
  for (size_t i = 0; i < count; ++i) {
    all[0] += volume[i] = pow(10.0, -4.0 * gsl_rng_uniform(random));
    all[1] += pressure[i] = pow(10.0, -4.0 * gsl_rng_uniform(random));
  }
  const double most_m3_s = 0.005 * pow(1000.0, gsl_rng_uniform(random));
  const double most_pa = 100.0 + 34e3 * gsl_rng_uniform(random);
  double at_m3_s = 0.0, at_pa = most_pa;
  for (size_t i = 0; i < count; ++i) {
    s->blower.curve[i] = (fg_curve_point){at_m3_s, fmax(0.0, at_pa)};
    at_m3_s += most_m3_s * volume[i] / all[0];
    at_pa -= most_pa * pressure[i] / all[1];
  }
  s->blower.curve_count = count;
}

static void check_fates(const fg_class_loss *classes, size_t count) {
  for (size_t k = 0; k < count; ++k) {
    const fg_class_loss *g = &classes[k];
    assert_within(g->kept + g->stuck + g->blown_off + g->carried + g->shaken_out + g->full, 1.0,
                  1e-12);
  }
}

/* Whether the scenario is a valid one that runs. */
static bool runs(gsl_rng *random, const char *const sets[], bool own_curve) {
  fg_scenario s;
  fg_complaints complaints = {0};
  const fg_status read = fg_scenario_read("configs/demo.cfg", sets, ODD, &s, &complaints);
  fg_complaints_free(&complaints);
  if (own_curve)
    draw_curve(random, &s);
  if (read != FG_OK)
    return false;
  fg_loss loss;
  const fg_status status = fg_loss_run(&s, NULL, &loss);
  if (status == FG_ESTALL)
    return false;
  assert_int_equal(status, FG_OK);
  check_fates(loss.gold, loss.gold_count);
  check_fates(loss.minerals, loss.mineral_count);
  fg_loss_free(&loss);
  return true;
}

static int count_running(unsigned long seed, int draws, bool own_curve) {
  char text[ODD][TEXT];
  const char *sets[ODD];
  int running = 0;
  gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
  assert_non_null(random);
  gsl_rng_set(random, seed);
  for (int i = 0; i < draws; ++i) {
    draw_odd(random, text, sets);
    running += runs(random, sets, own_curve);
  }
  gsl_rng_free(random);
  return running;
}

/* Conservation of mass; the tolerance is a few hundred roundings. */
static void test_fates_of_odd_decks_add_to_one(void **state) {
  (void)state;
  assert_true(count_running(1, 800, false) >= 300);
}

/* Blowers of up to 34 kPa, steep and flat, with leaks up to a tenth of a square metre: the air
 * always finds its balance, and warmed by such a blower it still has a wet bulb. */
static void test_odd_blowers_find_a_balance(void **state) {
  (void)state;
  assert_true(count_running(2, 3000, true) >= 700);
}

int main(void) {
  gsl_set_error_handler_off();
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_fates_of_odd_decks_add_to_one),
      cmocka_unit_test(test_odd_blowers_find_a_balance),
  };
  return FG_RUN_GROUP(tests);
}
