/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports as CSV after RFC 4180, lines ended by a line feed. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/report_internal.h"

static void add_field(fg_text *out, const char *text) {
  if (text[strcspn(text, ",\"\r\n")] == '\0') {
    fg_text_add(out, text);
    return;
  }
  fg_text_add(out, "\"");
  for (; *text != '\0'; ++text) {
    if (*text == '"')
      fg_text_add(out, "\"");
    fg_text_add_bytes(out, text, 1);
  }
  fg_text_add(out, "\"");
}

/* A spreadsheet runs a cell that begins like a formula; an apostrophe keeps it text.
 * What reads as a number is harmless and stays. */
static void add_user_text(fg_text *out, const char *text) {
  char *end = NULL;
  bool number = text[0] != '\0' && (strtod(text, &end), *end == '\0');
  if (number || text[0] == '\0' || !strchr("=+-@\t\r", text[0])) {
    add_field(out, text);
    return;
  }
  fg_text guarded = {0};
  fg_text_printf(&guarded, "'%s", text);
  if (guarded.failed)
    out->failed = true;
  else
    add_field(out, guarded.bytes);
  fg_text_free(&guarded);
}

/* Empty when the number is not finite. */
static void add_real(fg_text *out, const char *name, double si) {
  double value = fg_data_value(name, si);
  char buffer[40];
  if (isfinite(value))
    fg_text_add(out, fg_shortest_real(value, buffer, sizeof buffer));
}

static bool is_in_data(const fg_table_column *column) {
  return column->name && (column->flags & FG_TEXT_ONLY) == 0;
}

static void add_header(fg_text *out, const fg_node *table) {
  const char *between = "";
  for (size_t c = 0; c < table->column_count; ++c) {
    const fg_table_column *column = &table->columns[c];
    if (!is_in_data(column))
      continue;
    size_t fields = column->kind == FG_COLUMN_LIST ? column->length : 1;
    for (size_t i = 0; i < fields; ++i) {
      fg_text_add(out, between);
      add_field(out, column->name);
      if (column->kind == FG_COLUMN_LIST)
        fg_text_printf(out, "_%zu", i + 1);
      between = ",";
    }
  }
  fg_text_add(out, "\n");
}

static void add_cell(fg_text *out, const fg_table_column *column, const fg_table_cell *cell) {
  if (column->kind == FG_COLUMN_TEXT)
    add_user_text(out, cell->text);
  else if (column->kind == FG_COLUMN_NUMBER)
    add_real(out, column->name, cell->si);
  for (size_t i = 0; column->kind == FG_COLUMN_LIST && i < column->length; ++i) {
    if (i > 0)
      fg_text_add(out, ",");
    add_real(out, column->name, cell->list[i]);
  }
}

static void add_rows(fg_text *out, const fg_node *table) {
  for (size_t row = 0; row < fg_table_rows(table); ++row) {
    const char *between = "";
    for (size_t c = 0; c < table->column_count; ++c) {
      const fg_table_column *column = &table->columns[c];
      if (!is_in_data(column) || (column->kind == FG_COLUMN_LIST && column->length == 0))
        continue;
      fg_text_add(out, between);
      add_cell(out, column, fg_table_at(table, row, c));
      between = ",";
    }
    fg_text_add(out, "\n");
  }
}

static bool same_columns(const fg_node *a, const fg_node *b) {
  if (a->column_count != b->column_count)
    return false;
  for (size_t c = 0; c < a->column_count; ++c) {
    const fg_table_column *x = &a->columns[c];
    const fg_table_column *y = &b->columns[c];
    if (is_in_data(x) != is_in_data(y) || x->kind != y->kind || x->length != y->length)
      return false;
    if (is_in_data(x) && strcmp(x->name, y->name) != 0)
      return false;
  }
  return true;
}

/* Adds the primary tables below `node`; *last is the one before. */
static void add_tables(fg_text *out, const fg_node *node, const fg_node **last) {
  if ((node->flags & FG_TEXT_ONLY) != 0)
    return;
  if (node->kind == FG_NODE_TABLE && (node->flags & FG_PRIMARY) != 0) {
    if (!*last || !same_columns(*last, node)) {
      if (*last)
        fg_text_add(out, "\n");
      add_header(out, node);
    }
    add_rows(out, node);
    *last = node;
  }
  for (const fg_node *child = node->first; child; child = child->next)
    add_tables(out, child, last);
}

/* One name,value,unit row; `ending` belongs to a band. */
static void add_number_row(fg_text *out, const char *path, const char *ending, const fg_node *node,
                           double si) {
  const char *unit = fg_data_unit_of(node->name)->unit;
  const char *internal = fg_quantity_of(node->quantity)->si_unit;
  if (unit[0] == '\0' && strcmp(internal, "1") != 0)
    unit = internal;
  fg_text name = {0};
  fg_text_printf(&name, "%s%s", path, ending);
  if (name.failed)
    out->failed = true;
  else
    add_field(out, name.bytes);
  fg_text_free(&name);
  fg_text_add(out, ",");
  add_real(out, node->name, si);
  fg_text_add(out, ",");
  add_field(out, unit);
  fg_text_add(out, "\n");
}

static void add_scalar(fg_text *out, const char *path, const fg_node *node) {
  static const char *const endings[] = {"_low", "_mid", "_high"};
  if (node->kind == FG_NODE_NUMBER || node->kind == FG_NODE_BAND) {
    add_number_row(out, path, "", node, node->si);
    for (size_t i = 0; node->kind == FG_NODE_BAND && i < 3; ++i)
      add_number_row(out, path, endings[i], node, node->band[i]);
    return;
  }
  add_field(out, path);
  fg_text_add(out, ",");
  if (node->kind == FG_NODE_INTEGER)
    fg_text_printf(out, "%ld", node->integer);
  else if (node->kind == FG_NODE_BOOLEAN)
    fg_text_add(out, node->integer != 0 ? "true" : "false");
  else
    add_user_text(out, node->text);
  fg_text_add(out, ",\n");
}

/* Adds the scalars below `parent`, members of lists by their place from 1. */
static void add_scalars(fg_text *out, const char *path, const fg_node *parent) {
  size_t place = 0;
  for (const fg_node *node = parent->first; node; node = node->next) {
    bool member = parent->kind == FG_NODE_LIST;
    ++place;
    if ((node->flags & FG_TEXT_ONLY) != 0 || node->kind == FG_NODE_TABLE ||
        (!node->name && !member && node->kind != FG_NODE_GROUP))
      continue;
    const char *dot = path[0] != '\0' ? "." : "";
    fg_text full = {0};
    if (member)
      fg_text_printf(&full, "%s%s%zu", path, dot, place);
    else if (node->name)
      fg_text_printf(&full, "%s%s%s", path, dot, node->name);
    else
      fg_text_add(&full, path);
    if (full.failed)
      out->failed = true;
    else if (node->kind == FG_NODE_GROUP || node->kind == FG_NODE_LIST)
      add_scalars(out, full.bytes, node);
    else
      add_scalar(out, full.bytes, node);
    fg_text_free(&full);
  }
}

fg_status fg_render_csv(const fg_report *report, fg_text *out) {
  const fg_node *last = NULL;
  add_tables(out, report->root, &last);
  if (!last) {
    fg_text_add(out, "name,value,unit\n");
    add_scalars(out, "", report->root);
  }
  return out->failed ? FG_EMEMORY : FG_OK;
}
