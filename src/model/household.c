/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "model/household.h"

#include <math.h>

#include "core/roots.h"
#include "model/circuit.h"
#include "model/model_internal.h"
#include "physics/duct.h"
#include "physics/shaking.h"

/* ---- water in a tube on the empty deck ---- */

static void empty_and_open(const fg_scenario *s, fg_scenario *empty) {
  *empty = *s;
  empty->run.throttle = 1.0;
  empty->run.gate_opening = 0.0;
}

fg_status fg_empty_box_pressure(const fg_scenario *s, double *pressure_pa) {
  fg_scenario empty;
  fg_machine m;
  fg_operating at;
  empty_and_open(s, &empty);
  fg_status status = fg_machine_day(&empty, &m);
  if (status == FG_OK)
    status = fg_machine_air(&empty, &m, 0.0, 0.0, &at);
  if (status == FG_OK)
    *pressure_pa = at.box_pressure_pa;
  return status;
}

typedef struct supply_case {
  const fg_scenario *s;
  const fg_machine *m;
  double pressure_pa;
} supply_case;

static double leak(const supply_case *c, double pressure) {
  return fg_orifice_volume(c->s->gate.leak_area, pressure, c->m->air.density_kg_m3);
}

/* What the supply leaves at a volume, over the pressure read. */
static double volume_gap(double volume, void *context) {
  const supply_case *c = context;
  return fg_supply_pressure(c->s, c->m, volume) - c->pressure_pa;
}

/* The same in a box that only leaks, over a trial pressure. */
static double closed_gap(double pressure, void *context) {
  const supply_case *c = context;
  return fg_supply_pressure(c->s, c->m, leak(c, pressure)) - pressure;
}

/* The pressure of the deck's air on the board alone. */
static double board_head(const supply_case *c, double velocity) {
  double board;
  if (fg_board_coefficient(c->s->deck.board_open_share, &board) != FG_OK)
    return NAN;
  return board * 0.5 * c->m->air.density_kg_m3 * velocity * velocity;
}

/* Superficial speed through the open strips when the box is at the pressure read. */
static fg_status velocity_at(const supply_case *c, double *velocity) {
  double volume;
  const fg_status status =
      fg_root(volume_gap, (void *)c, 0.0, c->m->fan_free_volume_m3_s, 1e-13, &volume);
  if (status != FG_OK)
    return status;
  const double b = c->s->deck.dead_air_share;
  const double area =
      c->s->deck.length * c->s->deck.width * (1.0 - b + b * c->s->deck.dead_air_leak);
  *velocity = (volume - leak(c, c->pressure_pa)) / area;
  return *velocity > 0.0 ? FG_OK : FG_ENOROOT;
}

fg_status fg_cloth_from_pressure(const fg_scenario *s, double pressure_pa, double *permeability,
                                 double *most_pa, double *board_pa) {
  fg_scenario empty;
  fg_machine m;
  double velocity = 0.0, most = NAN;
  if (board_pa)
    *board_pa = NAN;
  empty_and_open(s, &empty);
  fg_status status = fg_machine_day(&empty, &m);
  supply_case c = {&empty, &m, pressure_pa};
  if (status == FG_OK)
    status = fg_root(closed_gap, &c, 0.0, fg_fan_pressure(&m.fan, 0.0), 1e-12, &most);
  if (status != FG_OK)
    return status;
  if (most_pa)
    *most_pa = most;
  if (pressure_pa >= most || pressure_pa <= 0.0)
    return FG_ENOROOT;
  status = velocity_at(&c, &velocity);
  if (status != FG_OK)
    return status;
  const double board = board_head(&c, velocity);
  if (board_pa)
    *board_pa = board;
  if (!(pressure_pa > board))
    return FG_ENOROOT;
  *permeability = fg_cloth_permeability(&empty, &m, pressure_pa - board, velocity);
  return FG_OK;
}

/* ---- pencil and hum ---- */

void fg_scenario_as_run(const fg_scenario *s, fg_scenario *out) {
  *out = *s;
  if (!s->as_run.noted)
    return;
  out->run.throttle = s->as_run.throttle;
  out->run.gate_opening = s->as_run.gate_opening;
  out->deck.slope = s->as_run.slope;
  out->run.feed = s->as_run.feed;
  out->run.feed_basis = s->as_run.feed_basis;
  out->run.feed_factor = s->as_run.feed_factor;
}

void fg_note_as_run(fg_scenario *s) {
  if (s->as_run.noted)
    return;
  s->as_run.noted = true;
  s->as_run.throttle = s->run.throttle;
  s->as_run.gate_opening = s->run.gate_opening;
  s->as_run.slope = s->deck.slope;
  s->as_run.feed_basis = s->run.feed_basis;
  s->as_run.feed_factor = s->run.feed_factor;
  s->as_run.feed = s->run.feed;
}

fg_status fg_shaker_from_readings(const fg_scenario *s, double stroke_m, double speed_hz,
                                  double *unbalance_kg_m, double *rated_speed_hz) {
  fg_scenario run;
  fg_machine m;
  fg_scenario_as_run(s, &run);
  run.shaker.held_amplitude = isnan(stroke_m) ? 0.0 : 0.5 * stroke_m;
  run.shaker.held_speed = isnan(speed_hz) ? 0.0 : speed_hz;
  fg_status status = fg_machine_solve(&run, &m);
  if (status != FG_OK)
    return status;
  double unbalance = s->shaker.unbalance, rated = s->shaker.rated_speed;
  if (!isnan(speed_hz))
    rated = speed_hz * s->shaker.rated_flow / m.at.blower_flow_m3_s;
  if (!isnan(stroke_m)) {
    fg_shake unit; /* of an unbalance of 1 kg m: the response is linear in it */
    status = fg_shaker_stroke(s->shaker.mass, m.at.gravel_kg, 1.0, s->shaker.natural_frequency,
                              s->shaker.damping, m.at.shake.speed_hz, &unit);
    if (status == FG_OK && !(unit.amplitude_m > 0.0))
      status = FG_EDOMAIN;
    if (status == FG_OK)
      unbalance = 0.5 * stroke_m / unit.amplitude_m;
  }
  if (status != FG_OK)
    return status;
  *unbalance_kg_m = unbalance;
  *rated_speed_hz = rated;
  return FG_OK;
}
