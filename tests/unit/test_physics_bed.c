/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The moving bed and the sinking of grains in it, against closed forms. */
#include "fg_test.h"

#include <math.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_ellint.h>

#include "flourgold/bed.h"
#include "flourgold/packing.h"
#include "flourgold/sinking.h"
#include "physics/flow.h"
#include "physics/laws.h"
#include "physics/sink.h"
#include "scenario/settings_table.h"

static const double degree = M_PI / 180;

/* Glass beads as in Jop, Forterre & Pouliquen, Nature 441:727, 2006. */
static fg_bed beads(double slope_deg) {
  return (fg_bed){.bulk_kg_m3 = 0.6 * 2500,
                  .grain_kg_m3 = 2500,
                  .grain_m = 0.5e-3,
                  .slope_rad = slope_deg * degree,
                  .friction_static = tan(20.90 * degree),
                  .friction_rise = tan(32.76 * degree) - tan(20.90 * degree),
                  .inertial_number = 0.279};
}

/* Air that carries this share of the weight of a bed that does not loosen. */
static fg_lift even_lift(const fg_bed *bed, double support) {
  const double rest = bed->bulk_kg_m3 / bed->grain_kg_m3;
  return (fg_lift){0.0, support * pow(1.0 - rest, 3)};
}

/* Shear rate over sqrt(h - z) of that law without shaking: I sqrt(packing g cos)/d. */
static double bagnold_factor(const fg_bed *bed) {
  const double t = tan(bed->slope_rad);
  const double inertial = bed->inertial_number * (t - bed->friction_static) /
                          (bed->friction_static + bed->friction_rise - t);
  return inertial * sqrt(bed->bulk_kg_m3 / bed->grain_kg_m3 * 9.80665 * cos(bed->slope_rad)) /
         bed->grain_m;
}

static double mean_speed(const fg_bed *bed, double depth) {
  double flow = NAN;
  assert_int_equal(fg_bed_capacity(bed, depth, &flow), FG_OK);
  return flow / (bed->bulk_kg_m3 * depth);
}

/* Bagnold's profile: mean 2/5 A h^1.5.  0.1653 m/s by hand for 10 mm at 24 deg; the angles of the
 * source, good to half a hundredth of a degree, leave 0.2 % open.  The density of the grains does
 * not matter. */
static void test_bagnold_flow_of_glass_beads(void **state) {
  (void)state;
  fg_bed bed = beads(24);
  assert_close(mean_speed(&bed, 0.01), 0.1653, 2e-3);
  assert_close(mean_speed(&bed, 0.01), 0.4 * bagnold_factor(&bed) * pow(0.01, 1.5), 1e-5);
  bed.grain_kg_m3 = 7800;
  bed.bulk_kg_m3 = 0.6 * 7800;
  assert_close(mean_speed(&bed, 0.01), 0.1653, 2e-3);
}

/* u(z) = 2/3 A (h^1.5 - (h - z)^1.5), averaged over each layer by its own integral. */
static void test_bagnold_profile(void **state) {
  (void)state;
  enum { CELLS = 50 };
  const fg_bed bed = beads(24);
  const double h = 0.01;
  const double a = bagnold_factor(&bed);
  double speed[CELLS];
  assert_int_equal(fg_bed_profile(&bed, h, CELLS, speed), FG_OK);
  for (int j = 0; j < CELLS; ++j) {
    const double low = h * j / CELLS;
    const double high = h * (j + 1) / CELLS;
    const double lost = 0.4 * (pow(h - low, 2.5) - pow(h - high, 2.5)) / (high - low);
    assert_close(speed[j], 2.0 / 3.0 * a * (pow(h, 1.5) - lost), 1e-4);
  }
}

/* Without friction a Newtonian film: mean rho g sin h^2/(3 eta), half a parabola. */
static void test_newtonian_limit(void **state) {
  (void)state;
  enum { CELLS = 20 };
  fg_bed bed = beads(20);
  bed.friction_static = 0;
  bed.friction_rise = 0;
  bed.viscosity_pa_s = 0.6;
  const double h = 0.008;
  const double drive = bed.bulk_kg_m3 * 9.80665 * sin(20 * degree);
  double speed[CELLS];
  assert_close(mean_speed(&bed, h), drive * h * h / (3 * 0.6), 1e-12);
  assert_int_equal(fg_bed_profile(&bed, h, CELLS, speed), FG_OK);
  for (int j = 0; j < CELLS; ++j) {
    const double a = h * j / CELLS;
    const double b = h * (j + 1) / CELLS;
    const double mean = (h * (b * b - a * a) / 2 - (b * b * b - a * a * a) / 6) / (b - a);
    assert_close(speed[j], drive / 0.6 * mean, 1e-11);
  }
}

