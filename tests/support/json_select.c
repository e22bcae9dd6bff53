/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json_select.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "text.h"

static void walk(json_t *node, const char *path, fgt_selection *selection);

static void add_node(fgt_selection *selection, json_t *node) {
  selection->nodes =
      fgt_append(selection->nodes, selection->count, sizeof *selection->nodes, &node);
  ++selection->count;
}

static void walk_index(json_t *node, const char *path, fgt_selection *selection) {
  if (!json_is_array(node)) {
    selection->missing = fgt_format("there is no list at %s", path);
    return;
  }
  const size_t size = json_array_size(node);
  if (strncmp(path, "[*]", 3) == 0) {
    for (size_t i = 0; i < size; ++i) {
      walk(json_array_get(node, i), path + 3, selection);
    }
    if (size == 0) {
      selection->missing = fgt_format("the list at %s is empty", path);
    }
    return;
  }
  char *end = NULL;
  const long index = strtol(path + 1, &end, 10);
  if (end == path + 1 || *end != ']') {
    selection->malformed = true;
    return;
  }
  const long position = index < 0 ? index + (long)size : index;
  if (position < 0 || position >= (long)size) {
    selection->missing = fgt_format("the list at %s has %zu elements", path, size);
    return;
  }
  walk(json_array_get(node, (size_t)position), end + 1, selection);
}

static void walk_key(json_t *node, const char *path, fgt_selection *selection) {
  const char *start = path;
  const char *rest = NULL;
  size_t length = 0;
  if (*path == '"') {
    start = path + 1;
    length = strcspn(start, "\"");
    rest = start[length] == '"' ? start + length + 1 : NULL;
  } else {
    length = strcspn(start, ".[]\"");
    rest = start + length;
  }
  if (!rest || length == 0) {
    selection->malformed = true;
    return;
  }
  const char *key = fgt_text_copy(start, length).bytes;
  json_t *child = json_object_get(node, key); /* NULL for anything but an object */
  if (!child) {
    selection->missing = fgt_format("there is no \"%s\"", key);
    return;
  }
  walk(child, rest, selection);
}

static void walk(json_t *node, const char *path, fgt_selection *selection) {
  if (*path == '\0') {
    add_node(selection, node);
  } else if (*path == '[') {
    walk_index(node, path, selection);
  } else {
    walk_key(node, *path == '.' ? path + 1 : path, selection);
  }
}

fgt_selection fgt_json_select(json_t *root, const char *path) {
  fgt_selection selection = {NULL, 0, NULL, false};
  if (strcmp(path, ".") == 0) {
    add_node(&selection, root);
  } else {
    walk(root, path, &selection);
  }
  return selection;
}

static bool complete(const fgt_selection *selection, const char **reason) {
  if (selection->malformed) {
    *reason = "the path cannot be read";
  } else if (selection->missing) {
    *reason = selection->missing;
  } else if (selection->count == 0) {
    *reason = "the path leads nowhere";
  } else {
    return true;
  }
  return false;
}

bool fgt_json_numbers(const fgt_selection *selection, double **values, size_t *count,
                      const char **reason) {
  if (!complete(selection, reason)) {
    return false;
  }
  fgt_selection elements = *selection;
  if (selection->count == 1 && json_is_array(selection->nodes[0])) {
    elements = fgt_json_select(selection->nodes[0], "[*]");
    if (!complete(&elements, reason)) {
      return false;
    }
  }
  double *numbers = fgt_alloc(elements.count * sizeof *numbers);
  for (size_t i = 0; i < elements.count; ++i) {
    const json_t *node = elements.nodes[i];
    if (!json_is_number(node) || !isfinite(json_number_value(node))) {
      *reason = fgt_format("value %zu is %s, not a number", i + 1, fgt_json_show(node));
      return false;
    }
    numbers[i] = json_number_value(node);
  }
  *values = numbers;
  *count = elements.count;
  return true;
}

/* The sum of the fields below one node. */
static bool field_sum(json_t *node, const char *fields, double *sum, const char **reason) {
  *sum = 0;
  for (const char *start = fields;;) {
    const size_t length = strcspn(start, "+");
    const char *field = fgt_text_copy(start, length).bytes;
    const fgt_selection part = fgt_json_select(node, field);
    double *values = NULL;
    size_t count = 0;
    if (!fgt_json_numbers(&part, &values, &count, reason)) {
      *reason = fgt_format("%s: %s", field, *reason);
      return false;
    }
    for (size_t i = 0; i < count; ++i) {
      *sum += values[i];
    }
    if (start[length] == '\0') {
      return true;
    }
    start += length + 1;
  }
}

bool fgt_json_field_sums(const fgt_selection *selection, const char *fields, double **values,
                         size_t *count, const char **reason) {
  if (!complete(selection, reason)) {
    return false;
  }
  double *sums = fgt_alloc(selection->count * sizeof *sums);
  for (size_t i = 0; i < selection->count; ++i) {
    if (!field_sum(selection->nodes[i], fields, &sums[i], reason)) {
      *reason = fgt_format("element %zu: %s", i + 1, *reason);
      return false;
    }
  }
  *values = sums;
  *count = selection->count;
  return true;
}

const char *fgt_json_show(const json_t *node) {
  char *dump = json_dumps(node, JSON_ENCODE_ANY | JSON_COMPACT | JSON_REAL_PRECISION(12));
  if (!dump) {
    return "something that cannot be shown";
  }
  const char *shown = fgt_format("%.120s%s", dump, strlen(dump) > 120 ? "..." : "");
  free(dump);
  return shown;
}
