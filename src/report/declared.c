/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables and lines from structs, by columns that name their field. */
#include "report/report.h"

static double number_at(const void *row, size_t offset) {
  return *(const double *)(const void *)((const char *)row + offset);
}

static const char *text_at(const void *row, const fg_column_of *column) {
  const char *field = (const char *)row + column->offset;
  return column->field == FG_FIELD_CHARS ? field : *(const char *const *)(const void *)field;
}

void fg_columns(fg_node *table, const fg_column_of *columns, size_t count) {
  for (size_t c = 0; c < count; ++c)
    if (columns[c].field == FG_FIELD_NUMBER)
      fg_column(table, columns[c].name, columns[c].label, columns[c].quantity, 0);
    else
      fg_column_text(table, columns[c].name, columns[c].label, 0);
}

void fg_row_of(fg_node *table, const fg_column_of *columns, size_t count, const void *row) {
  fg_row(table);
  for (size_t c = 0; c < count; ++c)
    if (columns[c].field == FG_FIELD_NUMBER)
      fg_cell(table, number_at(row, columns[c].offset));
    else
      fg_cell_text(table, text_at(row, &columns[c]));
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

void fg_lines_of(fg_node *parent, const fg_column_of *lines, size_t count, const void *from) {
  for (size_t i = 0; i < count; ++i)
    if (lines[i].field == FG_FIELD_NUMBER)
      fg_number(parent, lines[i].name, lines[i].label, lines[i].quantity,
                number_at(from, lines[i].offset), 0);
    else
      fg_string(parent, lines[i].name, lines[i].label, text_at(from, &lines[i]), 0);
}
