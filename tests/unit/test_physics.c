/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Air, grains, size distributions, moisture and roots: what `calc` does not reach, against
 * published values, closed forms and numerical quadrature. */
#include "fg_test.h"

#include <math.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>

#include "core/roots.h"
#include "flourgold/air.h"
#include "flourgold/drag.h"
#include "flourgold/grain.h"
#include "flourgold/quantity.h"
#include "flourgold/settling.h"
#include "flourgold/status.h"
#include "input/unit_names.h"
#include "physics/elutriation.h"
#include "physics/flakes.h"
#include "physics/grains.h"
#include "physics/jetsam.h"
#include "physics/moisture.h"

static const double celsius = 273.15;

/* ---- moist air ---- */

/* IAPWS steam tables (values from memory).  The formula was fitted for 0 to 27 C, where it
 * keeps within 0.1 %; 0.3 % beyond. */
static void test_saturation_pressure_agrees_with_steam_tables(void **state) {
  (void)state;
  static const struct {
    double c, pascal, relative;
  } rows[] = {{0.01, 611.66, 1e-3}, {5, 872.6, 1e-3},   {10, 1228.2, 1e-3}, {15, 1705.8, 1e-3},
              {20, 2339.3, 1e-3},   {25, 3169.9, 1e-3}, {30, 4247.0, 3e-3}, {35, 5629.0, 3e-3},
              {40, 7384.9, 3e-3},   {50, 12352, 3e-3},  {60, 19946, 3e-3}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    double pascal = 0;
    assert_int_equal(fg_air_saturation_pressure(celsius + rows[i].c, &pascal), FG_OK);
    assert_close(pascal, rows[i].pascal, rows[i].relative);
  }
}

/* ASHRAE Handbook of Fundamentals, psychrometrics, table 2: saturated air at 101325 Pa (values
 * from memory); 25 C, 50 % by hand from 0.020170 at saturation. */
static void test_humidity_ratio_agrees_with_psychrometric_tables(void **state) {
  (void)state;
  static const struct {
    double c, humidity, ratio;
  } rows[] = {{0, 1, 0.003789},  {10, 1, 0.007661}, {20, 1, 0.014758},
              {30, 1, 0.027329}, {40, 1, 0.049141}, {25, 0.5, 0.009924}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    double ratio = 0;
    assert_int_equal(fg_air_humidity_ratio(celsius + rows[i].c, 101325, rows[i].humidity, &ratio),
                     FG_OK);
    assert_close(ratio, rows[i].ratio, 3e-3);
  }
}

/* ASHRAE psychrometric chart at sea level, read to 0.1 C (values from memory). */
static void test_wet_bulb_agrees_with_the_chart(void **state) {
  (void)state;
  static const double rows[][3] = {{20, 0.5, 13.8}, {25, 0.5, 17.9}, {30, 0.5, 22.0}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    double wet = 0;
    assert_int_equal(fg_air_wet_bulb(celsius + rows[i][0], 101325, rows[i][1], &wet), FG_OK);
    assert_within(wet - celsius, rows[i][2], 0.15);
  }
}

/* Stull, J. Appl. Meteor. Climatol. 50:2267, 2011, equation 1 (coefficients from memory): a fit
 * to the sea-level chart, -1 to +0.65 C by its author. */
static double stull(double t, double rh) {
  return t * atan(0.151977 * sqrt(rh + 8.313659)) + atan(t + rh) - atan(rh - 1.676331) +
         0.00391838 * pow(rh, 1.5) * atan(0.023101 * rh) - 4.686035;
}

static void test_wet_bulb_agrees_with_an_empirical_fit(void **state) {
  (void)state;
  for (int t = 10; t <= 45; t += 5)
    for (int rh = 15; rh <= 95; rh += 20) {
      double wet = 0;
      assert_int_equal(fg_air_wet_bulb(celsius + t, 101325, 0.01 * rh, &wet), FG_OK);
      assert_within(wet - celsius, stull(t, rh), 1.0);
    }
}

/* Air as hot as behind a strong blower, bone dry: T = Tw + L Y/cp with steam pressure and latent
 * heat at Tw from steam tables (4.246 kPa, 2430 kJ/kg at 30 C; 5.628 kPa, 2418 kJ/kg at 35 C) and
 * cp = 1.005 kJ/(kg K).  Leaving out real-gas terms, 0.4 % of the vapour, is worth 0.1 K. */
static void test_wet_bulb_of_hot_dry_air(void **state) {
  (void)state;
  static const double rows[][3] = {{30, 4246, 2430e3}, {35, 5628, 2418e3}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    const double ratio = 0.62198 * rows[i][1] / (101325 - rows[i][1]);
    double wet = NAN;
    assert_int_equal(
        fg_air_wet_bulb(celsius + rows[i][0] + rows[i][2] * ratio / 1005, 101325, 0.0, &wet),
        FG_OK);
    assert_within(wet - celsius, rows[i][0], 0.15);
  }
}

