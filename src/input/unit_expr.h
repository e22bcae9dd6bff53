/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_UNIT_EXPR_H
#define FLOURGOLD_CONFIG_UNIT_EXPR_H

#include <stdbool.h>
#include <stddef.h>
#include <udunits2.h>

enum { FG_UNIT_TERMS_MAX = 8, FG_UNIT_NAME_MAX = 32 };

typedef struct fg_unit_term {
  char name[FG_UNIT_NAME_MAX]; /* the first of our table where it has the unit */
  ut_unit *unit;               /* without its power */
  int power;                   /* below the line: negative */
} fg_unit_term;

/* A unit as written: names joined by space, *, ., a middle dot, / or "per", each
 * with an optional power ("ft2", "m^-3", "sq ft"). */
typedef struct fg_unit_expr {
  fg_unit_term terms[FG_UNIT_TERMS_MAX];
  size_t count;
  ut_unit *product;
  bool angle; /* an angle is in it */
} fg_unit_expr;

/* Reads a unit.  False with a sentence in message[size] when it is not one.
 * fg_unit_expr_free() in both cases. */
bool fg_unit_expr_read(const char *text, fg_unit_expr *expr, char *message, size_t size);
void fg_unit_expr_free(fg_unit_expr *expr);

/* Whether `unit` measures the same thing as `other` (not its inverse, which udunits2
 * takes as well); *factor (may be NULL) turns numbers of `unit` into `other`. */
bool fg_unit_matches(const ut_unit *unit, const char *other, double *factor);

#endif
