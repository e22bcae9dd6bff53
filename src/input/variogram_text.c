/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A variogram as written on the command line. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "core/faults.h"
#include "core/nearest.h"
#include "core/number.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "stats/variogram.h"

static const double pi = 3.14159265358979323846;

enum { WORD = 64, FIELDS = 5 };
static const char *const field_names[FIELDS + 1] = {"nugget",    "sill",  "range",
                                                    "direction", "ratio", NULL};

static bool read_kind(const char *word, fg_variogram *v, char *message, size_t size) {
  char quoted[FG_QUOTED_MAX];
  for (int i = 0; i < FG_VARIOGRAM_KINDS; ++i)
    if (strcasecmp(word, fg_variogram_names[i]) == 0) {
      v->kind = (fg_variogram_kind)i;
      return true;
    }
  const char *near = fg_nearest(word, fg_variogram_names);
  if (near)
    snprintf(message, size, "no model %s, did you mean %s?", fg_quoted(word, quoted), near);
  else
    snprintf(message, size, "no model %s; there are nugget, exponential, spherical, gaussian",
             fg_quoted(word, quoted));
  return false;
}

/* A plain number, or for the range a length with its unit. */
static bool read_value(int field, const char *text, double *value, char *message, size_t size) {
  const char *rest;
  if (!fg_number_scan(text, value, &rest, message, size))
    return false;
  if (*rest == '\0')
    return true;
  if (field == 2)
    return fg_quantity_parse(text, FG_Q_DISTANCE, value, NULL, message, size) == FG_OK;
  char quoted[FG_QUOTED_MAX];
  snprintf(message, size, "%s=%s: a plain number is wanted", field_names[field],
           fg_quoted(text, quoted));
  return false;
}

static bool read_field(const char *word, double values[FIELDS], char *message, size_t size) {
  char quoted[FG_QUOTED_MAX];
  const char *equals = strchr(word, '=');
  if (!equals) {
    snprintf(message, size, "%s: write name=value, as in range=10", fg_quoted(word, quoted));
    return false;
  }
  char name[WORD];
  snprintf(name, sizeof name, "%.*s", (int)(equals - word), word);
  for (int i = 0; i < FIELDS; ++i)
    if (strcasecmp(name, field_names[i]) == 0)
      return read_value(i, equals + 1, &values[i], message, size);
  const char *near = fg_nearest(name, field_names);
  snprintf(message, size, "no %s in a variogram%s%s; it has nugget, sill, range, direction, ratio",
           fg_quoted(name, quoted), near ? ", did you mean " : "", near ? near : "");
  return false;
}

/* The model's numbers from the fields, or what is wrong with them. */
static const char *settle(const double values[FIELDS], fg_variogram *v) {
  const bool plain = v->kind == FG_VARIOGRAM_NUGGET;
  v->nugget = isnan(values[0]) ? 0.0 : values[0];
  v->sill = values[1];
  v->range_m = isnan(values[2]) && plain ? 1.0 : values[2];
  v->direction_rad = isnan(values[3]) ? 0.0 : fmod(values[3] * pi / 180.0 + 2.0 * pi, pi);
  v->ratio = isnan(values[4]) ? 1.0 : values[4];
  if (plain && isnan(v->sill))
    v->sill = v->nugget;
  if (plain && v->nugget <= 0.0)
    v->nugget = v->sill;
  if (isnan(v->sill))
    return "sill is missing: the variance far apart, nugget included, as in sill=10";
  if (isnan(v->range_m))
    return "range is missing: the distance in metres where likeness ends, as in range=10";
  if (!(v->nugget >= 0.0 && v->nugget <= 1e18))
    return "nugget must be 0 or more";
  if (!(v->sill > 0.0 && v->sill <= 1e18))
    return "sill must be above 0";
  if (v->sill < v->nugget)
    return "sill is below the nugget; it is the whole plateau, nugget included";
  if (!(v->range_m >= 1e-3 && v->range_m <= 1e7))
    return "range must be from 0.001 to 10000000 m";
  if (!isnan(values[3]) && !(fabs(values[3]) <= 360.0))
    return "direction must be from 0 to 360 degrees, clockwise from north";
  if (!(v->ratio >= 0.01 && v->ratio <= 1.0))
    return "ratio (range across over range along) must be from 0.01 to 1";
  return NULL;
}

bool fg_variogram_parse(const char *text, fg_variogram *v, char *message, size_t size) {
  double values[FIELDS];
  for (int i = 0; i < FIELDS; ++i)
    values[i] = (double)NAN;
  fg_variogram made = {0};
  bool first = true;
  for (const char *p = text; *(p += strspn(p, " ,\t")) != '\0';) {
    char word[WORD];
    const size_t length = strcspn(p, " ,\t");
    if (length >= sizeof word) {
      snprintf(message, size,
               "a word is too long; write it as \"exponential nugget=0 sill=10 "
               "range=10\"");
      return false;
    }
    memcpy(word, p, length);
    word[length] = '\0';
    p += length;
    if (first ? !read_kind(word, &made, message, size) : !read_field(word, values, message, size))
      return false;
    first = false;
  }
  const char *wrong = first ? "it is empty; write \"exponential nugget=0 sill=10 range=10\""
                            : settle(values, &made);
  if (wrong) {
    snprintf(message, size, "%s", wrong);
    return false;
  }
  *v = made;
  return true;
}
