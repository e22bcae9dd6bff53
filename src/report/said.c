/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/said.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/text.h"
#include "core/unit_table.h"
#include "physics/sieve.h"

/* How a figure of some size is said: said = si * factor + offset. */
typedef struct manner {
  const char *unit;
  double factor, offset;
} manner;

/* Below so much of the unit above the next smaller one is said. */
typedef struct step {
  double below; /* SI */
  manner as;
} step;

static const step times[] = {{90.0, {"s", 1.0, 0.0}},
                             {5400.0, {"min", 1.0 / 60.0, 0.0}},
                             {48.0 * 3600.0, {"h", 1.0 / 3600.0, 0.0}},
                             {INFINITY, {"days", 1.0 / 86400.0, 0.0}}};
static const double gallon_m3 = 0.003785411784;
static const double per_hour = 3600.0;

static bool is_time(fg_quantity q) {
  return q == FG_Q_TIME || q == FG_Q_MINUTES || q == FG_Q_HOURS;
}

static bool is_share(fg_quantity q) { return q == FG_Q_SHARE || q == FG_Q_PERCENT; }

/* A quarter gallon or half a litre is a volume to pour; less is said in the small measure. */
static bool small_fluid(fg_quantity q, fg_unit_system units, double si, manner *as) {
  const double hours = q == FG_Q_FUEL_RATE ? per_hour : 1.0;
  const bool us = units == FG_UNITS_US;
  if ((q != FG_Q_VOLUME && q != FG_Q_FUEL_RATE) ||
      fabs(si) * hours >= (us ? 0.25 * gallon_m3 : 5e-4))
    return false;
  as->unit = q == FG_Q_VOLUME ? (us ? "fl oz" : "ml") : (us ? "fl oz/h" : "ml/h");
  as->factor = hours * (us ? 128.0 / gallon_m3 : 1e6);
  return true;
}

static manner manner_of(fg_quantity q, fg_unit_system units, double si) {
  const char *unit = fg_quantity_of(q)->show[units == FG_UNITS_SI].unit;
  const fg_scale scale = fg_unit_shown(unit);
  manner as = {unit, scale.factor, scale.offset};
  if (small_fluid(q, units, si, &as))
    return as;
  for (size_t i = 0; is_time(q); ++i)
    if (fabs(si) < times[i].below || isinf(times[i].below))
      return times[i].as;
  if (q == FG_Q_GOLD_MASS && fabs(si) < 1e-3)
    return (manner){"mg", 1e6, 0.0};
  if (q == FG_Q_GOLD_RATE && fabs(si) < 1e-3 / per_hour)
    return (manner){"mg/h", 1e6 * per_hour, 0.0};
  return as;
}

int fg_said_digits(fg_quantity q) { return q == FG_Q_INTEGER ? 9 : q == FG_Q_BAROMETER ? 3 : 2; }

double fg_said_rounded(fg_quantity q, double shown) {
  char digits[32];
  if (!isfinite(shown) || q == FG_Q_INTEGER)
    return shown;
  if (q == FG_Q_TEMPERATURE || q == FG_Q_NOISE)
    return round(shown);
  if (is_share(q) && fabs(shown) < 100.0 && fabs(shown) > 99.0)
    return copysign(99.0, shown);
  (void)snprintf(digits, sizeof digits, "%.*e", fg_said_digits(q) - 1, shown);
  return strtod(digits, NULL);
}

/* The number alone.  A share between nothing and all of it is never said to be either. */
static const char *number(fg_quantity q, double shown, char *buffer, size_t size) {
  if (is_share(q) && shown > 99.5 && shown < 100.0)
    (void)snprintf(buffer, size, ">99");
  else if (is_share(q) && shown > 0.0 && shown < 0.1)
    (void)snprintf(buffer, size, "<0.1");
  else
    (void)fg_number_text(fg_said_rounded(q, shown), q == FG_Q_INTEGER ? 9 : 6, buffer, size);
  return buffer;
}