static void test_saturated_air_is_its_own_wet_bulb(void **state) {
  (void)state;
  for (int t_step = 0; t_step < 6; ++t_step) {
    const double t = 275 + 7.5 * t_step;
    double wet = 0;
    assert_int_equal(fg_air_wet_bulb(t, 90000, 1.0, &wet), FG_OK);
    assert_within(wet, t, 1e-6);
  }
}

static void test_air_outside_its_formulas_is_refused(void **state) {
  (void)state;
  fg_air air = {0};
  double value = -7;
  assert_int_equal(fg_air_at(190, 1e5, 0, &air), FG_EDOMAIN);
  assert_int_equal(fg_air_at(300, 500, 0, &air), FG_EDOMAIN);
  assert_int_equal(fg_air_at(300, 1e5, 1.01, &air), FG_EDOMAIN);
  assert_int_equal(fg_air_at(380, 1e5, 1.0, &air), FG_EDOMAIN); /* boils */
  assert_int_equal(fg_air_at((double)NAN, 1e5, 0, &air), FG_EDOMAIN);
  assert_int_equal(fg_air_standard(90000, &value, NULL), FG_EDOMAIN);
  assert_int_equal(fg_air_wet_bulb(300, 1e5, -0.1, &value), FG_EDOMAIN);
  assert_within(value, -7, 0);
  assert_within(air.density_kg_m3, 0, 0);
}

/* ---- grains ---- */

/* Ranges of specific gravity in handbooks of mineralogy (values from memory). */
static void test_minerals_lie_in_handbook_ranges(void **state) {
  (void)state;
  static const struct {
    const char *name;
    double low, high;
  } rows[] = {{"quartz", 2640, 2660},   {"feldspar", 2540, 2640},  {"mica", 2760, 2900},
              {"calcite", 2700, 2720},  {"garnet", 3500, 4320},    {"epidote", 3300, 3500},
              {"zircon", 4600, 4720},   {"rutile", 4200, 4300},    {"ilmenite", 4500, 5000},
              {"hematite", 4900, 5300}, {"magnetite", 5150, 5200}, {"pyrite", 4950, 5100},
              {"barite", 4300, 4600},   {"scheelite", 5900, 6120}, {"cassiterite", 6800, 7100},
              {"galena", 7400, 7600},   {"cinnabar", 8000, 8200},  {"lead", 11300, 11350},
              {"steel", 7700, 7900},    {"platinum", 14000, 19000}};
  assert_int_equal(fg_minerals_count, sizeof rows / sizeof rows[0]);
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    const fg_mineral *mineral = fg_grain_mineral(rows[i].name);
    assert_non_null(mineral);
    assert_between(mineral->density_kg_m3, rows[i].low, rows[i].high);
    assert_between(mineral->sphericity, 0.2, 1.0);
  }
  assert_null(fg_grain_mineral("unobtainium"));
}

/* Wells, BLM Technical Bulletin 4, 1969: gold against gravel 7:1 in air, 11:1 under water. */
static void test_gold_against_gravel(void **state) {
  (void)state;
  double gold = 0;
  assert_int_equal(fg_grain_gold_density(1.0, &gold), FG_OK);
  const double quartz = fg_grain_mineral("quartz")->density_kg_m3;
  assert_within(gold / quartz, 7, 0.5);
  assert_within((gold - 1000) / (quartz - 1000), 11, 0.5);
}

static void test_fineness_is_the_inverse_of_density(void **state) {
  (void)state;
  for (int fineness_step = 0; fineness_step < 20; ++fineness_step) {
    const double fineness = 0.05 * fineness_step;
    double density = 0;
    double back = -1;
    assert_int_equal(fg_grain_gold_density(fineness, &density), FG_OK);
    assert_int_equal(fg_grain_gold_fineness(density, &back), FG_OK);
    assert_within(back, fineness, 1e-12);
  }
  double unused = 0;
  assert_int_equal(fg_grain_gold_density(1.01, &unused), FG_EDOMAIN);
  assert_int_equal(fg_grain_gold_fineness(10000, &unused), FG_EDOMAIN);
}

