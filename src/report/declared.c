/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables and lines from structs, by columns that name their field. */
#include <math.h>
#include <stdio.h>

#include "report/report.h"

static const char *const endings[3] = {"low", "mid", "high"};

static const void *field_at(const void *row, const fg_column_of *column) {
  return (const char *)row + column->offset;
}

static double number_at(const void *row, const fg_column_of *column) {
  return *(const double *)field_at(row, column);
}

static const char *text_at(const void *row, const fg_column_of *column) {
  const void *field = field_at(row, column);
  return column->field == FG_FIELD_CHARS ? field : *(const char *const *)field;
}

static bool is_text(const fg_column_of *column) {
  return column->field == FG_FIELD_TEXT || column->field == FG_FIELD_CHARS;
}

static bool has_ends(const fg_column_of *column) {
  return column->field == FG_FIELD_BANDED || column->field == FG_FIELD_SPREAD;
}

static void add_ends(fg_node *table, const fg_column_of *column) {
  const bool shown = column->field == FG_FIELD_SPREAD;
  for (int q = 0; q < 3; ++q) {
    char name[64];
    (void)snprintf(name, sizeof name, "%s_%s", column->name ? column->name : "", endings[q]);
    fg_column(table, column->name ? name : NULL, shown && q != 1 ? endings[q] : NULL,
              column->quantity, 0);
  }
}

void fg_columns(fg_node *table, const fg_column_of *columns, size_t count) {
  for (size_t c = 0; c < count; ++c) {
    if (is_text(&columns[c]))
      fg_column_text(table, columns[c].name, columns[c].label, 0);
    else
      fg_column(table, columns[c].name, columns[c].label, columns[c].quantity,
                columns[c].field == FG_FIELD_GIVEN ? FG_EXACT : 0);
    if (has_ends(&columns[c]))
      add_ends(table, &columns[c]);
  }
}

void fg_cells_of(fg_node *table, const fg_column_of *columns, size_t count, const void *row) {
  for (size_t c = 0; c < count; ++c) {
    const void *field = field_at(row, &columns[c]);
    if (is_text(&columns[c]))
      fg_cell_text(table, text_at(row, &columns[c]));
    else if (columns[c].field == FG_FIELD_COUNT)
      fg_cell(table, (double)*(const size_t *)field);
    else
      fg_cell(table, number_at(row, &columns[c]));
    if (has_ends(&columns[c])) {
      const fg_band *band = &((const fg_banded *)field)->band;
      const double ends[3] = {band->low, band->mid, band->high};
      fg_cells(table, ends, 3);
    }
  }
}

void fg_row_of(fg_node *table, const fg_column_of *columns, size_t count, const void *row) {
  fg_row(table);
  fg_cells_of(table, columns, count, row);
}

fg_node *fg_table_of(fg_node *parent, const char *name, const char *title, unsigned flags,
                     const fg_column_of *columns, size_t count, const void *first, size_t rows,
                     size_t size) {
  fg_node *table = fg_table(parent, name, title, flags);
  fg_columns(table, columns, count);
  for (size_t i = 0; i < rows; ++i)
    fg_row_of(table, columns, count, (const char *)first + i * size);
  return table;
}

static void add_number(fg_node *parent, const fg_column_of *line, const void *from,
                       const void *const ends[3]) {
  fg_banded figure = {number_at(from, line), {NAN, NAN, NAN}};
  const char *label = isfinite(figure.nominal) ? line->label : NULL;
  if (has_ends(line))
    figure = *(const fg_banded *)field_at(from, line);
  if (ends) {
    const fg_band band = {number_at(ends[0], line), number_at(ends[1], line),
                          number_at(ends[2], line)};
    fg_number_band(parent, line->name, label, line->quantity, figure.nominal, &band, 0);
  } else {
    fg_number_banded(parent, line->name, label, line->quantity, &figure,
                     line->field == FG_FIELD_GIVEN ? FG_EXACT : 0);
  }
}

void fg_lines_of(fg_node *parent, const fg_column_of *lines, size_t count, const void *from,
                 const void *const ends[3]) {
  for (size_t i = 0; i < count; ++i)
    if (is_text(&lines[i]))
      fg_string(parent, lines[i].name, lines[i].label, text_at(from, &lines[i]), 0);
    else if (lines[i].field == FG_FIELD_COUNT)
      fg_integer(parent, lines[i].name, lines[i].label,
                 (long)*(const size_t *)field_at(from, &lines[i]), 0);
    else
      add_number(parent, &lines[i], from, ends);
}