/* Air that carries the whole weight leaves the fluid part alone, whatever the friction. */
static void test_full_support_is_newtonian(void **state) {
  (void)state;
  fg_bed bed = beads(15);
  bed.viscosity_pa_s = 0.6;
  bed.lift = even_lift(&bed, 1);
  const double drive = bed.bulk_kg_m3 * 9.80665 * sin(15 * degree);
  assert_close(mean_speed(&bed, 0.01), drive * 1e-4 / (3 * 0.6), 1e-9);
  bed.shake_1_s = 80;
  assert_close(mean_speed(&bed, 0.01), drive * 1e-4 / (3 * 0.6), 1e-9);
}

/* Mean of g/sqrt(g^2 + s^2 cos^2) over a stroke, by GSL's elliptic integral (which takes the
 * modulus k, m = k^2 = s^2/(g^2 + s^2)). */
static double turned_share(double rate, double shake) {
  const double all = hypot(rate, shake);
  return 2 / M_PI * rate / all * gsl_sf_ellint_Kcomp(shake / all, GSL_PREC_DOUBLE);
}

/* (2/pi) r/sqrt(1 + r^2) K(1/(1 + r^2)) = 0.49 at r = 0.3, to two figures: value from memory.  For
 * small r it is (2/pi) r ln(4/r) (Abramowitz & Stegun, 17.3.26). */
static void test_friction_turned_by_a_sideways_shake(void **state) {
  (void)state;
  double slope;
  assert_within(fg_bed_turned(0.3 / hypot(1, 0.3), &slope), 0.49, 0.005);
  assert_close(fg_bed_turned(1e-4, &slope), 2 / M_PI * 1e-4 * log(4e4), 1e-7);
  assert_within(fg_bed_turned(1.0, &slope), 1.0, 1e-15);
  assert_within(slope, 0.5, 1e-15); /* K - E = pi m/4 + ... */
  for (int i = 1; i < 40; ++i) {
    const double part = i / 40.0, step = 1e-5;
    assert_close(fg_bed_turned(part, &slope), turned_share(part, sqrt(1 - part * part)), 1e-12);
    double unused;
    const double rise = fg_bed_turned(part + step, &unused) - fg_bed_turned(part - step, &unused);
    assert_close(slope, rise / (2 * step), 1e-6);
  }
}

/* Constant friction under shaking, from its other end: at a chosen rate the slope is the friction
 * left by the air times the share that the shake does not turn. */
static void test_shaken_bed_with_constant_friction(void **state) {
  (void)state;
  for (int rate_step = 0; rate_step < 9; ++rate_step) {
    const double rate = 0.3 * pow(2, rate_step);
    for (int support_step = 0; support_step < 3; ++support_step) {
      const double support = 0.2 * support_step;
      fg_bed bed = beads(0);
      bed.friction_static = 0.5;
      bed.friction_rise = 0;
      bed.shake_1_s = 40;
      bed.lift = even_lift(&bed, support);
      bed.slope_rad = atan(0.5 * (1 - support) * turned_share(rate, 40));
      fg_shear shear = {0};
      assert_int_equal(fg_bed_shear(&bed, 0.01, 0.004, 0, &shear), FG_OK);
      assert_close(shear.rate_1_s, rate, 1e-7);
      assert_close(shear.total_1_s, sqrt(rate * rate + 800), 1e-9);
    }
  }
}

/* The flow law put in again: eta rate + R f = rho_b g sin (h - z), R at the total rate. */
static void test_every_shear_balances_the_driving_stress(void **state) {
  (void)state;
  for (int eta_step = 0; eta_step < 3; ++eta_step) {
    const double eta = 0.6 * eta_step;
    for (int shake_step = 0; shake_step < 4; ++shake_step) {
      const double shake = 30 * shake_step;
      for (int support_step = 0; support_step < 5; ++support_step) {
        const double support = 0.25 * support_step;
        for (int z_step = 0; z_step < 4; ++z_step) {
          const double z = 0.0031 * z_step;
          fg_bed bed = beads(23);
          bed.viscosity_pa_s = eta;
          bed.shake_1_s = shake;
          bed.lift = even_lift(&bed, support);
          bed.cohesion_pa = 2;
          fg_shear s = {0};
          const fg_status status = fg_bed_shear(&bed, 0.01, z, 0, &s);
          if (status == FG_ENOROOT && eta == 0.0)
            continue; /* too little friction is left */
          assert_int_equal(status, FG_OK);
          if (s.rate_1_s == 0.0)
            continue;
          const double stress = bed.bulk_kg_m3 * 9.80665 * sin(bed.slope_rad) * (0.01 - z);
          const double resistance = fg_bed_resistance(&bed, s.normal_pa, s.total_1_s);
          const double turned = shake > 0 ? turned_share(s.rate_1_s, shake) : 1.0;
          assert_close(eta * s.rate_1_s + resistance * turned, stress, 1e-8);
        }
      }
    }
  }
}

