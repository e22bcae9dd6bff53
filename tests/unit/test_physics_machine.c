/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fans, ducts, openings and the shaker, against hand calculation and exact laws. */
#include "fg_test.h"

#include <math.h>

#include <gsl/gsl_errno.h>

#include "flourgold/air.h"
#include "flourgold/blower.h"
#include "flourgold/packing.h"
#include "flourgold/shaker.h"
#include "physics/charge.h"
#include "physics/duct.h"
#include "physics/engine.h"
#include "physics/shaking.h"

static const fg_curve_point measured[] = {
    {0.0, 6200}, {0.05, 6100}, {0.10, 5600}, {0.15, 4300}, {0.20, 2000}};
enum { MEASURED = sizeof measured / sizeof measured[0] };

static fg_fan from_points(void) {
  fg_fan fan;
  assert_int_equal(fg_fan_points(measured, MEASURED, &fan), FG_OK);
  return fan;
}

static fg_fan from_label(bool open) {
  fg_fan fan;
  assert_int_equal(fg_fan_label(0.2, 85, 1.5, open, &fan), FG_OK);
  return fan;
}

static void test_a_curve_goes_through_its_points_and_falls(void **state) {
  (void)state;
  const fg_fan fan = from_points();
  for (size_t i = 0; i < MEASURED; ++i)
    assert_close(fg_fan_pressure(&fan, measured[i].volume_m3_s), measured[i].pressure_pa, 1e-12);
  double before = HUGE_VAL;
  for (int i = 0; i <= 300; ++i) {
    const double p = fg_fan_pressure(&fan, 0.001 * i);
    assert_true(isfinite(p) && p < before);
    before = p;
  }
  /* beyond the last point the line of the last two: 46 kPa s/m3 */
  assert_close(fg_fan_pressure(&fan, 0.21), 2000 - 0.01 * 46000, 1e-9);
  assert_close(fg_fan_free_volume(&fan), 0.2 + 2000.0 / 46000, 1e-12);
}

/* Two points close together and far from shut-off: drawn on as a line they would promise 10 kPa. */
static void test_a_curve_stays_flat_towards_shut_off(void **state) {
  (void)state;
  const fg_curve_point near[] = {{0.15, 2000}, {0.16, 1500}, {0.20, 0}};
  for (size_t count = 2; count <= 3; ++count) {
    fg_fan fan;
    assert_int_equal(fg_fan_points(near, count, &fan), FG_OK);
    assert_close(fg_fan_pressure(&fan, 0.0), 2000.0, 1e-12);
    assert_close(fg_fan_pressure(&fan, 0.1), 2000.0, 1e-12);
    assert_close(fg_fan_pressure(&fan, 0.16), 1500.0, 1e-12);
    fan.speed = 0.5; /* fan laws: a quarter of the pressure at half the volume */
    assert_close(fg_fan_pressure(&fan, 0.05), 500.0, 1e-12);
  }
}

