/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field form's headings and cells. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"
#include "core/nearest.h"
#include "flourgold/quantity.h"
#include "input/counts_csv_internal.h"
#include "input/quantity_read.h"
#include "physics/sieve.h"

static const double most_buckets_a_row = 1000.0;

void fg_count_fault(fg_count_reader *r, const char *column, const char *format, ...) {
  char message[400];
  va_list list;
  va_start(list, format);
  (void)vsnprintf(message, sizeof message, format, list);
  va_end(list);
  fg_complain(r->complaints, "%s:%d: %s%s%s", r->csv.path, r->csv.line, column ? column : "",
              column ? ": " : "", message);
  ++r->faults;
}

/* ---- cells ---- */

/* A plain decimal, nothing behind it. */
static bool read_plain(fg_count_reader *r, const fg_heading *column, const char *cell,
                       double *value) {
  char why[256];
  if (fg_quantity_parse(cell, FG_Q_NUMBER, value, NULL, why, sizeof why) == FG_OK)
    return true;
  fg_count_fault(r, column->name, "%s", why);
  return false;
}

static double read_count(fg_count_reader *r, const fg_heading *column, const char *cell) {
  double value;
  if (cell[0] == '\0') {
    fg_count_fault(r, column->name, "empty; write 0 where none was seen");
    return 0.0;
  }
  if (!read_plain(r, column, cell, &value))
    return 0.0;
  if (value < 0.0)
    fg_count_fault(r, column->name, "'%.20s' colours; a count is 0 or more", cell);
  else if (value != floor(value))
    fg_count_fault(r, column->name,
                   "'%.20s' is not a whole number of colours; is it a weight in the wrong column?",
                   cell);
  else if (value > FG_COLOURS_MOST)
    fg_count_fault(r, column->name, "'%.20s' colours in one bucket; allowed: 0 to %d", cell,
                   FG_COLOURS_MOST);
  else
    return value;
  return 0.0;
}

static void read_gravel(fg_count_reader *r, const fg_heading *column, const char *cell,
                        fg_bucket *bucket) {
  double value;
  if (cell[0] == '\0' || !read_plain(r, column, cell, &value))
    return;
  const double loose = value * column->factor;
  if (loose > 0.0 && loose <= most_buckets_a_row * r->size->loose_m3)
    bucket->loose_m3 = loose;
  else
    fg_count_fault(r, column->name,
                   "'%.20s' of gravel in one row; allowed: above 0, up to %.0f "
                   "buckets",
                   cell, most_buckets_a_row);
}

static void read_gold(fg_count_reader *r, const fg_heading *column, const char *cell,
                      fg_bucket *bucket) {
  double value;
  if (cell[0] == '\0' || !read_plain(r, column, cell, &value))
    return;
  if (value >= 0.0 && value * column->factor <= 10.0)
    bucket->gold_kg = value * column->factor;
  else
    fg_count_fault(r, column->name, "'%.20s' of gold in one row; allowed: 0 to 10 kg", cell);
}

/* With columns by mesh the total may be left empty. */
static void read_total(fg_count_reader *r, const fg_heading *column, const char *cell,
                       fg_bucket *bucket) {
  if (cell[0] != '\0' || r->counts->column_count == 0)
    bucket->colours = read_count(r, column, cell);
}

static void read_mesh(fg_count_reader *r, const fg_heading *column, const char *cell,
                      fg_bucket *bucket) {
  bucket->by_column[column->mesh] = read_count(r, column, cell);
}

/* ---- headings ---- */

/* One of a unit as `quantity`, SI. */
static bool one_of(const char *unit, fg_quantity quantity, double *si) {
  double shift;
  return fg_unit_scale(unit, quantity, si, &shift) && *si > 0.0;
}

static bool gravel_unit(fg_count_reader *r, const char *unit, fg_heading *heading) {
  double one;
  if (unit[0] == '\0' || strncmp(unit, "bucket", 6) == 0)
    heading->factor = r->size->loose_m3;
  else if (one_of(unit, FG_Q_MASS, &one))
    heading->factor = one / r->size->bulk_kg_m3;
  else if (one_of(unit, FG_Q_VOLUME, &one))
    heading->factor = one;
  else {
    fg_count_fault(r, heading->name,
                   "'%s' is no unit of gravel; use buckets, gal, l, ft3, lb or kg", unit);
    return false;
  }
  return true;
}

static bool gold_unit(fg_count_reader *r, const char *unit, fg_heading *heading) {
  if (unit[0] != '\0' && one_of(unit, FG_Q_SMALL_MASS, &heading->factor))
    return true;
  fg_count_fault(r, heading->name, "the unit is needed: write gold [mg] or gold [g]");
  return false;
}

