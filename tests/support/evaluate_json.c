/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The checks on numbers and other JSON values. */

#include <string.h>

#include "evaluate_internal.h"
#include "fg_test.h"
#include "json_select.h"

typedef enum relation { EQUAL, LESS, AT_MOST, MORE, AT_LEAST, NO_RELATION } relation;

static relation scan_relation(const char **cursor) {
  static const char *const signs[] = {"=", "<", "<=", ">", ">="};
  for (int i = 0; i < NO_RELATION; ++i) {
    if (fgt_scan_keyword(cursor, signs[i])) {
      return (relation)i;
    }
  }
  return NO_RELATION;
}

typedef struct tolerance {
  bool relative;
  double size;
} tolerance;

/* `rel X%`, `abs X` or nothing, then the end of the line. */
static bool scan_tolerance(const char **cursor, tolerance *t) {
  *t = (tolerance){false, 0};
  if (fgt_at_end(*cursor)) {
    return true;
  }
  t->relative = fgt_scan_keyword(cursor, "rel");
  return (t->relative || fgt_scan_keyword(cursor, "abs")) && fgt_scan_number(cursor, &t->size) &&
         t->size > 0 && fgt_at_end(*cursor);
}

static bool holds(double a, relation r, double b, tolerance t) {
  switch (r) {
  case EQUAL:
    return t.relative ? fgt_is_close(a, b, t.size) : fgt_is_within(a, b, t.size);
  case LESS:
    return a < b;
  case AT_MOST:
    return a <= b;
  case MORE:
    return a > b;
  case AT_LEAST:
    return a >= b;
  case NO_RELATION:
    break;
  }
  return false;
}

/* Pair by pair; a single value on either side stands against all of the other. */
static const char *compare_values(const fgt_values *a, relation r, const fgt_values *b,
                                  tolerance t) {
  const size_t count = a->count > b->count ? a->count : b->count;
  if (a->count == 0 || b->count == 0 || (a->count != b->count && a->count != 1 && b->count != 1)) {
    return fgt_format("%zu values cannot be compared with %zu", a->count, b->count);
  }
  if (t.size > 0 && r != EQUAL) {
    return "a tolerance goes with = only";
  }
  for (size_t i = 0; i < count; ++i) {
    const double left = a->numbers[a->count == 1 ? 0 : i];
    const double right = b->numbers[b->count == 1 ? 0 : i];
    if (t.relative && right == 0) {
      return "a relative tolerance of 0 allows nothing: use abs";
    }
    if (!holds(left, r, right, t)) {
      const double off = right != 0 ? 100 * (left / right - 1) : 0;
      return fgt_format("value %zu of %zu is %.12g against %.12g (difference %.6g, %.4g %%)", i + 1,
                        count, left, right, left - right, off);
    }
  }
  return NULL;
}

static const char *check_between(const char *cursor, const fgt_values *values) {
  double lowest = 0;
  double highest = 0;
  if (!fgt_scan_number(&cursor, &lowest) || !fgt_scan_number(&cursor, &highest) ||
      !fgt_at_end(cursor) || lowest > highest) {
    return fgt_unreadable;
  }
  for (size_t i = 0; i < values->count; ++i) {
    if (!fgt_is_between(values->numbers[i], lowest, highest)) {
      return fgt_format("value %zu of %zu is %.12g", i + 1, values->count, values->numbers[i]);
    }
  }
  return NULL;
}

static const char *check_order(const fgt_values *values, relation wanted) {
  if (values->count < 2) {
    return "one value alone neither rises nor falls";
  }
  for (size_t i = 1; i < values->count; ++i) {
    const double before = values->numbers[i - 1];
    if (!holds(values->numbers[i], wanted, before, (tolerance){false, 0})) {
      return fgt_format("value %zu is %.12g after %.12g", i + 1, values->numbers[i], before);
    }
  }
  return NULL;
}

static const char *check_numbers(const fgt_block *block, const char *cursor) {
  fgt_values values = {0};
  if (!fgt_block_numbers(block, &cursor, &values)) {
    return values.reason;
  }
  if (fgt_scan_keyword(&cursor, "between")) {
    return check_between(cursor, &values);
  }
  if (fgt_scan_keyword(&cursor, "rising")) {
    return fgt_at_end(cursor) ? check_order(&values, MORE) : fgt_unreadable;
  }
  if (fgt_scan_keyword(&cursor, "falling")) {
    return fgt_at_end(cursor) ? check_order(&values, LESS) : fgt_unreadable;
  }
  const relation r = scan_relation(&cursor);
  double number = 0;
  tolerance t;
  if (r == NO_RELATION || !fgt_scan_number(&cursor, &number) || !scan_tolerance(&cursor, &t)) {
    return fgt_unreadable;
  }
  const fgt_values expected = {NULL, &number, 1, NULL};
  return compare_values(&values, r, &expected, t);
}

