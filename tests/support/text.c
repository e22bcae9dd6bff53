/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "text.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct pool_item {
  struct pool_item *next;
  max_align_t memory[];
} pool_item;

static pool_item *pool;

void *fgt_alloc(size_t size) {
  pool_item *item = calloc(1, sizeof *item + size);
  if (!item) {
    (void)fputs("the tests ran out of memory\n", stderr);
    exit(EXIT_FAILURE);
  }
  item->next = pool;
  pool = item;
  return item->memory;
}

void fgt_free_all(void) {
  while (pool) {
    pool_item *next = pool->next;
    free(pool);
    pool = next;
  }
}

char *fgt_format(const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  const int length = vsnprintf(NULL, 0, format, arguments);
  va_end(arguments);
  if (length < 0) {
    return fgt_alloc(1);
  }
  char *text = fgt_alloc((size_t)length + 1);
  va_start(arguments, format);
  (void)vsnprintf(text, (size_t)length + 1, format, arguments);
  va_end(arguments);
  return text;
}

void *fgt_append(const void *array, size_t count, size_t size, const void *item) {
  char *copy = fgt_alloc((count + 1) * size);
  if (count > 0) {
    memcpy(copy, array, count * size);
  }
  memcpy(copy + count * size, item, size);
  return copy;
}

fgt_text fgt_text_copy(const char *bytes, size_t length) {
  fgt_text text = {fgt_alloc(length + 1), length};
  if (length > 0) {
    memcpy(text.bytes, bytes, length);
  }
  return text;
}

fgt_text fgt_read_file(const char *path) {
  fgt_text text = {NULL, 0};
  FILE *file = fopen(path, "rb");
  if (!file) {
    return text;
  }
  long size = -1;
  if (fseek(file, 0, SEEK_END) == 0) {
    size = ftell(file);
  }
  if (size >= 0 && fseek(file, 0, SEEK_SET) == 0) {
    char *bytes = fgt_alloc((size_t)size + 1);
    if (fread(bytes, 1, (size_t)size, file) == (size_t)size) {
      text = (fgt_text){bytes, (size_t)size};
    }
  }
  return fclose(file) == 0 ? text : (fgt_text){NULL, 0};
}

bool fgt_contains(fgt_text text, fgt_text part) {
  return part.length > 0 && memmem(text.bytes, text.length, part.bytes, part.length);
}

fgt_text fgt_replace(fgt_text text, const char *from, const char *to) {
  const size_t from_length = strlen(from);
  const size_t to_length = strlen(to);
  fgt_text out = text;
  size_t start = 0;
  for (;;) {
    const char *hit = memmem(out.bytes + start, out.length - start, from, from_length);
    if (!hit) {
      return out;
    }
    const size_t before = (size_t)(hit - out.bytes);
    fgt_text next = {fgt_alloc(out.length - from_length + to_length + 1),
                     out.length - from_length + to_length};
    memcpy(next.bytes, out.bytes, before);
    memcpy(next.bytes + before, to, to_length);
    memcpy(next.bytes + before + to_length, hit + from_length, out.length - before - from_length);
    out = next;
    start = before + to_length;
  }
}

static const char *skip_blanks(const char *cursor) { return cursor + strspn(cursor, " \t"); }

bool fgt_at_end(const char *cursor) { return *skip_blanks(cursor) == '\0'; }

static bool is_blank(char c) { return c == ' ' || c == '\t'; }

char *fgt_scan_word(const char **cursor) {
  const char *start = skip_blanks(*cursor);
  const char *end = start;
  bool quoted = false;
  while (*end != '\0' && (quoted || !is_blank(*end))) {
    quoted = quoted != (*end == '"');
    ++end;
  }
  if (end == start || quoted) {
    return NULL;
  }
  *cursor = end;
  return fgt_text_copy(start, (size_t)(end - start)).bytes;
}

bool fgt_scan_keyword(const char **cursor, const char *keyword) {
  const char *next = *cursor;
  const char *word = fgt_scan_word(&next);
  if (!word || strcmp(word, keyword) != 0) {
    return false;
  }
  *cursor = next;
  return true;
}

/* One character of a double-quoted text, escapes resolved. */
static bool scan_character(const char **cursor, char *out) {
  const char *at = *cursor;
  if (*at == '\0') {
    return false;
  }
  if (*at != '\\') {
    *out = *at;
    *cursor = at + 1;
    return true;
  }
  if (at[1] == 'x' && isxdigit((unsigned char)at[2]) && isxdigit((unsigned char)at[3])) {
    const char digits[3] = {at[2], at[3], '\0'};
    *out = (char)(unsigned char)strtoul(digits, NULL, 16);
    *cursor = at + 4;
    return true;
  }
  static const char names[] = "nt\\\"";
  static const char meanings[] = "\n\t\\\"";
  const char *name = at[1] == '\0' ? NULL : strchr(names, at[1]);
  if (!name) {
    return false;
  }
  *out = meanings[name - names];
  *cursor = at + 2;
  return true;
}

bool fgt_scan_quoted(const char **cursor, fgt_text *out) {
  const char *at = skip_blanks(*cursor);
  if (*at++ != '"') {
    return false;
  }
  fgt_text text = {fgt_alloc(strlen(at) + 1), 0};
  while (*at != '"') {
    if (!scan_character(&at, &text.bytes[text.length])) {
      return false;
    }
    ++text.length;
  }
  *cursor = at + 1;
  *out = text;
  return true;
}

char *fgt_scan_argument(const char **cursor) {
  const char *at = skip_blanks(*cursor);
  if (*at == '\0') {
    return NULL;
  }
  char *argument = fgt_alloc(strlen(at) + 1);
  size_t length = 0;
  char quote = '\0';
  while (*at != '\0' && (quote != '\0' || !is_blank(*at))) {
    if (quote == '\0' && (*at == '\'' || *at == '"')) {
      quote = *at++;
    } else if (*at == quote) {
      quote = '\0';
      ++at;
    } else if (quote == '"') {
      if (!scan_character(&at, &argument[length++])) {
        return NULL;
      }
    } else {
      argument[length++] = *at++;
    }
  }
  if (quote != '\0') {
    return NULL;
  }
  argument[length] = '\0';
  *cursor = at;
  return argument;
}

bool fgt_scan_number(const char **cursor, double *value) {
  const char *next = *cursor;
  const char *word = fgt_scan_word(&next);
  if (!word) {
    return false;
  }
  char *end = NULL;
  double number = strtod(word, &end);
  if (end == word || !isfinite(number)) {
    return false;
  }
  if (*end == '%') {
    number /= 100;
    ++end;
  }
  if (*end != '\0') {
    return false;
  }
  *cursor = next;
  *value = number;
  return true;
}