static void test_a_sphericity_leads_back_to_its_disc(void **state) {
  (void)state;
  for (int f_step = 0; f_step < 22; ++f_step) {
    const double f = 0.00101 * pow(1.37, f_step);
    fg_shape disc = {0};
    fg_shape back = {0};
    assert_int_equal(fg_grain_disc(f, &disc), FG_OK);
    assert_int_equal(fg_grain_of_sphericity(disc.sphericity, &back), FG_OK);
    assert_close(back.flatness, f, 1e-9);
    assert_close(back.broad_ratio, disc.broad_ratio, 1e-9);
  }
  fg_shape ball = {0};
  assert_int_equal(fg_grain_of_sphericity(1.0, &ball), FG_OK);
  assert_close(ball.broad_ratio, 1.0, 1e-12);
  assert_int_equal(fg_grain_disc(0, &ball), FG_EDOMAIN);
  assert_int_equal(fg_grain_of_sphericity(1.1, &ball), FG_EDOMAIN);
}

/* Geometry of a cylinder: volume, surface. */
static void test_a_disc_has_the_volume_and_surface_of_a_cylinder(void **state) {
  (void)state;
  for (int f_step = 0; f_step < 12; ++f_step) {
    const double f = 0.01 + 0.09 * f_step;
    fg_shape disc = {0};
    assert_int_equal(fg_grain_disc(f, &disc), FG_OK);
    const double dv = fg_disc_equal_volume(1.0, f);
    const double volume = M_PI / 4 * f;
    const double surface = M_PI / 2 + M_PI * f;
    assert_close(M_PI / 6 * dv * dv * dv, volume, 1e-12);
    assert_close(fg_disc_mass(1.0, f, 3.0), 3.0 * volume, 1e-12);
    assert_close(disc.sphericity, M_PI * dv * dv / surface, 1e-12);
  }
}

static const fg_gas usual = {1.2, 1.8e-5};

/* Weight is drag: Cd Re^2 = 4/3 dv^3 rho (rho_s - rho) g/mu^2, whatever the law. */
/* Whether a law takes flakes; the others are for spheres. */
static bool takes_flakes(int law) { return fg_drag_law_of(law)->least_sphericity < 1.0; }

/* Cd Re^2, which tells how fast a grain falls, is known from its weight alone.  Speeds carry a law
 * on beyond its range; its coefficient alone is refused there. */
static void test_settling_balances_weight_for_every_law(void **state) {
  (void)state;
  static const double ratios[] = {0.02, 0.1, 0.3, 1.0};
  for (int law = 0; law < FG_DRAG_COUNT; ++law)
    for (int d_step = 0; d_step < 9; ++d_step) {
      const double d = 5e-6 * pow(2.3, d_step);
      for (size_t i = 0; i < 4; ++i) {
        fg_grain grain = {d, 17500, {1, 1, 1}};
        if (takes_flakes(law))
          assert_int_equal(fg_grain_disc(ratios[i], &grain.shape), FG_OK);
        double v = 0;
        double cd = 0;
        const double best =
            4.0 / 3.0 * d * d * d * 1.2 * (17500 - 1.2) * 9.80665 / (1.8e-5 * 1.8e-5);
        assert_int_equal(fg_settling_velocity(law, &grain, &usual, &v), FG_OK);
        const double re = usual.density_kg_m3 * v * d / usual.viscosity_pa_s;
        if (re > fg_drag_law_of(law)->most_reynolds) {
          assert_int_equal(fg_drag_coefficient(law, re, &grain.shape, 17500 / 1.2, &cd),
                           FG_EDOMAIN);
          continue;
        }
        assert_int_equal(fg_drag_coefficient(law, re, &grain.shape, 17500 / 1.2, &cd), FG_OK);
        assert_close(cd * re * re, best, 1e-9);
      }
    }
}

static void test_drag_speed_is_the_inverse_of_drag_force(void **state) {
  (void)state;
  fg_grain grain = {3e-4, 2650, {1, 1, 1}};
  for (int law = 0; law < FG_DRAG_COUNT; ++law)
    for (int v_step = 0; v_step < 10; ++v_step) {
      const double v = 1e-6 * pow(7.1, v_step);
      double back = 0;
      if (takes_flakes(law))
        assert_int_equal(fg_grain_disc(0.25, &grain.shape), FG_OK);
      const double force = fg_drag_force(law, &grain, &usual, v);
      assert_int_equal(fg_drag_speed(law, &grain, &usual, force, &back), FG_OK);
      assert_close(back, v, 1e-9);
      grain.shape = (fg_shape){1, 1, 1};
    }
  double still = -1;
  assert_int_equal(fg_drag_speed(0, &grain, &usual, 0.0, &still), FG_OK);
  assert_within(still, 0, 0);
}