static const char *find_values(const fgt_file *file, const char **cursor, fgt_values *out,
                               double *number) {
  if (fgt_scan_number(cursor, number)) {
    *out = (fgt_values){NULL, number, 1, NULL};
    return NULL;
  }
  const char *name = fgt_scan_word(cursor);
  if (!name) {
    return fgt_unreadable;
  }
  /* The last one of a name holds. */
  for (size_t i = file->value_count; i-- > 0;) {
    if (file->values[i].name && strcmp(file->values[i].name, name) == 0) {
      *out = file->values[i];
      return out->reason ? fgt_format("%s has no value: %s", name, out->reason) : NULL;
    }
  }
  return fgt_format("no value was kept under the name %s", name);
}

const char *fgt_evaluate_compare(const fgt_block *block, const char *cursor) {
  fgt_values a = {0};
  fgt_values b = {0};
  double numbers[2] = {0, 0};
  const char *fault = find_values(block->file, &cursor, &a, &numbers[0]);
  if (fault) {
    return fault;
  }
  const relation r = scan_relation(&cursor);
  if (r == NO_RELATION) {
    return fgt_unreadable;
  }
  fault = find_values(block->file, &cursor, &b, &numbers[1]);
  if (fault) {
    return fault;
  }
  tolerance t;
  return scan_tolerance(&cursor, &t) ? compare_values(&a, r, &b, t) : fgt_unreadable;
}

static bool node_is(const json_t *node, const char *keyword, fgt_text text) {
  if (!keyword) {
    return json_is_string(node) && json_string_length(node) == text.length &&
           memcmp(json_string_value(node), text.bytes, text.length) == 0;
  }
  return (strcmp(keyword, "null") == 0 && json_is_null(node)) ||
         (strcmp(keyword, "true") == 0 && json_is_true(node)) ||
         (strcmp(keyword, "false") == 0 && json_is_false(node));
}

static const char *check_nodes(const fgt_selection *selection, const char *cursor, bool whole) {
  fgt_text text = {NULL, 0};
  const char *keyword = NULL;
  if (!fgt_scan_quoted(&cursor, &text)) {
    keyword = whole ? fgt_scan_word(&cursor) : NULL;
    if (!keyword || (strcmp(keyword, "null") != 0 && strcmp(keyword, "true") != 0 &&
                     strcmp(keyword, "false") != 0)) {
      return fgt_unreadable;
    }
  }
  if (!fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  for (size_t i = 0; i < selection->count; ++i) {
    const json_t *node = selection->nodes[i];
    const bool good =
        whole ? node_is(node, keyword, text)
              : json_is_string(node) &&
                    fgt_contains(fgt_text_copy(json_string_value(node), json_string_length(node)),
                                 text);
    if (!good) {
      return fgt_format("it is %s", fgt_json_show(node));
    }
  }
  return NULL;
}

static const char *check_count(const fgt_selection *selection, const char *cursor) {
  double wanted = 0;
  if (!fgt_scan_number(&cursor, &wanted) || !fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  const size_t count = selection->count == 1 && json_is_array(selection->nodes[0])
                           ? json_array_size(selection->nodes[0])
                           : selection->count;
  return fgt_is_within((double)count, wanted, 0) ? NULL : fgt_format("there are %zu", count);
}

static const char *check_absent(const fgt_selection *selection, const char *cursor) {
  if (!fgt_at_end(cursor)) {
    return fgt_unreadable;
  }
  return selection->count == 0 ? NULL
                               : fgt_format("it is there: %s", fgt_json_show(selection->nodes[0]));
}

const char *fgt_evaluate_json(const fgt_block *block, const char *cursor) {
  if (!block->json) {
    return block->json_trouble;
  }
  const char *start = cursor;
  const char *path = fgt_scan_word(&cursor);
  if (!path) {
    return fgt_unreadable;
  }
  const fgt_selection selection = fgt_json_select(block->json, path);
  if (selection.malformed) {
    return fgt_unreadable;
  }
  if (fgt_scan_keyword(&cursor, "absent")) {
    return check_absent(&selection, cursor);
  }
  enum { IS, CONTAINS, EXISTS, COUNT, NUMBERS };
  static const char *const words[] = {"is", "contains", "exists", "count"};
  int kind = IS;
  while (kind < NUMBERS && !fgt_scan_keyword(&cursor, words[kind])) {
    ++kind;
  }
  if (kind == NUMBERS) {
    return check_numbers(block, start);
  }
  if (selection.missing) {
    return selection.missing;
  }
  if (kind == EXISTS) {
    return fgt_at_end(cursor) ? NULL : fgt_unreadable;
  }
  return kind == COUNT ? check_count(&selection, cursor)
                       : check_nodes(&selection, cursor, kind == IS);
}
