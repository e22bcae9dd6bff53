/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables for people: laid out wide at first, then with smaller gaps, fewer digits and
 * folded text until they fit; what still does not fit goes into a second block below
 * that repeats the first column. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "report/report_internal.h"
#include "report/said.h"

enum { CELL = 40, TEXT_LEAST = 8, TEXT_EASY = 16, HEADINGS = -1, UNITS = -2 };

/* How close the columns are set. */
typedef struct tightness {
  size_t gap;
  int fewer; /* digits taken away */
} tightness;

static const tightness steps[] = {{2, 0}, {1, 0}, {1, 1}, {1, 2}};

typedef struct shown_column {
  size_t index; /* in the table */
  bool right;
  bool said; /* rounded as people say it */
  const char *unit;
  int digits;
  int decimals; /* fixed for the whole column; -1: each number by itself */
  double floor; /* numbers smaller than this and not zero show as "<floor"; 0: none */
  size_t width;
  size_t least; /* of a column of text: its longest word */
} shown_column;

typedef struct fg_sheet {
  const fg_node *table;
  fg_unit_system units;
  size_t rows;
  shown_column *columns;
  size_t count;
  size_t gap;
} fg_sheet;

static double shown_value(const fg_sheet *sheet, const shown_column *column, size_t row) {
  fg_quantity quantity = sheet->table->columns[column->index].quantity;
  const double shown =
      fg_quantity_shown(quantity, sheet->units, fg_table_at(sheet->table, row, column->index)->si);
  return column->said ? fg_said_rounded(quantity, shown) : shown;
}

/* Decimals a number needs for its significant digits. */
static int decimals_of(double value, int digits) {
  char number[32];
  const char *point = strchr(fg_number_text(value, digits, number, sizeof number), '.');
  if (strchr(number, 'e'))
    return 99;
  return point ? (int)strlen(point + 1) : 0;
}

/* One number of decimals for the column where that keeps every number's digits
 * without a crowd of them on the largest. */
static void choose_decimals(const fg_sheet *sheet, shown_column *column, int fewer) {
  fg_quantity quantity = sheet->table->columns[column->index].quantity;
  const fg_display *show = &fg_quantity_of(quantity)->show[sheet->units == FG_UNITS_SI];
  double most = 0.0;
  int decimals = 0;
  const int digits = column->said ? fg_said_digits(quantity) : show->digits;
  column->digits = digits > fewer ? digits - fewer : 1;
  for (size_t row = 0; row < sheet->rows; ++row) {
    double value = shown_value(sheet, column, row);
    if (!isfinite(value))
      continue;
    int need = decimals_of(value, column->digits);
    decimals = need > decimals ? need : decimals;
    most = fabs(value) > most ? fabs(value) : most;
  }
  column->floor = 0.0;
  if (quantity == FG_Q_SHARE || quantity == FG_Q_PERCENT) {
    const bool whole = decimals == 0 || fewer > 0 || (column->said && most >= 10.0);
    column->decimals = whole ? 0 : 1;
    column->floor = fewer > 0 || (whole && column->said) ? 1.0 : 0.1;
    return;
  }
  int before = most >= 1.0 ? (int)floor(log10(most)) + 1 : 1;
  column->decimals = decimals + before <= column->digits + 1 ? decimals : -1;
}

static void number_cell(const fg_sheet *sheet, const shown_column *column, size_t row,
                        char cell[CELL]) {
  double value = shown_value(sheet, column, row);
  double rounded = fabs(value);
  if (!isfinite(value)) {
    (void)snprintf(cell, CELL, "-");
  } else if (column->floor > 0.0 && value > 0.0 && rounded < column->floor / 2.0) {
    (void)snprintf(cell, CELL, "<%g", column->floor);
  } else if (value == 0.0 || column->decimals < 0) {
    (void)fg_number_text(value, column->digits, cell, CELL);
  } else {
    (void)snprintf(cell, CELL, "%.*f", column->decimals, value);
    if (cell[0] == '-' && strspn(cell + 1, "0.") == strlen(cell + 1))
      memmove(cell, cell + 1, strlen(cell));
  }
}

/* Length of the longest word, in characters. */
static size_t longest_word(const char *text) {
  size_t most = 0;
  for (text += strspn(text, " "); *text != '\0'; text += strspn(text, " ")) {
    size_t bytes = strcspn(text, " ");
    size_t width = fg_text_width(text, bytes);
    most = width > most ? width : most;
    text += bytes;
  }
  return most;
}