static void test_bad_curves_are_refused(void **state) {
  (void)state;
  const fg_curve_point rising[] = {{0, 1000}, {0.1, 1200}};
  const fg_curve_point back[] = {{0.1, 1000}, {0.05, 900}};
  const fg_curve_point below[] = {{0, 100}, {0.1, -1}};
  fg_fan fan;
  assert_int_equal(fg_fan_points(rising, 2, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_points(back, 2, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_points(below, 2, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_points(measured, 1, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_points(measured, FG_CURVE_MAX + 1, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_label(0, 85, 1.5, false, &fan), FG_EDOMAIN);
  assert_int_equal(fg_fan_label(0.2, 85, 0.9, false, &fan), FG_EDOMAIN);
}

/* Fan laws, any text on fans: at n times the speed the same point of the curve lies at n times
 * the volume and n^2 times the pressure; pressure goes with the density. */
static void test_fan_laws_hold_exactly(void **state) {
  (void)state;
  const fg_fan fans[] = {from_label(false), from_label(true), from_points()};
  for (size_t f = 0; f < 3; ++f)
    for (int n_step = 0; n_step < 6; ++n_step) {
      const double n = 0.2 + 0.17 * n_step;
      for (int volume_step = 0; volume_step < 24; ++volume_step) {
        const double volume = 0.013 * volume_step;
        fg_fan slow = fans[f];
        slow.speed = n;
        slow.density_ratio = 0.8;
        const double full = fg_fan_pressure(&fans[f], volume);
        assert_within(fg_fan_pressure(&slow, n * volume), 0.8 * n * n * full, 1e-9);
      }
    }
}

static void test_no_pressure_at_the_free_volume(void **state) {
  (void)state;
  fg_fan fans[] = {from_label(false), from_label(true), from_points()};
  for (size_t f = 0; f < 3; ++f) {
    fans[f].speed = 0.7;
    assert_within(fg_fan_pressure(&fans[f], fg_fan_free_volume(&fans[f])), 0, 1e-9);
  }
  /* open label: the label's own volume; nozzle label, k = 1.5: sqrt(1.5/0.5) of it */
  assert_close(fg_fan_free_volume(&fans[1]), 0.7 * 0.2, 1e-12);
  assert_close(fg_fan_free_volume(&fans[0]), 0.7 * 0.2 * sqrt(3.0), 1e-12);
}

/* 3 % per 1000 ft above 500 ft (common practice, no source); with power ~ density n^3 the speed
 * hardly changes: at 8000 ft power 0.775, density 0.786 of sea level, speed 0.995. */
static void test_altitude_rule(void **state) {
  (void)state;
  const double ft = 0.3048;
  assert_within(fg_engine_power(FG_BLOWER_TWO_STROKE, 300 * ft), 1, 0);
  assert_close(fg_engine_power(FG_BLOWER_TWO_STROKE, 1500 * ft), 0.97, 1e-12);
  assert_close(fg_engine_power(FG_BLOWER_FOUR_STROKE, 8000 * ft), 0.775, 1e-12);
  assert_within(fg_engine_power(FG_BLOWER_BATTERY, 8000 * ft), 1, 0);
  const double thin = 0.786 * FG_STANDARD_DENSITY;
  assert_close(fg_fan_speed(FG_BLOWER_TWO_STROKE, 1, 8000 * ft, thin), 0.9953, 1e-4);
  assert_close(fg_fan_speed(FG_BLOWER_TWO_STROKE, 0.5, 8000 * ft, thin), 0.5 * 0.9953, 1e-4);
  assert_within(fg_fan_speed(FG_BLOWER_MAINS, 0.6, 8000 * ft, thin), 0.6, 0);
}

/* Sharp opening: 0.62 A sqrt(2 p/rho) by hand. */
static void test_orifice(void **state) {
  (void)state;
  assert_close(fg_orifice_volume(0.01, 100, 1.2), 0.0800417, 1e-6);
  assert_close(fg_orifice_volume(0.01, 400, 1.2), 2 * 0.0800417, 1e-6);
  assert_within(fg_orifice_volume(0.01, 0, 1.2), 0, 0);
  assert_within(fg_orifice_volume(0.01, -50, 1.2), 0, 0);
}

/* Hagen & Poiseuille: 128 mu L Q/(pi D^4); and the velocity heads alone. */
static void test_duct_loss_limits(void **state) {
  (void)state;
  double loss = 0;
  const double laminar = 128 * 1.8e-5 * 2.0 * 1e-5 / (M_PI * 1e-8);
  assert_int_equal(fg_duct_loss(1e-5, 2.0, 0.01, 0, 0, 1.2, 1.8e-5, &loss), FG_OK);
  assert_close(loss, laminar, 1e-6);
  const double speed = 0.1 / (M_PI / 4 * 0.01);
  assert_int_equal(fg_duct_loss(0.1, 0, 0.1, 0.02, 2.5, 1.2, 1.8e-5, &loss), FG_OK);
  assert_close(loss, 2.5 * 0.6 * speed * speed, 1e-12);
  assert_int_equal(fg_duct_loss(0, 3, 0.1, 0.02, 2.5, 1.2, 1.8e-5, &loss), FG_OK);
  assert_within(loss, 0, 0);
  assert_int_equal(fg_duct_loss(-0.1, 3, 0.1, 0.02, 0, 1.2, 1.8e-5, &loss), FG_EDOMAIN);
  assert_int_equal(fg_duct_loss(0.1, 3, 0.1, 0.3, 0, 1.2, 1.8e-5, &loss), FG_EDOMAIN);
}

static void test_friction_falls_smoothly_from_laminar_to_smooth(void **state) {
  (void)state;
  double factor = 0;
  double before = HUGE_VAL;
  for (int re_step = 0; re_step < 56; ++re_step) {
    const double re = 1e-3 * pow(1.3, re_step);
    assert_int_equal(fg_duct_friction(re, 0, &factor), FG_OK);
    assert_true(factor < before);
    before = factor;
  }
  assert_int_equal(fg_duct_friction(0, 0, &factor), FG_EDOMAIN);
  assert_int_equal(fg_duct_friction(1e5, 0.21, &factor), FG_EDOMAIN);
  assert_int_equal(fg_duct_friction((double)NAN, 0, &factor), FG_EDOMAIN);
}

static void test_ergun_velocity_is_the_inverse_of_the_gradient(void **state) {
  (void)state;
  for (int d_step = 0; d_step < 6; ++d_step) {
    const double d = 2e-5 * pow(3, d_step);
    for (int u_step = 0; u_step < 7; ++u_step) {
      const double u = 1e-5 * pow(11, u_step);
      const fg_packing packing = {d, 0.75, 0.42};
      double gradient = 0;
      double back = 0;
      assert_int_equal(fg_packing_gradient(&packing, u, 1.1, 1.85e-5, &gradient), FG_OK);
      assert_int_equal(fg_packing_velocity(&packing, gradient, 1.1, 1.85e-5, &back), FG_OK);
      assert_close(back, u, 1e-10);
    }
  }
}

/* By hand: 20 kg box with 2 kg of gravel, unbalance 0.02 kg m, springs 8 Hz, undamped, 24 Hz.
 * Laden natural frequency 8 sqrt(20/22) = 7.62770 Hz, ratio r 3.14643, response r^2/(r^2 - 1) =
 * 1.11235, stroke 0.02/22 x 1.11235 = 1.01123 mm, X (2 pi 24)^2/g = 2.34484. */
static void test_stroke_of_a_laden_box(void **state) {
  (void)state;
  fg_shake shake = {0};
  assert_int_equal(fg_shaker_stroke(20, 2, 0.02, 8, 0, 24, &shake), FG_OK);
  assert_close(shake.amplitude_m, 1.01123e-3, 2e-5);
  assert_close(shake.gamma, 2.34484, 2e-5);
  assert_int_equal(fg_shaker_stroke(20, 2, 0.02, 8, 0.1, 0, &shake), FG_OK);
  assert_within(shake.gamma, 0, 0);
  assert_int_equal(fg_shaker_stroke(0, 2, 0.02, 8, 0.1, 24, &shake), FG_EDOMAIN);
}

/* eps0 E at 3 MV/m by hand. */
static void test_largest_charge(void **state) {
  (void)state;
  double pull = 0;
  assert_close(fg_largest_charge(), 26.5624e-6, 1e-5);
  assert_int_equal(fg_static_pull(0, 17500, 1e-6, &pull), FG_EDOMAIN);
  assert_int_equal(fg_static_pull(1e-5, 17500, -1e-6, &pull), FG_EDOMAIN);
}

/* A block under Coulomb's friction on a slope shaken from side to side, marched in small steps
 * until it repeats itself: first harmonic of its sideways speed over the deck's.  Time is in
 * periods/2 pi, acceleration over gravity; friction takes off as much of the speed over the deck as
 * it can. */
static double marched_slip(double gamma, double friction, double slope_rad) {
  enum { STEPS = 4000, PERIODS = 60 };
  const double step = 2 * M_PI / STEPS, pull = sin(slope_rad);
  double across = 0, down = 0, sine = 0, cosine = 0; /* speeds over the deck */
  for (int i = 0; i < PERIODS * STEPS; ++i) {
    const double t = step * (i + 1);
    across -= gamma * (cos(t - step) - cos(t));
    down += pull * step;
    const double speed = hypot(across, down);
    const double left = speed > friction * step ? 1 - friction * step / speed : 0;
    across *= left;
    down *= left;
    if (i >= (PERIODS - 1) * STEPS) {
      sine += across * sin(t);
      cosine += across * cos(t);
    }
  }
  return 2.0 / STEPS * hypot(sine, cosine) / gamma;
}

/* A block on a level plate slips once the plate's acceleration passes mu g (Coulomb); on a slope
 * too steep for its friction it slips at any shake; shaken hard, it stays behind altogether. */
static void test_slip_over_a_shaken_deck(void **state) {
  (void)state;
  assert_within(fg_slip_share(0.499, 0.5, 0.0), 0.0, 0.0);
  assert_true(fg_slip_share(0.501, 0.5, 0.0) > 0.0);
  assert_within(fg_slip_share(0.0, 0.5, 0.0), 0.0, 0.0);
  assert_within(fg_slip_share(0.0, 0.3, 0.35), 1.0, 0.0); /* sin 0.35 = 0.343 > 0.3 */
  assert_close(fg_slip_share(1e4, 0.5, 0.0), 1.0, 1e-6);
  /* Pulls at right angles: friction 0.5 against 0.3 down the slope leaves 0.4 across. */
  assert_within(fg_slip_share(0.3999, 0.5, asin(0.3)), 0.0, 0.0);
  assert_close(fg_slip_share(0.5, 0.5, asin(0.3)), fg_slip_share(0.5, 0.4, 0.0), 1e-12);
}

/* Level, by the block's march: 0.06, 0.30 and 0.64 at friction 0.6 and 0.7, 0.9 and 1.2 g (an
 * integration of others, to two figures). */
static void test_slip_is_coulombs(void **state) {
  (void)state;
  assert_within(fg_slip_share(0.7, 0.6, 0.0), 0.06, 0.005);
  assert_within(fg_slip_share(0.9, 0.6, 0.0), 0.30, 0.005);
  assert_within(fg_slip_share(1.2, 0.6, 0.0), 0.64, 0.005);
  for (int i = 0; i < 8; ++i) {
    const double gamma = 0.62 * pow(1.3, i);
    assert_within(fg_slip_share(gamma, 0.6, 0.0), marched_slip(gamma, 0.6, 0.0), 2e-3);
    assert_within(fg_slip_share(gamma, 0.6, asin(0.342)), marched_slip(gamma, 0.6, asin(0.342)),
                  0.08);
    assert_within(fg_slip_share(gamma, 0.45, asin(0.342)), marched_slip(gamma, 0.45, asin(0.342)),
                  0.08);
  }
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_slip_over_a_shaken_deck),
      cmocka_unit_test(test_slip_is_coulombs),
      cmocka_unit_test(test_a_curve_goes_through_its_points_and_falls),
      cmocka_unit_test(test_a_curve_stays_flat_towards_shut_off),
      cmocka_unit_test(test_bad_curves_are_refused),
      cmocka_unit_test(test_fan_laws_hold_exactly),
      cmocka_unit_test(test_no_pressure_at_the_free_volume),
      cmocka_unit_test(test_altitude_rule),
      cmocka_unit_test(test_orifice),
      cmocka_unit_test(test_duct_loss_limits),
      cmocka_unit_test(test_friction_falls_smoothly_from_laminar_to_smooth),
      cmocka_unit_test(test_ergun_velocity_is_the_inverse_of_the_gradient),
      cmocka_unit_test(test_stroke_of_a_laden_box),
      cmocka_unit_test(test_largest_charge),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