static void test_a_bed_below_its_angle_rests_and_above_mu2_runs_away(void **state) {
  (void)state;
  fg_bed bed = beads(20);
  double flow = -1;
  assert_int_equal(fg_bed_capacity(&bed, 0.01, &flow), FG_OK);
  assert_within(flow, 0, 0);
  bed = beads(35);
  assert_int_equal(fg_bed_capacity(&bed, 0.01, &flow), FG_ENOROOT);
  assert_within(flow, 0, 0);
  fg_shear shear;
  assert_int_equal(fg_bed_shear(&bed, 0.01, 0.011, 0, &shear), FG_EDOMAIN);
  assert_int_equal(fg_bed_shear(&bed, 0, 0, 0, &shear), FG_EDOMAIN);
}

/* mu(I) of the source: from mu_s at rest to mu_2 at any speed. */
static void test_friction_runs_from_mu_s_to_mu_2(void **state) {
  (void)state;
  const fg_bed bed = beads(24);
  assert_close(fg_bed_resistance(&bed, 100, 0), 100 * tan(20.90 * degree), 1e-12);
  assert_close(fg_bed_resistance(&bed, 100, 1e12), 100 * tan(32.76 * degree), 1e-9);
  const double half = 0.279 * sqrt(100.0 / 2500) / 0.5e-3; /* rate at I = I0 */
  assert_close(fg_bed_resistance(&bed, 100, half), 50 * (tan(20.90 * degree) + tan(32.76 * degree)),
               1e-12);
  assert_within(fg_bed_resistance(&bed, 0, 10), 0, 0);
}

/* ---- a bed that loosens ---- */

static fg_bed sand(double slope_deg) {
  return (fg_bed){.bulk_kg_m3 = 0.6 * 2650,
                  .grain_kg_m3 = 2650,
                  .grain_m = 0.9e-3,
                  .slope_rad = slope_deg * degree,
                  .dilation = 0.2,
                  .friction_static = 0.51,
                  .friction_rise = 0.436,
                  .inertial_number = 0.28};
}

/* The law from its other end: an inertial number is chosen, the slope that it flows at follows from
 * mu(I)(1 - lambda(phi(I))) = tan(slope), and the capacity is Bagnold's, 2/5 A h^1.5 with A = I
 * sqrt(phi0 g cos (1 - lambda))/d, faster by phi0/phi over the settled depth. */
static void test_a_loosened_bed_flows_at_its_own_inertial_number(void **state) {
  (void)state;
  for (int i_step = 0; i_step < 6; ++i_step)
    for (int lift_step = 0; lift_step < 4; ++lift_step) {
      const double inertial = 0.02 * pow(2.1, i_step), at_rest = 0.3 * lift_step;
      fg_bed bed = sand(0);
      const double packing = 0.6 / (1 + 0.2 * inertial / 0.6);
      bed.lift = (fg_lift){0.5 * at_rest * pow(0.4, 3) / 0.6, 0.5 * at_rest * pow(0.4, 3)};
      const double carried = (bed.lift.viscous * packing + bed.lift.inertial) / pow(1 - packing, 3);
      const double friction = 0.51 + 0.436 * inertial / (inertial + 0.28);
      bed.slope_rad = atan(friction * (1 - carried));
      fg_shear shear = {0};
      assert_int_equal(fg_bed_shear(&bed, 0.008, 0.003, 0, &shear), FG_OK);
      assert_close(shear.inertial, inertial, 1e-8);
      assert_close(shear.packing, packing, 1e-9);
      assert_close(shear.support, carried, 1e-8);
      const double factor =
          inertial * sqrt(0.6 * 9.80665 * cos(bed.slope_rad) * (1 - carried)) / 0.9e-3;
      const double speed = 0.4 * factor * pow(0.008, 1.5) * 0.6 / packing;
      assert_close(mean_speed(&bed, 0.008), speed, 1e-7);
    }
}

/* What the air carries of a packing at rest is Ergun's gradient over its weight. */
static void test_lift_is_erguns_gradient_over_the_weight(void **state) {
  (void)state;
  for (int step = 0; step < 5; ++step) {
    const double voidage = 0.38 + 0.08 * step, weight = 2650 * 9.80665 * cos(0.3);
    const fg_packing packing = {0.9e-3, 0.75, voidage};
    fg_lift lift;
    double gradient = NAN;
    assert_int_equal(fg_bed_lift(&packing, 0.3, 1.1, 1.85e-5, weight, &lift), FG_OK);
    assert_int_equal(fg_packing_gradient(&packing, 0.3, 1.1, 1.85e-5, &gradient), FG_OK);
    const double share = gradient / ((1 - voidage) * weight);
    assert_close(fg_lift_share(&lift, 1 - voidage), fmin(1.0, share), 1e-12);
  }
}

