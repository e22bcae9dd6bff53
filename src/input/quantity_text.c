/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values as people say them, in one part or in two: "8 in", "2' 6\"", "a bucket every 90 s". */
#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "core/number.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "input/quantity_read.h"

enum { PART_MAX = 128, MESSAGE = 256 };

static bool in_two_parts(fg_quantity q) {
  return q == FG_Q_LENGTH || q == FG_Q_DISTANCE || q == FG_Q_TIME || q == FG_Q_MINUTES ||
         q == FG_Q_HOURS || q == FG_Q_MASS;
}

/* Where a second number begins, behind a number and its unit; NULL when there is none. */
static const char *second_number(const char *text) {
  double number;
  const char *rest;
  char message[MESSAGE];
  if (!fg_number_scan(text, &number, &rest, message, sizeof message))
    return NULL;
  const char *p = fg_skip_blanks(rest);
  if (*p == '\0' || isdigit((unsigned char)*p))
    return NULL;
  for (++p; *p != '\0'; ++p)
    if (isdigit((unsigned char)*p) && !isalnum((unsigned char)p[-1]) && !strchr("^/-.", p[-1]))
      return p;
  return NULL;
}

/* "2 ft 6 in": the second part is less than one of the first's unit. */
static bool parse_two_parts(const char *text, fg_quantity quantity, double *si) {
  const char *second = in_two_parts(quantity) ? second_number(text) : NULL;
  char first[PART_MAX], one[PART_MAX], message[MESSAGE];
  double number, whole, unit, part;
  const char *rest;
  if (!second || (size_t)(second - text) >= sizeof first - 2)
    return false;
  (void)snprintf(first, sizeof first, "%.*s", (int)(second - text), text);
  if (!fg_number_scan(first, &number, &rest, message, sizeof message) || number < 0.0)
    return false;
  (void)snprintf(one, sizeof one, "1 %s", fg_skip_blanks(rest));
  if (fg_quantity_single(first, quantity, &whole, NULL, message, sizeof message) != FG_OK ||
      fg_quantity_single(one, quantity, &unit, NULL, message, sizeof message) != FG_OK ||
      fg_quantity_single(second, quantity, &part, NULL, message, sizeof message) != FG_OK ||
      part >= unit)
    return false;
  *si = whole + part;
  return true;
}

static fg_status parse_parts(const char *text, fg_quantity quantity, double *si, int *basis,
                             char *message, size_t size) {
  if (fg_error_sign(text, NULL) || !parse_two_parts(text, quantity, si))
    return fg_quantity_single(text, quantity, si, basis, message, size);
  if (basis)
    *basis = FG_BASIS_SI;
  return FG_OK;
}

/* The character behind "every" in a text, or NULL; *before receives the bytes in front of it. */
static const char *behind_every(const char *text, size_t *before) {
  static const char word[] = " every ";
  for (const char *p = text; *p != '\0'; ++p) {
    if (strncasecmp(p, word, sizeof word - 1) == 0) {
      *before = (size_t)(p - text);
      return p + sizeof word - 1;
    }
  }
  return NULL;
}

/* "a bucket every 1 min 15 s": so much in the time behind "every". */
static fg_status parse_every(const char *text, size_t before, const char *time, double *si,
                             int *basis, char *message, size_t size) {
  char amount[2 * PART_MAX], each[2 * PART_MAX];
  double seconds, rate;
  if (before >= PART_MAX || strlen(time) >= PART_MAX) {
    (void)snprintf(message, size, "that is too long; write it as 2 min/bucket");
    return FG_ESCENARIO;
  }
  /* "every minute" is every 1 minute. */
  (void)snprintf(each, sizeof each, "%s%s", isalpha((unsigned char)*time) ? "1 " : "", time);
  fg_status status = parse_parts(time, FG_Q_TIME, &seconds, NULL, message, size);
  if (status != FG_OK && isalpha((unsigned char)*time))
    status = parse_parts(each, FG_Q_TIME, &seconds, NULL, message, size);
  if (status == FG_OK && !(seconds > 0.0)) {
    (void)snprintf(message, size, "the time behind \"every\" must be more than 0");
    status = FG_ESCENARIO;
  }
  (void)snprintf(amount, sizeof amount, "%.*s/s", (int)before, text);
  if (status == FG_OK)
    status = fg_quantity_single(amount, FG_Q_FEED, &rate, basis, message, size);
  if (status == FG_OK)
    *si = rate / seconds;
  return status;
}

fg_status fg_quantity_parse(const char *text, fg_quantity quantity, double *si, int *basis,
                            char *message, size_t size) {
  size_t before = 0;
  const char *time =
      quantity == FG_Q_FEED && !fg_error_sign(text, NULL) ? behind_every(text, &before) : NULL;
  return time ? parse_every(text, before, time, si, basis, message, size)
              : parse_parts(text, quantity, si, basis, message, size);
}