static void measure(const fg_sheet *sheet, shown_column *column, int fewer) {
  const fg_table_column *of = &sheet->table->columns[column->index];
  column->width = longest_word(of->label);
  size_t unit = strlen(column->unit);
  column->width = unit > column->width ? unit : column->width;
  column->least = column->width > TEXT_LEAST ? column->width : TEXT_LEAST;
  if (of->kind == FG_COLUMN_NUMBER)
    choose_decimals(sheet, column, fewer);
  for (size_t row = 0; row < sheet->rows; ++row) {
    size_t width = 0;
    if (of->kind == FG_COLUMN_NUMBER) {
      char cell[CELL];
      number_cell(sheet, column, row, cell);
      width = strlen(cell);
    } else {
      const char *text = fg_table_at(sheet->table, row, column->index)->text;
      width = fg_text_width(text, strlen(text));
      const size_t word = longest_word(text);
      column->least = word > column->least ? word : column->least;
    }
    column->width = width > column->width ? width : column->width;
  }
}

static size_t total_width(const fg_sheet *sheet) {
  size_t total = 0;
  for (size_t i = 0; i < sheet->count; ++i)
    total += sheet->columns[i].width + (i > 0 ? sheet->gap : 0);
  return total;
}

/* Takes width from the widest text column, again and again, while that helps and breaks no word. */
static void fold_text(fg_sheet *sheet, size_t width) {
  while (total_width(sheet) > width) {
    shown_column *widest = NULL;
    for (size_t i = 0; i < sheet->count; ++i) {
      shown_column *column = &sheet->columns[i];
      if (!column->right && column->width > column->least &&
          (!widest || column->width > widest->width))
        widest = column;
    }
    if (!widest)
      return;
    --widest->width;
  }
}

static bool can_break(const shown_column *column) {
  return !column->right && column->width > TEXT_LEAST;
}

/* The first column stands in every block: where it leaves another no room, words are broken. */
static void fold_pairs(fg_sheet *sheet, size_t width) {
  shown_column *first = &sheet->columns[0];
  for (size_t c = 1; c < sheet->count; ++c) {
    shown_column *other = &sheet->columns[c];
    while (first->width + sheet->gap + other->width > width &&
           (can_break(first) || can_break(other))) {
      const bool shorten = can_break(first) && (!can_break(other) || first->width >= other->width);
      --(shorten ? first : other)->width;
    }
  }
}

static void lay_out(fg_sheet *sheet, size_t width) {
  for (size_t i = 0; i < sizeof steps / sizeof steps[0]; ++i) {
    sheet->gap = steps[i].gap;
    for (size_t c = 0; c < sheet->count; ++c)
      measure(sheet, &sheet->columns[c], steps[i].fewer);
    if (total_width(sheet) <= width)
      return;
    size_t text = 0;
    for (size_t c = 0; c < sheet->count; ++c)
      if (!sheet->columns[c].right && sheet->columns[c].width > TEXT_EASY)
        text += sheet->columns[c].width - TEXT_EASY;
    if (total_width(sheet) - width <= text)
      break;
  }
  fold_text(sheet, width);
  fold_pairs(sheet, width);
  for (size_t c = 0; c < sheet->count; ++c)
    if (sheet->columns[c].width > width)
      sheet->columns[c].width = width;
}

/* Columns `from` to `to` of a block, the first column of the sheet before them. */
typedef struct fg_span {
  size_t from, to;
} fg_span;

static bool is_in(fg_span span, size_t column) {
  return column == 0 || (column >= span.from && column < span.to);
}

static size_t count_lines(const char *text) {
  size_t lines = 1;
  for (; (text = strchr(text, '\n')) != NULL; ++text)
    ++lines;
  return lines;
}

/* Start of line `n` of a text that has it. */
static const char *line_of(const char *text, size_t n) {
  for (; n > 0; --n)
    text = strchr(text, '\n') + 1;
  return text;
}

/* Line `n` of a row of folded texts, without spaces at its end.  `lines` is the row's
 * height where texts stand at the bottom of it, 0 where they stand at the top. */
static void put_line(const fg_sheet *sheet, fg_span span, char **texts, size_t n, size_t lines,
                     fg_text *out) {
  size_t owed = 0; /* spaces, written only before something */
  for (size_t c = 0; c < sheet->count; ++c) {
    if (!is_in(span, c))
      continue;
    const shown_column *column = &sheet->columns[c];
    size_t own = count_lines(texts[c]);
    size_t above = lines > 0 ? lines - own : 0;
    bool there = n >= above && n - above < own;
    const char *text = there ? line_of(texts[c], n - above) : "";
    size_t bytes = strcspn(text, "\n");
    size_t width = fg_text_width(text, bytes);
    size_t rest = column->width > width ? column->width - width : 0;
    owed += c > 0 ? sheet->gap : 0;
    if (bytes > 0) {
      fg_text_add_repeated(out, ' ', owed + (column->right ? rest : 0));
      fg_text_add_bytes(out, text, bytes);
      owed = column->right ? 0 : rest;
    } else {
      owed += column->width;
    }
  }
  fg_text_add(out, "\n");
}

