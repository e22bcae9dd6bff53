/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/unit_expr.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/faults.h"
#include "core/number.h"
#include "core/unit_table.h"
#include "input/unit_names.h"

enum { POWER_MAX = 9 };

typedef struct fg_unit_reader {
  const char *p;
  const char *text;
  fg_unit_expr *expr;
  bool below;    /* the next name stands under the line */
  bool divided;  /* some name did already */
  int dimension; /* from a prefix word: 2 for sq, 3 for cu, else 1 */
  char *message;
  size_t size;
} fg_unit_reader;

static bool refuse(fg_unit_reader *r, const char *why) {
  char q[FG_QUOTED_MAX];
  snprintf(r->message, r->size, "the unit %s cannot be read: %s", fg_quoted(r->text, q), why);
  return false;
}

/* Bytes of the name character at p (a letter, _, %, or one of the signs that occur in
 * unit names), or 0. */
static size_t name_character(const char *p) {
  static const char *const signs[] = {
      "\xc2\xb0",     "\xc2\xb5",     "\xce\xbc",     "\xce\xa9",     "\xe2\x84\x83",
      "\xe2\x84\x89", "\xe2\x80\xb2", "\xe2\x80\xb3", "\xe2\x80\x99", "\xe2\x80\x9d"};
  if (isalpha((unsigned char)*p) || (*p != '\0' && strchr("_%\"'", *p)))
    return 1;
  for (size_t i = 0; i < sizeof signs / sizeof signs[0]; ++i)
    if (strncmp(p, signs[i], strlen(signs[i])) == 0)
      return strlen(signs[i]);
  return 0;
}

/* Reads a power written with raised digits; 0 when there is none. */
static int raised_power(const char **p) {
  const bool negative = strncmp(*p, "\xe2\x81\xbb", 3) == 0;
  const char *at = negative ? *p + 3 : *p;
  static const char *const raised[] = {"\xc2\xb9", "\xc2\xb2", "\xc2\xb3"};
  for (int i = 0; i < 3; ++i) {
    if (strncmp(at, raised[i], 2) != 0)
      continue;
    *p = at + 2;
    return negative ? -(i + 1) : i + 1;
  }
  return 0;
}

/* Reads "2", "^2", "-3", "^-3" behind a name.  *power stays when there is none. */
static bool read_power(fg_unit_reader *r, int *power) {
  const int raised = raised_power(&r->p);
  if (raised != 0) {
    *power = raised;
    return true;
  }
  const char *p = r->p;
  const bool marked = *p == '^';
  if (marked)
    ++p;
  const bool negative = *p == '-';
  if (negative || (marked && *p == '+'))
    ++p;
  const size_t length = strspn(p, "0123456789");
  if (length == 0) {
    if (marked)
      return refuse(r, "a whole number must follow ^");
    if (negative)
      return refuse(r, "join names with *, / or a space, not with -");
    return true;
  }
  const long value = length > 1 ? POWER_MAX + 1 : strtol(p, NULL, 10);
  if (value == 0 || value > POWER_MAX)
    return refuse(r, "powers go from 1 to 9");
  *power = (int)(negative ? -value : value);
  r->p = p + length;
  return true;
}

/* Copies the name at r->p, digits included when the whole is a name of ours. */
static bool read_name(fg_unit_reader *r, char name[static FG_UNIT_NAME_MAX]) {
  const char *end = r->p;
  const size_t phrase = fg_unit_phrase(r->p);
  if (phrase > 0 && phrase < FG_UNIT_NAME_MAX) {
    snprintf(name, FG_UNIT_NAME_MAX, "%.*s", (int)phrase, r->p);
    r->p += phrase;
    return true;
  }
  for (size_t step; (step = name_character(end)) > 0;)
    end += step;
  const char *longest = end;
  for (size_t step; (step = isdigit((unsigned char)*longest) ? 1 : name_character(longest)) > 0;)
    longest += step;
  if (longest - r->p >= FG_UNIT_NAME_MAX)
    return refuse(r, "a name is too long");
  memcpy(name, r->p, (size_t)(longest - r->p));
  name[longest - r->p] = '\0';
  if (fg_unit_is_ours(name)) {
    r->p = longest;
    return true;
  }
  name[end - r->p] = '\0';
  if (end < longest && name_character(longest - 1) > 0 && !isdigit((unsigned char)longest[-1]))
    return refuse(r, "a digit stands inside a name");
  r->p = end;
  return true;
}

/* "per", or behind another name "a", "an" and "each", as in "1 bucket a minute". */
static bool means_per(const fg_unit_reader *r, const char *name) {
  const bool article =
      strcasecmp(name, "a") == 0 || strcasecmp(name, "an") == 0 || strcasecmp(name, "each") == 0;
  return strcasecmp(name, "per") == 0 || (article && r->expr->count > 0);
}