static void test_a_grain_that_floats_has_no_settling_velocity(void **state) {
  (void)state;
  const fg_grain bubble = {1e-3, 1.0, {1, 1, 1}};
  const fg_grain flake = {1e-3, 2650, {0.5, 1.8, 0.1}};
  double v = -1;
  assert_int_equal(fg_settling_velocity(0, &bubble, &usual, &v), FG_EDOMAIN);
  assert_int_equal(fg_settling_velocity(FG_DRAG_BROWN_LAWLER, &flake, &usual, &v), FG_EDOMAIN);
  assert_int_equal(fg_settling_velocity(FG_DRAG_COUNT, &flake, &usual, &v), FG_EDOMAIN);
  assert_within(v, -1, 0);
}

/* ---- size distributions ---- */

/* Table of the normal distribution: P(1) = 0.841345, P(-1.96) = 0.024998, P(2) = 0.977250. */
static void test_lognormal_agrees_with_the_normal_table(void **state) {
  (void)state;
  assert_close(fg_lognormal_cdf(2e-3, 1e-3, 2.0), 0.841345, 1e-6);
  assert_close(fg_lognormal_cdf(1e-3 * pow(3.0, -1.96), 1e-3, 3.0), 0.024998, 1e-4);
  assert_close(fg_lognormal_cdf(4e-3, 1e-3, 2.0), 0.977250, 1e-6);
  assert_within(fg_lognormal_cdf(1e-3, 1e-3, 1.7), 0.5, 1e-12);
}

/* Hatch & Choate, J. Franklin Inst. 207:369, 1929: mean by volume over surface of a whole
 * log-normal by mass is the median times exp(-ln^2 s/2). */
static void test_sauter_mean_without_a_cut(void **state) {
  (void)state;
  double share = 0;
  double sauter = 0;
  assert_int_equal(fg_lognormal_below(2e-3, 3.0, 1e3, &share, &sauter), FG_OK);
  assert_close(share, 1.0, 1e-9);
  assert_close(sauter, 2e-3 * exp(-0.5 * log(3.0) * log(3.0)), 1e-9);
}

typedef struct mass_by_size {
  double median, spread;
  bool inverse;
} mass_by_size;

/* Mass, or mass over size, per logarithm of the size. */
static double density_at(double log_size, void *context) {
  const mass_by_size *m = context;
  const double s = log(m->spread);
  const double z = (log_size - log(m->median)) / s;
  const double mass = exp(-0.5 * z * z) / (s * sqrt(2 * M_PI));
  return m->inverse ? mass / exp(log_size) : mass;
}

static double integral_below(mass_by_size m, double cut) {
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(1000);
  gsl_function f = {density_at, &m};
  double result = NAN;
  double error = 0;
  const double low = log(m.median) - 12 * log(m.spread);
  assert_int_equal(gsl_integration_qag(&f, low, log(cut), 0, 1e-11, 1000, GSL_INTEG_GAUSS61, space,
                                       &result, &error),
                   GSL_SUCCESS);
  gsl_integration_workspace_free(space);
  return result;
}

static void test_cut_lognormal_agrees_with_quadrature(void **state) {
  (void)state;
  static const double rows[][3] = {
      {1.9e-3, 3.0, 6.3e-3}, {1.9e-3, 3.0, 1e-3}, {0.3e-3, 1.3, 0.35e-3}, {5e-3, 5.0, 2e-4}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    const double whole = integral_below((mass_by_size){rows[i][0], rows[i][1], false}, rows[i][2]);
    const double inverse = integral_below((mass_by_size){rows[i][0], rows[i][1], true}, rows[i][2]);
    double share = 0;
    double sauter = 0;
    assert_int_equal(fg_lognormal_below(rows[i][0], rows[i][1], rows[i][2], &share, &sauter),
                     FG_OK);
    assert_close(share, whole, 1e-7);
    assert_close(sauter, whole / inverse, 1e-7);
  }
  double unused = 0;
  assert_int_equal(fg_lognormal_below(1e-3, 1.0, 1e-3, &unused, &unused), FG_EDOMAIN);
  assert_int_equal(fg_lognormal_below(1e-3, 1.2, 1e-9, &unused, &unused), FG_EDOMAIN);
}

static void test_voidage(void **state) {
  (void)state;
  double e = 0;
  assert_int_equal(fg_voidage(1590, 2650, &e), FG_OK);
  assert_close(e, 0.4, 1e-12);
  assert_int_equal(fg_voidage(2650, 2650, &e), FG_EDOMAIN);
  assert_int_equal(fg_voidage(3000, 2650, &e), FG_EDOMAIN);
}

/* ---- moisture ---- */

/* Exact limits: nothing of oven-dry air, nothing of no clay; it never falls with clay or humidity.
 * Credit and residual: in air between 20 and 70 % what sun leaves in ground of at most 2 % clay
 * binds nothing, and beyond that clay adds to the residual only. */