/* Writes one row of texts, each folded into its column, aligned to the top or bottom. */
static void put_row(const fg_sheet *sheet, fg_span span, char **texts, bool bottom, fg_text *out) {
  size_t lines = 1;
  for (size_t c = 0; c < sheet->count; ++c) {
    size_t own = is_in(span, c) ? count_lines(texts[c]) : 1;
    lines = own > lines ? own : lines;
  }
  for (size_t n = 0; n < lines; ++n)
    put_line(sheet, span, texts, n, bottom ? lines : 0, out);
}

/* Fills texts[] with the cells of one row, or the headings or units. */
static bool fill_row(const fg_sheet *sheet, long row, char **texts) {
  bool whole = true;
  for (size_t c = 0; c < sheet->count; ++c) {
    const shown_column *column = &sheet->columns[c];
    const fg_table_column *of = &sheet->table->columns[column->index];
    fg_text text = {0};
    char cell[CELL];
    if (row == HEADINGS)
      fg_wrap(&text, of->label, column->width, 0, 0);
    else if (row == UNITS)
      fg_text_add(&text, column->unit);
    else if (of->kind == FG_COLUMN_NUMBER) {
      number_cell(sheet, column, (size_t)row, cell);
      fg_text_add(&text, cell);
    } else
      fg_wrap(&text, fg_table_at(sheet->table, (size_t)row, column->index)->text, column->width, 0,
              0);
    free(texts[c]);
    texts[c] = fg_text_take(&text, NULL);
    whole = whole && texts[c];
  }
  return whole;
}

static bool has_units(const fg_sheet *sheet, fg_span span) {
  for (size_t c = 0; c < sheet->count; ++c)
    if (is_in(span, c) && sheet->columns[c].unit[0] != '\0')
      return true;
  return false;
}

static void put_block(const fg_sheet *sheet, fg_span span, char **texts, fg_text *out) {
  size_t width = 0;
  for (size_t c = 0; c < sheet->count; ++c)
    width += is_in(span, c) ? sheet->columns[c].width + (c > 0 ? sheet->gap : 0) : 0;
  bool whole = fill_row(sheet, HEADINGS, texts);
  if (whole)
    put_row(sheet, span, texts, true, out);
  if (whole && has_units(sheet, span) && (whole = fill_row(sheet, UNITS, texts)))
    put_row(sheet, span, texts, false, out);
  fg_text_add_repeated(out, '-', width);
  fg_text_add(out, "\n");
  for (size_t row = 0; row < sheet->rows && whole; ++row)
    if ((whole = fill_row(sheet, (long)row, texts)))
      put_row(sheet, span, texts, false, out);
  out->failed = out->failed || !whole;
}

static void put_blocks(const fg_sheet *sheet, size_t width, fg_text *out) {
  char **texts = calloc(sheet->count, sizeof *texts);
  if (!texts) {
    out->failed = true;
    return;
  }
  for (fg_span span = {1, 1}; span.from == 1 || span.from < sheet->count; span.from = span.to) {
    size_t used = sheet->columns[0].width;
    while (span.to < sheet->count) {
      size_t need = sheet->gap + sheet->columns[span.to].width;
      if (used + need > width && span.to > span.from)
        break;
      used += need;
      ++span.to;
    }
    if (span.from > 1)
      fg_text_add(out, "\n");
    put_block(sheet, span, texts, out);
    if (span.to == span.from)
      break;
  }
  for (size_t c = 0; c < sheet->count; ++c)
    free(texts[c]);
  free(texts);
}

void fg_render_table(const fg_node *table, size_t width, fg_unit_system units, unsigned without,
                     fg_text *out) {
  fg_sheet sheet = {.table = table, .units = units, .rows = fg_table_rows(table)};
  sheet.columns = calloc(table->column_count, sizeof *sheet.columns);
  if (!sheet.columns) {
    out->failed = true;
    return;
  }
  for (size_t i = 0; i < table->column_count; ++i) {
    const fg_table_column *of = &table->columns[i];
    if (!of->label || (of->flags & (FG_DATA_ONLY | without)) != 0 || of->kind == FG_COLUMN_LIST)
      continue;
    bool number = of->kind == FG_COLUMN_NUMBER;
    const char *unit = fg_quantity_of(of->quantity)->show[units == FG_UNITS_SI].unit;
    sheet.columns[sheet.count++] = (shown_column){.index = i,
                                                  .right = number,
                                                  .said = fg_said_as(of->quantity, of->flags),
                                                  .unit = number ? unit : ""};
  }
  if (sheet.count > 0) {
    lay_out(&sheet, width);
    put_blocks(&sheet, width, out);
  }
  free(sheet.columns);
}
