/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/text.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void fg_text_free(fg_text *text) {
  free(text->bytes);
  *text = (fg_text){0};
}

/* Makes room for `more` bytes and the terminator. */
static bool reserve(fg_text *text, size_t more) {
  if (text->failed)
    return false;
  if (more > SIZE_MAX / 4 - text->length) {
    text->failed = true;
    return false;
  }
  size_t need = text->length + more + 1;
  if (need <= text->capacity)
    return true;
  size_t capacity = need < 64 ? 64 : need + need / 2;
  char *bytes = realloc(text->bytes, capacity);
  if (!bytes) {
    text->failed = true;
    return false;
  }
  text->bytes = bytes;
  text->capacity = capacity;
  return true;
}

void fg_text_add_bytes(fg_text *text, const char *bytes, size_t length) {
  if (!reserve(text, length))
    return;
  if (length > 0)
    memcpy(text->bytes + text->length, bytes, length);
  text->length += length;
  text->bytes[text->length] = '\0';
}

void fg_text_add(fg_text *text, const char *string) {
  fg_text_add_bytes(text, string, strlen(string));
}

void fg_text_add_repeated(fg_text *text, char c, size_t count) {
  if (!reserve(text, count))
    return;
  memset(text->bytes + text->length, c, count);
  text->length += count;
  text->bytes[text->length] = '\0';
}

void fg_text_printf(fg_text *text, const char *format, ...) {
  va_list list;
  char *string = NULL;
  va_start(list, format);
  int length = vasprintf(&string, format, list);
  va_end(list);
  if (length < 0) {
    text->failed = true;
    return;
  }
  fg_text_add_bytes(text, string, (size_t)length);
  free(string);
}

char *fg_text_take(fg_text *text, size_t *length) {
  fg_text_add_bytes(text, "", 0);
  if (text->failed) {
    fg_text_free(text);
    return NULL;
  }
  char *bytes = text->bytes;
  if (length)
    *length = text->length;
  *text = (fg_text){0};
  return bytes;
}

size_t fg_utf8_length(const char *string) {
  const unsigned char *s = (const unsigned char *)string;
  if (s[0] < 0x80)
    return s[0] == 0 ? 0 : 1;
  size_t length = s[0] >= 0xF0 ? 4 : s[0] >= 0xE0 ? 3 : 2;
  if (s[0] < 0xC2 || s[0] > 0xF4)
    return 0;
  for (size_t i = 1; i < length; ++i)
    if ((s[i] & 0xC0) != 0x80)
      return 0;
  bool overlong = (s[0] == 0xE0 && s[1] < 0xA0) || (s[0] == 0xF0 && s[1] < 0x90);
  bool beyond = (s[0] == 0xED && s[1] >= 0xA0) || (s[0] == 0xF4 && s[1] >= 0x90);
  return overlong || beyond ? 0 : length;
}

void fg_text_add_valid(fg_text *text, const char *string) {
  while (*string != '\0') {
    size_t length = fg_utf8_length(string);
    if (length > 0) {
      fg_text_add_bytes(text, string, length);
      string += length;
    } else {
      fg_text_add(text, "\xEF\xBF\xBD");
      ++string;
    }
  }
}

size_t fg_text_width(const char *string, size_t bytes) {
  size_t width = 0;
  for (size_t i = 0; i < bytes; ++i) {
    unsigned char c = (unsigned char)string[i];
    if ((c & 0xC0) == 0x80)
      continue;
    bool next = i + 1 < bytes;
    /* U+0300-U+036F, the accents that sit on the letter before. */
    bool accent = next && (c == 0xCC || (c == 0xCD && (unsigned char)string[i + 1] < 0xB0));
    width += accent ? 0 : 1;
  }
  return width;
}

bool fg_text_has_word(const char *words, const char *word, size_t bytes) {
  while (*words != '\0') {
    const size_t length = strcspn(words, " ");
    if (length == bytes && strncmp(words, word, bytes) == 0)
      return true;
    words += length + strspn(words + length, " ");
  }
  return false;
}

/* Drops the zeros behind the point, and the point; "-0" becomes "0". */
static void trim(char *number) {
  char *point = strchr(number, '.');
  if (point) {
    char *end = number + strlen(number);
    while (end > point + 1 && end[-1] == '0')
      *--end = '\0';
    if (end == point + 1)
      *point = '\0';
  }
  if (strcmp(number, "-0") == 0)
    memcpy(number, "0", 2);
}

const char *fg_number_text(double value, int digits, char *buffer, size_t size) {
  double magnitude = fabs(value);
  if (!isfinite(value)) {
    snprintf(buffer, size, "unknown");
  } else if (magnitude > 0.0 && (magnitude < 1e-6 || magnitude >= 1e6)) {
    snprintf(buffer, size, "%.*g", digits, value);
  } else {
    int before = magnitude > 0.0 ? (int)floor(log10(magnitude)) + 1 : 1;
    int decimals = digits > before ? digits - before : 0;
    snprintf(buffer, size, "%.*f", decimals, value);
    trim(buffer);
  }
  return buffer;
}
