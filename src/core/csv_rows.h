/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_CSV_ROWS_H
#define FLOURGOLD_SITE_CSV_ROWS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/config.h"
#include "flourgold/status.h"

/* Rows of a small CSV file: UTF-8 with or without a mark at its start, lines ended in any
 * usual way; comma, semicolon or tab, whichever the first row has; cells in "quotes" or not,
 * blanks around them dropped.  Empty rows and rows that begin with # are passed over. */

enum { FG_CSV_CELLS_MAX = 64 };

typedef struct fg_csv {
  const char *path;
  char *bytes; /* the whole file; cells point into it */
  char *next;
  char separator;
  int next_line;
  int line; /* of the row in cells */
  size_t cell_count;
  char *cells[FG_CSV_CELLS_MAX];
} fg_csv;

/* Reads the file.  FG_EIO or FG_ESCENARIO with a complaint (cannot be read, larger than `most`
 * bytes, not text), FG_EMEMORY. */
fg_status fg_csv_open(fg_csv *csv, const char *path, size_t most, fg_complaints *complaints);

/* The next row into csv->cells.  False at the end of the file, or after a complaint about a
 * row that cannot be split (*status is then FG_ESCENARIO). */
bool fg_csv_next(fg_csv *csv, fg_complaints *complaints, fg_status *status);

void fg_csv_close(fg_csv *csv);

#endif
