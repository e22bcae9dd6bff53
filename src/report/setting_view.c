/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/setting_view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const void *field(const fg_setting *setting, const fg_scenario *scenario) {
  return (const char *)scenario + setting->offset;
}

static int integer_of(const fg_setting *setting, const fg_scenario *scenario) {
  int value = 0;
  memcpy(&value, field(setting, scenario), sizeof value);
  return value;
}

static bool boolean_of(const fg_setting *setting, const fg_scenario *scenario) {
  bool value = false;
  memcpy(&value, field(setting, scenario), sizeof value);
  return value;
}

/* The word for a choice; "unknown" for an index beyond the list. */
static const char *choice_of(const fg_setting *setting, int index) {
  for (int i = 0; setting->choices != NULL && setting->choices[i] != NULL; i++)
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

const char *fg_setting_text(const fg_setting *setting, const fg_scenario *scenario,
                            fg_unit_system units, char *buffer, size_t size) {
  switch (setting->type) {
  case FG_T_NUMBER:
    return fg_quantity_text(setting->quantity, units, fg_setting_value(setting, scenario), buffer,
                            size);
  case FG_T_INTEGER:
    snprintf(buffer, size, "%d", integer_of(setting, scenario));
    break;
  case FG_T_BOOLEAN:
    snprintf(buffer, size, "%s", boolean_of(setting, scenario) ? "yes" : "no");
    break;
  case FG_T_TEXT: {
    const char *text = field(setting, scenario);
    snprintf(buffer, size, "%s", text[0] != '\0' ? text : "none");
    break;
  }
  case FG_T_CHOICE:
    snprintf(buffer, size, "%s", choice_of(setting, integer_of(setting, scenario)));
    break;
  case FG_T_CLASSES:
    count_text(scenario->gold.class_count, "size classes", buffer, size);
    break;
  case FG_T_CURVE:
    count_text(scenario->blower.curve_count, "points", buffer, size);
    break;
  }
  return buffer;
}

size_t fg_settings_add_origin(fg_node *parent, const char *name, const fg_scenario *scenario,
                              fg_origin origin, fg_unit_system units) {
  char value[FG_TEXT_MAX];
  size_t count = 0;
  fg_node *list = fg_list(parent, name, FG_DATA_ONLY);
  for (size_t i = 0; i < fg_settings_count; i++) {
    if (scenario->origin[i] != origin)
      continue;
    count++;
    fg_list_string(list, fg_settings[i].key);
    fg_string(parent, NULL, fg_settings[i].key,
              fg_setting_text(&fg_settings[i], scenario, units, value, sizeof value), FG_TEXT_ONLY);
  }
  return count;
}

/* Classes and curve points as lists of [lower_m, upper_m, share] and [m3/s, Pa]. */
static void add_rows(fg_node *parent, const fg_setting *setting, const fg_scenario *scenario) {
  fg_node *list = fg_list(parent, setting->key, FG_DATA_ONLY);
  bool classes = setting->type == FG_T_CLASSES;
  size_t count = classes ? scenario->gold.class_count : scenario->blower.curve_count;
  for (size_t i = 0; i < count; i++) {
    fg_node *row = fg_list_list(list);
    if (classes) {
      fg_list_number(row, scenario->gold.classes[i].lower_m);
      fg_list_number(row, scenario->gold.classes[i].upper_m);
      fg_list_number(row, scenario->gold.classes[i].share);
    } else {
      fg_list_number(row, scenario->blower.curve[i].volume_m3_s);
      fg_list_number(row, scenario->blower.curve[i].pressure_pa);
    }
  }
}

static void add_one(fg_node *parent, const fg_setting *setting, const fg_scenario *scenario,
                    fg_unit_system units) {
  char value[FG_TEXT_MAX];
  const char *key = setting->key;
  switch (setting->type) {
  case FG_T_NUMBER:
    fg_number(parent, key, key, setting->quantity, fg_setting_value(setting, scenario), 0);
    return;
  case FG_T_INTEGER:
    fg_integer(parent, key, key, integer_of(setting, scenario), 0);
    return;
  case FG_T_BOOLEAN:
    fg_boolean(parent, key, key, boolean_of(setting, scenario), 0);
    return;
  case FG_T_CLASSES:
  case FG_T_CURVE:
    add_rows(parent, setting, scenario);
    break;
  case FG_T_TEXT:
    fg_string(parent, key, NULL, field(setting, scenario), FG_DATA_ONLY);
    break;
  case FG_T_CHOICE:
    fg_string(parent, key, NULL, choice_of(setting, integer_of(setting, scenario)), FG_DATA_ONLY);
    break;
  }
  fg_string(parent, NULL, key, fg_setting_text(setting, scenario, units, value, sizeof value),
            FG_TEXT_ONLY);
}

void fg_settings_add_effective(fg_node *parent, const char *name, const char *title,
                               const fg_scenario *scenario, fg_unit_system units) {
  fg_node *group = fg_group(parent, name, title, 0);
  for (size_t i = 0; i < fg_settings_count; i++)
    add_one(group, &fg_settings[i], scenario, units);
}
