/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "core/faults.h"
#include "core/number.h"
#include "core/unit_table.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "input/quantity_read.h"
#include "input/unit_expr.h"
#include "physics/sieve.h"

enum { UNIT_TEXT_MAX = 120 };

/* One value on its way from text to SI. */
typedef struct quantity_text {
  const char *text; /* as written, for messages */
  double number;
  fg_quantity quantity;
  double si;
  int basis;
  char *message;
  size_t size;
} quantity_text;

static bool is_plain_kind(fg_quantity q) {
  return q == FG_Q_NUMBER || q == FG_Q_INTEGER || q == FG_Q_NOISE;
}

/* "... ; a length is needed, e.g. 8 in" */
static fg_status mismatch(quantity_text *v, const char *what) {
  char q[FG_QUOTED_MAX];
  const fg_quantity_info *need = fg_quantity_of(v->quantity);
  snprintf(v->message, v->size, "%s is %s; %s is needed, e.g. \"%s\"", fg_quoted(v->text, q), what,
           need->name, need->example);
  return FG_ESCENARIO;
}

static fg_status read_plain(quantity_text *v) {
  char q[FG_QUOTED_MAX];
  const fg_quantity_info *info = fg_quantity_of(v->quantity);
  switch (v->quantity) {
  case FG_Q_INTEGER:
    if (v->number != floor(v->number)) {
      snprintf(v->message, v->size, "%s must be a whole number", fg_quoted(v->text, q));
      return FG_ESCENARIO;
    }
    break;
  case FG_Q_NUMBER:
  case FG_Q_NOISE:
  case FG_Q_SHARE:
  case FG_Q_ROUGHNESS:
    break;
  case FG_Q_PERCENT:
    snprintf(v->message, v->size,
             "%s needs a %% sign, so that 1 %% and 1 = 100 %% are not mixed up, e.g. \"%s\"",
             fg_quoted(v->text, q), info->example);
    return FG_ESCENARIO;
  default:
    snprintf(v->message, v->size, "%s needs a unit, e.g. \"%s\"", fg_quoted(v->text, q),
             info->example);
    return FG_ESCENARIO;
  }
  v->si = v->number;
  v->basis = FG_BASIS_SI;
  return FG_OK;
}

static fg_status read_temperature(quantity_text *v, const char *unit) {
  const fg_unit_row *row = fg_unit_find(unit, true);
  if (!row)
    return mismatch(v, "not a temperature");
  v->si = (v->number + row->shift) * row->factor;
  return FG_OK;
}

/* The numbered sieves on both sides of a mesh number ASTM E11 does not have. */
static fg_status unknown_mesh(quantity_text *v) {
  char q[FG_QUOTED_MAX];
  const char *coarser = NULL, *finer = NULL;
  for (size_t i = 0; i < fg_sieves_count; ++i) {
    if (fg_sieves[i].mesh > 0.0 && fg_sieves[i].mesh < v->number)
      coarser = fg_sieves[i].name;
    if (!finer && fg_sieves[i].mesh > v->number)
      finer = fg_sieves[i].name;
  }
  snprintf(v->message, v->size, "%s is not a sieve of ASTM E11; the nearest are %s%s%s",
           fg_quoted(v->text, q), coarser ? coarser : "", coarser && finer ? " and " : "",
           finer ? finer : "");
  return FG_ESCENARIO;
}

static fg_status read_mesh(quantity_text *v) {
  char q[FG_QUOTED_MAX];
  const char sign = *fg_skip_blanks(v->text);
  if (sign == '-' || sign == '+') {
    snprintf(v->message, v->size,
             "%s is all that %s a sieve; one size is needed here, without the sign: \"%g mesh\"",
             fg_quoted(v->text, q), sign == '-' ? "falls through" : "stays on", fabs(v->number));
    return FG_ESCENARIO;
  }
  for (size_t i = 0; i < fg_sieves_count; ++i) {
    if (fg_sieves[i].mesh > 0.0 && fg_sieves[i].mesh == v->number) {
      v->si = fg_sieves[i].aperture_m;
      return FG_OK;
    }
  }
  return unknown_mesh(v);
}

static bool single(const fg_unit_expr *unit, const char *name) {
  return unit->count == 1 && unit->terms[0].power == 1 && strcmp(unit->terms[0].name, name) == 0;
}

/* Two names of the same kind, one over the other: "in/ft", "g/t". */
static bool ratio_of(const fg_unit_expr *unit, const char *kind) {
  return unit->count == 2 && unit->terms[0].power == 1 && unit->terms[1].power == -1 &&
         fg_unit_matches(unit->terms[0].unit, kind, NULL) &&
         fg_unit_matches(unit->terms[1].unit, kind, NULL);
}

