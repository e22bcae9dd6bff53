/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "docs/roff.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

#include "flourgold/version.h"

/* The escape for a byte that roff would not print as it stands, or NULL. */
static const char *escape_of(char c) {
  switch (c) {
  case '\\':
    return "\\e";
  case '-':
    return "\\-"; /* not a typographic hyphen, so that options can be copied */
  case '\'':
    return "\\(aq";
  case '"':
    return "\\(dq";
  case '`':
    return "\\(ga";
  case '^':
    return "\\(ha";
  case '~':
    return "\\(ti";
  default:
    return NULL;
  }
}

/* The code point of a valid UTF-8 sequence of `bytes` bytes. */
static unsigned code_point(const char *string, size_t bytes) {
  unsigned code = (unsigned char)string[0] & (0x7FU >> (bytes > 1 ? bytes : 0));
  for (size_t i = 1; i < bytes; ++i)
    code = code << 6U | ((unsigned char)string[i] & 0x3FU);
  return code;
}

static void add_bytes(fg_text *page, const char *text, size_t length) {
  const bool begins = page->length == 0 || page->bytes[page->length - 1] == '\n';
  if (begins && length > 0 && text[0] == '.')
    fg_text_add(page, "\\&");
  for (size_t i = 0; i < length;) {
    const size_t bytes = fg_utf8_length(&text[i]);
    const char *escape = escape_of(text[i]);
    if (escape)
      fg_text_add(page, escape);
    else if (bytes > 1)
      fg_text_printf(page, "\\[u%04X]", code_point(&text[i], bytes));
    else
      fg_text_add_bytes(page, &text[i], 1);
    i += bytes > 0 ? bytes : 1;
  }
}

void fg_roff_add(fg_text *page, const char *text) { add_bytes(page, text, strlen(text)); }

static void add_in(fg_text *page, char font, const char *text, size_t length) {
  fg_text_printf(page, "\\f%c", font);
  add_bytes(page, text, length);
  fg_text_add(page, "\\fR");
}

void fg_roff_bold(fg_text *page, const char *text) { add_in(page, 'B', text, strlen(text)); }
void fg_roff_italic(fg_text *page, const char *text) { add_in(page, 'I', text, strlen(text)); }
void fg_roff_end(fg_text *page) { fg_text_add(page, "\n"); }

void fg_roff_line(fg_text *page, const char *text) {
  fg_roff_add(page, text);
  fg_roff_end(page);
}

/* A request whose one argument is a text. */
static void request(fg_text *page, const char *name, const char *text) {
  fg_text_printf(page, ".%s \"", name);
  fg_roff_add(page, text);
  fg_text_add(page, "\"\n");
}

void fg_roff_section(fg_text *page, const char *title) { request(page, "SH", title); }
void fg_roff_subsection(fg_text *page, const char *title) { request(page, "SS", title); }
void fg_roff_entry(fg_text *page) { fg_text_add(page, ".TP\n"); }

void fg_roff_page(fg_text *page, const char *name, int section, const char *date) {
  fg_text_add(page, ".\\\" Made from the tables of the program: change those.\n.TH \"");
  for (const char *c = name; *c != '\0'; ++c) {
    const char capital[2] = {(char)toupper((unsigned char)*c), '\0'};
    fg_roff_add(page, capital);
  }
  fg_text_printf(page, "\" %d \"%s\" \"flourgold %s\" \"The flourgold manual\"\n", section, date,
                 FG_VERSION);
}

void fg_roff_paragraphs(fg_text *page, const char *text) {
  for (bool first = true; text && *text != '\0'; first = false) {
    const size_t length = strcspn(text, "\n");
    fg_text_add(page, first ? "" : ".PP\n");
    add_bytes(page, text, length);
    fg_roff_end(page);
    text += length + (text[length] != '\0');
  }
}

void fg_roff_usage(fg_text *page, const char *usage) {
  static const char parts[] = " [].";
  while (*usage != '\0') {
    const size_t length = strcspn(usage, parts);
    if (length == 0)
      add_bytes(page, usage, 1);
    else if (usage[0] == '-')
      add_in(page, 'B', usage, length);
    else if (isupper((unsigned char)usage[0]) || memchr(usage, '=', length))
      add_in(page, 'I', usage, length);
    else
      add_bytes(page, usage, length);
    usage += length > 0 ? length : 1;
  }
}

void fg_roff_labelled(fg_text *page, const char *label, const char *text) {
  fg_text_add(page, ".br\n");
  fg_roff_italic(page, label);
  fg_roff_add(page, ": ");
  fg_roff_line(page, text);
}

void fg_roff_example(fg_text *page, const char *text) {
  fg_text_add(page, ".EX\n");
  fg_roff_line(page, text);
  fg_text_add(page, ".EE\n");
}

void fg_roff_reference(fg_text *page, const char *name, int section, const char *end) {
  fg_roff_bold(page, name);
  fg_text_printf(page, "(%d)%s", section, end);
}