/* "per", "sq", "cu" and their like steer the next name.  True when it was one. */
static bool steering_word(fg_unit_reader *r, const char *name) {
  if (means_per(r, name) && !r->below) {
    r->below = true;
    return true;
  }
  if (strcasecmp(name, "sq") == 0 || strcasecmp(name, "square") == 0)
    r->dimension = 2;
  if (strcmp(name, "cu") == 0 || strcasecmp(name, "cubic") == 0)
    r->dimension = 3;
  return r->dimension != 1;
}

static bool add_term(fg_unit_reader *r, const char *name) {
  if (r->expr->count == FG_UNIT_TERMS_MAX)
    return refuse(r, "it has too many names");
  if (r->divided && !r->below)
    return refuse(r, "put what stands under the line last, as in lb in/min");
  fg_unit_term *term = &r->expr->terms[r->expr->count];
  int power = 1;
  if (!read_power(r, &power))
    return false;
  bool angle = false;
  term->unit = fg_unit_named(name, &angle, r->message, r->size);
  if (!term->unit)
    return false;
  ++r->expr->count;
  const fg_unit_row *ours = fg_unit_find(name, false);
  snprintf(term->name, sizeof term->name, "%s", ours ? ours->names[0] : name);
  term->power = power * r->dimension * (r->below ? -1 : 1);
  if (abs(term->power) > POWER_MAX)
    return refuse(r, "powers go from 1 to 9");
  r->expr->angle = r->expr->angle || angle;
  r->divided = r->divided || r->below;
  r->below = false;
  r->dimension = 1;
  return true;
}

/* Steps over what joins two names.  False when nothing does. */
static bool read_joint(fg_unit_reader *r) {
  const char *start = r->p;
  r->p = fg_skip_blanks(r->p);
  if (*r->p == '*' || *r->p == '.')
    ++r->p;
  else if (strncmp(r->p, "\xc2\xb7", 2) == 0)
    r->p += 2;
  else if (strncmp(r->p, "\xe2\x8b\x85", 3) == 0)
    r->p += 3;
  else if (*r->p == '/' && !r->below && r->dimension == 1) {
    ++r->p;
    r->below = true;
  }
  r->p = fg_skip_blanks(r->p);
  return r->p != start;
}

static bool explain_character(fg_unit_reader *r) {
  if (isdigit((unsigned char)*r->p))
    return refuse(r, "a number stands where a name is needed");
  if (*r->p == '(' || *r->p == ')')
    return refuse(r, "leave out the brackets");
  if (*r->p == '\0')
    return refuse(r, "it stops too early");
  return refuse(r, "use names joined by *, / or a space, as in lb/min");
}

static bool read_all(fg_unit_reader *r) {
  for (;;) {
    if (name_character(r->p) == 0)
      return explain_character(r);
    char name[FG_UNIT_NAME_MAX];
    if (!read_name(r, name))
      return false;
    const bool steering = r->dimension == 1 && steering_word(r, name);
    if (!steering && !add_term(r, name))
      return false;
    const char *before = r->p;
    const bool joined = read_joint(r);
    if (*r->p == '\0') {
      /* "8 in." is a common way to write it. */
      const bool stop = before[0] == '\0' || (before[0] == '.' && before[1] == '\0');
      if (steering || r->below || (joined && !stop))
        return refuse(r, "it stops too early");
      return true;
    }
    if (!joined)
      return explain_character(r);
  }
}

static bool multiply_out(fg_unit_reader *r) {
  ut_unit *product = fg_unit_constant("1");
  for (size_t i = 0; i < r->expr->count && product; ++i) {
    const fg_unit_term *term = &r->expr->terms[i];
    ut_unit *raised = ut_raise(term->unit, term->power);
    ut_unit *next = !raised ? NULL : ut_multiply(product, raised);
    ut_free(raised);
    ut_free(product);
    product = next;
  }
  r->expr->product = product;
  return product || refuse(r, "its parts do not multiply");
}

bool fg_unit_expr_read(const char *text, fg_unit_expr *expr, char *message, size_t size) {
  *expr = (fg_unit_expr){.count = 0};
  fg_unit_reader r = {
      .p = text, .text = text, .expr = expr, .dimension = 1, .message = message, .size = size};
  return read_all(&r) && multiply_out(&r);
}

void fg_unit_expr_free(fg_unit_expr *expr) {
  for (size_t i = 0; i < expr->count; ++i)
    ut_free(expr->terms[i].unit);
  ut_free(expr->product);
  *expr = (fg_unit_expr){.count = 0};
}

bool fg_unit_matches(const ut_unit *unit, const char *other, double *factor) {
  bool same = false;
  ut_unit *target = fg_unit_constant(other);
  ut_unit *quotient = !target ? NULL : ut_divide(unit, target);
  if (quotient && ut_is_dimensionless(quotient)) {
    ut_unit *one = fg_unit_constant("1");
    cv_converter *converter = !one ? NULL : ut_get_converter(quotient, one);
    if (converter) {
      same = true;
      if (factor)
        *factor = cv_convert_double(converter, 1.0);
    }
    cv_free(converter);
    ut_free(one);
  }
  ut_free(quotient);
  ut_free(target);
  return same;
}
