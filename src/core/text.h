/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TEXT_H
#define FLOURGOLD_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* A growable string.  Start from {0}; adders need no checks: a failed allocation
 * sets `failed`, later adders do nothing, and fg_text_take() returns NULL. */
typedef struct fg_text {
  char *bytes; /* terminated; NULL while empty */
  size_t length;
  size_t capacity;
  bool failed;
} fg_text;

void fg_text_free(fg_text *text);
void fg_text_add(fg_text *text, const char *string);
void fg_text_add_bytes(fg_text *text, const char *bytes, size_t length);
void fg_text_add_repeated(fg_text *text, char c, size_t count);
void fg_text_printf(fg_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The string (caller frees), "" when nothing was added, NULL when memory ran out.
 * *length (may be NULL) receives its bytes.  The fg_text is empty afterwards. */
char *fg_text_take(fg_text *text, size_t *length);

/* Characters in the first `bytes` bytes of valid UTF-8, combining marks not counted. */
size_t fg_text_width(const char *string, size_t bytes);

/* Bytes of the valid UTF-8 sequence at the start of `string` (1-4), or 0 when the
 * bytes there are not valid UTF-8 (overlong, surrogate and cut-off forms too). */
size_t fg_utf8_length(const char *string);

/* Adds `string` with every invalid byte replaced by U+FFFD. */
void fg_text_add_valid(fg_text *text, const char *string);

/* Whether `word` of that many bytes is among `words`, which have blanks between. */
bool fg_text_has_word(const char *words, const char *word, size_t bytes);

/* Writes a finite number with `digits` significant digits, trailing zeros dropped,
 * no digit before the point rounded away below 1e6, no exponent from 1e-3 to 1e6;
 * "unknown" when it is not finite.  Returns buffer (terminated, size >= 32). */
const char *fg_number_text(double value, int digits, char *buffer, size_t size);

#endif