/* What a unit measures, in words. */
static const char *measured(const fg_unit_expr *unit) {
  if (unit->angle)
    return "an angle";
  if (fg_unit_matches(unit->product, "1", NULL))
    return unit->count == 1 ? "a share" : "a ratio";
  if (fg_unit_matches(unit->product, "m3", NULL))
    return "a volume";
  if (fg_unit_matches(unit->product, "K", NULL))
    return "a temperature";
  if (fg_unit_matches(unit->product, "N", NULL))
    return "a force";
  for (int q = FG_Q_LENGTH; q < FG_Q_COUNT; ++q) {
    const fg_quantity_info *info = fg_quantity_of((fg_quantity)q);
    if (strcmp(info->si_unit, "1") != 0 && fg_unit_matches(unit->product, info->si_unit, NULL))
      return info->name;
  }
  return "something else";
}

/* Scales by the first of the `count` targets that fits; *which tells it. */
static bool scale(quantity_text *v, const fg_unit_expr *unit, const char *const *targets, int count,
                  int *which) {
  double factor = 0.0;
  for (int i = 0; i < count && !unit->angle; ++i) {
    if (!fg_unit_matches(unit->product, targets[i], &factor))
      continue;
    v->si = v->number * factor;
    *which = i;
    return true;
  }
  return false;
}

static fg_status read_angle(quantity_text *v, const fg_unit_expr *unit) {
  double factor;
  if (unit->count == 1 && unit->terms[0].power == 1 && unit->angle &&
      fg_unit_matches(unit->product, "rad", &factor)) {
    v->si = v->number * factor;
    return FG_OK;
  }
  if (v->quantity == FG_Q_SLOPE && (single(unit, "%") || ratio_of(unit, "m"))) {
    if (!fg_unit_matches(unit->product, "1", &factor))
      return mismatch(v, "not a ratio");
    v->si = atan(v->number * factor);
    return FG_OK;
  }
  return mismatch(v, measured(unit));
}

static fg_status read_feed(quantity_text *v, const fg_unit_expr *unit) {
  static const char *const targets[] = {"kg s-1", "m3 s-1", "s kg-1", "s m-3"};
  int which = 0;
  if (!scale(v, unit, targets, 4, &which))
    return mismatch(v, measured(unit));
  if (which >= 2) {
    if (!(v->si > 0.0) || !isfinite(1.0 / v->si))
      return mismatch(v, "no time that can be used");
    v->si = 1.0 / v->si;
  }
  v->basis = which % 2 == 0 ? FG_BASIS_SI : FG_BASIS_VOLUME;
  return FG_OK;
}

static fg_status read_grade(quantity_text *v, const fg_unit_expr *unit) {
  static const char *const targets[] = {"kg m-3", "1"};
  int which = 0;
  if (!scale(v, unit, targets, 2, &which))
    return mismatch(v, measured(unit));
  if (which == 1 && !ratio_of(unit, "kg") && !single(unit, "ppm") && !single(unit, "ppb"))
    return mismatch(v, measured(unit));
  v->basis = which == 0 ? FG_BASIS_SI : FG_BASIS_MASS;
  return FG_OK;
}

static fg_status read_share(quantity_text *v, const fg_unit_expr *unit) {
  if (single(unit, "%")) {
    v->si = v->number * 0.01;
    return FG_OK;
  }
  static const char *const length[] = {"m"};
  int which = 0;
  if (v->quantity == FG_Q_ROUGHNESS && scale(v, unit, length, 1, &which)) {
    v->basis = FG_BASIS_LENGTH;
    return FG_OK;
  }
  return mismatch(v, measured(unit));
}

static fg_status read_scaled(quantity_text *v, const fg_unit_expr *unit) {
  const char *target = fg_quantity_of(v->quantity)->si_unit;
  int which = 0;
  return scale(v, unit, &target, 1, &which) ? FG_OK : mismatch(v, measured(unit));
}

/* What a day brings may be written with or without "per day". */
static fg_status read_daily(quantity_text *v, const fg_unit_expr *unit) {
  static const char *const water[] = {"m s-1", "m"};
  static const char *const energy[] = {"W m-2", "J m-2"};
  int which = 0;
  if (!scale(v, unit, v->quantity == FG_Q_WATER_RATE ? water : energy, 2, &which))
    return mismatch(v, measured(unit));
  if (which == 1)
    v->si /= 86400.0;
  return FG_OK;
}

static fg_status read_expression(quantity_text *v, const char *text) {
  fg_unit_expr unit;
  fg_status status = FG_ESCENARIO;
  if (fg_unit_expr_read(text, &unit, v->message, v->size)) {
    switch (v->quantity) {
    case FG_Q_SLOPE:
    case FG_Q_ANGLE:
      status = read_angle(v, &unit);
      break;
    case FG_Q_FEED:
      status = read_feed(v, &unit);
      break;
    case FG_Q_GRADE:
      status = read_grade(v, &unit);
      break;
    case FG_Q_SHARE:
    case FG_Q_PERCENT:
    case FG_Q_ROUGHNESS:
      status = read_share(v, &unit);
      break;
    case FG_Q_WATER_RATE:
    case FG_Q_RADIATION:
      status = read_daily(v, &unit);
      break;
    default:
      status = read_scaled(v, &unit);
      break;
    }
  }
  fg_unit_expr_free(&unit);
  return status;
}

