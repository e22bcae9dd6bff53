/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/number.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

typedef struct number_word {
  const char *word;
  double value;
} number_word;

/* Longer ones that begin with a shorter one stand before it. */
static const number_word parts[] = {
    {"three quarters", 0.75}, {"three-quarters", 0.75}, {"half", 0.5},
    {"a half", 0.5},          {"one half", 0.5},        {"quarter", 0.25},
    {"a quarter", 0.25},      {"one quarter", 0.25},    {"third", 1.0 / 3.0},
    {"a third", 1.0 / 3.0},   {"one third", 1.0 / 3.0},
};
static const number_word wholes[] = {
    {"a", 1.0},    {"an", 1.0},   {"one", 1.0},     {"two", 2.0},     {"three", 3.0},
    {"four", 4.0}, {"five", 5.0}, {"six", 6.0},     {"seven", 7.0},   {"eight", 8.0},
    {"nine", 9.0}, {"ten", 10.0}, {"eleven", 11.0}, {"twelve", 12.0},
};

/* The character behind a word of the list that the text begins with, or NULL. */
static const char *behind(const number_word *list, size_t count, const char *text, double *value) {
  for (size_t i = 0; i < count; ++i) {
    const size_t length = strlen(list[i].word);
    if (strncasecmp(text, list[i].word, length) == 0 && !isalnum((unsigned char)text[length])) {
      *value = list[i].value;
      return text + length;
    }
  }
  return NULL;
}

static const char *part_behind(const char *text, double *value) {
  return behind(parts, sizeof parts / sizeof parts[0], text, value);
}

/* Steps over "of", "a" and "an" ("half of an inch") and a hyphen ("half-inch"). */
static const char *before_unit(const char *rest) {
  const char *next = fg_skip_blanks(*rest == '-' ? rest + 1 : rest);
  if (strncasecmp(next, "of ", 3) == 0)
    next = fg_skip_blanks(next + 3);
  if (strncasecmp(next, "an ", 3) == 0)
    return next + 3;
  return strncasecmp(next, "a ", 2) == 0 ? next + 2 : next;
}

/* The character behind " and a half" and its like, or NULL. */
static const char *and_part(const char *rest, double *value) {
  const char *next = fg_skip_blanks(rest);
  return next == rest || strncasecmp(next, "and ", 4) != 0
             ? NULL
             : part_behind(fg_skip_blanks(next + 4), value);
}

bool fg_number_said(const char *text, double *value, const char **rest) {
  const char *start = fg_skip_blanks(text), *end = part_behind(start, value);
  if (end) {
    *rest = before_unit(end);
    return true;
  }
  double whole = 0.0, part = 0.0;
  char unused[128];
  const char *more;
  end = behind(wholes, sizeof wholes / sizeof wholes[0], start, &whole);
  const bool figures = !end && isdigit((unsigned char)*start) &&
                       fg_number_scan(start, &whole, &end, unused, sizeof unused);
  if (!end)
    return false;
  more = and_part(end, &part);
  if (figures && !more)
    return false;
  *value = whole + part;
  *rest = more ? before_unit(more) : fg_skip_blanks(end);
  return true;
}
