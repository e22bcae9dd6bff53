/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/faults.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"

static fg_fault *next_item(fg_faults *faults) {
  if (faults->count == faults->room) {
    const size_t room = faults->room == 0 ? 16 : 2 * faults->room;
    fg_fault *items = realloc(faults->items, room * sizeof *items);
    if (!items) {
      faults->failed = true;
      return NULL;
    }
    faults->items = items;
    faults->room = room;
  }
  return &faults->items[faults->count];
}

void fg_fault_add(fg_faults *faults, const fg_place *place, const char *key, const char *format,
                  ...) {
  fg_fault *item = next_item(faults);
  if (!item)
    return;
  char *what = NULL;
  va_list arguments;
  va_start(arguments, format);
  const int length = vasprintf(&what, format, arguments);
  va_end(arguments);
  if (length < 0) {
    faults->failed = true;
    return;
  }
  char line[16] = "";
  if (place->line > 0)
    snprintf(line, sizeof line, ":%d", place->line);
  char *text = NULL;
  if (asprintf(&text, "%s%s: %s%s%s", place->file, line, key ? key : "", key ? ": " : "", what) <
      0) {
    faults->failed = true;
    text = NULL;
  }
  free(what);
  if (!text)
    return;
  *item = (fg_fault){place->order, faults->count, text};
  ++faults->count;
}

static int by_order(const void *left, const void *right) {
  const fg_fault *a = left, *b = right;
  if (a->order != b->order)
    return a->order < b->order ? -1 : 1;
  return a->sequence < b->sequence ? -1 : a->sequence > b->sequence;
}

void fg_faults_publish(fg_faults *faults, fg_complaints *complaints) {
  if (faults->count == 0)
    return;
  qsort(faults->items, faults->count, sizeof *faults->items, by_order);
  for (size_t i = 0; i < faults->count; ++i)
    fg_complain(complaints, "%s", faults->items[i].text);
}

void fg_faults_free(fg_faults *faults) {
  for (size_t i = 0; i < faults->count; ++i)
    free(faults->items[i].text);
  free(faults->items);
  *faults = (fg_faults){0};
}

const char *fg_quoted(const char *text, char buffer[static FG_QUOTED_MAX]) {
  size_t length = strlen(text);
  const size_t most = FG_QUOTED_MAX - 6;
  const bool cut = length > most;
  if (cut) {
    length = most;
    while (length > 0 && ((unsigned char)text[length] & 0xc0) == 0x80)
      --length;
  }
  snprintf(buffer, FG_QUOTED_MAX, "\"%.*s%s\"", (int)length, text, cut ? "..." : "");
  return buffer;
}
