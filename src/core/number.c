/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/number.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/faults.h"

enum { NUMBER_MAX = 40 };

const char *fg_skip_blanks(const char *text) {
  for (;;) {
    if (*text == ' ' || *text == '\t')
      ++text;
    else if (strncmp(text, "\xc2\xa0", 2) == 0) /* no-break space */
      text += 2;
    else if (strncmp(text, "\xe2\x80\xaf", 3) == 0) /* narrow no-break space */
      text += 3;
    else
      return text;
  }
}

static size_t digits(const char *text) { return strspn(text, "0123456789"); }

static bool begins(const char *text, const char *word) {
  return strncasecmp(text, word, strlen(word)) == 0;
}

/* Why the text at `p` cannot be the start of a number. */
static void explain_start(const char *text, const char *p, char *message, size_t size) {
  char q[FG_QUOTED_MAX];
  if (*p == '\0')
    snprintf(message, size, "a number is missing in %s", fg_quoted(text, q));
  else if (begins(p, "nan") || begins(p, "inf"))
    snprintf(message, size, "%s is not a number that can be used; write a plain decimal",
             fg_quoted(text, q));
  else if (strncmp(p, "\xe2\x88\x92", 3) == 0 || strncmp(p, "\xe2\x80\x93", 3) == 0)
    snprintf(message, size, "%s begins with a long dash; for minus write -", fg_quoted(text, q));
  else if (strncmp(p, "\xc2\xbd", 2) == 0 || strncmp(p, "\xc2\xbc", 2) == 0 ||
           strncmp(p, "\xc2\xbe", 2) == 0)
    snprintf(message, size, "%s: write fractions as 1/2, 1/4 or 3/4", fg_quoted(text, q));
  else if (*p == ',')
    snprintf(message, size, "%s: the decimal sign is a point, as in 0.5", fg_quoted(text, q));
  else
    snprintf(message, size, "%s does not begin with a number", fg_quoted(text, q));
}

/* Reads a/b at p; returns the character behind it, or NULL when there is none. */
static const char *fraction(const char *p, double *value) {
  const size_t over = digits(p);
  if (over == 0 || over > NUMBER_MAX || p[over] != '/')
    return NULL;
  const size_t under = digits(p + over + 1);
  if (under == 0 || under > NUMBER_MAX)
    return NULL;
  *value = strtod(p, NULL) / strtod(p + over + 1, NULL);
  return p + over + 1 + under;
}

/* Reads a decimal whose first character is known to be a digit or a point. */
static const char *decimal(const char *p, double *value) {
  const char *end = p + digits(p);
  if (*end == '.')
    end += 1 + digits(end + 1);
  if (*end == 'e' || *end == 'E') {
    const size_t sign = end[1] == '+' || end[1] == '-';
    const size_t power = digits(end + 1 + sign);
    if (power > 0)
      end += 1 + sign + power;
  }
  if (end - p > NUMBER_MAX)
    return NULL;
  /* A copy, because strtod would read on into what looks like hexadecimal. */
  char copy[NUMBER_MAX + 1];
  memcpy(copy, p, (size_t)(end - p));
  copy[end - p] = '\0';
  *value = strtod(copy, NULL);
  return end;
}

/* The fraction behind a whole number ("1 1/2", "1-1/2"), or NULL. */
static const char *mixed_tail(const char *p, double *value) {
  const char *tail = *p == '-' ? p + 1 : fg_skip_blanks(p);
  return tail == p ? NULL : fraction(tail, value);
}

static bool explain_end(const char *text, const char *rest, char *message, size_t size) {
  char q[FG_QUOTED_MAX];
  const char *why = NULL;
  if (*rest == ',')
    why = "a number has no comma: write 1200 or 1.2";
  if (*rest == '.' && isdigit((unsigned char)rest[1]))
    why = "a number has one decimal point only";
  if ((*rest == 'x' || *rest == 'X') && rest[-1] == '0')
    why = "write a decimal, not hexadecimal";
  if (strncmp(rest, "\xc2\xbd", 2) == 0 || strncmp(rest, "\xc2\xbc", 2) == 0 ||
      strncmp(rest, "\xc2\xbe", 2) == 0)
    why = "write a mixed fraction as 1 1/2";
  if (why)
    snprintf(message, size, "%s: %s", fg_quoted(text, q), why);
  return !why;
}

bool fg_number_scan(const char *text, double *value, const char **rest, char *message,
                    size_t size) {
  char q[FG_QUOTED_MAX];
  const char *p = fg_skip_blanks(text);
  const bool negative = *p == '-';
  if (*p == '-' || *p == '+')
    ++p;
  if (!isdigit((unsigned char)*p) && !(*p == '.' && isdigit((unsigned char)p[1]))) {
    explain_start(text, p, message, size);
    return false;
  }
  double number = 0.0, part = 0.0;
  const char *end = fraction(p, &number);
  if (!end) {
    end = decimal(p, &number);
    if (end && (size_t)(end - p) == digits(p)) {
      const char *tail = mixed_tail(end, &part);
      if (tail) {
        number += part;
        end = tail;
      }
    }
  }
  if (!end || !isfinite(number)) {
    snprintf(message, size, "%s: the number is too long, too large, or divided by 0",
             fg_quoted(text, q));
    return false;
  }
  if (!explain_end(text, end, message, size))
    return false;
  *value = negative ? -number : number;
  *rest = end;
  return true;
}

bool fg_pair_parse(const char *text, double *a, double *b, char *message, size_t size) {
  char quoted[FG_QUOTED_MAX];
  char first[64];
  double values[2];
  const char *rest = "";
  const char *comma = strchr(text, ',');
  if (comma && (size_t)(comma - text) < sizeof first) {
    snprintf(first, sizeof first, "%.*s", (int)(comma - text), text);
    if (fg_number_scan(first, &values[0], &rest, message, size) && *fg_skip_blanks(rest) == '\0' &&
        fg_number_scan(comma + 1, &values[1], &rest, message, size) &&
        *fg_skip_blanks(rest) == '\0') {
      *a = values[0];
      *b = values[1];
      return true;
    }
  }
  snprintf(message, size, "%s is not two numbers with a comma between, as in 12.5,40",
           fg_quoted(text, quoted));
  return false;
}
