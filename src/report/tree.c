/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tree a report is filled into. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "report/report_internal.h"

fg_report *fg_report_new(void) {
  fg_report *report = calloc(1, sizeof *report);
  if (!report)
    return NULL;
  report->root = calloc(1, sizeof *report->root);
  if (!report->root) {
    free(report);
    return NULL;
  }
  report->columns = 72;
  report->root->report = report;
  report->root->kind = FG_NODE_GROUP;
  return report;
}

static void free_table(fg_node *node) {
  for (size_t i = 0; i < node->column_count; ++i) {
    free(node->columns[i].name);
    free(node->columns[i].label);
  }
  for (size_t i = 0; i < node->cell_count; ++i) {
    free(node->cells[i].text);
    free(node->cells[i].list);
  }
  free(node->columns);
  free(node->cells);
}

static void free_node(fg_node *node) {
  while (node->first) {
    fg_node *child = node->first;
    node->first = child->next;
    free_node(child);
  }
  free_table(node);
  free(node->name);
  free(node->label);
  free(node->text);
  free(node);
}

void fg_report_free(fg_report *report) {
  if (!report)
    return;
  free_node(report->root);
  free(report);
}

void fg_report_columns(fg_report *report, int columns) {
  if (!report)
    return;
  report->columns = columns < 20 ? 20 : columns;
  report->laid_out = true;
}

void fg_report_fit(fg_report *report, int columns) {
  enum { SCREEN_MOST = 100 };
  if (report &&
      (!report->laid_out || (report->columns <= SCREEN_MOST && columns < report->columns)))
    report->columns = columns;
}

void fg_report_full(fg_report *report, bool full) {
  if (report)
    report->full = full;
}

fg_node *fg_report_root(fg_report *report) { return report ? report->root : NULL; }

static void fault(fg_report *report, fg_status status) {
  if (report->fault == FG_OK)
    report->fault = status;
}

/* A copy with invalid UTF-8 replaced; NULL for NULL, and after a fault. */
static char *copy_text(fg_report *report, const char *string) {
  if (!string)
    return NULL;
  fg_text text = {0};
  fg_text_add_valid(&text, string);
  char *copy = fg_text_take(&text, NULL);
  if (!copy)
    fault(report, FG_EMEMORY);
  return copy;
}

static fg_node *add(fg_node *parent, fg_node_kind kind, const char *name, const char *label,
                    unsigned flags) {
  if (!parent)
    return NULL;
  fg_node *node = calloc(1, sizeof *node);
  if (!node) {
    fault(parent->report, FG_EMEMORY);
    return NULL;
  }
  node->report = parent->report;
  node->kind = kind;
  node->flags = flags;
  node->name = copy_text(parent->report, name);
  node->label = copy_text(parent->report, label);
  if (parent->last)
    parent->last->next = node;
  else
    parent->first = node;
  parent->last = node;
  return node;
}

fg_node *fg_group(fg_node *parent, const char *name, const char *title, unsigned flags) {
  return add(parent, FG_NODE_GROUP, name, title, flags);
}

void fg_number_band(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                    double si, const fg_band *band, unsigned flags) {
  fg_node *node = add(parent, band ? FG_NODE_BAND : FG_NODE_NUMBER, name, label, flags);
  if (!node)
    return;
  node->quantity = quantity;
  node->si = si;
  if (!band)
    return;
  node->band[0] = band->low;
  node->band[1] = band->mid;
  node->band[2] = band->high;
}

void fg_number_banded(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                      const fg_banded *figure, unsigned flags) {
  fg_number_band(parent, name, label, quantity, figure->nominal,
                 isnan(figure->band.mid) ? NULL : &figure->band, flags);
}

void fg_number(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
               double si, unsigned flags) {
  fg_number_band(parent, name, label, quantity, si, NULL, flags);
}

void fg_integer(fg_node *parent, const char *name, const char *label, long value, unsigned flags) {
  fg_node *node = add(parent, FG_NODE_INTEGER, name, label, flags);
  if (node)
    node->integer = value;
}

void fg_boolean(fg_node *parent, const char *name, const char *label, bool value, unsigned flags) {
  fg_node *node = add(parent, FG_NODE_BOOLEAN, name, label, flags);
  if (node)
    node->integer = value;
}

void fg_string(fg_node *parent, const char *name, const char *label, const char *value,
               unsigned flags) {
  fg_node *node = add(parent, FG_NODE_STRING, name, label, flags);
  if (node)
    node->text = copy_text(node->report, value ? value : "");
}

static void add_formatted(fg_node *parent, fg_node_kind kind, const char *format, va_list list) {
  fg_node *node = add(parent, kind, NULL, NULL, FG_TEXT_ONLY);
  if (!node)
    return;
  char *string = NULL;
  if (vasprintf(&string, format, list) < 0) {
    fault(node->report, FG_EMEMORY);
    return;
  }
  node->text = copy_text(node->report, string);
  free(string);
}

void fg_note(fg_node *parent, const char *format, ...) {
  va_list list;
  va_start(list, format);
  add_formatted(parent, FG_NODE_NOTE, format, list);
  va_end(list);
}

void fg_bullet(fg_node *parent, const char *format, ...) {
  va_list list;
  va_start(list, format);
  add_formatted(parent, FG_NODE_BULLET, format, list);
  va_end(list);
}

void fg_verbatim(fg_node *parent, const char *text) {
  fg_node *node = add(parent, FG_NODE_VERBATIM, NULL, NULL, FG_TEXT_ONLY);
  if (node)
    node->text = copy_text(node->report, text);
}

fg_node *fg_answer(fg_node *parent) {
  return fg_group(parent, NULL, NULL, FG_TEXT_ONLY | FG_ANSWER);
}