/* One strip of even bed, 0.9 mm spheres, in the grain-by-grain simulation (tests/grains): support
 * at rest, slope, and at mid depth shear rate, inertial number, packing and support; mean speed.
 * With the friction that the simulation itself shows, 0.33 + 0.36/(1 + 0.30/I), and the
 * published fall of the packing from its own 0.59; nothing is fitted.  Speeds within 33 %: grains
 * slide on the simulation's floor, so smooth ones (a) are 20 to 31 % faster than the law, those
 * with rolling friction (s) at most 10 %; their shear is up to a quarter less. */
typedef struct simulated_flow {
  const char *run;
  double support_at_rest, slope_deg;
  double shear_1_s, inertial, packing, support, speed_m_s;
} simulated_flow;

static const simulated_flow simulated[] = {
    {"n0", 0.0, 23, 18, 0.11, 0.575, 0.00, 0.087}, {"n3", 0.3, 20, 30, 0.20, 0.56, 0.25, 0.16},
    {"a05", 0.5, 20, 51, 0.36, 0.53, 0.33, 0.34},  {"s05", 0.5, 20, 44, 0.31, 0.53, 0.33, 0.26},
    {"a08", 0.8, 20, 80, 0.61, 0.49, 0.39, 0.58},  {"s08", 0.8, 20, 69, 0.52, 0.49, 0.40, 0.44},
    {"a10", 1.0, 20, 98, 0.78, 0.47, 0.42, 0.75},  {"s10", 1.03, 20, 85, 0.67, 0.47, 0.44, 0.63},
};

static fg_bed simulated_bed(const simulated_flow *run) {
  fg_bed bed = sand(run->slope_deg);
  bed.bulk_kg_m3 = 0.59 * 2650;
  bed.friction_static = 0.33;
  bed.friction_rise = 0.36;
  bed.inertial_number = 0.30;
  const fg_packing packing = {0.9e-3, 1.0, 0.41};
  const double weight = 2650 * 9.80665 * cos(bed.slope_rad);
  double velocity = 0.0;
  assert_int_equal(
      fg_packing_velocity(&packing, run->support_at_rest * 0.59 * weight, 1.1, 1.85e-5, &velocity),
      FG_OK);
  assert_int_equal(fg_bed_lift(&packing, velocity, 1.1, 1.85e-5, weight, &bed.lift), FG_OK);
  return bed;
}

static void test_aired_flow_as_grains_simulated(void **state) {
  (void)state;
  const double settled = 4.68e-3 / 0.59; /* volume of the grains per area, at rest */
  for (size_t i = 0; i < sizeof simulated / sizeof simulated[0]; ++i) {
    const simulated_flow *run = &simulated[i];
    const fg_bed bed = simulated_bed(run);
    fg_shear shear = {0};
    assert_int_equal(fg_bed_shear(&bed, settled, 0.5 * settled, 0, &shear), FG_OK);
    assert_close(shear.rate_1_s, run->shear_1_s, 0.26);
    assert_close(shear.inertial, run->inertial, 0.26);
    assert_within(shear.packing, run->packing, 0.012);
    assert_within(shear.support, run->support, 0.055);
    assert_close(mean_speed(&bed, settled), run->speed_m_s, 0.33);
  }
}

/* The same strip shaken at 0.9 g and 28.7 Hz on the bare slope (run a00): 11/s, I 0.065, packing
 * 0.58, 0.050 m/s.  The deck's stroke, X w = 49 mm/s, shears 9 mm of bed that stays behind; nothing
 * is fitted.  The unshaken law alone gives an inertial number of 0.03. */
static void test_shaken_flow_as_grains_simulated(void **state) {
  (void)state;
  const double settled = 4.68e-3 / 0.59;
  const simulated_flow bare = {.run = "a00", .slope_deg = 20};
  fg_bed bed = simulated_bed(&bare);
  fg_shear still = {0}, shaken = {0};
  assert_int_equal(fg_bed_shear(&bed, settled, 0.5 * settled, 0, &still), FG_OK);
  bed.shake_1_s = 0.9 * 9.80665 / (2 * M_PI * 28.7) / 0.009;
  assert_int_equal(fg_bed_shear(&bed, settled, 0.5 * settled, 0, &shaken), FG_OK);
  assert_between(still.inertial, 0.0, 0.04);
  assert_close(shaken.inertial, 0.065, 0.1);
  assert_close(shaken.rate_1_s, 11, 0.2);
  assert_within(shaken.packing, 0.58, 0.005);
  assert_close(mean_speed(&bed, settled), 0.050, 0.25);
}

/* Shear at an even rate over a heap: q = rho_b rate h^2/2 by hand, and slower through looser sand;
 * one riffle pitch of the simulation (run p2, 1.07 kg/(s m)) had 4 to 6 mm moving over the sand in
 * the quiet strip, at half sqrt(g/d). */
