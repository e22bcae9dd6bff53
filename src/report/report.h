/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REPORT_H
#define FLOURGOLD_REPORT_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"

/* A report is a small tree that a command fills once; one renderer turns it into
 * text for people, JSON or CSV.  Names are the data keys: their ending carries
 * the unit of the data (`_pa`, `_m_s`, `_mm`, `_g_h`, `_rpm` ...), values are
 * handed over in the internal SI unit and scaled by the renderer.
 *
 * Text: at most `columns` wide, in the units people chose.  A report with an answer opens with it
 * and shows, unless it is asked for in full, only what is marked as the answer, its proof, or for
 * the short form.  JSON: the named
 * nodes, always on the unit in the name.  CSV: the tables marked FG_PRIMARY
 * (same columns: one header), or name,value rows when there is none.
 * Text rounds what has a unit as people say it (report/said.h), and of a figure with a band shows
 * the middle and the ends; see FG_EXACT.
 * A number that is not finite is null in JSON, empty in CSV, and "unknown" or
 * "-" in text; NaN is never printed. */

typedef enum fg_format { FG_FORMAT_TEXT = 0, FG_FORMAT_JSON, FG_FORMAT_CSV } fg_format;

enum {
  FG_TEXT_ONLY = 1,   /* shown to people, left out of JSON and CSV */
  FG_DATA_ONLY = 2,   /* in JSON and CSV, not shown in text */
  FG_PRIMARY = 4,     /* a table that CSV consists of */
  FG_ANSWER = 8,      /* what the question comes to, in a few lines */
  FG_PROOF = 16,      /* the table or lines that show it */
  FG_SHORT_ONLY = 32, /* stands for what the short form leaves out */
  FG_EXACT = 128,     /* typed in, counted or published: not rounded as what a model says is */
  FG_REST = 64        /* a column that the short form leaves out */
};

typedef struct fg_report fg_report;
typedef struct fg_node fg_node;

fg_report *fg_report_new(void); /* NULL when memory ran out */
void fg_report_free(fg_report *report);
/* Sets the width of a page laid out for one; 72 otherwise. */
void fg_report_columns(fg_report *report, int columns);
/* Fits text to a screen of `columns`: a page laid out for a width never becomes wider, and a form
 * (wider than any screen) stays as it is. */
void fg_report_fit(fg_report *report, int columns);
/* Whether text shows everything; it does without an answer, too. */
void fg_report_full(fg_report *report, bool full);
fg_node *fg_report_root(fg_report *report);

/* Every adder copies its texts.  A failed allocation is remembered in the report
 * and comes back from fg_report_render as FG_EMEMORY, so calls need no checks;
 * adders accept a NULL parent. */

/* A named object; title (may be NULL) is the text heading.  name NULL: heading only,
 * its children belong to the enclosing JSON object. */
fg_node *fg_group(fg_node *parent, const char *name, const char *title, unsigned flags);

/* label NULL: data only. */
void fg_number(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
               double si, unsigned flags);
/* A number with its 10/50/90 % band: adds name_low, name_mid, name_high to the data.  band NULL:
 * the number alone. */
void fg_number_band(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                    double si, const fg_band *band, unsigned flags);
/* The same of a figure with its band; the figure alone where no band is known (mid is NaN). */
void fg_number_banded(fg_node *parent, const char *name, const char *label, fg_quantity quantity,
                      const fg_banded *figure, unsigned flags);
void fg_integer(fg_node *parent, const char *name, const char *label, long value, unsigned flags);
void fg_boolean(fg_node *parent, const char *name, const char *label, bool value, unsigned flags);
void fg_string(fg_node *parent, const char *name, const char *label, const char *value,
               unsigned flags);