static fg_status read_with_unit(quantity_text *v, const char *unit) {
  char q[FG_QUOTED_MAX];
  if (is_plain_kind(v->quantity)) {
    snprintf(v->message, v->size, "%s must be a plain number without unit%s: write %.10g",
             fg_quoted(v->text, q), v->quantity == FG_Q_NOISE ? " (it is in dBA)" : "", v->number);
    return FG_ESCENARIO;
  }
  char inverse[UNIT_TEXT_MAX + 8];
  if (strncmp(unit, "1/", 2) == 0 && isalpha((unsigned char)unit[2])) {
    snprintf(inverse, sizeof inverse, "per %s", unit + 2);
    unit = inverse;
  }
  if (isdigit((unsigned char)*unit) || *unit == '.') {
    snprintf(v->message, v->size, "%s holds two numbers; write one number and one unit",
             fg_quoted(v->text, q));
    return FG_ESCENARIO;
  }
  if (v->quantity == FG_Q_TEMPERATURE)
    return read_temperature(v, unit);
  if (v->quantity == FG_Q_GRAIN_SIZE && strcasecmp(unit, "mesh") == 0)
    return read_mesh(v);
  return read_expression(v, unit);
}

/* Copies the unit behind a number without blanks at its ends.  False: too long. */
static bool copy_unit(const char *rest, char unit[static UNIT_TEXT_MAX]) {
  rest = fg_skip_blanks(rest);
  size_t length = strlen(rest);
  while (length > 0 && isspace((unsigned char)rest[length - 1]))
    --length;
  if (length >= UNIT_TEXT_MAX)
    return false;
  memcpy(unit, rest, length);
  unit[length] = '\0';
  return true;
}

static fg_status deliver(const quantity_text *v, fg_status status, double *si, int *basis) {
  char q[FG_QUOTED_MAX];
  if (status == FG_OK && !isfinite(v->si)) {
    snprintf(v->message, v->size, "%s is too large", fg_quoted(v->text, q));
    return FG_ESCENARIO;
  }
  if (status != FG_OK)
    return status;
  *si = v->si;
  if (basis)
    *basis = v->basis;
  return FG_OK;
}

const char *fg_error_sign(const char *text, const char **rest) {
  static const char *const signs[] = {"+-", "+/-", "\xc2\xb1"};
  const char *found = NULL;
  for (size_t i = 0; i < sizeof signs / sizeof signs[0]; ++i) {
    const char *at = strstr(text, signs[i]);
    if (!at || (found && at >= found))
      continue;
    found = at;
    if (rest)
      *rest = at + strlen(signs[i]);
  }
  return found;
}

fg_status fg_quantity_single(const char *text, fg_quantity quantity, double *si, int *basis,
                             char *message, size_t size) {
  char q[FG_QUOTED_MAX], unit[UNIT_TEXT_MAX];
  const char *rest;
  quantity_text v = {text, 0.0, quantity, 0.0, FG_BASIS_SI, message, size};
  if (fg_error_sign(text, NULL)) {
    snprintf(message, size, "%s: an error (+-) cannot be given here", fg_quoted(text, q));
    return FG_ESCENARIO;
  }
  if (!fg_number_said(text, &v.number, &rest) &&
      !fg_number_scan(text, &v.number, &rest, message, size))
    return FG_ESCENARIO;
  if (!copy_unit(rest, unit)) {
    snprintf(message, size, "%s: the unit is too long", fg_quoted(text, q));
    return FG_ESCENARIO;
  }
  return deliver(&v, unit[0] == '\0' ? read_plain(&v) : read_with_unit(&v, unit), si, basis);
}

fg_status fg_plain_quantity(double number, fg_quantity quantity, double *si, int *basis,
                            char *message, size_t size) {
  char text[32];
  snprintf(text, sizeof text, "%.10g", number);
  if (!isfinite(number)) {
    snprintf(message, size, "the number is too large");
    return FG_ESCENARIO;
  }
  quantity_text v = {text, number, quantity, 0.0, FG_BASIS_SI, message, size};
  return deliver(&v, read_plain(&v), si, basis);
}

bool fg_unit_scale(const char *unit, fg_quantity quantity, double *factor, double *shift) {
  char text[FG_QUOTED_MAX + 4], message[256];
  double zero = 0.0, one = 0.0;
  const int length = snprintf(text, sizeof text, "0 %s", unit);
  if (length < 0 || (size_t)length >= sizeof text ||
      fg_quantity_single(text, quantity, &zero, NULL, message, sizeof message) != FG_OK)
    return false;
  text[0] = '1';
  if (fg_quantity_single(text, quantity, &one, NULL, message, sizeof message) != FG_OK)
    return false;
  *factor = one - zero;
  *shift = zero;
  return true;
}
