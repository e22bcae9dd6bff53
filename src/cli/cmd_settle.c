/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "core/nearest.h"
#include "flourgold/settling.h"
#include "pages/page.h"
#include "physics/grains.h"
#include "physics/laws.h"
#include "physics/sieve.h"
#include "report/said.h"

enum { FAMILIES_MAX = 12, MESHES = 16 };
static const int meshes[MESHES] = {4,  8,  10,  16,  20,  30,  40,  50,
                                   60, 80, 100, 140, 200, 270, 400, 635};

typedef struct settle_case {
  const fg_scenario *scenario;
  fg_machine machine;
  fg_gas gas;
  int law;
  fg_settling_family family[FAMILIES_MAX]; /* gold first, quartz last */
  size_t families;
  char column[FAMILIES_MAX][48]; /* data name of each: "gold_m_s" */
} settle_case;

static fg_status add_family(settle_case *c, const fg_mineral *mineral) {
  if (c->families == FAMILIES_MAX)
    return FG_EDOMAIN;
  fg_settling_family *f = &c->family[c->families];
  const bool quartz = mineral && strcmp(mineral->name, "quartz") == 0;
  const fg_status status =
      mineral ? fg_settling_mineral(mineral, quartz ? c->scenario->ground.grain_sphericity : 0.0, f)
              : fg_settling_gold(c->scenario->gold.density, c->scenario->gold.thickness_ratio, f);
  if (status == FG_OK)
    (void)snprintf(c->column[c->families++], sizeof c->column[0], "%s_m_s", f->name);
  return status;
}

static bool already_listed(const settle_case *c, const char *name) {
  for (size_t i = 0; i < c->families; ++i)
    if (strcmp(c->family[i].name, name) == 0)
      return true;
  return strcmp(name, "quartz") == 0;
}

/* Gold, the minerals asked for, and quartz last. */
static int list_families(const fg_call *call, settle_case *c) {
  const char *wanted = fg_call_option(call, "--minerals");
  char words[256];
  if (strlen(wanted ? wanted : "") >= sizeof words)
    return fg_call_fail("--minerals: the list is too long");
  (void)snprintf(words, sizeof words, "%s", wanted ? wanted : "magnetite");
  fg_status status = add_family(c, NULL);
  char *rest = NULL;
  for (char *name = strtok_r(words, ", ", &rest); name && status == FG_OK;
       name = strtok_r(NULL, ", ", &rest)) {
    const fg_mineral *mineral = fg_grain_mineral(name);
    if (!mineral || already_listed(c, name))
      continue;
    if (c->families + 1 == FAMILIES_MAX)
      return fg_call_fail("--minerals: at most %d at once", FAMILIES_MAX - 2);
    status = add_family(c, mineral);
  }
  if (status == FG_OK)
    status = add_family(c, fg_grain_mineral("quartz"));
  return status == FG_OK ? 0 : fg_call_fail("a grain's shape lies outside the drag laws' range");
}

static double speed_or_nan(const settle_case *c, const fg_settling_family *f, int law,
                           double size) {
  double speed;
  return fg_settling_speed(f, law, &c->gas, size, &speed) == FG_OK ? speed : (double)NAN;
}

static double equal_quartz(const settle_case *c, double speed) {
  double size;
  const fg_settling_family *quartz = &c->family[c->families - 1];
  return fg_settling_size(quartz, c->law, &c->gas, speed, &size) == FG_OK ? size : (double)NAN;
}