/* The columns there are: how they are spelled, what their unit means (NULL: they take none) and
 * where a cell goes (NULL: nowhere, or to the row).  Columns by mesh have names of their own. */
static const struct {
  const char *name, *other;
  bool (*unit)(fg_count_reader *r, const char *unit, fg_heading *heading);
  void (*read)(fg_count_reader *r, const fg_heading *column, const char *cell, fg_bucket *bucket);
} known[] = {
    [FG_COL_STATION] = {"station", NULL, NULL, NULL},
    [FG_COL_BUCKET] = {"bucket", NULL, NULL, NULL},
    [FG_COL_GRAVEL] = {"gravel", NULL, gravel_unit, read_gravel},
    [FG_COL_COLOURS] = {"colours", "colors", NULL, read_total},
    [FG_COL_GOLD] = {"gold", NULL, gold_unit, read_gold},
    [FG_COL_NOTES] = {"notes", "note", NULL, NULL},
    [FG_COL_MESH] = {NULL, NULL, NULL, read_mesh},
};

/* The mesh numbers of "over 20", "+20", "20 to 40", "20-40", with or without "mesh".  *finer is
 * 0 without an upper sieve.  0: no such heading; -1: a pan's "under 100". */
static int mesh_numbers(const char *name, int *coarser, int *finer) {
  int end = 0, a = 0, b = 0;
  char tail[16] = "";
  const char *p = name;
  if (strncmp(p, "colours ", 8) == 0)
    p += 8;
  if (sscanf(p, "under %4d", &a) == 1 || sscanf(p, "-%4d", &a) == 1)
    return -1;
  const bool over = strncmp(p, "over ", 5) == 0 || *p == '+';
  if (over)
    p += *p == '+' ? 1 : 5;
  if (over && sscanf(p, "%4d%n", &a, &end) == 1 && a > 0) {
    *coarser = 0;
    *finer = a;
  } else if (!over &&
             (sscanf(p, "%4d to %4d%n", &a, &b, &end) == 2 ||
              sscanf(p, "%4d-%4d%n", &a, &b, &end) == 2) &&
             a > 0 && b > 0) {
    *coarser = a < b ? a : b;
    *finer = a < b ? b : a;
  } else
    return 0;
  (void)snprintf(tail, sizeof tail, "%.15s", p + end);
  return tail[0] == '\0' || strcmp(tail, " mesh") == 0;
}

static bool aperture(fg_count_reader *r, const char *name, int mesh, double *size_m) {
  if (fg_sieve_aperture(mesh, size_m) == FG_OK)
    return true;
  fg_count_fault(r, name, "there is no %d mesh sieve; usual ones are 10, 20, 40, 60 and 100", mesh);
  return false;
}

static bool mesh_heading(fg_count_reader *r, int coarser, int finer, fg_heading *heading) {
  fg_counts *counts = r->counts;
  fg_count_column column = {0.0, INFINITY};
  if (coarser == finer) {
    fg_count_fault(r, heading->name, "both sieves are the same");
    return false;
  }
  if (!aperture(r, heading->name, finer, &column.lower_m) ||
      (coarser > 0 && !aperture(r, heading->name, coarser, &column.upper_m)))
    return false;
  if (counts->column_count == FG_COUNT_COLUMNS_MAX) {
    fg_count_fault(r, heading->name, "more than %d columns by mesh", FG_COUNT_COLUMNS_MAX);
    return false;
  }
  for (size_t i = 0; i < counts->column_count; ++i)
    if (column.lower_m < counts->columns[i].upper_m &&
        counts->columns[i].lower_m < column.upper_m) {
      char other[48];
      fg_count_fault(r, heading->name, "overlaps the column '%s'",
                     fg_count_column_name(&counts->columns[i], other, sizeof other));
      return false;
    }
  heading->kind = FG_COL_MESH;
  heading->mesh = counts->column_count;
  counts->columns[counts->column_count++] = column;
  return true;
}

static bool unknown_heading(fg_count_reader *r, const char *cell, const char *name) {
  const char *names[FG_COL_MESH + 1] = {NULL};
  for (int use = 0; use < FG_COL_MESH; ++use)
    names[use] = known[use].name;
  const char *near = fg_nearest(name, names);
  if (near)
    fg_count_fault(r, NULL, "there is no column '%.40s'; did you mean '%s'?", cell, near);
  else
    fg_count_fault(r, NULL,
                   "there is no column '%.40s'; there are station, bucket, gravel [gal], colours, "
                   "sieves as in 'over 20' or '20 to 40', gold [mg] and notes",
                   cell);
  return false;
}