static void test_residual_water(void **state) {
  (void)state;
  double water, before = -1.0;
  assert_int_equal(fg_air_dry_water(0.1, 0.0, &water), FG_OK);
  assert_within(water, 0.0, 0.0);
  assert_int_equal(fg_air_dry_water(0.0, 0.5, &water), FG_OK);
  assert_within(water, 0.0, 0.0);
  for (int percent = 0; percent <= 100; ++percent) {
    assert_int_equal(fg_air_dry_water(0.1, 0.01 * percent, &water), FG_OK);
    assert_true(water >= before);
    before = water;
  }
  assert_within(before, 0.13 * 0.1 * (6.9 - 4.2), 1e-12);
  for (int half = 0; half <= 40; ++half) {
    double residual, more, binding;
    const double clay = 0.005 * half;
    assert_int_equal(fg_residual_water(clay, 0.2, &residual), FG_OK);
    assert_int_equal(fg_residual_water(clay, 0.7, &more), FG_OK);
    assert_true(more >= residual);
    assert_int_equal(fg_binding_water(more, clay, &binding), FG_OK);
    if (clay <= FG_CREDITED_CLAY)
      assert_within(binding, 0.0, 1e-15);
    assert_true(binding >= before || half == 0);
    before = binding;
  }
  assert_true(before > 0.01);
  assert_int_equal(fg_air_dry_water(1.1, 0.5, &water), FG_EDOMAIN);
  assert_int_equal(fg_air_dry_water(0.1, -0.1, &water), FG_EDOMAIN);
}

/* Fisher, J. Agric. Sci. 16:492, 1926: a liquid neck between touching spheres pulls with
 * pi d gamma at most; k = 1 is that bond.  Rumpf 1962: tension (1 - e)/e F/d^2, by hand. */
static void test_bonds_reach_the_capillary_limit(void **state) {
  (void)state;
  const fg_bond whole = {1.0, 0.015};
  assert_close(fg_bond_force(&whole, 1e-3, 1e9), M_PI * 1e-3 * 0.072, 1e-9);
  assert_close(fg_bond_force(&whole, 1e-3, 0.015), 0.5 * M_PI * 1e-3 * 0.072, 1e-12);
  assert_within(fg_bond_force(&whole, 1e-3, 0), 0, 0);
  assert_close(fg_bond_tension(&whole, 1e-3, 0.4, 1e9), 1.5 * M_PI * 0.072 / 1e-3, 1e-9);
}

static void test_freed_share_limits(void **state) {
  (void)state;
  assert_within(fg_freed_share(0, 1e-9, 0, 0, 1e-4), 1, 0);
  assert_within(fg_freed_share(2e-9, 1e-9, 1, 0, 1e-4), 0.5, 1e-12); /* bond = shaken weight */
  assert_within(fg_freed_share(1e-6, 0, 0, 100, 1e-4), 0.5, 1e-12);  /* bond = N dv^2 */
  assert_between(fg_freed_share(1e3, 1e-9, 1, 1, 1e-4), 0, 1e-9);
  double before = 1;
  for (int bond_step = 0; bond_step < 11; ++bond_step) {
    const double bond = 1e-10 * pow(3, bond_step);
    const double share = fg_freed_share(bond, 1e-8, 0.5, 20, 2e-4);
    assert_true(share < before);
    before = share;
  }
}

static void test_clods_grow_with_clay_and_strength(void **state) {
  (void)state;
  double before = -1;
  for (int percent = 0; percent <= 60; percent += 5) {
    double share = 0;
    assert_int_equal(fg_clod_share(0.01 * percent, 0.3, 8e3, 1600, 0.3, &share), FG_OK);
    assert_true(share > before);
    assert_between(share, 0, 1);
    before = share;
  }
  double none = -1;
  double half = -1;
  assert_int_equal(fg_clod_share(0, 0.3, 8e3, 1600, 0.3, &none), FG_OK);
  assert_within(none, 0, 0);
  /* a lump as strong as the blow: half of 1 - 1/e survives */
  assert_int_equal(fg_clod_share(0.3, 0.3, 1600 * 9.80665 * 0.3, 1600, 0.3, &half), FG_OK);
  assert_close(half, 0.5 * (1 - exp(-1)), 1e-12);
  assert_int_equal(fg_clod_share(1.5, 0.3, 8e3, 1600, 0.3, &half), FG_EDOMAIN);
}

/* ---- roots ---- */

static double cosine_gap(double x, void *context) {
  (void)context;
  return cos(x) - x;
}
static double wallis(double x, void *context) {
  (void)context;
  return x * x * x - 2 * x - 5;
}
static double always_one(double x, void *context) {
  (void)context;
  return 1 + 0 * x;
}
static double nowhere(double x, void *context) {
  (void)context;
  return x < 0.5 ? -1 : (double)NAN;
}

