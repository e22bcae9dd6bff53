/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "core/roots.h"
#include "model/circuit.h"
#include "model/model_internal.h"
#include "physics/duct.h"
#include "physics/shaking.h"

static const double cloth_test_pa = 125.0;          /* ASTM D737 */
static const double cloth_test_viscosity = 1.82e-5; /* Pa s at 21 C */

/* Weight per depth that the bed presses across the slope (Pa/m). */
static double weight_gradient(const fg_scenario *s) {
  return s->ground.bulk_density * FG_GRAVITY * cos(s->deck.slope);
}

static double bed_gradient(const fg_scenario *s, const fg_machine *m, double velocity) {
  double gradient = 0.0;
  if (fg_packing_gradient(&m->packing, velocity, m->air.density_kg_m3, m->air.viscosity_pa_s,
                          &gradient) != FG_OK)
    return NAN;
  return fmin(gradient, weight_gradient(s));
}

double fg_cloth_permeability(const fg_scenario *s, const fg_machine *m, double pressure_pa,
                             double velocity_m_s) {
  return cloth_test_pa * (m->air.viscosity_pa_s / cloth_test_viscosity) * velocity_m_s /
         (s->deck.board_open_share * pressure_pa);
}

double fg_deck_pressure(const fg_scenario *s, const fg_machine *m, double depth_m,
                        double velocity_m_s) {
  double board = 0.0;
  if (fg_board_coefficient(s->deck.board_open_share, &board) != FG_OK)
    return NAN;
  const double resistance = cloth_test_pa / s->deck.cloth_permeability *
                            (m->air.viscosity_pa_s / cloth_test_viscosity) /
                            s->deck.board_open_share;
  const double head = 0.5 * m->air.density_kg_m3 * velocity_m_s * velocity_m_s;
  const double thickness = depth_m > 0.0 ? depth_m + m->fill.open_m : 0.0;
  return resistance * velocity_m_s + board * head + bed_gradient(s, m, velocity_m_s) * thickness;
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
  double depth_m;
  double pressure_pa; /* wanted, for the demand */
} circuit_case;

static double all_volume(const circuit_case *c, double velocity, double pressure) {
  return deck_volume(c->s, velocity) + gate_volume(c->s, c->m, pressure) +
         leak_volume(c->s, c->m, pressure);
}

/* Everything hangs on the deck velocity: it fixes the box pressure, that the bleed, and
 * both the volume the blower must move. */
static double supply_gap(double velocity, void *context) {
  const circuit_case *c = context;
  const double pressure = fg_deck_pressure(c->s, c->m, c->depth_m, velocity);
  return fg_supply_pressure(c->s, c->m, all_volume(c, velocity, pressure)) - pressure;
}

static double demand_gap(double velocity, void *context) {
  const circuit_case *c = context;
  return fg_deck_pressure(c->s, c->m, c->depth_m, velocity) - c->pressure_pa;
}

double fg_demand_volume(const fg_scenario *s, const fg_machine *m, double depth_m,
                        double box_pressure_pa) {
  circuit_case c = {s, m, depth_m, box_pressure_pa};
  double velocity = 0.0;
  if (fg_root(demand_gap, &c, 0.0, 100.0, 1e-10, &velocity) != FG_OK)
    return NAN;
  return all_volume(&c, velocity, box_pressure_pa);
}

static void describe_support(const fg_scenario *s, const fg_machine *m, fg_operating *at) {
  const double weight = weight_gradient(s), b = s->deck.dead_air_share;
  at->support_open = bed_gradient(s, m, at->open_velocity_m_s) / weight;
  at->support_quiet = bed_gradient(s, m, at->quiet_velocity_m_s) / weight;
  at->support_mean = (1.0 - b) * at->support_open + b * at->support_quiet;
}

static double gravel_mass(const fg_scenario *s, const fg_machine *m, double depth) {
  if (depth <= 0.0)
    return 0.0;
  const double moving = s->deck.length * s->deck.width * depth;
  return s->ground.bulk_density * (moving + s->deck.riffles * m->fill.volume_m3);
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

fg_status fg_machine_air(const fg_scenario *s, const fg_machine *m, double depth_m,
                         fg_operating *at) {
  circuit_case c = {s, m, depth_m, 0.0};
  double velocity;
  /* The deck alone cannot pass more than the blower's free delivery. */
  const double most = 1.001 * m->fan_free_volume_m3_s / deck_volume(s, 1.0);
  fg_status status = fg_root(supply_gap, &c, 0.0, fmin(most, 1000.0), 1e-12, &velocity);
  if (status != FG_OK)
    return status;
  fg_operating here = {.depth_m = depth_m, .open_velocity_m_s = velocity};
  here.quiet_velocity_m_s = velocity * s->deck.dead_air_leak;
  here.box_pressure_pa = fg_deck_pressure(s, m, depth_m, velocity);
  here.gate_flow_m3_s = gate_volume(s, m, here.box_pressure_pa);
  here.leak_flow_m3_s = leak_volume(s, m, here.box_pressure_pa);
  here.blower_flow_m3_s = all_volume(&c, velocity, here.box_pressure_pa);
  here.blower_pressure_pa = fg_fan_pressure(&m->fan, here.blower_flow_m3_s);
  here.gravel_kg = gravel_mass(s, m, depth_m);
  describe_support(s, m, &here);
  status = shake_at(s, &here);
  if (status == FG_OK)
    *at = here;
  return status;
}