static void test_flow_over_a_heap(void **state) {
  (void)state;
  fg_bed bed = sand(20);
  const double rate = 0.5 * sqrt(9.80665 / 0.9e-3);
  fg_shear middle = {0};
  bed.dilation = 0;
  assert_close(fg_heap_depth(&bed, rate, 1.07, &middle), sqrt(2 * 1.07 / (0.6 * 2650 * rate)),
               1e-12);
  assert_close(middle.total_1_s, rate, 1e-12);
  bed.dilation = 0.2;
  const double settled = fg_heap_depth(&bed, rate, 1.07, &middle);
  const double depth = settled * 0.6 / middle.packing;
  assert_close(0.5 * middle.packing * 2650 * rate * depth * depth, 1.07, 1e-9);
  assert_close(middle.packing, fg_bed_packing(&bed, middle.inertial), 1e-9);
  assert_between(depth, 4e-3, 6e-3);
}

/* ---- sinking ---- */

static fg_sinking sand_bed(void) {
  fg_sinking s = {.gas = {1.1, 1.85e-5},
                  .bed_grain = {0.9e-3, 2650, {0.75, 1, 1}},
                  .slope_rad = 20 * degree,
                  .pore_exponent = 1.3,
                  .excess_air = 0.5,
                  .stokes_factor = 3,
                  .sieving_constant = 0.26,
                  .shear_mixing = 0.05,
                  .bubble_mixing = 0.05,
                  .shake_mixing = 0.3};
  assert_int_equal(fg_grain_of_sphericity(0.75, &s.bed_grain.shape), FG_OK);
  const fg_packing packing = {s.bed_grain.dv_m, 0.75, 0.4};
  const double weight = 0.6 * 2650 * 9.80665 * cos(s.slope_rad);
  assert_int_equal(fg_packing_velocity(&packing, weight, 1.1, 1.85e-5, &s.fluidising_m_s), FG_OK);
  return s;
}

static fg_strip strip_of(double velocity, double support) {
  return (fg_strip){.velocity_m_s = velocity,
                    .support = support,
                    .voidage = 0.4,
                    .normal_pa = 20,
                    .overburden_pa = 60,
                    .total_1_s = 30,
                    .viscosity_pa_s = 1.2};
}

static void test_a_bed_grain_neither_sinks_nor_rises(void **state) {
  (void)state;
  for (int law = 0; law < FG_DRAG_COUNT; ++law) {
    if (fg_drag_law_of(law)->least_sphericity == 1.0)
      continue; /* for spheres, which the bed's grains are not */
    for (int sieving = 0; sieving < FG_SIEVING_COUNT; ++sieving)
      for (int air_step = 0; air_step < 7; ++air_step) {
        const double air = 0.05 + 0.35 * air_step;
        for (int i = 1; i <= 10; ++i) {
          fg_sinking s = sand_bed();
          s.drag_law = law;
          s.sieving_law = sieving;
          fg_strip strip = strip_of(air * s.fluidising_m_s, 0.1 * i);
          double speed = NAN;
          assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
          assert_int_equal(fg_sinking_speed(&s, &strip, &s.bed_grain, &speed), FG_OK);
          const double scale = 2650 * 9.80665 * s.bed_grain.dv_m * s.bed_grain.dv_m / (18 * 1.2);
          assert_within(speed / scale, 0, 1e-9);
        }
      }
  }
}

static void test_no_air_no_lift(void **state) {
  (void)state;
  fg_sinking s = sand_bed();
  fg_strip strip = strip_of(0, 0);
  double speed = NAN;
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  assert_int_equal(fg_sinking_speed(&s, &strip, &s.bed_grain, &speed), FG_OK);
  assert_within(speed, 0, 1e-12);
}

/* Granular Stokes drag with c = 3: (rho_p - rho_s) g cos d^2/(18 eta) in a bed without air
 * (the bed's buoyancy between fine grains is that of the grains), plus K G d ln(D/d). */
static void test_fine_gold_without_air(void **state) {
  (void)state;
  fg_sinking s = sand_bed();
  fg_strip strip = strip_of(0, 0);
  const fg_grain gold = {0.45e-3, 17500, {1, 1, 1}};
  double speed = NAN;
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  const double falls = (17500 - 2650) * 9.80665 * cos(20 * degree) * 0.45e-3 * 0.45e-3 / (18 * 1.2);
  s.sieving_constant = 0;
  assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
  assert_close(speed, falls, 1e-9);
  s.sieving_constant = 0.26;
  assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
  assert_close(speed, falls + 0.26 * 30 * 0.45e-3 * log(2.0), 1e-9);
}

