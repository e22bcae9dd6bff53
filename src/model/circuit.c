/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "core/roots.h"
#include "model/circuit.h"
#include "model/model_internal.h"
#include "physics/duct.h"
#include "physics/flow.h"
#include "physics/shaking.h"

static const double cloth_test_pa = 125.0;          /* ASTM D737 */
static const double cloth_test_viscosity = 1.82e-5; /* Pa s at 21 C */

/* Weight per depth that the bed presses across the slope (Pa/m). */
static double weight_gradient(const fg_scenario *s) {
  return s->ground.bulk_density * FG_GRAVITY * cos(s->deck.slope);
}

/* Share of its weight that air of this velocity carries of a bed at rest. */
static double standing_support(const fg_scenario *s, const fg_machine *m, double velocity) {
  double gradient = 0.0;
  if (fg_packing_gradient(&m->packing, velocity, m->air.density_kg_m3, m->air.viscosity_pa_s,
                          &gradient) != FG_OK)
    return NAN;
  return fmin(gradient / weight_gradient(s), 1.0);
}

static fg_status lift_of(const fg_scenario *s, const fg_machine *m, double velocity,
                         fg_lift *lift) {
  const double weight = m->grain_density_kg_m3 * FG_GRAVITY * cos(s->deck.slope);
  return fg_bed_lift(&m->packing, velocity, m->air.density_kg_m3, m->air.viscosity_pa_s, weight,
                     lift);
}

fg_status fg_still_bed(const fg_scenario *s, const fg_machine *m, double velocity_m_s,
                       fg_bed *bed) {
  *bed = (fg_bed){.bulk_kg_m3 = s->ground.bulk_density,
                  .grain_kg_m3 = m->grain_density_kg_m3,
                  .grain_m = m->sauter_m,
                  .slope_rad = s->deck.slope,
                  .dilation = s->closure.dilation,
                  .cohesion_pa = m->cohesion_pa,
                  .viscosity_pa_s = s->closure.bed_viscosity,
                  .friction_static = s->closure.friction_static,
                  .friction_rise = s->closure.friction_rise,
                  .inertial_number = s->closure.inertial_number};
  return lift_of(s, m, velocity_m_s, &bed->lift);
}

/* The bed in the open strips at mid depth, as it flows without the shake, which would hang on the
 * air that it is to give. */
static fg_status flowing_at(const fg_scenario *s, const fg_machine *m, double settled_m,
                            double velocity, double guess, fg_shear *middle) {
  fg_bed bed;
  const fg_status status = fg_still_bed(s, m, velocity, &bed);
  return status == FG_OK ? fg_bed_shear(&bed, settled_m, 0.5 * settled_m, guess, middle) : status;
}

double fg_cloth_permeability(const fg_scenario *s, const fg_machine *m, double pressure_pa,
                             double velocity_m_s) {
  return cloth_test_pa * (m->air.viscosity_pa_s / cloth_test_viscosity) * velocity_m_s /
         (s->deck.board_open_share * pressure_pa);
}

/* *moving: the bed at mid depth, its inertial number a guess at first (0: none). */
static double deck_pressure(const fg_scenario *s, const fg_machine *m, double settled_m,
                            double velocity, fg_shear *moving) {
  double board = 0.0;
  if (fg_board_coefficient(s->deck.board_open_share, &board) != FG_OK)
    return NAN;
  const double resistance = cloth_test_pa / s->deck.cloth_permeability *
                            (m->air.viscosity_pa_s / cloth_test_viscosity) /
                            s->deck.board_open_share;
  const double head = 0.5 * m->air.density_kg_m3 * velocity * velocity;
  const double bare = resistance * velocity + board * head;
  if (!(settled_m > 0.0))
    return bare;
  if (flowing_at(s, m, settled_m, velocity, moving->inertial, moving) != FG_OK)
    return NAN;
  const double standing = standing_support(s, m, velocity);
  const fg_fill fill =
      fg_fill_behind(s, standing, standing_support(s, m, velocity * s->deck.dead_air_leak));
  return bare + weight_gradient(s) * (standing * fill.open_m + moving->support * settled_m);
}

double fg_deck_pressure(const fg_scenario *s, const fg_machine *m, double settled_m,
                        double velocity_m_s) {
  fg_shear moving = {0};
  return deck_pressure(s, m, settled_m, velocity_m_s, &moving);
}

static double deck_volume(const fg_scenario *s, double velocity) {
  const double b = s->deck.dead_air_share;
  return s->deck.length * s->deck.width * velocity * (1.0 - b + b * s->deck.dead_air_leak);
}

double fg_supply_pressure(const fg_scenario *s, const fg_machine *m, double volume_m3_s) {
  double lost = 0.0;
  /* Bends and couplings, one velocity head on entering the box, and the rotor. */
  const double heads = s->hose.losses + 1.0 + s->shaker.loss;
  if (fg_duct_loss(volume_m3_s, s->hose.length, s->hose.diameter, s->hose.roughness, heads,
                   m->air.density_kg_m3, m->air.viscosity_pa_s, &lost) != FG_OK)
    return NAN;
  return fg_fan_pressure(&m->fan, volume_m3_s) - lost;
}

