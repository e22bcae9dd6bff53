/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"
#include "flourgold/complaints.h"

enum { COMPLAINTS_MAX = 50 };

void fg_complaints_free(fg_complaints *complaints) {
  if (!complaints)
    return;
  for (size_t i = 0; i < complaints->count; ++i)
    free(complaints->lines[i]);
  free(complaints->lines);
  complaints->lines = NULL;
  complaints->count = 0;
}

/* Control characters of a user's file must not reach the terminal or break a line. */
static void tame(char *line) {
  for (; *line != '\0'; ++line) {
    if (*line == '\n' || *line == '\t')
      *line = ' ';
    if ((unsigned char)*line < 0x20 || *line == 0x7f)
      *line = '?';
  }
}

static char *formatted(const char *format, va_list arguments) {
  char *line = NULL;
  if (vasprintf(&line, format, arguments) < 0)
    return NULL;
  tame(line);
  return line;
}

/* The line after the last one kept counts the others. */
static void count_another(fg_complaints *complaints) {
  size_t more = 0;
  char *last = NULL;
  if (complaints->count > COMPLAINTS_MAX)
    more = strtoul(complaints->lines[COMPLAINTS_MAX] + strlen("and "), NULL, 10);
  if (asprintf(&last, "and %zu more", more + 1) < 0)
    return;
  if (complaints->count > COMPLAINTS_MAX)
    free(complaints->lines[COMPLAINTS_MAX]);
  else
    complaints->count = COMPLAINTS_MAX + 1;
  complaints->lines[COMPLAINTS_MAX] = last;
}

void fg_complain(fg_complaints *complaints, const char *format, ...) {
  if (!complaints->lines) {
    complaints->lines = calloc(COMPLAINTS_MAX + 1, sizeof *complaints->lines);
    if (!complaints->lines)
      return;
    complaints->count = 0;
  }
  if (complaints->count >= COMPLAINTS_MAX) {
    count_another(complaints);
    return;
  }
  va_list arguments;
  va_start(arguments, format);
  char *line = formatted(format, arguments);
  va_end(arguments);
  if (line)
    complaints->lines[complaints->count++] = line;
}