/* Dottie's number (OEIS A003957); Wallis's cubic, root 2.0945514815423265 (OEIS A007493). */
static void test_roots(void **state) {
  (void)state;
  double x = 0;
  assert_int_equal(fg_root(cosine_gap, NULL, 0, 1, 1e-13, &x), FG_OK);
  assert_close(x, 0.7390851332151607, 1e-12);
  assert_int_equal(fg_root(wallis, NULL, 2, 3, 1e-13, &x), FG_OK);
  assert_close(x, 2.0945514815423265, 1e-12);
  assert_int_equal(fg_root(always_one, NULL, 0, 1, 1e-9, &x), FG_ENOROOT);
  assert_int_equal(fg_root(nowhere, NULL, 0, 1, 1e-9, &x), FG_ENOROOT);
  assert_int_equal(fg_root(wallis, NULL, 3, 2, 1e-9, &x), FG_EDOMAIN);
  assert_int_equal(fg_root(wallis, NULL, 2, HUGE_VAL, 1e-9, &x), FG_EDOMAIN);
  assert_close(x, 2.0945514815423265, 1e-12);
}

static double counted_wallis(double x, void *context) {
  *(int *)context += 1;
  return wallis(x, NULL);
}

/* A good guess saves calls, a bad one (on the far side of the turning point at 0.8, or outside)
 * only costs some; the root is the same. */
static void test_roots_near_a_guess(void **state) {
  (void)state;
  static const double guesses[] = {2.1, 2.9, 0.5, -1, 7};
  double x = 0;
  int calls = 0, whole = 0;
  assert_int_equal(fg_root(counted_wallis, &whole, 0, 3, 1e-12, &x), FG_OK);
  for (size_t i = 0; i < 5; ++i) {
    calls = 0;
    x = 0;
    assert_int_equal(fg_root_near(counted_wallis, &calls, guesses[i], 0, 3, 1e-12, &x), FG_OK);
    assert_close(x, 2.0945514815423265, 1e-11);
    if (i == 0)
      assert_true(calls < whole);
  }
  assert_int_equal(fg_root_near(always_one, NULL, 0.5, 0, 1, 1e-9, &x), FG_ENOROOT);
  assert_int_equal(fg_root_near(nowhere, NULL, 0.4, 0, 1, 1e-9, &x), FG_ENOROOT);
  assert_int_equal(fg_root_near(wallis, NULL, 2.5, 3, 2, 1e-9, &x), FG_EDOMAIN);
}

/* ---- units in the bulletins ---- */

static double parsed(const char *text, fg_quantity quantity) {
  char message[256];
  double si = NAN;
  assert_int_equal(fg_quantity_parse(text, quantity, &si, NULL, message, sizeof message), FG_OK);
  return si;
}

/* Silva, California Division of Mines and Geology Special Publication 87, 1986: slope 4 to 6 in
 * per ft is 18.4 to 26.6 deg; 21 ft3/h is 0.595 m3/h.  Gardner & Johnson, US Bureau of Mines IC
 * 6786, 1934: gravel in place 3450, 3540, 3000 lb/yd3, here in kg/m3 by the exact factors. */
static void test_numbers_of_the_bulletins(void **state) {
  (void)state;
  assert_within(parsed("4 in/ft", FG_Q_SLOPE) * 180 / M_PI, 18.4, 0.05);
  assert_within(parsed("6 in/ft", FG_Q_SLOPE) * 180 / M_PI, 26.6, 0.05);
  assert_within(parsed("21 ft3/h", FG_Q_YARD_RATE) * 3600, 0.595, 0.0005);
  assert_close(parsed("3450 lb/yd3", FG_Q_DENSITY), 2046.8, 1e-4);
  assert_close(parsed("3540 lb/yd3", FG_Q_DENSITY), 2100.2, 1e-4);
  assert_close(parsed("3000 lb/yd3", FG_Q_DENSITY), 1779.8, 1e-4);
  fg_units_free();
}

/* 23.7 rho U exp(-5.4 v/U) by hand: 23.7 1.2 0.5 exp(-2.7) = 0.95565; exp(-5.4) of 23.7 1.1 0.4
 * where the grain settles as fast as the air rises. */
static void test_elutriation_by_hand(void **state) {
  (void)state;
  assert_close(fg_elutriation_flux(1.2, 0.5, 0.25), 0.95565, 1e-4);
  assert_close(fg_elutriation_flux(1.1, 0.4, 0.4), 10.428 * 4.51658e-3, 1e-5);
  assert_within(fg_elutriation_flux(1.2, 0.0, 0.25), 0, 0);
  assert_within(fg_elutriation_flux(1.2, 1e-9, 0.25), 0, 0);
}