static double gate_volume(const fg_scenario *s, const fg_machine *m, double pressure) {
  return fg_orifice_volume(s->gate.area * s->run.gate_opening, pressure, m->air.density_kg_m3);
}

static double leak_volume(const fg_scenario *s, const fg_machine *m, double pressure) {
  return fg_orifice_volume(s->gate.leak_area, pressure, m->air.density_kg_m3);
}

typedef struct circuit_case {
  const fg_scenario *s;
  const fg_machine *m;
  double settled_m;
  double pressure_pa; /* wanted, for the demand */
  fg_shear moving;    /* the bed at the velocity tried last */
} circuit_case;

static double all_volume(const circuit_case *c, double velocity, double pressure) {
  return deck_volume(c->s, velocity) + gate_volume(c->s, c->m, pressure) +
         leak_volume(c->s, c->m, pressure);
}

/* Everything hangs on the deck velocity: it fixes the box pressure, that the bleed, and
 * both the volume the blower must move. */
static double supply_gap(double velocity, void *context) {
  circuit_case *c = context;
  const double pressure = deck_pressure(c->s, c->m, c->settled_m, velocity, &c->moving);
  return fg_supply_pressure(c->s, c->m, all_volume(c, velocity, pressure)) - pressure;
}

static double demand_gap(double velocity, void *context) {
  circuit_case *c = context;
  return deck_pressure(c->s, c->m, c->settled_m, velocity, &c->moving) - c->pressure_pa;
}

double fg_demand_volume(const fg_scenario *s, const fg_machine *m, double settled_m,
                        double box_pressure_pa) {
  circuit_case c = {.s = s, .m = m, .settled_m = settled_m, .pressure_pa = box_pressure_pa};
  double velocity = 0.0;
  if (fg_root(demand_gap, &c, 0.0, 100.0, 1e-10, &velocity) != FG_OK)
    return NAN;
  return all_volume(&c, velocity, box_pressure_pa);
}

/* Of the bed at rest, and of the bed as it flows. */
static void describe_support(const fg_scenario *s, const fg_machine *m, const fg_shear *moving,
                             fg_operating *at) {
  const double b = s->deck.dead_air_share;
  at->support_open = standing_support(s, m, at->open_velocity_m_s);
  at->support_quiet = standing_support(s, m, at->quiet_velocity_m_s);
  at->support_mean = (1.0 - b) * at->support_open + b * at->support_quiet;
  at->support_flowing = at->support_open;
  if (!(at->settled_m > 0.0))
    return;
  at->support_flowing = moving->support;
  at->depth_m = at->settled_m * (1.0 - m->voidage) / moving->packing;
}

static double gravel_mass(const fg_scenario *s, const fg_operating *at) {
  if (at->settled_m <= 0.0)
    return 0.0;
  const double moving = s->deck.length * s->deck.width * at->settled_m;
  return s->ground.bulk_density * (moving + s->deck.riffles * at->fill.volume_m3);
}

/* By the shaker's laws, unless a reading is being worked backwards. */
static fg_status shake_at(const fg_scenario *s, fg_operating *at) {
  double speed = s->shaker.rated_speed * at->blower_flow_m3_s / s->shaker.rated_flow;
  if (s->shaker.held_speed > 0.0)
    speed = s->shaker.held_speed;
  const fg_status status =
      fg_shaker_stroke(s->shaker.mass, at->gravel_kg, s->shaker.unbalance,
                       s->shaker.natural_frequency, s->shaker.damping, speed, &at->shake);
  if (status == FG_OK && s->shaker.held_amplitude > 0.0) {
    const double omega = 2.0 * M_PI * speed;
    at->shake.amplitude_m = s->shaker.held_amplitude;
    at->shake.gamma = s->shaker.held_amplitude * omega * omega / FG_GRAVITY;
  }
  return status;
}

fg_status fg_machine_air(const fg_scenario *s, const fg_machine *m, double settled_m,
                         double guess_m_s, fg_operating *at) {
  circuit_case c = {.s = s, .m = m, .settled_m = settled_m};
  double velocity;
  /* The deck alone cannot pass more than the blower's free delivery. */
  const double most = 1.001 * m->fan_free_volume_m3_s / deck_volume(s, 1.0);
  fg_status status =
      fg_root_near(supply_gap, &c, guess_m_s, 0.0, fmin(most, 1000.0), 1e-10, &velocity);
  if (status != FG_OK)
    return status;
  fg_operating here = {.depth_m = settled_m, .settled_m = settled_m, .open_velocity_m_s = velocity};
  here.quiet_velocity_m_s = velocity * s->deck.dead_air_leak;
  here.box_pressure_pa = deck_pressure(s, m, settled_m, velocity, &c.moving);
  here.gate_flow_m3_s = gate_volume(s, m, here.box_pressure_pa);
  here.leak_flow_m3_s = leak_volume(s, m, here.box_pressure_pa);
  here.blower_flow_m3_s = all_volume(&c, velocity, here.box_pressure_pa);
  here.blower_pressure_pa = fg_fan_pressure(&m->fan, here.blower_flow_m3_s);
  describe_support(s, m, &c.moving, &here);
  here.fill = fg_fill_behind(s, here.support_open, here.support_quiet);
  here.gravel_kg = gravel_mass(s, &here);
  status = shake_at(s, &here);
  if (status == FG_OK)
    *at = here;
  return status;
}
