/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Columns and words that pictures share. */
#include <stdio.h>

#include "pages/plot_internal.h"
#include "physics/sieve.h"

enum { TEXT = 64 };

void fg_plot_column(fg_node *table, const char *name) {
  fg_column(table, name, NULL, FG_Q_NUMBER, 0);
}

void fg_plot_column_in(fg_node *table, fg_unit_system units, const char *us, const char *si) {
  fg_plot_column(table, units == FG_UNITS_SI ? si : us);
}

const char *fg_plot_size_text(double size_m, char *buffer, size_t size) {
  char mm[TEXT];
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, FG_UNITS_SI, size_m, mm, sizeof mm);
  int mesh = fg_sieve_nearest(size_m);
  if (mesh > 0)
    (void)snprintf(buffer, size, "%s (about %d mesh)", mm, mesh);
  else
    (void)snprintf(buffer, size, "%s", mm);
  return buffer;
}

const char *fg_plot_day_text(const fg_plot_case *c, char *buffer, size_t size) {
  char elevation[TEXT];
  char temperature[TEXT];
  (void)fg_quantity_text(FG_Q_DISTANCE, c->units, c->scenario->site.elevation, elevation,
                         sizeof elevation);
  (void)fg_quantity_text(FG_Q_TEMPERATURE, c->units, c->scenario->site.air_temperature, temperature,
                         sizeof temperature);
  (void)snprintf(buffer, size, "at %s, %s", elevation, temperature);
  return buffer;
}
