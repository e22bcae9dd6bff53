/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "input/prescan_internal.h"

/* Reads libconfig's tokens without their grammar: enough to know what is a string or a
 * comment, and to explain the slips people make in a terminal's editor. */

static bool word_start(char c) { return isalpha((unsigned char)c) || c == '*' || c == '_'; }
static bool word_part(char c) { return word_start(c) || isdigit((unsigned char)c) || c == '-'; }

static const char *after_blanks(const char *p) { return p + strspn(p, " \t"); }

/* Notes a token; false after a complaint that it cannot stand here. */
static bool token(fg_scanner *s, fg_token kind) {
  if (!fg_grammar_accept(s, kind))
    return false;
  s->last = kind;
  s->line_start = false;
  if (kind != FG_TOKEN_STRING)
    s->string_run = 0;
  return true;
}

static void copy(fg_scanner *s, size_t length) {
  fg_scan_emit(s, s->p, length);
  s->p += length;
}

static void end_line(fg_scanner *s) {
  s->p += s->p[0] == '\r' && s->p[1] == '\n' ? 2 : 1;
  ++s->line;
  fg_scan_newline(s);
}

static void block_comment(fg_scanner *s) {
  const char *close = strstr(s->p + 2, "*/");
  if (!close) {
    fg_scan_stop(s, "the comment that begins here is never closed; */ is missing");
    return;
  }
  const bool line_start = s->line_start;
  fg_scan_emit(s, " ", 1);
  while (s->p < close) {
    if (*s->p == '\n' || *s->p == '\r')
      end_line(s);
    else
      ++s->p;
  }
  s->p = close + 2;
  s->line_start = s->line_start && line_start;
}

static void string(fg_scanner *s) {
  const char *end = s->p + 1;
  while (*end != '"' && *end != '\0' && *end != '\n' && *end != '\r') {
    if (strncasecmp(end, "\\x00", 4) == 0) {
      fg_scan_stop(s, "a text cannot hold a zero byte");
      return;
    }
    end += end[0] == '\\' && end[1] != '\0' && end[1] != '\n' && end[1] != '\r' ? 2 : 1;
  }
  if (*end != '"') {
    fg_scan_stop(s, "the text that begins with \" is not closed on this line; a \" is missing");
    return;
  }
  if (!token(s, FG_TOKEN_STRING))
    return;
  s->string_run += (size_t)(end - s->p) - 1;
  if (s->string_run > FG_FLAT_STRING_MAX) {
    fg_scan_stop(s, "a text of more than %d bytes", FG_FLAT_STRING_MAX);
    return;
  }
  copy(s, (size_t)(end - s->p) + 1);
}

/* What libconfig would bend or choke on in the number of `length` bytes at s->p. */
static const char *number_fault(const char *p, size_t length) {
  if (*p == '+' || *p == '-')
    ++p, --length;
  if (length > 2 && p[0] == '0' && (p[1] == 'x' || p[1] == 'X'))
    return "write a decimal number, not hexadecimal";
  size_t whole = strspn(p, "0123456789");
  if (whole > length)
    whole = length;
  size_t at = whole;
  if (at < length && p[at] == '.')
    at += 1 + strspn(p + at + 1, "0123456789");
  if (at < length && (p[at] == 'e' || p[at] == 'E')) {
    const size_t sign = p[at + 1] == '+' || p[at + 1] == '-';
    const size_t power = strspn(p + at + 1 + sign, "0123456789");
    if (power == 0)
      return "a number with a unit goes in double quotes, as in \"8 in\"";
    at += 1 + sign + power;
  }
  const bool integer = at == whole;
  while (integer && at < length && p[at] == 'L')
    ++at;
  if (at != length)
    return "a number with a unit goes in double quotes, as in \"8 in\"";
  errno = 0;
  const long long value = integer ? strtoll(p, NULL, 10) : 0;
  if (errno == ERANGE || value > INT_MAX)
    return "this whole number is too large (2147483647 at most)";
  return NULL;
}

