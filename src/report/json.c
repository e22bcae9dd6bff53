/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reports as JSON: jansson holds the values and writes the texts; reals are written here, for
 * jansson's take 17 digits or a fixed number, and ours the fewest that read back the same. */
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report/report_internal.h"

/* `si` on the unit of the data name; null when it is not finite. */
static json_t *real(const char *name, double si) {
  double value = fg_data_value(name, si);
  return isfinite(value) ? json_real(value) : json_null();
}

static json_t *reals(const char *name, const double *si, size_t length) {
  json_t *array = json_array();
  for (size_t i = 0; array && i < length; ++i)
    if (json_array_append_new(array, real(name, si[i])) != 0) {
      json_decref(array);
      array = NULL;
    }
  return array;
}

static bool is_text_only(unsigned flags, const char *name) {
  return (flags & FG_TEXT_ONLY) != 0 || !name;
}

static json_t *cell(const fg_table_column *column, const fg_table_cell *at) {
  if (column->kind == FG_COLUMN_TEXT)
    return json_string(at->text);
  if (column->kind == FG_COLUMN_LIST)
    return reals(column->name, at->list, column->length);
  return real(column->name, at->si);
}

static json_t *table_row(const fg_node *table, size_t row) {
  json_t *object = json_object();
  for (size_t c = 0; object && c < table->column_count; ++c) {
    const fg_table_column *column = &table->columns[c];
    if (is_text_only(column->flags, column->name))
      continue;
    if (json_object_set_new(object, column->name, cell(column, fg_table_at(table, row, c))) != 0) {
      json_decref(object);
      object = NULL;
    }
  }
  return object;
}

static json_t *table_rows(const fg_node *table) {
  json_t *array = json_array();
  for (size_t row = 0; array && row < fg_table_rows(table); ++row)
    if (json_array_append_new(array, table_row(table, row)) != 0) {
      json_decref(array);
      array = NULL;
    }
  return array;
}

static bool add_children(json_t *object, const fg_node *parent);

static json_t *object_of(const fg_node *group) {
  json_t *object = json_object();
  if (object && !add_children(object, group)) {
    json_decref(object);
    object = NULL;
  }
  return object;
}

static json_t *value_of(const fg_node *node);

static json_t *list_of(const fg_node *list) {
  json_t *array = json_array();
  for (const fg_node *node = list->first; array && node; node = node->next) {
    if ((node->flags & FG_TEXT_ONLY) != 0)
      continue;
    if (json_array_append_new(array, value_of(node)) != 0) {
      json_decref(array);
      array = NULL;
    }
  }
  return array;
}

/* A new value; NULL when memory ran out, which jansson's adders then report. */
static json_t *value_of(const fg_node *node) {
  switch (node->kind) {
  case FG_NODE_NUMBER:
  case FG_NODE_BAND:
    return real(node->name, node->si);
  case FG_NODE_INTEGER:
    return json_integer(node->integer);
  case FG_NODE_BOOLEAN:
    return json_boolean(node->integer != 0);
  case FG_NODE_LIST:
    return list_of(node);
  case FG_NODE_TABLE:
    return table_rows(node);
  case FG_NODE_GROUP:
    return object_of(node);
  default:
    return json_string(node->text);
  }
}

static bool add_band(json_t *object, const fg_node *node) {
  static const char *const endings[] = {"_low", "_mid", "_high"};
  for (size_t i = 0; i < 3; ++i) {
    fg_text key = {0};
    fg_text_printf(&key, "%s%s", node->name, endings[i]);
    bool added =
        !key.failed && json_object_set_new(object, key.bytes, real(node->name, node->band[i])) == 0;
    fg_text_free(&key);
    if (!added)
      return false;
  }
  return true;
}

static bool add_children(json_t *object, const fg_node *parent) {
  for (const fg_node *node = parent->first; node; node = node->next) {
    if ((node->flags & FG_TEXT_ONLY) != 0)
      continue;
    if (!node->name) {
      if (node->kind == FG_NODE_GROUP && !add_children(object, node))
        return false;
      continue;
    }
    if (json_object_set_new(object, node->name, value_of(node)) != 0)
      return false;
    if (node->kind == FG_NODE_BAND && !add_band(object, node))
      return false;
  }
  return true;
}

static void dump(json_t *value, size_t indent, fg_text *out);

static void dump_scalar(json_t *value, fg_text *out) {
  char buffer[40];
  if (json_is_real(value)) {
    fg_text_add(out, fg_shortest_real(json_real_value(value), buffer, sizeof buffer));
    return;
  }
  char *text = json_dumps(value, JSON_ENCODE_ANY);
  if (text)
    fg_text_add(out, text);
  else
    out->failed = true;
  free(text);
}

static bool is_flat(json_t *array) {
  for (size_t i = 0; i < json_array_size(array); ++i) {
    json_t *value = json_array_get(array, i);
    if (json_is_object(value) || json_is_array(value))
      return false;
  }
  return true;
}

static void dump_array(json_t *array, size_t indent, fg_text *out) {
  bool flat = is_flat(array);
  size_t size = json_array_size(array);
  fg_text_add(out, "[");
  for (size_t i = 0; i < size; ++i) {
    if (i > 0)
      fg_text_add(out, flat ? ", " : ",");
    if (!flat) {
      fg_text_add(out, "\n");
      fg_text_add_repeated(out, ' ', indent + 2);
    }
    dump(json_array_get(array, i), indent + 2, out);
  }
  if (!flat) {
    fg_text_add(out, "\n");
    fg_text_add_repeated(out, ' ', indent);
  }
  fg_text_add(out, "]");
}

static void dump_object(json_t *object, size_t indent, fg_text *out) {
  const char *between = "";
  fg_text_add(out, "{");
  const char *key = NULL;
  json_t *value = NULL;
  json_object_foreach(object, key, value) {
    json_t *name = json_string(key);
    fg_text_add(out, between);
    fg_text_add(out, "\n");
    fg_text_add_repeated(out, ' ', indent + 2);
    if (name)
      dump_scalar(name, out);
    else
      out->failed = true;
    json_decref(name);
    fg_text_add(out, ": ");
    dump(value, indent + 2, out);
    between = ",";
  }
  if (between[0] != '\0') {
    fg_text_add(out, "\n");
    fg_text_add_repeated(out, ' ', indent);
  }
  fg_text_add(out, "}");
}

static void dump(json_t *value, size_t indent, fg_text *out) {
  if (json_is_object(value))
    dump_object(value, indent, out);
  else if (json_is_array(value))
    dump_array(value, indent, out);
  else
    dump_scalar(value, out);
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
  json_t *object = object_of(report->root);
  if (!object)
    return FG_EMEMORY;
  dump(object, 0, out);
  fg_text_add(out, "\n");
  json_decref(object);
  return out->failed ? FG_EMEMORY : FG_OK;
}