/* The place for the answer: notes in it stand line below line.  Comes first in a page. */
fg_node *fg_answer(fg_node *parent);
/* A paragraph for people, wrapped at the report's width; printf style. */
void fg_note(fg_node *parent, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* The same with a hanging bullet. */
void fg_bullet(fg_node *parent, const char *format, ...) __attribute__((format(printf, 2, 3)));
/* Text kept line for line (small drawings, cards). */
void fg_verbatim(fg_node *parent, const char *text);

/* A list of strings in the data. */
fg_node *fg_list(fg_node *parent, const char *name, unsigned flags);
void fg_list_string(fg_node *list, const char *value);
void fg_list_number(fg_node *list, double si);
/* A line for people below a heading, and in a list of the data, at once. */
void fg_remark(fg_node *heading, fg_node *list, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* A list of lists or objects of numbers: a nested list inside a list. */
fg_node *fg_list_list(fg_node *list);

/* A table: an array of objects in JSON. */
fg_node *fg_table(fg_node *parent, const char *name, const char *title, unsigned flags);
/* label: heading in text, with the unit set below it by the renderer; NULL: data only. */
void fg_column(fg_node *table, const char *name, const char *label, fg_quantity quantity,
               unsigned flags);
void fg_column_text(fg_node *table, const char *name, const char *label, unsigned flags);
/* A column holding a list of numbers in each row; data only (CSV: name_1, name_2 ...). */
void fg_column_list(fg_node *table, const char *name, fg_quantity quantity, size_t length);
/* Leaves all columns but those named, with blanks between, out of the short form. */
void fg_short_columns(fg_node *table, const char *names);
/* Leaves the columns named to the data. */
void fg_data_columns(fg_node *table, const char *names);
/* Starts a row; then one cell a column, in order. */
void fg_row(fg_node *table);
void fg_cell(fg_node *table, double si);
/* Several number cells in a row. */
void fg_cells(fg_node *table, const double *si, size_t count);
void fg_cell_text(fg_node *table, const char *text);
void fg_cell_list(fg_node *table, const double *si, size_t length);

/* What a field holds. */
typedef enum fg_field {
  FG_FIELD_NUMBER, /* double, SI */
  FG_FIELD_GIVEN,  /* the same, typed in or published: see FG_EXACT */
  FG_FIELD_COUNT,  /* size_t */
  FG_FIELD_TEXT,   /* const char * */
  FG_FIELD_CHARS,  /* an array of char */
  FG_FIELD_BANDED, /* fg_banded, a figure and its band.  In a table four columns: name,
                      name_low, name_mid, name_high, of which people see the first; on a line the
                      figure alone where it has no band (the 50 % is NaN) */
  FG_FIELD_SPREAD  /* the same; in a table people see "low" and "high" too */
} fg_field;

/* A column and the field of a row's struct that fills it, or a line and its field: declared
 * together, so that neither can stand without the other. */
typedef struct fg_column_of {
  const char *name, *label; /* as of fg_column() and fg_number(): either may be NULL */
  fg_quantity quantity;     /* of a number */
  fg_field field;
  size_t offset; /* of the field in its struct */
} fg_column_of;

/* The columns of a table whose rows are structs. */
void fg_columns(fg_node *table, const fg_column_of *columns, size_t count);
/* One row of it, or the cells of its next columns. */
void fg_row_of(fg_node *table, const fg_column_of *columns, size_t count, const void *row);
void fg_cells_of(fg_node *table, const fg_column_of *columns, size_t count, const void *row);
/* A whole table from `rows` structs of `size` bytes each at `first`. */
fg_node *fg_table_of(fg_node *parent, const char *name, const char *title, unsigned flags,
                     const fg_column_of *columns, size_t count, const void *first, size_t rows,
                     size_t size);
/* Lines with a label and a value, in the order declared, from one struct.  `ends`: structs of the
 * same shape that hold the 10, 50 and 90 % of its numbers; NULL: they have no band.  A number that
 * is not finite is not shown to people. */
void fg_lines_of(fg_node *parent, const fg_column_of *lines, size_t count, const void *from,
                 const void *const ends[3]);

/* The same for whole arrays of columns, and for rows by their type. */
#define FG_COUNT_OF(array) (sizeof(array) / sizeof(array)[0])
#define FG_COLUMNS_OF(table, columns) fg_columns(table, columns, FG_COUNT_OF(columns))
#define FG_ROW_OF(table, columns, row) fg_row_of(table, columns, FG_COUNT_OF(columns), row)
#define FG_CELLS_OF(table, columns, row) fg_cells_of(table, columns, FG_COUNT_OF(columns), row)
#define FG_TABLE_OF(parent, name, title, flags, columns, first, rows)                              \
  fg_table_of(parent, name, title, flags, columns, FG_COUNT_OF(columns), first, rows,              \
              sizeof *(first))
#define FG_LINES_OF(parent, lines, from, ends)                                                     \
  fg_lines_of(parent, lines, FG_COUNT_OF(lines), from, ends)

/* Renders into a fresh string (caller frees) of *length bytes.  FG_EDOMAIN: a table with a row
 * left unfinished, or, as JSON, a datum whose name carries a unit that is not SI. */
fg_status fg_report_render(const fg_report *report, fg_format format, fg_unit_system units,
                           char **out, size_t *length);

/* The unit a data name carries in its ending: data = si * factor + offset.  The
 * longest known ending wins; a band's `_low`, `_mid`, `_high` and a list column's
 * `_1`, `_2` ... are looked through.  A name without one, or a settings key (it
 * holds a dot), is in the internal SI unit: factor 1, unit "". */
typedef struct fg_data_unit {
  const char *suffix; /* "_kg_h" */
  double factor;
  double offset;
  const char *unit; /* for axes and the unit column of CSV: "kg/h" */
  bool customary;   /* not SI: for the files beside pictures, never in JSON */
} fg_data_unit;

/* Never NULL. */
const fg_data_unit *fg_data_unit_of(const char *name);

#endif
