/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "flourgold/quantity.h"
#include "flourgold/settings.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

const void *fg_setting_field(const fg_setting *setting, const fg_scenario *scenario) {
  return (const char *)scenario + setting->offset;
}

int fg_setting_integer(const fg_setting *setting, const fg_scenario *scenario) {
  int value = 0;
  memcpy(&value, fg_setting_field(setting, scenario), sizeof value);
  return value;
}

bool fg_setting_boolean(const fg_setting *setting, const fg_scenario *scenario) {
  bool value = false;
  memcpy(&value, fg_setting_field(setting, scenario), sizeof value);
  return value;
}

const char *fg_setting_choice(const fg_setting *setting, int index) {
  for (int i = 0; setting->choices && setting->choices[i]; ++i)
    if (i == index)
      return setting->choices[i];
  return "unknown";
}

static void count_text(size_t count, const char *things, char *buffer, size_t size) {
  if (count == 0)
    snprintf(buffer, size, "none");
  else
    snprintf(buffer, size, "%zu %s", count, things);
}

/* " +- 0.3 %" behind a value with an error, " (from deck.empty_box_pressure)" behind one that
 * follows from a reading. */
static void add_error(const fg_setting *setting, const fg_scenario *scenario, fg_unit_system units,
                      char *buffer, size_t size) {
  const size_t row = (size_t)(setting - fg_settings);
  const double error = scenario->error_of[row];
  const int from = fg_setting_from(scenario, (int)row);
  char text[64];
  size_t used = strlen(buffer);
  if (error > 0.0 && setting->type == FG_T_NUMBER)
    snprintf(buffer + used, size - used, " +- %s",
             fg_quantity_error_text(setting->quantity, units, error, text, sizeof text));
  used = strlen(buffer);
  if (from != FG_SET_NONE)
    snprintf(buffer + used, size - used, " (from %s)", fg_settings[from].key);
}

const char *fg_setting_text(const fg_setting *setting, const fg_scenario *scenario,
                            fg_unit_system units, char *buffer, size_t size) {
  if (size == 0)
    return buffer;
  switch (setting->type) {
  case FG_T_NUMBER:
    fg_quantity_text(setting->quantity, units, fg_setting_value(setting, scenario), buffer, size);
    break;
  case FG_T_INTEGER:
    snprintf(buffer, size, "%d", fg_setting_integer(setting, scenario));
    break;
  case FG_T_BOOLEAN:
    snprintf(buffer, size, "%s", fg_setting_boolean(setting, scenario) ? "yes" : "no");
    break;
  case FG_T_TEXT: {
    const char *text = fg_setting_field(setting, scenario);
    snprintf(buffer, size, "%s", text[0] != '\0' ? text : "none");
    break;
  }
  case FG_T_CHOICE:
    snprintf(buffer, size, "%s", fg_setting_choice(setting, fg_setting_integer(setting, scenario)));
    break;
  case FG_T_CLASSES:
    count_text(scenario->gold.class_count, "size classes", buffer, size);
    break;
  case FG_T_CURVE:
    count_text(scenario->blower.curve_count, "points", buffer, size);
    break;
  case FG_T_SIEVES:
    count_text(scenario->ground.sieve_count, "sieves and pan", buffer, size);
    break;
  }
  add_error(setting, scenario, units, buffer, size);
  return buffer;
}
