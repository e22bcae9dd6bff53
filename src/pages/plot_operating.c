/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "operating": what the blower gives at the box against what the box takes. */
#include <math.h>
#include <stdio.h>

#include "core/roots.h"
#include "model/circuit.h"
#include "pages/plot_internal.h"

enum { POINTS = 81 };

static void add_point(fg_node *table, const char *curve, double volume, double pressure) {
  fg_row(table);
  fg_cell_text(table, curve);
  fg_cell(table, volume);
  fg_cell(table, pressure);
}

typedef struct supply_case {
  const fg_scenario *scenario;
  const fg_machine *machine;
} supply_case;

static double supply_pressure(double volume, void *context) {
  const supply_case *c = context;
  return fg_supply_pressure(c->scenario, c->machine, volume);
}

/* Up to the volume at which nothing is left at the box. */
static void add_supply(const fg_plot_case *c, fg_node *table, const char *curve, double throttle) {
  fg_machine machine = *c->machine;
  machine.fan.speed *= throttle / c->scenario->run.throttle; /* fan laws: speed ~ throttle */
  supply_case supply = {c->scenario, &machine};
  double most = fg_fan_free_volume(&machine.fan);
  double end = most;
  if (fg_root(supply_pressure, &supply, 0.0, most, 1e-9, &end) != FG_OK)
    end = most;
  for (int i = 0; i < POINTS; ++i) {
    /* Closer together near the end, where the curve falls steeply. */
    double volume = end * sin(M_PI_2 * i / (POINTS - 1.0));
    double pressure = supply_pressure(volume, &supply);
    if (isfinite(pressure))
      add_point(table, curve, volume, fmax(0.0, pressure));
  }
}

static void add_demand(const fg_plot_case *c, fg_node *table, const char *curve, double gate,
                       double most_pa) {
  fg_scenario scenario = *c->scenario;
  scenario.run.gate_opening = gate;
  for (int i = 0; i < POINTS; ++i) {
    /* Closer together near zero, where the curve starts steeply. */
    double along = i / (POINTS - 1.0);
    double pressure = most_pa * along * along;
    double volume = fg_demand_volume(&scenario, c->machine, c->machine->at.settled_m, pressure);
    if (isfinite(volume))
      add_point(table, curve, volume, pressure);
  }
}

/* The label of the blower, or the last point of its measured curve. */
static double rated_volume(const fg_scenario *s) {
  if (s->blower.curve_count > 0)
    return s->blower.curve[s->blower.curve_count - 1].volume_m3_s;
  return s->blower.free_volume;
}

static const char *kind_text(const fg_scenario *s) {
  static const char *const names[] = {"two-stroke", "four-stroke", "battery", "mains"};
  return names[s->blower.kind];
}

fg_status fg_plot_fill_operating(fg_plot_case *c, fg_node *table) {
  fg_column_text(table, "curve", NULL, 0);
  fg_plot_column_in(table, c->units, "volume_cfm", "volume_m3_min");
  fg_plot_column_in(table, c->units, "pressure_inh2o", "pressure_pa");
  const fg_operating *at = &c->machine->at;
  fg_machine full = *c->machine;
  full.fan.speed /= c->scenario->run.throttle;
  double most_pa = fg_supply_pressure(c->scenario, &full, 0.0);
  add_supply(c, table, "blower", c->scenario->run.throttle);
  add_supply(c, table, "blower at full throttle", 1.0);
  add_demand(c, table, "gate as set", c->scenario->run.gate_opening, most_pa);
  add_demand(c, table, "gate shut", 0.0, most_pa);
  add_demand(c, table, "gate open", 1.0, most_pa);
  add_point(table, "operating point", at->blower_flow_m3_s, at->box_pressure_pa);
  add_point(table, "label volume", rated_volume(c->scenario), 0.0);
  char day[FG_PLOT_NOTE_MAX];
  (void)snprintf(c->note, sizeof c->note, "%s blower, air %s", kind_text(c->scenario),
                 fg_plot_day_text(c, day, sizeof day));
  return FG_OK;
}
