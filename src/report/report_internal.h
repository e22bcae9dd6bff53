/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REPORT_INTERNAL_H
#define FLOURGOLD_REPORT_INTERNAL_H

#include "core/text.h"
#include "report/report.h"

typedef enum fg_node_kind {
  FG_NODE_GROUP,
  FG_NODE_NUMBER,
  FG_NODE_BAND,
  FG_NODE_INTEGER,
  FG_NODE_BOOLEAN,
  FG_NODE_STRING,
  FG_NODE_NOTE,
  FG_NODE_BULLET,
  FG_NODE_VERBATIM,
  FG_NODE_LIST,
  FG_NODE_TABLE
} fg_node_kind;

typedef enum fg_column_kind { FG_COLUMN_NUMBER, FG_COLUMN_TEXT, FG_COLUMN_LIST } fg_column_kind;

typedef struct fg_table_column {
  fg_column_kind kind;
  char *name;  /* NULL: text only */
  char *label; /* NULL: data only */
  fg_quantity quantity;
  unsigned flags;
  size_t length; /* numbers in a list cell */
} fg_table_column;

typedef struct fg_table_cell {
  double si;
  char *text;
  double *list; /* `length` of the column, rest NaN */
} fg_table_cell;

struct fg_node {
  fg_report *report;
  fg_node_kind kind;
  unsigned flags;
  char *name;
  char *label; /* a group's or table's title */
  fg_quantity quantity;
  double si;
  double band[3];
  long integer; /* also a boolean */
  char *text;   /* valid UTF-8 */
  fg_node *first, *last, *next;
  fg_table_column *columns;
  size_t column_count;
  fg_table_cell *cells; /* row after row */
  size_t cell_count, cell_capacity;
};

struct fg_report {
  fg_node *root;
  int columns;
  bool laid_out; /* for just that width */
  bool full;
  fg_status fault; /* the first failure of an adder */
};

/* Rows of a table, all complete. */
size_t fg_table_rows(const fg_node *table);
const fg_table_cell *fg_table_at(const fg_node *table, size_t row, size_t column);

/* Whether a figure with these flags is rounded for people: one with a unit that is not exact. */
bool fg_said_as(fg_quantity quantity, unsigned flags);

/* `si` on the unit of the data name. */
double fg_data_value(const char *name, double si);

/* The shortest decimal text that reads back as the same double, with a point or an
 * exponent.  Returns buffer; `value` must be finite. */
const char *fg_shortest_real(double value, char *buffer, size_t size);

/* Adds `text` word by word, the first line starting at column `used`, later lines at
 * `indent`, none beyond `width`; a longer word is cut.  Control characters become '?'. */
void fg_wrap(fg_text *out, const char *text, size_t width, size_t used, size_t indent);
/* Adds `text` as it is but for control characters other than a line feed. */
void fg_add_clean(fg_text *out, const char *text, size_t bytes);

fg_status fg_render_text(const fg_report *report, fg_unit_system units, fg_text *out);
fg_status fg_render_json(const fg_report *report, fg_text *out);
fg_status fg_render_csv(const fg_report *report, fg_text *out);
/* Adds a table as text, at most `width` columns wide, without the columns that have one of the
 * flags `without`. */
void fg_render_table(const fg_node *table, size_t width, fg_unit_system units, unsigned without,
                     fg_text *out);

#endif
