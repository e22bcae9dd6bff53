/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports as JSON (RFC 8259), written from the tree; a real takes the fewest digits that read back
 * the same. */
#include <math.h>
#include <string.h>

#include "report/report_internal.h"

/* An object or a list that is being written, one member a line. */
typedef struct place {
  fg_text *out;
  size_t indent; /* of its members */
  bool begun;    /* it has a member */
} place;

static void add_escaped(fg_text *out, const char *text) {
  static const char *const escapes[] = {
      ['\b'] = "\\b", ['\t'] = "\\t", ['\n'] = "\\n",  ['\f'] = "\\f",
      ['\r'] = "\\r", ['"'] = "\\\"", ['\\'] = "\\\\",
  };
  for (; *text != '\0'; ++text) {
    const unsigned char c = (unsigned char)*text;
    const char *escape = c < sizeof escapes / sizeof escapes[0] ? escapes[c] : NULL;
    if (escape)
      fg_text_add(out, escape);
    else if (c < 0x20)
      fg_text_printf(out, "\\u%04X", (unsigned)c);
    else
      fg_text_add_bytes(out, text, 1);
  }
}

/* A string of two parts. */
static void add_string(fg_text *out, const char *text, const char *ending) {
  fg_text_add(out, "\"");
  add_escaped(out, text);
  add_escaped(out, ending);
  fg_text_add(out, "\"");
}

/* `si` on the unit of the data name; null when it is not finite. */
static void add_real(fg_text *out, const char *name, double si) {
  const double value = fg_data_value(name, si);
  char buffer[40];
  fg_text_add(out, isfinite(value) ? fg_shortest_real(value, buffer, sizeof buffer) : "null");
}

static void add_reals(fg_text *out, const char *name, const double *si, size_t length) {
  fg_text_add(out, "[");
  for (size_t i = 0; i < length; ++i) {
    fg_text_add(out, i > 0 ? ", " : "");
    add_real(out, name, si[i]);
  }
  fg_text_add(out, "]");
}

static place begin(fg_text *out, const char *bracket, size_t indent) {
  fg_text_add(out, bracket);
  return (place){out, indent + 2, false};
}

/* Where the next member goes, behind its name and a band's ending if it has one. */
static void begin_member(place *at, const char *name, const char *ending) {
  fg_text_add(at->out, at->begun ? ",\n" : "\n");
  fg_text_add_repeated(at->out, ' ', at->indent);
  at->begun = true;
  if (!name)
    return;
  add_string(at->out, name, ending);
  fg_text_add(at->out, ": ");
}

static void end(const place *at, const char *bracket) {
  if (at->begun) {
    fg_text_add(at->out, "\n");
    fg_text_add_repeated(at->out, ' ', at->indent - 2);
  }
  fg_text_add(at->out, bracket);
}

static bool is_text_only(unsigned flags, const char *name) {
  return (flags & FG_TEXT_ONLY) != 0 || !name;
}

static void add_cell(fg_text *out, const fg_table_column *column, const fg_table_cell *at) {
  if (column->kind == FG_COLUMN_TEXT)
    add_string(out, at->text, "");
  else if (column->kind == FG_COLUMN_LIST)
    add_reals(out, column->name, at->list, column->length);
  else
    add_real(out, column->name, at->si);
}

static void add_table(fg_text *out, const fg_node *table, size_t indent) {
  place rows = begin(out, "[", indent);
  for (size_t row = 0; row < fg_table_rows(table); ++row) {
    begin_member(&rows, NULL, "");
    place cells = begin(out, "{", rows.indent);
    for (size_t c = 0; c < table->column_count; ++c) {
      const fg_table_column *column = &table->columns[c];
      if (is_text_only(column->flags, column->name))
        continue;
      begin_member(&cells, column->name, "");
      add_cell(out, column, fg_table_at(table, row, c));
    }
    end(&cells, "}");
  }
  end(&rows, "]");
}

static void add_value(fg_text *out, const fg_node *node, size_t indent);

/* Scalars stand in one line. */
static void add_list(fg_text *out, const fg_node *list, size_t indent) {
  bool flat = true;
  for (const fg_node *node = list->first; node; node = node->next)
    flat = flat && node->kind >= FG_NODE_NUMBER && node->kind <= FG_NODE_STRING;
  place at = begin(out, "[", indent);
  for (const fg_node *node = list->first; node; node = node->next) {
    if ((node->flags & FG_TEXT_ONLY) != 0)
      continue;
    if (flat)
      fg_text_add(out, node == list->first ? "" : ", ");
    else
      begin_member(&at, NULL, "");
    add_value(out, node, at.indent);
  }
  end(&at, "]");
}

static void add_members(place *at, const fg_node *parent) {
  static const char *const endings[] = {"_low", "_mid", "_high"};
  for (const fg_node *node = parent->first; node; node = node->next) {
    if ((node->flags & FG_TEXT_ONLY) != 0)
      continue;
    if (!node->name && node->kind == FG_NODE_GROUP)
      add_members(at, node);
    if (!node->name)
      continue;
    begin_member(at, node->name, "");
    add_value(at->out, node, at->indent);
    for (size_t i = 0; node->kind == FG_NODE_BAND && i < 3; ++i) {
      begin_member(at, node->name, endings[i]);
      add_real(at->out, node->name, node->band[i]);
    }
  }
}

static void add_object(fg_text *out, const fg_node *group, size_t indent) {
  place at = begin(out, "{", indent);
  add_members(&at, group);
  end(&at, "}");
}

static void add_value(fg_text *out, const fg_node *node, size_t indent) {
  switch (node->kind) {
  case FG_NODE_NUMBER:
  case FG_NODE_BAND:
    add_real(out, node->name, node->si);
    break;
  case FG_NODE_INTEGER:
    fg_text_printf(out, "%ld", node->integer);
    break;
  case FG_NODE_BOOLEAN:
    fg_text_add(out, node->integer != 0 ? "true" : "false");
    break;
  case FG_NODE_LIST:
    add_list(out, node, indent);
    break;
  case FG_NODE_TABLE:
    add_table(out, node, indent);
    break;
  case FG_NODE_GROUP:
    add_object(out, node, indent);
    break;
  default:
    add_string(out, node->text, "");
  }
}

static bool is_si(const char *name) { return !fg_data_unit_of(name)->customary; }

/* Whether every datum below `node` is on an SI unit. */
static bool all_si(const fg_node *node) {
  if (!is_text_only(node->flags, node->name) && !is_si(node->name))
    return false;
  for (size_t c = 0; c < node->column_count; ++c)
    if (!is_text_only(node->columns[c].flags, node->columns[c].name) &&
        !is_si(node->columns[c].name))
      return false;
  for (const fg_node *child = node->first; child; child = child->next)
    if ((child->flags & FG_TEXT_ONLY) == 0 && !all_si(child))
      return false;
  return true;
}

fg_status fg_render_json(const fg_report *report, fg_text *out) {
  if (!all_si(report->root))
    return FG_EDOMAIN;
  add_object(out, report->root, 0);
  fg_text_add(out, "\n");
  return out->failed ? FG_EMEMORY : FG_OK;
}
