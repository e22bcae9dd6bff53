/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PLOT_INTERNAL_H
#define FLOURGOLD_PLOT_INTERNAL_H

#include "flourgold/loss.h"
#include "pages/plot.h"
#include "study/map.h"
#include "study/tune_table.h"

enum { FG_PLOT_NOTE_MAX = 128 };

struct fg_plot_case {
  const fg_scenario *scenario;
  const fg_machine *machine; /* solved; it may have stalled */
  const fg_loss *loss;       /* NULL for a picture that needs no running deck */
  fg_unit_system units;
  double size_m;             /* for a picture of one size, else NaN */
  const fg_map_choice *map;  /* NULL: throttle and gate, gold per hour */
  const fg_tune_cell *own;   /* that of the scenario's own ground */
  const fg_tune_cell *cells; /* NULL: the usual ones, to be tuned */
  size_t cell_count;
  char note[FG_PLOT_NOTE_MAX]; /* set by fill(): what the reader must know beside the settings */
  char settings[FG_PLOT_NOTE_MAX]; /* the same: stands in place of the scenario's settings */
};

fg_status fg_plot_fill_loss(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_settling(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_riffles(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_operating(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_deck(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_map(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_settings(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_cleanup(fg_plot_case *c, fg_node *table);
fg_status fg_plot_fill_blowers(fg_plot_case *c, fg_node *table);

/* A column of plain data: the name carries the unit. */
void fg_plot_column(fg_node *table, const char *name);
/* The same with the name for US or SI units. */
void fg_plot_column_in(fg_node *table, fg_unit_system units, const char *us, const char *si);

/* "0.21 mm (70 mesh)", the mesh left out where no sieve is near. */
const char *fg_plot_size_text(double size_m, char *buffer, size_t size);

/* "at 2500 ft, 75 F": whose air it is. */
const char *fg_plot_day_text(const fg_plot_case *c, char *buffer, size_t size);

#endif
