/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PLOT_H
#define FLOURGOLD_PLOT_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "report/draw.h"
#include "study/map.h"
#include "study/tune_table.h"

/* Pictures of the model's results. */

typedef struct fg_plot_case fg_plot_case; /* what a picture's data are made from */

/* One row of the table of pictures.  A new picture is a row, a function that fills its table,
 * and a script plots/NAME.gp. */
typedef struct fg_picture {
  const char *name;
  const char *title;
  bool running; /* there is nothing to draw of a deck that stalls */
  bool sized;   /* shows one gold size, which may be chosen */
  /* Adds columns and rows; names of columns end in their unit (see fg_data_unit_of).  NULL: it
   * needs more than a scenario, and is not made by fg_plot_make(). */
  fg_status (*fill)(fg_plot_case *c, fg_node *table);
} fg_picture;

extern const fg_picture fg_pictures[];
extern const size_t fg_pictures_count;

/* Row of a picture, or NULL. */
const fg_picture *fg_picture_find(const char *name);
/* The picture nearest in spelling, or NULL. */
const char *fg_picture_nearest(const char *name);

/* The finest gold (m) that may be chosen for a picture of one size. */
#define FG_PLOT_FINEST 1e-6

/* Runs the model and makes the data of a picture.  `size_m`: the gold size to show where the
 * picture shows one; NaN: the class of which nearest to half is kept.
 * FG_ESTALL: the picture needs a running deck and this one stalls.  FG_EDOMAIN: size_m is not above
 * FG_PLOT_FINEST and below the screen's opening, or as fg_loss_run(); other failures as there. Free
 * with fg_plot_free() after FG_OK. */
fg_status fg_plot_make(const fg_picture *picture, const fg_scenario *scenario, fg_unit_system units,
                       double size_m, fg_plot *plot);
/* The picture "map" for these knobs and this aim; fg_plot_make() draws throttle and gate, gold
 * per hour.  FG_EDOMAIN when both knobs are the same. */
fg_status fg_plot_make_map(const fg_scenario *scenario, fg_unit_system units,
                           const fg_map_choice *choice, fg_plot *plot);
/* The picture "settings" for cells already tuned, *own that of the scenario's ground;
 * fg_plot_make() tunes the usual ones. */
fg_status fg_plot_make_settings(const fg_scenario *scenario, fg_unit_system units,
                                const fg_tune_cell *own, const fg_tune_cell *cells, size_t count,
                                fg_plot *plot);

#endif
