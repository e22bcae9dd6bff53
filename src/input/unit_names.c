/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/unit_names.h"

#include <stdio.h>
#include <string.h>

#include "core/faults.h"
#include "core/nearest.h"
#include "core/unit_table.h"
#include "flourgold/quantity.h"

static ut_system *loaded;

ut_system *fg_unit_system_load(void) {
  if (!loaded) {
    ut_set_error_message_handler(ut_ignore);
    loaded = ut_read_xml(NULL);
  }
  return loaded;
}

void fg_units_free(void) {
  if (loaded)
    ut_free_system(loaded);
  loaded = NULL;
}

bool fg_unit_is_ours(const char *name) {
  const fg_unit_row *row = fg_unit_find(name, false);
  return row && row->kind != FG_UNIT_REFUSED;
}

ut_unit *fg_unit_constant(const char *spec) {
  ut_system *system = fg_unit_system_load();
  return !system ? NULL : ut_parse(system, spec, UT_ASCII);
}

/* What udunits2 makes of a unit, in base units; "" when it cannot say. */
static void definition(const ut_unit *unit, char text[static 128]) {
  const int length = ut_format(unit, text, 127, UT_ASCII | UT_DEFINITION);
  text[length < 0 ? 0 : length < 127 ? length : 127] = '\0';
}

static void explain_unknown(const char *name, char *message, size_t size) {
  char q[FG_QUOTED_MAX];
  const char *names[FG_UNIT_NAMES_MAX * 80 + 1];
  size_t count = 0;
  for (size_t i = 0; i < fg_unit_table_count; ++i)
    for (size_t k = 0; fg_unit_table[i].names[k]; ++k)
      if (fg_unit_is_ours(fg_unit_table[i].names[k]))
        names[count++] = fg_unit_table[i].names[k];
  names[count] = NULL;
  const char *near = fg_nearest(name, names);
  if (near)
    snprintf(message, size, "unknown unit %s; perhaps %s", fg_quoted(name, q), near);
  else
    snprintf(message, size, "unknown unit %s", fg_quoted(name, q));
}

/* Units with an origin of their own (degC) or a logarithm cannot be multiplied. */
static bool plain_scale(const ut_unit *unit, bool *angle) {
  char text[128];
  definition(unit, text);
  *angle = strstr(text, "rad") != NULL;
  return text[0] != '\0' && !strchr(text, '@') && !strchr(text, '(');
}

ut_unit *fg_unit_named(const char *name, bool *angle, char *message, size_t size) {
  ut_system *system = fg_unit_system_load();
  if (!system) {
    snprintf(message, size, "the unit tables of udunits2 are missing; install libudunits2-data");
    return NULL;
  }
  const fg_unit_row *row = fg_unit_find(name, false);
  if (row && row->kind == FG_UNIT_REFUSED) {
    snprintf(message, size, "the unit \"%s\" cannot be used: %s", name, row->si);
    return NULL;
  }
  char meaning[64];
  if (row)
    snprintf(meaning, sizeof meaning, "%.17g %s", row->factor, row->si);
  ut_unit *unit = ut_parse(system, row ? meaning : name, row ? UT_ASCII : UT_UTF8);
  if (!unit) {
    explain_unknown(name, message, size);
    return NULL;
  }
  if (!plain_scale(unit, angle)) {
    snprintf(message, size, "the unit \"%s\" has a zero of its own and cannot be used here", name);
    ut_free(unit);
    return NULL;
  }
  return unit;
}