static void size_table(fg_node *root, const settle_case *c) {
  fg_node *table = fg_table(root, "sizes", "Settling velocity in still air", FG_PRIMARY | FG_PROOF);
  fg_column(table, "mesh", "mesh", FG_Q_INTEGER, 0);
  fg_column(table, "size_mm", "size", FG_Q_GRAIN_SIZE, 0);
  for (size_t i = 0; i < c->families; ++i)
    fg_column(table, c->column[i], c->family[i].name, FG_Q_SPEED, 0);
  fg_column(table, "equal_quartz_mm", "quartz as fast as the gold", FG_Q_GRAIN_SIZE, 0);
  for (size_t k = 0; k < MESHES; ++k) {
    double size = NAN;
    if (fg_sieve_aperture(meshes[k], &size) != FG_OK)
      continue;
    fg_row(table);
    fg_cell(table, meshes[k]);
    fg_cell(table, size);
    for (size_t i = 0; i < c->families; ++i)
      fg_cell(table, speed_or_nan(c, &c->family[i], c->law, size));
    fg_cell(table, equal_quartz(c, speed_or_nan(c, &c->family[0], c->law, size)));
  }
}

static void law_table(fg_node *root, const settle_case *c) {
  fg_node *table = fg_table(root, "laws", "The gold flakes by every drag law", 0);
  char names[FG_DRAG_COUNT][64];
  fg_column(table, "mesh", "mesh", FG_Q_INTEGER, 0);
  fg_column(table, "size_mm", "size", FG_Q_GRAIN_SIZE, 0);
  for (int law = 0; law < FG_DRAG_COUNT; ++law) {
    (void)snprintf(names[law], sizeof names[law], "%s_m_s", fg_drag_laws[law].name);
    fg_column(table, names[law], fg_drag_laws[law].title, FG_Q_SPEED, 0);
  }
  for (size_t k = 0; k < MESHES; ++k) {
    double size = NAN;
    if (fg_sieve_aperture(meshes[k], &size) != FG_OK)
      continue;
    fg_row(table);
    fg_cell(table, meshes[k]);
    fg_cell(table, size);
    for (int law = 0; law < FG_DRAG_COUNT; ++law)
      fg_cell(table, speed_or_nan(c, &c->family[0], law, size));
  }
  fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY),
          "A law for spheres only has no figure for flakes. No measurement of gold flakes falling "
          "in air has been published: which law is nearest is not known.");
}

/* Largest grain of each kind that the air above an open strip lifts clear. */
static void lift_table(fg_node *root, const settle_case *c) {
  const double air[2] = {c->machine.at.open_velocity_m_s, c->machine.at.quiet_velocity_m_s};
  static const char *const places[2] = {"above the open strips", "above the quiet strips"};
  fg_node *table = fg_table(root, "lift", "What the deck's air lifts clear of the bed", 0);
  fg_column_text(table, "place", "air", 0);
  fg_column(table, "velocity_m_s", "speed", FG_Q_SPEED, 0);
  char names[FAMILIES_MAX][64];
  for (size_t i = 0; i < c->families; ++i) {
    (void)snprintf(names[i], sizeof names[i], "%s_below_mm", c->family[i].name);
    fg_column(table, names[i], c->family[i].name, FG_Q_GRAIN_SIZE, 0);
  }
  for (int k = 0; k < 2; ++k) {
    fg_row(table);
    fg_cell_text(table, places[k]);
    fg_cell(table, air[k]);
    for (size_t i = 0; i < c->families; ++i) {
      double size = NAN;
      if (fg_settling_size(&c->family[i], c->law, &c->gas, air[k], &size) != FG_OK)
        size = NAN;
      fg_cell(table, size);
    }
  }
  fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY),
          "Grains finer than these do not come down again once they reach the surface. Inside "
          "the bed the air runs faster between the grains, and other grains press on them: see "
          "flourgold loss.");
}

static void air_group(fg_node *root, const settle_case *c) {
  fg_node *air = fg_group(root, "air", "The day's air", 0);
  const fg_air *a = &c->machine.air;
  fg_number(air, "temperature_k", "Temperature", FG_Q_TEMPERATURE, a->temperature_k, FG_EXACT);
  fg_number(air, "pressure_pa", "Pressure", FG_Q_BAROMETER, a->pressure_pa, FG_EXACT);
  fg_number(air, "humidity", "Humidity", FG_Q_PERCENT, a->humidity, FG_EXACT);
  fg_number(air, "density_kg_m3", "Density", FG_Q_GAS_DENSITY, a->density_kg_m3, 0);
  fg_number(air, "viscosity_pa_s", "Viscosity", FG_Q_VISCOSITY, a->viscosity_pa_s, 0);
}