/* Nienow, Rowe & Cheung 1978, by hand: gold a tenth of the size of quartz 6.6 times as light, that
 * floats before it: 1 + 0.9 5.6^1.1 0.1^0.7 = 2.19470.  Half is mixed at that air, none below the
 * floating of the bed, all far above; at 1.5: Z = -0.69470/0.5 exp(1.5/2.19470) = -2.75225. */
static void test_jetsam_by_hand(void **state) {
  (void)state;
  const double takeover = fg_jetsam_takeover(0.4, 6.6, 0.1);
  assert_close(takeover, 2.19470, 1e-4);
  assert_close(fg_jetsam_takeover(2.0, 1.0, 0.5), pow(2.0, 1.2), 1e-12);
  assert_within(fg_jetsam_mixed(takeover, takeover), 0.5, 1e-12);
  assert_within(fg_jetsam_mixed(1.0, takeover), 0, 0);
  assert_within(fg_jetsam_mixed(1.0 + 1e-9, takeover), 0, 1e-12);
  assert_close(fg_jetsam_mixed(1.5, takeover), 1 / (1 + exp(2.75225)), 1e-3);
  assert_true(fg_jetsam_mixed(20.0, takeover) > 0.999);
}

/* Mass at a size of a log-normal by ln size, each size counted by its power. */
typedef struct by_size {
  const fg_flakes *flakes;
  double power;
} by_size;

static double mass_at(double log_size, void *context) {
  const by_size *c = context;
  const double s = log(c->flakes->spread), z = (log_size - log(c->flakes->median_m)) / s;
  return exp(-0.5 * z * z + c->power * log_size) / (s * sqrt(2.0 * M_PI));
}

static double integral(const fg_flakes *flakes, double low_m, double high_m, double power) {
  by_size context = {flakes, power};
  const gsl_function f = {mass_at, &context};
  gsl_integration_workspace *space = gsl_integration_workspace_alloc(400);
  double value, error;
  assert_int_equal(gsl_integration_qag(&f, log(low_m), log(high_m), 0.0, 1e-11, 400,
                                       GSL_INTEG_GAUSS31, space, &value, &error),
                   GSL_SUCCESS);
  gsl_integration_workspace_free(space);
  return value;
}

/* Against adaptive quadrature (GSL): coarse classes and fine ones, in the middle and far out. */
static void test_grains_of_a_class_agree_with_quadrature(void **state) {
  (void)state;
  static const double rows[][6] = {{0.25e-3, 2.5, 2e-3, 4.75e-3, 2e-3, 4.75e-3},
                                   {0.25e-3, 2.5, 0.85e-3, 1.18e-3, 1e-3, 1.1e-3},
                                   {0.25e-3, 2.5, 20e-6, 38e-6, 25e-6, INFINITY},
                                   {1e-3, 1.2, 20e-6, 4.75e-3, 0.0, 0.5e-3},
                                   {0.15e-3, 4.0, 0.1e-3, 4e-3, 0.15e-3, INFINITY}};
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; ++i) {
    const fg_flakes f = {1500.0, rows[i][0], rows[i][1]};
    const double low = fmax(rows[i][2], rows[i][4]), high = fmin(rows[i][3], rows[i][5]);
    const fg_flake_part part =
        fg_flakes_between(&f, rows[i][2], rows[i][3], rows[i][4], rows[i][5]);
    const double here = integral(&f, low, high, 0.0);
    assert_close(part.share, here / integral(&f, rows[i][2], rows[i][3], 0.0), 1e-8);
    assert_close(part.grain_kg, 1500.0 * here / integral(&f, low, high, -3.0), 1e-8);
    assert_close(part.telling_kg, 1500.0 * integral(&f, low, high, 3.0) / here, 1e-8);
  }
}

/* One class that holds all: ln of the median by number lies 3 ln^2 of the spread below that by
 * mass (Hatch & Choate 1929), and the means follow as moments of the log-normal. */
static void test_grains_of_all_sizes_follow_hatch_and_choate(void **state) {
  (void)state;
  const double median = 0.3e-3, s2 = log(2.2) * log(2.2);
  const fg_flakes f = {1500.0, median, 2.2};
  const fg_flake_part all = fg_flakes_between(&f, 1e-9, 1e3, 0.0, INFINITY);
  const double median_by_number = median * exp(-3.0 * s2);
  assert_close(all.share, 1.0, 1e-12);
  assert_close(all.grain_kg, 1500.0 * pow(median_by_number, 3) * exp(4.5 * s2), 1e-9);
  assert_close(all.telling_kg, 1500.0 * pow(median, 3) * exp(4.5 * s2), 1e-9);
}

/* Even mass over ln size, in closed form; parts add up to the class; a narrow class is its middle,
 * whatever the spread; nothing lies beside the class. */