/* A grain twice the bed's size: the air that carries the bed floats it with 1590 (1 + 2/3 1/2) =
 * 2120 kg/m3 at voidage 0.4, the contacts of the sheared bed squeeze it up with f(2)/f(1) =
 * 2.34286/1.82580 of the bed grains' density; f of Jing et al., Phys. Rev. Research 2:022069, 2020,
 * constants from memory, by hand. */
static void test_a_coarse_grain_is_held_up_by_the_bed(void **state) {
  (void)state;
  fg_sinking s = sand_bed();
  for (int support_step = 0; support_step < 3; ++support_step) {
    const double support = 0.5 * support_step;
    fg_strip strip = strip_of(0.3, support);
    const double up = support * 2120 + (1 - support) * 2650 * 1.283198;
    const fg_grain gold = {1.8e-3, 17500, {1, 1, 1}};
    double speed = NAN;
    assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
    assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
    assert_close(speed, (17500 - up) * 9.80665 * cos(20 * degree) * 1.8e-3 * 1.8e-3 / (18 * 1.2),
                 2e-5);
  }
}

static double sinks(const fg_sinking *s, double support, double size, double density) {
  fg_strip strip = strip_of(0.3, support);
  const fg_grain grain = {size, density, s->bed_grain.shape};
  double speed = NAN;
  assert_int_equal(fg_sinking_prepare(s, &strip), FG_OK);
  assert_int_equal(fg_sinking_speed(s, &strip, &grain, &speed), FG_OK);
  return speed;
}

/* Large grains of the bed's own density rise in a sheared bed up to some four sizes, and sink when
 * larger still (same source, whose large limit is Archimedes') or when air bears the bed; gold
 * sinks. */
static void test_coarse_quartz_rises_under_shear(void **state) {
  (void)state;
  const fg_sinking s = sand_bed();
  const double d = s.bed_grain.dv_m;
  assert_true(sinks(&s, 0.0, 1.5 * d, 2650) < 0);
  assert_true(sinks(&s, 0.0, 3.0 * d, 2650) < 0);
  assert_true(sinks(&s, 0.3, 2.0 * d, 2650) < 0);
  assert_true(sinks(&s, 0.0, 8.0 * d, 2650) > 0);
  assert_true(sinks(&s, 1.0, 2.0 * d, 2650) > 0);
  assert_true(sinks(&s, 0.0, 2.0 * d, 17500) > 0);
}

/* No jump where a flake passes the size of the bed's grains, or that from which the air carries it
 * as part of the bed; and thicker flakes sink faster all the way. */
static void test_no_jump_at_the_size_of_the_bed(void **state) {
  (void)state;
  for (int law = 0; law < FG_SIEVING_COUNT; ++law)
    for (int support_step = 0; support_step < 3; ++support_step) {
      fg_sinking s = sand_bed();
      s.sieving_law = law;
      fg_strip strip = strip_of(0.3, 0.5 * support_step);
      assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
      double before = NAN;
      for (int i = 0; i < 1180; ++i) { /* 0.4 to 1.3 times the bed's size */
        const fg_grain flake = {0.4 * pow(1.001, i) * s.bed_grain.dv_m, 17500, {0.47, 1.88, 0.1}};
        double speed = NAN;
        assert_int_equal(fg_sinking_speed(&s, &strip, &flake, &speed), FG_OK);
        if (!isnan(before) && law != FG_SIEVING_TREWHELA)
          assert_between(speed / before, 0.998, 1.006);
        if (!isnan(before))
          assert_between(speed / before, 0.985, 1.006);
        before = speed;
      }
    }
}

/* One state of the grain-by-grain simulation (tests/grains): a uniform strip of 0.9 mm quartz, 4.7
 * mm of solids, gold spheres of 0.25, 0.37, 0.52, 0.74 and 1 times its size. */
typedef struct simulated_state {
  double slope_deg;
  double air_share;                                   /* of what would carry the resting bed */
  double shear_1_s, packing, support, viscosity_pa_s; /* at mid depth, as simulated */
  double sinking_mm_s[5];
} simulated_state;

static const simulated_state sinking_states[] = {
    {20, 0, 11, 0.58, 0, 1.9, {10.8, 8.5, 6.3, 3.9, 4.7}},
    {23, 0, 18, 0.575, 0, 1.2, {15.9, 8.9, 6.8, 4.1, 5.4}},
    {20, 0.3, 30, 0.56, 0.25, 0.68, {11.5, 12.0, 10.8, 7.4, 9.5}},
    {20, 0.5, 51, 0.53, 0.33, 0.42, {13.8, 13.7, 11.1, 14.7, 13.3}},
    {20, 0.5, 44, 0.53, 0.33, 0.49, {13.1, 11.0, 10.3, 9.4, 11.0}},
    {20, 0.8, 80, 0.49, 0.39, 0.27, {14.2, 12.2, 14.7, 16.3, 24.2}},
    {20, 0.8, 69, 0.49, 0.40, 0.31, {12.2, 12.7, 11.1, 14.5, 18.3}},
    {20, 1.0, 98, 0.47, 0.42, 0.21, {13.4, 14.6, 14.5, 19.1, 26.6}},
    {20, 1.03, 85, 0.47, 0.44, 0.25, {16.4, 14.3, 16.2, 15.3, 23.2}},
};
enum { SINKING_STATES = sizeof sinking_states / sizeof sinking_states[0] };