/* Flour gold against the quartz it falls with, and what the deck's air takes away. */
static void answer(fg_node *root, const settle_case *c, fg_unit_system units) {
  fg_node *lines = fg_page_answer(root);
  char size[64], speed[64], quartz[64], lifted[64];
  double fine = NAN, gold = NAN;
  (void)fg_sieve_aperture(100, &fine);
  const double falls = speed_or_nan(c, &c->family[0], c->law, fine);
  const double open = c->machine.at.open_velocity_m_s;
  if (isfinite(falls))
    fg_note(lines, "%s: gold of %s falls at %s, as fast as quartz of %s.",
            fg_page_name(c->scenario), fg_said(FG_Q_GRAIN_SIZE, units, fine, size, sizeof size),
            fg_said(FG_Q_SPEED, units, falls, speed, sizeof speed),
            fg_said(FG_Q_GRAIN_SIZE, units, equal_quartz(c, falls), quartz, sizeof quartz));
  else
    fg_note(lines, "%s: the drag law does not cover gold of %s.", fg_page_name(c->scenario),
            fg_said(FG_Q_GRAIN_SIZE, units, fine, size, sizeof size));
  if (fg_settling_size(&c->family[0], c->law, &c->gas, open, &gold) == FG_OK)
    fg_note(lines, "The deck's air, %s, lifts gold finer than %s off the bed's surface.",
            fg_said(FG_Q_SPEED, units, open, speed, sizeof speed),
            fg_said(FG_Q_GRAIN_SIZE, units, gold, lifted, sizeof lifted));
}

static fg_report *settle_report(const fg_call *call, const settle_case *c) {
  fg_report *report = fg_report_new();
  const fg_scenario *s = c->scenario;
  fg_node *root = fg_report_root(report);
  answer(root, c, call->units);
  fg_node *head = fg_page_head(root, "How fast grains fall", "Scenario", s);
  fg_string(head, "drag_law", "Drag law", fg_drag_laws[c->law].title, 0);
  fg_number(head, "thickness_ratio", "Gold flakes, thickness over width", FG_Q_NUMBER,
            s->gold.thickness_ratio, FG_EXACT);
  fg_number(head, "gold_density_kg_m3", "Gold, density", FG_Q_METAL_DENSITY, s->gold.density,
            FG_EXACT);
  air_group(root, c);
  size_table(root, c);
  if (fg_call_flag(call, "--laws"))
    law_table(root, c);
  lift_table(root, c);
  fg_boolean(root, "stalled", NULL, c->machine.stalled, 0);
  if (c->machine.stalled)
    fg_note(root, "This deck stalls: its air is that at the depth where it would carry most.");
  fg_page_assumed(root, s, FG_DECK_GROUPS, call->units);
  fg_page_trust(root);
  return report;
}

int fg_cmd_settle(fg_call *call) {
  fg_scenario scenario;
  const int wrong = fg_call_scenario(call, &scenario);
  if (wrong != 0)
    return wrong;
  settle_case c = {.scenario = &scenario, .law = scenario.closure.drag_law};
  const fg_status status = fg_machine_solve(&scenario, &c.machine);
  if (status != FG_OK)
    return fg_call_fail("%s: the machine's air cannot be worked out: %s", scenario.file,
                        fg_status_text(status));
  c.gas = (fg_gas){c.machine.air.density_kg_m3, c.machine.air.viscosity_pa_s};
  const int bad = list_families(call, &c);
  if (bad != 0)
    return bad;
  return fg_call_emit(call, settle_report(call, &c), FG_EXIT_DONE);
}
