/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "settling": settling velocity against sieve size, with the air that would lift. */
#include <math.h>
#include <stdio.h>

#include "core/text.h"
#include "flourgold/settling.h"
#include "pages/plot_internal.h"
#include "physics/grains.h"

enum { SIZES = 73, KINDS = 4 };
static const double finest_m = 20e-6;
static const double coarsest_m = 5e-3;

/* A grain kind without its size; `shrink` is equal-volume over sieve size. */
typedef struct grain_kind {
  fg_grain grain;
  double shrink;
} grain_kind;

static fg_status describe_mineral(const char *name, double sphericity, grain_kind *kind) {
  const fg_mineral *mineral = fg_grain_mineral(name);
  kind->shrink = 1.0;
  kind->grain.density_kg_m3 = mineral->density_kg_m3;
  return fg_grain_of_sphericity(sphericity > 0.0 ? sphericity : mineral->sphericity,
                                &kind->grain.shape);
}

static fg_status describe_kinds(const fg_scenario *s, grain_kind kinds[static KINDS]) {
  kinds[0].grain.density_kg_m3 = s->gold.density;
  kinds[0].shrink = fg_disc_equal_volume(1.0, s->gold.thickness_ratio);
  fg_status status = fg_grain_disc(s->gold.thickness_ratio, &kinds[0].grain.shape);
  kinds[1].grain.density_kg_m3 = s->gold.density;
  kinds[1].shrink = 1.0;
  if (status == FG_OK)
    status = fg_grain_of_sphericity(1.0, &kinds[1].grain.shape);
  if (status == FG_OK)
    status = describe_mineral("magnetite", 0.0, &kinds[2]);
  if (status == FG_OK)
    status = describe_mineral("quartz", s->ground.grain_sphericity, &kinds[3]);
  return status;
}

/* Beyond the drag law's range there is no value: the cell stays empty. */
static double velocity(const fg_plot_case *c, grain_kind kind, double size_m) {
  const fg_gas gas = {c->machine->air.density_kg_m3, c->machine->air.viscosity_pa_s};
  double speed = NAN;
  kind.grain.dv_m = kind.shrink * size_m;
  if (fg_settling_velocity(c->scenario->closure.drag_law, &kind.grain, &gas, &speed) != FG_OK)
    return NAN;
  return speed;
}

fg_status fg_plot_fill_settling(fg_plot_case *c, fg_node *table) {
  grain_kind kinds[KINDS] = {0};
  fg_status status = describe_kinds(c->scenario, kinds);
  if (status != FG_OK)
    return status;
  fg_plot_column(table, "size_mm");
  fg_plot_column_in(table, c->units, "gold_flake_ft_s", "gold_flake_m_s");
  fg_plot_column_in(table, c->units, "gold_sphere_ft_s", "gold_sphere_m_s");
  fg_plot_column_in(table, c->units, "magnetite_ft_s", "magnetite_m_s");
  fg_plot_column_in(table, c->units, "quartz_ft_s", "quartz_m_s");
  fg_plot_column_in(table, c->units, "open_air_ft_s", "open_air_m_s");
  fg_plot_column_in(table, c->units, "quiet_air_ft_s", "quiet_air_m_s");
  for (int i = 0; i < SIZES; ++i) {
    double size_m = finest_m * pow(coarsest_m / finest_m, i / (SIZES - 1.0));
    fg_row(table);
    fg_cell(table, size_m);
    for (int k = 0; k < KINDS; ++k)
      fg_cell(table, velocity(c, kinds[k], size_m));
    fg_cell(table, c->machine->at.open_velocity_m_s);
    fg_cell(table, c->machine->at.quiet_velocity_m_s);
  }
  char ratio[32];
  char day[FG_PLOT_NOTE_MAX];
  (void)fg_number_text(c->scenario->gold.thickness_ratio, 2, ratio, sizeof ratio);
  (void)snprintf(c->note, sizeof c->note, "flakes %s as thick as wide; air %s", ratio,
                 fg_plot_day_text(c, day, sizeof day));
  return FG_OK;
}
