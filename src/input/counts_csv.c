/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the field form. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/complain.h"
#include "core/text.h"
#include "input/counts_csv_internal.h"

enum { FILE_MOST = 1 << 20 };

/* Letters in UTF-8, and none that would break a line of a report. */
static bool check_cells(fg_count_reader *r) {
  for (size_t i = 0; i < r->csv.cell_count; ++i)
    for (const char *p = r->csv.cells[i]; *p != '\0';) {
      const size_t length = fg_utf8_length(p);
      if (length > 0 && *p != '\n' && *p != '\r') {
        p += length;
        continue;
      }
      fg_count_fault(r, NULL, "%s",
                     length == 0 ? "a letter is not in UTF-8; save the file as CSV UTF-8"
                                 : "a quotation mark is not closed on its line");
      return false;
    }
  return true;
}

/* ---- the rows ---- */

static bool is_blank(const fg_count_reader *r, char *const *cells, size_t count) {
  for (size_t i = 0; i < count; ++i)
    if (cells[i][0] != '\0' && (i >= r->column_count || (r->columns[i].kind != FG_COL_BUCKET &&
                                                         r->columns[i].kind != FG_COL_NOTES)))
      return false;
  return true;
}

static bool station_of(fg_count_reader *r, const char *name, size_t *station) {
  fg_counts *counts = r->counts;
  if (name[0] == '\0') {
    fg_count_fault(r, "station", "the name is missing");
    return false;
  }
  if (strlen(name) >= FG_STATION_NAME_MAX) {
    fg_count_fault(r, "station", "the name is longer than %d bytes", FG_STATION_NAME_MAX - 1);
    return false;
  }
  for (size_t i = 0; i < counts->station_count; ++i)
    if (strcasecmp(counts->names[i], name) == 0) {
      *station = i;
      return true;
    }
  if (counts->station_count == FG_STATIONS_MAX) {
    fg_count_fault(r, "station", "more than %d stations", FG_STATIONS_MAX);
    return false;
  }
  *station = counts->station_count++;
  (void)snprintf(counts->names[*station], FG_STATION_NAME_MAX, "%s", name);
  return true;
}

static void add_up(fg_count_reader *r, fg_bucket *bucket, bool total_given) {
  double sum = 0.0;
  for (size_t i = 0; i < r->counts->column_count; ++i)
    sum += bucket->by_column[i];
  if (r->counts->column_count == 0)
    return;
  if (total_given && bucket->colours != sum)
    fg_count_fault(r, "colours", "says %.0f, but the columns by mesh add up to %.0f",
                   bucket->colours, sum);
  bucket->colours = sum;
}

static void read_row(fg_count_reader *r, char *const *cells, size_t count) {
  fg_bucket bucket = {.line = r->csv.line, .loose_m3 = r->size->loose_m3, .gold_kg = NAN};
  const int before = r->faults;
  bool total = false;
  if (count != r->column_count) {
    fg_count_fault(r, NULL, "%zu cells, but the heading has %zu%s", count, r->column_count,
                   r->csv.separator == ',' && count > r->column_count
                       ? "; is a comma used as decimal sign?"
                       : "");
    return;
  }
  for (size_t i = 0; i < count; ++i) {
    if (r->columns[i].kind == FG_COL_STATION)
      (void)station_of(r, cells[i], &bucket.station);
    else
      fg_count_cell(r, &r->columns[i], cells[i], &bucket);
    total = total || (r->columns[i].kind == FG_COL_COLOURS && cells[i][0] != '\0');
  }
  if (r->faults == before)
    add_up(r, &bucket, total);
  if (r->counts->bucket_count == FG_BUCKETS_MAX)
    fg_count_fault(r, NULL, "more than %d buckets", FG_BUCKETS_MAX);
  else
    r->counts->buckets[r->counts->bucket_count++] = bucket;
}

static void read_lines(fg_count_reader *r) {
  fg_status status = FG_OK;
  while (r->faults < FG_FAULTS_MOST && fg_csv_next(&r->csv, r->complaints, &status)) {
    char *const *cells = r->csv.cells;
    const size_t count = r->csv.cell_count;
    if (!check_cells(r))
      continue;
    if (r->column_count == 0) {
      if (!fg_count_heading(r, cells, count))
        return;
    } else if (!is_blank(r, cells, count)) {
      read_row(r, cells, count);
      if (r->counts->bucket_count == FG_BUCKETS_MAX && r->faults > 0)
        return;
    }
  }
  if (status == FG_OK && r->faults == 0 && r->counts->bucket_count == 0)
    fg_complain(r->complaints, "%s: %s", r->csv.path,
                r->column_count == 0 ? "the file is empty; `flourgold sample FILE --form` makes one"
                                     : "no bucket has been filled in");
}

fg_status fg_counts_read(const char *path, const fg_bucket_size *size, fg_counts *counts,
                         fg_complaints *complaints) {
  fg_count_reader r = {.size = size, .complaints = complaints};
  fg_status status = fg_csv_open(&r.csv, path, FILE_MOST, complaints);
  if (status != FG_OK)
    return status;
  fg_counts *read = calloc(1, sizeof *read);
  if (read)
    read->buckets = calloc(FG_BUCKETS_MAX, sizeof *read->buckets);
  status = FG_EMEMORY;
  if (read && read->buckets) {
    r.counts = read;
    read_lines(&r);
    status = complaints->count > 0 || r.faults > 0 ? FG_ESCENARIO : FG_OK;
  }
  fg_csv_close(&r.csv);
  if (status == FG_OK)
    *counts = *read;
  else if (read)
    fg_counts_free(read);
  free(read);
  return status;
}

void fg_counts_free(fg_counts *counts) {
  free(counts->buckets);
  counts->buckets = NULL;
  counts->bucket_count = 0;
}
