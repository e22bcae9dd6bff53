/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_CSV_ROWS_H
#define FLOURGOLD_CORE_CSV_ROWS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/status.h"

/* Rows of a small CSV file (RFC 4180): UTF-8 with or without a mark at its start, lines ended in
 * any usual way; comma, semicolon or tab, whichever the first row has most of; cells in "quotes"
 * or not, blanks around them dropped; a quoted cell may run over line ends.  Empty rows and rows
 * that begin with # are passed over. */

enum {
  FG_CSV_CELLS_MAX = 64,
  FG_CSV_ROW_MAX = 8192, /* bytes */
  FG_CSV_NAME_MAX = 64   /* of a heading's name or unit, terminator included */
};

typedef struct fg_csv {
  const char *path;
  char *bytes; /* what fg_csv_close() frees */
  char *next;
  char separator; /* '\0' before the first row */
  int next_line;
  int line; /* where the row in cells begins */
  size_t cell_count;
  char *cells[FG_CSV_CELLS_MAX];
} fg_csv;

/* Reads a whole file of text into *bytes (terminated, the caller frees it).  FG_EIO or
 * FG_ESCENARIO with a complaint (cannot be read, larger than `most` bytes, not text), FG_EMEMORY.
 */
fg_status fg_csv_load(const char *path, size_t most, char **bytes, size_t *length,
                      fg_complaints *complaints);

/* Begins with text that is there already and stays the caller's; it is written into. */
void fg_csv_begin(fg_csv *csv, const char *path, char *text);

/* Loads a file and begins with it; close it after FG_OK. */
fg_status fg_csv_open(fg_csv *csv, const char *path, size_t most, fg_complaints *complaints);

/* The next row into csv->cells.  False at the end of the file, or after a complaint about a
 * row that cannot be split (*status is then FG_ESCENARIO). */
bool fg_csv_next(fg_csv *csv, fg_complaints *complaints, fg_status *status);

void fg_csv_close(fg_csv *csv);

/* Parts a heading such as "Tmin [degF]" or "tmin (degF)" into its name in lower case and its
 * unit ("" without one).  False: it is too long, or a bracket is not closed at its end. */
bool fg_csv_heading(const char *cell, char name[static FG_CSV_NAME_MAX],
                    char unit[static FG_CSV_NAME_MAX]);

#endif
