/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COUNTS_CSV_H
#define FLOURGOLD_COUNTS_CSV_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/status.h"

/* The field form: one row a bucket, with the colours counted in it. */

enum {
  FG_COUNT_COLUMNS_MAX = 12,
  FG_STATIONS_MAX = 200,
  FG_BUCKETS_MAX = 5000,
  FG_STATION_NAME_MAX = 48,
  FG_COLOURS_MOST = 1000000 /* in one cell */
};

/* Sieves a column of counts lies between. */
typedef struct fg_count_column {
  double lower_m, upper_m; /* upper INFINITY: no upper sieve */
} fg_count_column;

typedef struct fg_bucket {
  size_t station;                         /* index into names */
  int line;                               /* of the file */
  double loose_m3;                        /* gravel in it */
  double colours;                         /* all that were counted */
  double by_column[FG_COUNT_COLUMNS_MAX]; /* where the form has columns by mesh */
  double gold_kg;                         /* weighed; NaN: not weighed */
} fg_bucket;

typedef struct fg_counts {
  size_t station_count;
  char names[FG_STATIONS_MAX][FG_STATION_NAME_MAX];
  size_t column_count; /* columns by mesh, coarse to fine; 0: the total only */
  fg_count_column columns[FG_COUNT_COLUMNS_MAX];
  size_t bucket_count;
  fg_bucket *buckets; /* in the order of the file */
} fg_counts;

/* Gravel of a row that does not say, and what turns a mass of it into a volume. */
typedef struct fg_bucket_size {
  double loose_m3, bulk_kg_m3;
} fg_bucket_size;

/* Reads a CSV file (UTF-8; comma, semicolon or tab; "quotes"; # begins a comment line; empty
 * rows are passed over).  The first row names the columns, in any order:
 *   station                 required; names of the places
 *   bucket                  number or name of the bucket; not used
 *   gravel [kg]             or lb, l, gal, ft3, buckets; missing or empty: one bucket
 *   colours                 all colours counted, and/or by mesh:
 *   over 20, 20 to 40 ...   whole numbers; sieves of ASTM E11
 *   gold [mg]               or g; empty: not weighed
 *   notes                   not read
 * Every fault is a line "file:line: column: what is wrong, what would be right" in *complaints.
 * FG_ESCENARIO when there is any, FG_EIO (with a complaint), FG_EMEMORY.  *counts is written
 * only on FG_OK; free it with fg_counts_free(). */
fg_status fg_counts_read(const char *path, const fg_bucket_size *size, fg_counts *counts,
                         fg_complaints *complaints);
void fg_counts_free(fg_counts *counts);

/* "over 20" or "20 to 40" as a form names a column by mesh; apertures without a numbered sieve
 * are named by the nearest.  Returns buffer. */
const char *fg_count_column_name(const fg_count_column *column, char *buffer, size_t size);

/* Columns for colours down to `visible_m`: over 20, 20 to 40 ... mesh, the last ending at the
 * sieve nearest to it.  Returns how many. */
size_t fg_count_columns_for(double visible_m, fg_count_column columns[FG_COUNT_COLUMNS_MAX]);

#endif