static bool read_heading(fg_count_reader *r, const char *cell, fg_heading *heading) {
  char name[FG_CSV_NAME_MAX], unit[FG_CSV_NAME_MAX];
  int coarser, finer;
  (void)snprintf(heading->name, sizeof heading->name, "%.47s", cell);
  if (!fg_csv_heading(cell, name, unit))
    return unknown_heading(r, cell, "");
  const int mesh = unit[0] == '\0' ? mesh_numbers(name, &coarser, &finer) : 0;
  if (mesh > 0)
    return mesh_heading(r, coarser, finer, heading);
  if (mesh < 0) {
    fg_count_fault(r, heading->name, "colours finer than the last sieve cannot be counted");
    return false;
  }
  for (int use = 0; use < FG_COL_MESH; ++use) {
    const bool named = strcmp(name, known[use].name) == 0 ||
                       (known[use].other && strcmp(name, known[use].other) == 0);
    if (!named || (!known[use].unit && unit[0] != '\0'))
      continue;
    heading->kind = (fg_column_use)use;
    return !known[use].unit || known[use].unit(r, unit, heading);
  }
  return unknown_heading(r, cell, name);
}

static bool has(const fg_count_reader *r, fg_column_use kind) {
  for (size_t i = 0; i < r->column_count; ++i)
    if (r->columns[i].kind == kind)
      return true;
  return false;
}

static int coarse_first(const void *a, const void *b) {
  const double x = ((const fg_count_column *)a)->lower_m;
  const double y = ((const fg_count_column *)b)->lower_m;
  return (x < y) - (x > y);
}

/* Puts the columns by mesh from coarse to fine, whatever their order in the file. */
static void sort_columns(fg_count_reader *r) {
  fg_counts *counts = r->counts;
  fg_count_column before[FG_COUNT_COLUMNS_MAX];
  memcpy(before, counts->columns, sizeof before);
  qsort(counts->columns, counts->column_count, sizeof counts->columns[0], coarse_first);
  for (size_t i = 0; i < r->column_count; ++i) {
    if (r->columns[i].kind != FG_COL_MESH)
      continue;
    const double lower = before[r->columns[i].mesh].lower_m;
    size_t k = 0;
    while (k + 1 < counts->column_count && counts->columns[k].lower_m != lower)
      ++k;
    r->columns[i].mesh = k;
  }
}

bool fg_count_heading(fg_count_reader *r, char *const *cells, size_t count) {
  for (size_t i = 0; i < count; ++i) {
    fg_heading heading = {.kind = FG_COL_NOTES};
    if (cells[i][0] == '\0') {
      fg_count_fault(r, NULL, "column %zu has no name", i + 1);
      return false;
    }
    if (!read_heading(r, cells[i], &heading))
      return false;
    if (heading.kind != FG_COL_MESH && heading.kind != FG_COL_NOTES && has(r, heading.kind)) {
      fg_count_fault(r, heading.name, "stands twice in the heading");
      return false;
    }
    r->columns[r->column_count++] = heading;
  }
  if (!has(r, FG_COL_STATION))
    fg_count_fault(r, NULL, "the column 'station' is missing");
  if (!has(r, FG_COL_COLOURS) && !has(r, FG_COL_MESH))
    fg_count_fault(r, NULL,
                   "no colours: a column 'colours', or sieves as in 'over 20' and '20 to 40', is "
                   "missing");
  sort_columns(r);
  return r->faults == 0;
}

void fg_count_cell(fg_count_reader *r, const fg_heading *column, const char *cell,
                   fg_bucket *bucket) {
  if (known[column->kind].read)
    known[column->kind].read(r, column, cell, bucket);
}

/* ---- columns of a form ---- */

const char *fg_count_column_name(const fg_count_column *column, char *buffer, size_t size) {
  const int fine = fg_sieve_nearest(column->lower_m);
  if (!isfinite(column->upper_m))
    (void)snprintf(buffer, size, "over %d", fine);
  else
    (void)snprintf(buffer, size, "%d to %d", fg_sieve_nearest(column->upper_m), fine);
  return buffer;
}

size_t fg_count_columns_for(double visible_m, fg_count_column columns[FG_COUNT_COLUMNS_MAX]) {
  static const int meshes[] = {10, 20, 40, 60, 100, 200, 400};
  const int last = fg_sieve_nearest(visible_m);
  double upper = INFINITY, lower;
  size_t count = 0;
  for (size_t i = 0; i < sizeof meshes / sizeof meshes[0] && meshes[i] < last; ++i) {
    if (fg_sieve_aperture(meshes[i], &lower) != FG_OK)
      continue;
    columns[count++] = (fg_count_column){lower, upper};
    upper = lower;
  }
  if (last > 0 && fg_sieve_aperture(last, &lower) == FG_OK && lower < upper)
    columns[count++] = (fg_count_column){lower, upper};
  return count;
}