static size_t number_length(const char *p) {
  const char *end = p + (*p == '+' || *p == '-');
  while (isalnum((unsigned char)*end) || *end == '.' || *end == '_' ||
         ((*end == '+' || *end == '-') && (end[-1] == 'e' || end[-1] == 'E')))
    ++end;
  return (size_t)(end - p);
}

/* A unit or a fraction behind a bare number on the same line, as in  feed = 30 lb/min; */
static bool unit_follows(const char *p) {
  p = after_blanks(p);
  if (*p == '%' || (unsigned char)*p == 0xc2)
    return true;
  if (*p == '/')
    return p[1] != '/' && p[1] != '*';
  if (isdigit((unsigned char)*p))
    return true;
  if (!word_start(*p))
    return false;
  while (word_part(*p))
    ++p;
  p = after_blanks(p);
  return *p != '=' && *p != ':';
}

static void number(fg_scanner *s) {
  const size_t length = number_length(s->p);
  const char *fault = number_fault(s->p, length);
  if (!fault && unit_follows(s->p + length))
    fault = "a number with a unit or a fraction goes in double quotes, as in \"1 1/2 in\"";
  if (fault) {
    fg_scan_stop(s, "%s", fault);
    return;
  }
  const bool whole_number = strspn(s->p, "+-0123456789L") == length;
  if (!token(s, whole_number ? FG_TOKEN_INTEGER : FG_TOKEN_FLOAT))
    return;
  /* libconfig reads 1e3 as two words, 1.0e3 as a number. */
  const size_t whole = strspn(s->p, "+-0123456789");
  if (whole < length && (s->p[whole] == 'e' || s->p[whole] == 'E')) {
    copy(s, whole);
    fg_scan_emit(s, ".0", 2);
    copy(s, length - whole);
  } else {
    copy(s, length);
  }
}

static void word(fg_scanner *s) {
  size_t length = 0;
  while (word_part(s->p[length]))
    ++length;
  const bool truth = (length == 4 && strncasecmp(s->p, "true", 4) == 0) ||
                     (length == 5 && strncasecmp(s->p, "false", 5) == 0);
  if ((s->expect == FG_EXPECT_VALUE || s->expect == FG_EXPECT_FIRST) && !truth) {
    char q[FG_QUOTED_MAX], name[64];
    const size_t kept = length < sizeof name - 1 ? length : sizeof name - 1;
    memcpy(name, s->p, kept);
    name[kept] = '\0';
    fg_scan_stop(s, "a word goes in double quotes: %s (only true and false stand bare)",
                 fg_quoted(name, q));
    return;
  }
  if (*s->p == '_')
    fg_scan_stop(s, "a name begins with a letter");
  else if (token(s, truth ? FG_TOKEN_TRUTH : FG_TOKEN_NAME))
    copy(s, length);
}

static void open_bracket(fg_scanner *s) {
  if (s->nesting == FG_FLAT_NESTING_MAX) {
    fg_scan_stop(s, "brackets more than %d deep", FG_FLAT_NESTING_MAX);
    return;
  }
  if (!token(s, FG_TOKEN_OPEN))
    return;
  s->brackets[s->nesting++] = (fg_bracket){*s->p, FG_TOKEN_NONE, fg_scan_place(s)};
  fg_grammar_opened(s);
  copy(s, 1);
}

static void close_bracket(fg_scanner *s) {
  const int wanted = *s->p == '}' ? '{' : *s->p == ']' ? '[' : '(';
  const fg_bracket *last = s->nesting > 0 ? &s->brackets[s->nesting - 1] : NULL;
  if (!last) {
    fg_scan_stop(s, "a %c closes what was never opened", *s->p);
    return;
  }
  if (last->open != wanted) {
    char line[16] = "";
    if (last->place.line > 0)
      snprintf(line, sizeof line, ":%d", last->place.line);
    fg_scan_stop(s, "a %c stands where the %c opened at %s%s should be closed first", *s->p,
                 last->open, last->place.file, line);
    return;
  }
  if (!token(s, FG_TOKEN_CLOSE))
    return;
  --s->nesting;
  fg_grammar_closed(s);
  copy(s, 1);
}