/* Speed of the model over the simulation's for one size in one state. */
static double over_simulation(const simulated_state *r, int law, int size) {
  static const double ratio[] = {0.25, 0.37, 0.52, 0.74, 1};
  fg_sinking s = sand_bed();
  const fg_packing rest = {s.bed_grain.dv_m, 1, 0.41};
  s.bed_grain.shape = (fg_shape){1, 1, 1};
  s.slope_rad = r->slope_deg * degree;
  s.sieving_law = law;
  const double weight = 0.59 * 2650 * 9.80665 * cos(s.slope_rad);
  fg_strip strip = {.support = r->support,
                    .voidage = 1 - r->packing,
                    .total_1_s = r->shear_1_s,
                    .viscosity_pa_s = r->viscosity_pa_s,
                    .overburden_pa = weight / 0.59 * 0.0047 / 2};
  assert_int_equal(fg_packing_velocity(&rest, weight, 1.1, 1.85e-5, &s.fluidising_m_s), FG_OK);
  assert_int_equal(
      fg_packing_velocity(&rest, r->air_share * weight, 1.1, 1.85e-5, &strip.velocity_m_s), FG_OK);
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  const fg_grain gold = {ratio[size] * s.bed_grain.dv_m, 17500, {1, 1, 1}};
  double speed = NAN;
  assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
  return speed / (1e-3 * r->sinking_mm_s[size]);
}

/* The third law with the granular Stokes drag, at the simulation's own shear, packing, support and
 * viscosity: each size within 1.5 times (its scatter is 8 to 20 %, one deviation), those of a state
 * together within 30 %.  Coarse gold, which hardly sieves, tells of the Stokes drag (c = 3). */
static void test_simulated_law_sinks_as_simulated(void **state) {
  (void)state;
  for (int i = 0; i < SINKING_STATES; ++i) {
    double sum = 0;
    for (int size = 0; size < 5; ++size) {
      const double over = over_simulation(&sinking_states[i], FG_SIEVING_SIMULATED, size);
      assert_between(over, 1 / 1.5, 1.4);
      sum += log(over) / 5;
    }
    assert_between(exp(sum), 1 / 1.3, 1.3);
  }
}

/* How far the published laws stand from the simulation for gold of a quarter of the bed's size: the
 * first 2 to 13 times below, worst in slow beds; the second 2 to 18 times above, worst in aired
 * ones.  What the doubt of fine gold rests on. */
static void test_published_laws_bracket_the_simulation(void **state) {
  (void)state;
  for (int i = 0; i < SINKING_STATES; ++i) {
    assert_between(over_simulation(&sinking_states[i], FG_SIEVING_SCHLICK, 0), 1 / 13.0, 1 / 1.8);
    assert_between(over_simulation(&sinking_states[i], FG_SIEVING_TREWHELA, 0), 2, 18);
  }
}

/* Gold in the creeping sand of a pocket, at the standing creep of a full one (closure.pocket_creep)
 * under 5 mm of sand sheared at 75 1/s and shaken with 0.9 g: grain-by-grain simulation
 * (tests/grains), pockets of 0.9 mm quartz: 0.4 to 3.0 mm/s for spheres of 0.37 to 0.74 of it,
 * nine readings in three runs, mean 1.1 +- 0.3.  Held to half and to twice that mean. */
static void test_gold_sinks_into_creeping_sand_as_simulated(void **state) {
  (void)state;
  fg_sinking s = sand_bed();
  const fg_bed sand = {.bulk_kg_m3 = 1590,
                       .grain_kg_m3 = 2650,
                       .grain_m = s.bed_grain.dv_m,
                       .friction_static = 0.51,
                       .friction_rise = 0.436,
                       .inertial_number = 0.28};
  const double creep = fg_settings[FG_SET_CLOSURE_POCKET_CREEP].standard;
  fg_strip strip = {
      .voidage = 0.4, .normal_pa = 1590 * 9.80665 * 0.94 * 0.005, .total_1_s = creep * 0.9 * 75};
  strip.overburden_pa = strip.normal_pa;
  strip.viscosity_pa_s = fg_bed_viscosity(&sand, strip.normal_pa, strip.total_1_s);
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  static const double ratio[] = {0.37, 0.52, 0.74};
  double mean = 0;
  for (int i = 0; i < 3; ++i) {
    const fg_grain gold = {ratio[i] * s.bed_grain.dv_m, 17500, {1, 1, 1}};
    double speed = NAN;
    assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
    assert_between(speed, 0.4e-3, 3e-3);
    mean += speed / 3;
  }
  assert_between(mean, 0.55e-3, 2.2e-3);
}

