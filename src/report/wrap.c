/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Breaking text into lines. */
#include <string.h>

#include "report/report_internal.h"

/* Whether a terminal could take the character at `s` for a command. */
static bool is_control(const char *s) {
  unsigned char c = (unsigned char)s[0];
  return (c < 0x20 && c != '\n') || c == 0x7F ||
         (c == 0xC2 && (unsigned char)s[1] >= 0x80 && (unsigned char)s[1] < 0xA0);
}

void fg_add_clean(fg_text *out, const char *text, size_t bytes) {
  const char *end = text + bytes;
  while (text < end) {
    size_t length = fg_utf8_length(text);
    if (length == 0 || is_control(text))
      fg_text_add(out, "?");
    else
      fg_text_add_bytes(out, text, length);
    text += length > 0 ? length : 1;
  }
}

static void new_line(fg_text *out, size_t indent) {
  fg_text_add(out, "\n");
  fg_text_add_repeated(out, ' ', indent);
}

/* Bytes of the word at `text`; a percent sign stays with its number. */
static size_t word_length(const char *text, const char *space) {
  size_t bytes = strcspn(text, space);
  if (text[bytes] == ' ' && text[bytes + 1] == '%')
    bytes += 1 + strcspn(text + bytes + 1, space);
  return bytes;
}

/* Bytes of `word` that fit into `room` characters, at least one character. */
static size_t fitting(const char *word, size_t bytes, size_t room) {
  size_t used = 0;
  while (used < bytes) {
    size_t length = fg_utf8_length(word + used);
    if (length == 0)
      length = 1;
    if (used > 0 && fg_text_width(word, used + length) > room)
      break;
    used += length;
  }
  return used;
}

void fg_wrap(fg_text *out, const char *text, size_t width, size_t used, size_t indent) {
  static const char space[] = " \t\r\n\v\f";
  size_t start = used; /* where words of this line begin */
  if (indent >= width)
    indent = width > 1 ? width - 1 : 0;
  for (const char *word = text + strspn(text, space); *word != '\0';) {
    size_t bytes = word_length(word, space);
    size_t gap = used > start ? 1 : 0;
    size_t room = width > used + gap ? width - used - gap : 0;
    if (fg_text_width(word, bytes) > room) {
      if (used > start || (start > indent && room == 0) ||
          (start > indent && fg_text_width(word, bytes) <= width - indent)) {
        new_line(out, indent);
        used = start = indent;
        continue;
      }
      bytes = fitting(word, bytes, room);
    }
    fg_text_add_repeated(out, ' ', gap);
    fg_add_clean(out, word, bytes);
    used += gap + fg_text_width(word, bytes);
    word += bytes;
    word += strspn(word, space);
    if (used >= width && *word != '\0') {
      new_line(out, indent);
      used = start = indent;
    }
  }
}