static void comma(fg_scanner *s) {
  const bool in_list = s->nesting > 0 && s->brackets[s->nesting - 1].open != '{';
  if (!in_list && (s->last == FG_TOKEN_INTEGER || s->last == FG_TOKEN_FLOAT) &&
      isdigit((unsigned char)s->p[1])) {
    fg_scan_stop(s, "a number has no comma: write 1200 or 1.2");
    return;
  }
  if (++s->flat->values > FG_FLAT_VALUES_MAX) {
    fg_scan_stop(s, "more than %d values in lists", FG_FLAT_VALUES_MAX);
    return;
  }
  if (token(s, FG_TOKEN_COMMA))
    copy(s, 1);
}

static void equals(fg_scanner *s) {
  if (++s->flat->assignments > FG_FLAT_ASSIGNMENTS_MAX) {
    fg_scan_stop(s, "more than %d settings", FG_FLAT_ASSIGNMENTS_MAX);
    return;
  }
  if (token(s, FG_TOKEN_EQUALS))
    copy(s, 1);
}

static void semicolon(fg_scanner *s) {
  if (token(s, FG_TOKEN_END))
    copy(s, 1);
}

/* A character that has no business outside texts and comments. */
static void stray(fg_scanner *s) {
  static const char *const curly[] = {"\xe2\x80\x9c", "\xe2\x80\x9d", "\xe2\x80\x9e",
                                      "\xe2\x80\x98", "\xe2\x80\x99", "\xc2\xab",
                                      "\xc2\xbb"};
  for (size_t i = 0; i < sizeof curly / sizeof curly[0]; ++i) {
    if (strncmp(s->p, curly[i], strlen(curly[i])) != 0)
      continue;
    fg_scan_stop(s, "curly quotes %s; use straight ones: \"", curly[i]);
    return;
  }
  const size_t length = fg_utf8_length(s->p);
  if (*s->p == '\'')
    fg_scan_stop(s, "a text goes in double quotes \", not in '");
  else if (strncmp(s->p, "\xc2\xa0", 2) == 0)
    fg_scan_stop(s, "a no-break space; use an ordinary one");
  else if (isprint((unsigned char)*s->p) || length > 1)
    fg_scan_stop(s, "%.*s cannot stand here; is a \" missing before it?", (int)length, s->p);
  else
    fg_scan_stop(s, "byte 0x%02X is not text", (unsigned)(unsigned char)*s->p);
}

static bool number_start(const char *p) {
  if (*p == '+' || *p == '-')
    ++p;
  if (*p == '.')
    ++p;
  return isdigit((unsigned char)*p);
}

static void next_token(fg_scanner *s) {
  const char c = *s->p;
  if (c == '\n' || c == '\r')
    end_line(s);
  else if (c == ' ' || c == '\t' || c == '\f')
    fg_scan_emit(s, " ", 1), ++s->p;
  else if (c == '#' || (c == '/' && s->p[1] == '/'))
    s->p += strcspn(s->p, "\r\n");
  else if (c == '/' && s->p[1] == '*')
    block_comment(s);
  else if (c == '"')
    string(s);
  else if (c == '@')
    fg_scan_include(s);
  else if (number_start(s->p))
    number(s);
  else if (word_start(c))
    word(s);
  else if (c == '{' || c == '(' || c == '[')
    open_bracket(s);
  else if (c == '}' || c == ')' || c == ']')
    close_bracket(s);
  else if (c == ',')
    comma(s);
  else if (c == '=' || c == ':')
    equals(s);
  else if (c == ';')
    semicolon(s);
  else
    stray(s);
}

void fg_scan_text(fg_scanner *s) {
  s->last = FG_TOKEN_NONE;
  s->string_run = 0;
  while (*s->p != '\0' && !s->stopped)
    next_token(s);
}