static void test_more_air_lifts_fine_grains_more(void **state) {
  (void)state;
  const fg_sinking s = sand_bed();
  const fg_grain dust = {0.08e-3, 17500, {0.47, 1.88, 0.1}};
  double before = HUGE_VAL;
  for (int air_step = 0; air_step < 14; ++air_step) {
    const double air = 0.2 + 0.2 * air_step;
    fg_strip strip = strip_of(air * s.fluidising_m_s, fmin(1, air));
    double speed = NAN;
    assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
    assert_int_equal(fg_sinking_speed(&s, &strip, &dust, &speed), FG_OK);
    assert_true(isfinite(speed) && speed < before);
    before = speed;
  }
}

static void test_a_bed_at_rest_lets_nothing_sink(void **state) {
  (void)state;
  const fg_sinking s = sand_bed();
  fg_strip strip = strip_of(0.2, 0.4);
  const fg_grain gold = {0.4e-3, 17500, {1, 1, 1}};
  strip.viscosity_pa_s = HUGE_VAL;
  strip.total_1_s = 0;
  double speed = NAN;
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_OK);
  assert_within(speed, 0, 0);
  strip.viscosity_pa_s = 0;
  assert_int_equal(fg_sinking_speed(&s, &strip, &gold, &speed), FG_EDOMAIN);
}

/* Air beyond fluidising: half stays between the grains, half rises as bubbles; mixing by hand:
 * 0.05 30 (0.9 mm)^2 + 0.05 0.05 0.01 + 0.3 (1 mm)^2 100. */
static void test_bubbles_and_mixing(void **state) {
  (void)state;
  fg_sinking s = sand_bed();
  s.fluidising_m_s = 0.4;
  fg_strip strip = strip_of(0.5, 1);
  assert_int_equal(fg_sinking_prepare(&s, &strip), FG_OK);
  assert_close(strip.effective_m_s, 0.45, 1e-12);
  assert_close(strip.bubble_m_s, 0.05, 1e-9);
  assert_close(fg_sinking_mixing(&s, &strip, 0.01, 1e-3, 100),
               0.05 * 30 * 0.9e-3 * 0.9e-3 + 0.05 * 0.05 * 0.01 + 0.3 * 1e-6 * 100, 1e-9);
  /* slip of a grain much finer than the bed: air over voidage to the pore exponent */
  assert_close(fg_sinking_slip(&s, &strip, 0.1e-3), 0.45 / pow(0.4, 1.3), 1e-12);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_bagnold_flow_of_glass_beads),
      cmocka_unit_test(test_bagnold_profile),
      cmocka_unit_test(test_newtonian_limit),
      cmocka_unit_test(test_full_support_is_newtonian),
      cmocka_unit_test(test_shaken_bed_with_constant_friction),
      cmocka_unit_test(test_friction_turned_by_a_sideways_shake),
      cmocka_unit_test(test_every_shear_balances_the_driving_stress),
      cmocka_unit_test(test_a_bed_below_its_angle_rests_and_above_mu2_runs_away),
      cmocka_unit_test(test_friction_runs_from_mu_s_to_mu_2),
      cmocka_unit_test(test_a_loosened_bed_flows_at_its_own_inertial_number),
      cmocka_unit_test(test_lift_is_erguns_gradient_over_the_weight),
      cmocka_unit_test(test_flow_over_a_heap),
      cmocka_unit_test(test_aired_flow_as_grains_simulated),
      cmocka_unit_test(test_shaken_flow_as_grains_simulated),
      cmocka_unit_test(test_a_bed_grain_neither_sinks_nor_rises),
      cmocka_unit_test(test_no_air_no_lift),
      cmocka_unit_test(test_fine_gold_without_air),
      cmocka_unit_test(test_a_coarse_grain_is_held_up_by_the_bed),
      cmocka_unit_test(test_coarse_quartz_rises_under_shear),
      cmocka_unit_test(test_no_jump_at_the_size_of_the_bed),
      cmocka_unit_test(test_simulated_law_sinks_as_simulated),
      cmocka_unit_test(test_published_laws_bracket_the_simulation),
      cmocka_unit_test(test_gold_sinks_into_creeping_sand_as_simulated),
      cmocka_unit_test(test_more_air_lifts_fine_grains_more),
      cmocka_unit_test(test_a_bed_at_rest_lets_nothing_sink),
      cmocka_unit_test(test_bubbles_and_mixing),
  };
  gsl_set_error_handler_off();
  return FG_RUN_GROUP(tests);
}
