/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DRAW_H
#define FLOURGOLD_DRAW_H

#include "report/report.h"

/* Pictures: a table as CSV, drawn by the gnuplot script plots/NAME.gp. */

typedef struct fg_plot {
  char *csv; /* one header line; the unit is the end of each name */
  size_t length;
  char *title;    /* one line */
  char *subtitle; /* lines parted by "\n" */
} fg_plot;

/* Makes the data of a picture from the primary table of a report, which it frees; takes subtitle,
 * which malloc() gave.  Either may be NULL when memory ran out.  FG_EMEMORY, or as
 * fg_report_render().  Free with fg_plot_free() after FG_OK. */
fg_status fg_plot_of(fg_report *report, fg_unit_system units, const char *title, char *subtitle,
                     fg_plot *plot);
void fg_plot_free(fg_plot *plot);

/* Whether a picture can be written to `path`: its name ends in .svg or .png, and its folder is
 * there and can be written to.  Otherwise FG_ESCENARIO or FG_EIO, with a message. */
fg_status fg_plot_target(const char *path, char *message, size_t size);

/* Writes the data to `path` with ".csv" behind it, then lets gnuplot draw the picture by the script
 * of that name.  Nothing is left of a picture that failed; the data stay.  FG_EIO with a message.
 */
fg_status fg_plot_draw(const char *name, const fg_plot *plot, const char *path, char *message,
                       size_t size);

#endif
