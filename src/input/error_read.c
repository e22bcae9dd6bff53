/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value with its error: "8 in +- 1/8 in". */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/faults.h"
#include "core/number.h"
#include "core/unit_table.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "input/quantity_read.h"

enum { PART_MAX = 200 };

/* Both parts of such a text, each with its number and what is behind it. */
typedef struct measured_text {
  const char *text; /* as written, for messages */
  fg_quantity quantity;
  char value[PART_MAX]; /* left of the sign, with the error's unit where it has none itself */
  double error;         /* the number on the right */
  const char *value_unit, *error_unit;
  char *message;
  size_t size;
} measured_text;

static fg_status refuse(const measured_text *m, const char *why) {
  char q[FG_QUOTED_MAX];
  snprintf(m->message, m->size, "%s: %s", fg_quoted(m->text, q), why);
  return FG_ESCENARIO;
}

static void trim(char *text) {
  size_t length = strlen(text);
  while (length > 0 && (text[length - 1] == ' ' || text[length - 1] == '\t'))
    text[--length] = '\0';
}

/* Parts the text at its sign. */
static fg_status part(measured_text *m, char right[static PART_MAX]) {
  const char *rest = NULL, *sign = fg_error_sign(m->text, &rest), *end;
  double number;
  if (!sign || !rest)
    return refuse(m, "no error is written");
  if ((size_t)(sign - m->text) >= PART_MAX / 2 || strlen(rest) >= PART_MAX / 2)
    return refuse(m, "it is too long");
  snprintf(m->value, PART_MAX, "%.*s", (int)(sign - m->text), m->text);
  snprintf(right, PART_MAX, "%s", rest);
  trim(m->value);
  trim(right);
  if (fg_error_sign(right, NULL))
    return refuse(m, "one error only");
  if (*fg_skip_blanks(m->value) == '\0' || *fg_skip_blanks(right) == '\0')
    return refuse(m, "a number is missing on one side of the sign");
  if (!fg_number_scan(m->value, &number, &end, m->message, m->size))
    return FG_ESCENARIO;
  const bool bare = *fg_skip_blanks(end) == '\0';
  if (!fg_number_scan(right, &m->error, &end, m->message, m->size))
    return FG_ESCENARIO;
  if (m->error < 0.0)
    return refuse(m, "an error is not negative");
  m->error_unit = fg_skip_blanks(end);
  if (bare && *m->error_unit != '\0') { /* "0.8 +- 0.3 %" */
    const size_t used = strlen(m->value);
    snprintf(m->value + used, PART_MAX - used, " %s", m->error_unit);
  }
  if (!fg_number_scan(m->value, &number, &end, m->message, m->size))
    return FG_ESCENARIO;
  m->value_unit = fg_skip_blanks(end);
  if (*m->value_unit != '\0' && *m->error_unit == '\0')
    return refuse(m, "write the unit behind the error too");
  return FG_OK;
}

static bool is_percent(const char *unit) {
  const fg_unit_row *row = fg_unit_find(unit, false);
  return row && strcmp(row->names[0], "%") == 0;
}

/* Whether a % behind the error means "of the value". */
static bool of_the_value(const measured_text *m) {
  const bool share = m->quantity == FG_Q_SHARE || m->quantity == FG_Q_PERCENT;
  return is_percent(m->error_unit) && !is_percent(m->value_unit) && !share;
}

/* Half of what the value moves from one error below to one above. */
static fg_status by_difference(const measured_text *m, double number, double *error) {
  char text[PART_MAX];
  double side[2] = {0.0, 0.0};
  for (int i = 0; i < 2; ++i) {
    const char *unit = i == 0 ? m->value_unit : m->error_unit;
    snprintf(text, sizeof text, "%.17g %.100s", i == 0 ? number - m->error : number + m->error,
             unit);
    const fg_status status =
        fg_quantity_parse(text, m->quantity, &side[i], NULL, m->message, m->size);
    if (status != FG_OK)
      return status;
  }
  *error = 0.5 * fabs(side[1] - side[0]);
  return FG_OK;
}

/* An error in another unit than the value's. */
static fg_status in_own_unit(const measured_text *m, int value_basis, double *error) {
  char text[PART_MAX];
  int basis = FG_BASIS_SI;
  const fg_unit_row *degree =
      m->quantity == FG_Q_TEMPERATURE ? fg_unit_find(m->error_unit, true) : NULL;
  if (degree) {
    *error = m->error * degree->factor;
    return FG_OK;
  }
  if (m->quantity == FG_Q_FEED)
    return refuse(m, "write the error in the unit of the value");
  snprintf(text, sizeof text, "%.17g %.100s", m->error, m->error_unit);
  const fg_status status = fg_quantity_parse(text, m->quantity, error, &basis, m->message, m->size);
  if (status == FG_OK && basis != value_basis)
    return refuse(m, "write the error in the unit of the value");
  return status;
}

static fg_status find_error(const measured_text *m, double si, int basis, double *error) {
  const char *rest;
  double number = 0.0;
  if (!fg_number_scan(m->value, &number, &rest, m->message, m->size))
    return FG_ESCENARIO;
  if (of_the_value(m)) {
    if (m->quantity == FG_Q_TEMPERATURE || m->quantity == FG_Q_SLOPE)
      return refuse(m, "an error in % of the value makes no sense here; write it in deg");
    *error = fabs(si) * m->error * 0.01;
    return FG_OK;
  }
  if (strcmp(m->error_unit, "mesh") == 0)
    return refuse(m, "an error cannot be written in mesh; write it in mm");
  if (strcmp(m->value_unit, m->error_unit) != 0)
    return in_own_unit(m, basis, error);
  if (m->quantity == FG_Q_SLOPE)
    return by_difference(m, number, error);
  if (m->quantity == FG_Q_TEMPERATURE && !fg_unit_find(m->error_unit, true))
    return refuse(m, "not a temperature");
  if (number == 0.0 || m->quantity == FG_Q_TEMPERATURE)
    return in_own_unit(m, basis, error);
  *error = fabs(si * m->error / number);
  return FG_OK;
}

fg_status fg_quantity_parse_measured(const char *text, fg_quantity quantity, double *si,
                                     double *error, int *basis, char *message, size_t size) {
  char right[PART_MAX];
  double value = 0.0, spread = 0.0;
  int on = FG_BASIS_SI;
  if (!fg_error_sign(text, NULL)) {
    const fg_status plain = fg_quantity_parse(text, quantity, si, basis, message, size);
    if (plain == FG_OK)
      *error = 0.0;
    return plain;
  }
  measured_text m = {.text = text, .quantity = quantity, .message = message, .size = size};
  if (quantity == FG_Q_INTEGER)
    return refuse(&m, "a whole number takes no error");
  fg_status status = part(&m, right);
  if (status == FG_OK)
    status = fg_quantity_parse(m.value, quantity, &value, &on, message, size);
  if (status == FG_OK)
    status = find_error(&m, value, on, &spread);
  if (status == FG_OK && !isfinite(spread))
    status = refuse(&m, "the error is too large");
  if (status != FG_OK)
    return status;
  *si = value;
  *error = spread;
  if (basis)
    *basis = on;
  return FG_OK;
}