static void test_grains_of_an_even_class(void **state) {
  (void)state;
  const double a = 150e-6, b = 250e-6, c = 200e-6, wide = log(b / a);
  const fg_flakes even = {1500.0, 1e-3, 0.0}, bell = {1500.0, 0.3e-3, 2.5};
  const fg_flake_part all = fg_flakes_between(&even, a, b, 0.0, INFINITY);
  const fg_flake_part fine = fg_flakes_between(&even, a, b, 0.0, c);
  const fg_flake_part coarse = fg_flakes_between(&even, a, b, c, 1.0);
  assert_close(all.grain_kg, 1500.0 * 3.0 * wide / (pow(a, -3) - pow(b, -3)), 1e-12);
  assert_close(all.telling_kg, 1500.0 * (pow(b, 3) - pow(a, 3)) / (3.0 * wide), 1e-12);
  assert_close(fine.share, log(c / a) / wide, 1e-12);
  assert_close(fine.share + coarse.share, 1.0, 1e-12);
  assert_close(fine.share / fine.grain_kg + coarse.share / coarse.grain_kg, 1.0 / all.grain_kg,
               1e-12);
  const fg_flakes *both[] = {&even, &bell};
  for (int i = 0; i < 2; ++i) {
    const fg_flake_part narrow = fg_flakes_between(both[i], c, c * (1.0 + 1e-6), 0.0, 1.0);
    assert_close(narrow.grain_kg, 1500.0 * pow(c * (1.0 + 0.5e-6), 3), 1e-9);
    assert_close(narrow.telling_kg, narrow.grain_kg, 1e-9);
  }
  assert_within(fg_flakes_between(&even, a, b, b, 1.0).share, 0.0, 0.0);
  assert_true(isnan(fg_flakes_between(&even, a, b, b, 1.0).grain_kg));
}

/* Where the log-normal has nothing the mass is even, and never NaN. */
static void test_grains_far_out(void **state) {
  (void)state;
  const fg_flakes narrow = {1500.0, 0.3e-3, 1.05}, even = {1500.0, 0.3e-3, 0.0};
  const fg_flake_part far = fg_flakes_between(&narrow, 20e-6, 38e-6, 0.0, 1.0);
  assert_close(far.grain_kg, fg_flakes_between(&even, 20e-6, 38e-6, 0.0, 1.0).grain_kg, 1e-12);
  assert_close(far.share, 1.0, 1e-12);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_grains_of_a_class_agree_with_quadrature),
      cmocka_unit_test(test_grains_of_all_sizes_follow_hatch_and_choate),
      cmocka_unit_test(test_grains_of_an_even_class),
      cmocka_unit_test(test_grains_far_out),
      cmocka_unit_test(test_jetsam_by_hand),
      cmocka_unit_test(test_elutriation_by_hand),
      cmocka_unit_test(test_saturation_pressure_agrees_with_steam_tables),
      cmocka_unit_test(test_humidity_ratio_agrees_with_psychrometric_tables),
      cmocka_unit_test(test_wet_bulb_agrees_with_the_chart),
      cmocka_unit_test(test_wet_bulb_of_hot_dry_air),
      cmocka_unit_test(test_wet_bulb_agrees_with_an_empirical_fit),
      cmocka_unit_test(test_saturated_air_is_its_own_wet_bulb),
      cmocka_unit_test(test_air_outside_its_formulas_is_refused),
      cmocka_unit_test(test_minerals_lie_in_handbook_ranges),
      cmocka_unit_test(test_gold_against_gravel),
      cmocka_unit_test(test_fineness_is_the_inverse_of_density),
      cmocka_unit_test(test_a_sphericity_leads_back_to_its_disc),
      cmocka_unit_test(test_a_disc_has_the_volume_and_surface_of_a_cylinder),
      cmocka_unit_test(test_settling_balances_weight_for_every_law),
      cmocka_unit_test(test_drag_speed_is_the_inverse_of_drag_force),
      cmocka_unit_test(test_a_grain_that_floats_has_no_settling_velocity),
      cmocka_unit_test(test_lognormal_agrees_with_the_normal_table),
      cmocka_unit_test(test_sauter_mean_without_a_cut),
      cmocka_unit_test(test_cut_lognormal_agrees_with_quadrature),
      cmocka_unit_test(test_voidage),
      cmocka_unit_test(test_residual_water),
      cmocka_unit_test(test_bonds_reach_the_capillary_limit),
      cmocka_unit_test(test_freed_share_limits),
      cmocka_unit_test(test_clods_grow_with_clay_and_strength),
      cmocka_unit_test(test_roots),
      cmocka_unit_test(test_roots_near_a_guess),
      cmocka_unit_test(test_numbers_of_the_bulletins),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