static bool by_mesh(fg_quantity q, fg_unit_system units, double si) {
  return q == FG_Q_GRAIN_SIZE && units == FG_UNITS_US && isfinite(fg_sieve_mesh(si));
}

/* Mesh as sieves are spoken of: whole, in fives from 20 on. */
static long said_mesh(double si) {
  const double mesh = fg_sieve_mesh(si);
  return mesh < 20.0 ? lround(mesh) : 5 * lround(mesh / 5.0);
}

const char *fg_said(fg_quantity q, fg_unit_system units, double si, char *buffer, size_t size) {
  char figure[32];
  const manner as = manner_of(q, units, si);
  const double shown = si * as.factor + as.offset;
  if (!isfinite(si))
    (void)snprintf(buffer, size, "unknown");
  else if (by_mesh(q, units, si))
    (void)snprintf(buffer, size, "%ld mesh (%s mm)", said_mesh(si),
                   number(q, 1e3 * si, figure, sizeof figure));
  else if (q == FG_Q_LENGTH || q == FG_Q_SLOPE || q == FG_Q_VISCOSITY || q == FG_Q_GRAIN_SIZE)
    return fg_quantity_text(q, units, (fg_said_rounded(q, shown) - as.offset) / as.factor, buffer,
                            size);
  else
    (void)snprintf(buffer, size, "%s%s%s", number(q, shown, figure, sizeof figure),
                   as.unit[0] != '\0' ? " " : "", as.unit);
  return buffer;
}

/* " (32 to 90)" in the manner of the middle; nothing where both ends read the same. */
static void add_ends(fg_quantity q, fg_unit_system units, const fg_band *band, char *buffer,
                     size_t size) {
  char low[32], high[32];
  const size_t used = strlen(buffer);
  if (!isfinite(band->low) || !isfinite(band->high))
    return;
  if (by_mesh(q, units, band->mid) && by_mesh(q, units, band->low) &&
      by_mesh(q, units, band->high)) {
    (void)snprintf(low, sizeof low, "%ld", said_mesh(band->high));
    (void)snprintf(high, sizeof high, "%ld mesh", said_mesh(band->low));
  } else {
    const manner as = manner_of(q, units, band->mid);
    (void)number(q, band->low * as.factor + as.offset, low, sizeof low);
    (void)number(q, band->high * as.factor + as.offset, high, sizeof high);
  }
  if (strcmp(low, high) != 0)
    (void)snprintf(buffer + used, size - used, " (%s to %s)", low, high);
}

const char *fg_said_banded(fg_quantity q, fg_unit_system units, const fg_banded *figure,
                           char *buffer, size_t size) {
  if (isnan(figure->band.mid))
    return fg_said(q, units, figure->nominal, buffer, size);
  (void)fg_said(q, units, figure->band.mid, buffer, size);
  add_ends(q, units, &figure->band, buffer, size);
  return buffer;
}

/* "+6", "-0.4", "0" */
static const char *signed_number(double value, char *buffer, size_t size) {
  char figure[32];
  const double rounded = fabs(value) < 1.0 ? round(10.0 * value) / 10.0 : round(value);
  (void)snprintf(buffer, size, "%s%s", rounded > 0.0 ? "+" : "",
                 fg_number_text(rounded, 6, figure, sizeof figure));
  return buffer;
}

const char *fg_said_change(const char *unit, double factor, const fg_banded *change, char *buffer,
                           size_t size) {
  char mid[40], low[40], high[40];
  const bool known = isfinite(change->band.mid);
  const double value = known ? change->band.mid : change->nominal;
  if (!isfinite(value)) {
    (void)snprintf(buffer, size, "unknown");
    return buffer;
  }
  (void)signed_number(factor * change->band.low, low, sizeof low);
  (void)signed_number(factor * change->band.high, high, sizeof high);
  if (known && strcmp(low, high) != 0)
    (void)snprintf(buffer, size, "%s %s (%s to %s)", signed_number(factor * value, mid, sizeof mid),
                   unit, low, high);
  else
    (void)snprintf(buffer, size, "%s %s", signed_number(factor * value, mid, sizeof mid), unit);
  return buffer;
}
