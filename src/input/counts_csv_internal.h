/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COUNTS_CSV_INTERNAL_H
#define FLOURGOLD_COUNTS_CSV_INTERNAL_H

#include <stdarg.h>

#include "core/csv_rows.h"
#include "input/counts_csv.h"

enum { FG_FAULTS_MOST = 40 };

typedef enum fg_column_use {
  FG_COL_STATION,
  FG_COL_BUCKET,
  FG_COL_GRAVEL,
  FG_COL_COLOURS,
  FG_COL_GOLD,
  FG_COL_NOTES,
  FG_COL_MESH /* the last: its names are sieves */
} fg_column_use;

typedef struct fg_heading {
  fg_column_use kind;
  char name[48]; /* as written, for messages */
  double factor; /* gravel: m3 in one unit; gold: kg in one unit */
  size_t mesh;   /* index into the counts' columns */
} fg_heading;

/* A form on its way in. */
typedef struct fg_count_reader {
  fg_csv csv;
  const fg_bucket_size *size;
  fg_complaints *complaints;
  int faults;
  size_t column_count;
  fg_heading columns[FG_CSV_CELLS_MAX];
  fg_counts *counts;
} fg_count_reader;

/* "path:line: column: ..."; column NULL leaves that part out. */
void fg_count_fault(fg_count_reader *r, const char *column, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Reads the row of headings; false after a fault. */
bool fg_count_heading(fg_count_reader *r, char *const *cells, size_t count);

/* Reads one cell that is not a station into the bucket. */
void fg_count_cell(fg_count_reader *r, const fg_heading *column, const char *cell,
                   fg_bucket *bucket);

#endif