fg_node *fg_list(fg_node *parent, const char *name, unsigned flags) {
  return add(parent, FG_NODE_LIST, name, NULL, flags);
}

void fg_list_string(fg_node *list, const char *value) { fg_string(list, NULL, NULL, value, 0); }

void fg_list_number(fg_node *list, double si) {
  /* The unit follows from the name of the list. */
  if (list)
    fg_number(list, list->name, NULL, list->quantity, si, 0);
}

fg_node *fg_list_list(fg_node *list) {
  return list ? add(list, FG_NODE_LIST, list->name, NULL, 0) : NULL;
}

fg_node *fg_table(fg_node *parent, const char *name, const char *title, unsigned flags) {
  return add(parent, FG_NODE_TABLE, name, title, flags);
}

static void add_column(fg_node *table, fg_table_column column, const char *name,
                       const char *label) {
  if (!table)
    return;
  fg_table_column *columns =
      realloc(table->columns, (table->column_count + 1) * sizeof *table->columns);
  if (!columns) {
    fault(table->report, FG_EMEMORY);
    return;
  }
  table->columns = columns;
  if (table->cell_count > 0)
    fault(table->report, FG_EDOMAIN);
  column.name = copy_text(table->report, name);
  column.label = copy_text(table->report, label);
  table->columns[table->column_count++] = column;
}

void fg_column(fg_node *table, const char *name, const char *label, fg_quantity quantity,
               unsigned flags) {
  fg_table_column column = {.kind = FG_COLUMN_NUMBER, .quantity = quantity, .flags = flags};
  add_column(table, column, name, label);
}

void fg_column_text(fg_node *table, const char *name, const char *label, unsigned flags) {
  fg_table_column column = {.kind = FG_COLUMN_TEXT, .flags = flags};
  add_column(table, column, name, label);
}

void fg_column_list(fg_node *table, const char *name, fg_quantity quantity, size_t length) {
  fg_table_column column = {.kind = FG_COLUMN_LIST, .quantity = quantity, .length = length};
  add_column(table, column, name, NULL);
}

/* Flags the columns that are among the names, or those that are not. */
static void flag_columns(fg_node *table, const char *names, bool among, unsigned flags) {
  for (size_t i = 0; table && i < table->column_count; ++i) {
    const char *name = table->columns[i].name;
    if ((name && fg_text_has_word(names, name, strlen(name))) == among)
      table->columns[i].flags |= flags;
  }
}

void fg_short_columns(fg_node *table, const char *names) {
  flag_columns(table, names, false, FG_REST);
}

void fg_data_columns(fg_node *table, const char *names) {
  flag_columns(table, names, true, FG_DATA_ONLY);
}

void fg_row(fg_node *table) {
  if (table && (table->column_count == 0 || table->cell_count % table->column_count != 0))
    fault(table->report, FG_EDOMAIN);
}

/* The next cell, which must be of `kind`; NULL after a fault. */
static fg_table_cell *next_cell(fg_node *table, fg_column_kind kind) {
  if (!table || table->report->fault != FG_OK)
    return NULL;
  if (table->column_count == 0 ||
      table->columns[table->cell_count % table->column_count].kind != kind) {
    fault(table->report, FG_EDOMAIN);
    return NULL;
  }
  if (table->cell_count == table->cell_capacity) {
    size_t capacity = table->cell_capacity * 2 + 32;
    fg_table_cell *cells = realloc(table->cells, capacity * sizeof *cells);
    if (!cells) {
      fault(table->report, FG_EMEMORY);
      return NULL;
    }
    table->cells = cells;
    table->cell_capacity = capacity;
  }
  fg_table_cell *cell = &table->cells[table->cell_count++];
  *cell = (fg_table_cell){.si = NAN};
  return cell;
}

void fg_cell(fg_node *table, double si) {
  fg_table_cell *cell = next_cell(table, FG_COLUMN_NUMBER);
  if (cell)
    cell->si = si;
}

void fg_cells(fg_node *table, const double *si, size_t count) {
  for (size_t i = 0; i < count; ++i)
    fg_cell(table, si[i]);
}

void fg_cell_text(fg_node *table, const char *text) {
  fg_table_cell *cell = next_cell(table, FG_COLUMN_TEXT);
  if (cell)
    cell->text = copy_text(table->report, text ? text : "");
}

void fg_cell_list(fg_node *table, const double *si, size_t length) {
  fg_table_cell *cell = next_cell(table, FG_COLUMN_LIST);
  if (!cell)
    return;
  size_t wanted = table->columns[(table->cell_count - 1) % table->column_count].length;
  cell->list = malloc((wanted > 0 ? wanted : 1) * sizeof *cell->list);
  if (!cell->list) {
    fault(table->report, FG_EMEMORY);
    return;
  }
  if (length != wanted)
    fault(table->report, FG_EDOMAIN);
  for (size_t i = 0; i < wanted; ++i)
    cell->list[i] = i < length ? si[i] : (double)NAN;
}

size_t fg_table_rows(const fg_node *table) {
  return table->column_count > 0 ? table->cell_count / table->column_count : 0;
}

const fg_table_cell *fg_table_at(const fg_node *table, size_t row, size_t column) {
  return &table->cells[row * table->column_count + column];
}

void fg_remark(fg_node *heading, fg_node *list, const char *format, ...) {
  char line[400];
  va_list arguments;
  va_start(arguments, format);
  (void)vsnprintf(line, sizeof line, format, arguments);
  va_end(arguments);
  fg_bullet(heading, "%s", line);
  fg_list_string(list, line);
}

bool fg_said_as(fg_quantity quantity, unsigned flags) {
  return (flags & FG_EXACT) == 0 && quantity != FG_Q_NUMBER && quantity != FG_Q_INTEGER;
}
