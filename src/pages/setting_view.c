/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/setting_view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "scenario/measuring.h"
#include "scenario/settings_table.h"

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
  switch (setting->type) {
  case FG_T_NUMBER:
    fg_quantity_text(setting->quantity, units, fg_setting_value(setting, scenario), buffer, size);
    break;
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
  case FG_T_SIEVES:
    count_text(scenario->ground.sieve_count, "sieves and pan", buffer, size);
    break;
  }
  add_error(setting, scenario, units, buffer, size);
  return buffer;
}

/* Whether the key's group is among the words of `groups`; NULL: every group is. */
static bool is_in_groups(const char *key, const char *groups) {
  const size_t length = strcspn(key, ".");
  while (groups && *groups != '\0') {
    const size_t word = strcspn(groups, " ");
    if (word == length && strncmp(groups, key, length) == 0)
      return true;
    groups += word + strspn(groups + word, " ");
  }
  return !groups;
}

/* Nobody gave it, and nothing stands in its place: an empty text or list, an unknown number. */
static bool is_void(const fg_setting *setting, const fg_scenario *scenario) {
  if (scenario->origin[setting - fg_settings] >= FG_FROM_CATALOGUE)
    return false;
  switch (setting->type) {
  case FG_T_NUMBER:
    return !isfinite(fg_setting_value(setting, scenario));
  case FG_T_TEXT:
    return *(const char *)field(setting, scenario) == '\0';
  case FG_T_CLASSES:
    return scenario->gold.class_count == 0;
  case FG_T_CURVE:
    return scenario->blower.curve_count == 0;
  case FG_T_SIEVES:
    return scenario->ground.sieve_count == 0;
  default:
    return false;
  }
}

static void add_line(fg_node *parent, const fg_setting *setting, const fg_scenario *scenario,
                     fg_unit_system units) {
  char value[FG_TEXT_MAX];
  if (!is_void(setting, scenario))
    fg_string(parent, NULL, setting->key,
              fg_setting_text(setting, scenario, units, value, sizeof value), FG_TEXT_ONLY);
}

size_t fg_settings_add_origin(fg_node *parent, const char *name, const fg_scenario *scenario,
                              fg_origin origin, fg_unit_system units) {
  return fg_settings_add_origin_in(parent, name, scenario, origin, NULL, units);
}

size_t fg_settings_add_origin_in(fg_node *parent, const char *name, const fg_scenario *scenario,
                                 fg_origin origin, const char *groups, fg_unit_system units) {
  size_t count = 0;
  fg_node *list = fg_list(parent, name, FG_DATA_ONLY);
  for (size_t i = 0; i < fg_settings_count; ++i) {
    if (scenario->origin[i] != origin || fg_reading_absent(scenario, i) ||
        !is_in_groups(fg_settings[i].key, groups))
      continue;
    ++count;
    fg_list_string(list, fg_settings[i].key);
    add_line(parent, &fg_settings[i], scenario, units);
  }
  return count;
}

size_t fg_settings_add_assumed(fg_node *parent, const char *name, const fg_scenario *scenario,
                               const char *groups, fg_unit_system units) {
  size_t others = 0;
  fg_node *list = fg_list(parent, name, FG_DATA_ONLY);
  for (size_t i = 0; i < fg_settings_count; ++i) {
    if (scenario->origin[i] != FG_FROM_DEFAULT || fg_reading_absent(scenario, i))
      continue;
    fg_list_string(list, fg_settings[i].key);
    if (is_in_groups(fg_settings[i].key, groups))
      add_line(parent, &fg_settings[i], scenario, units);
    else
      others += !is_void(&fg_settings[i], scenario);
  }
  return others;
}

/* Classes, curve points and sieves as lists of [lower_m, upper_m, share], [m3/s, Pa] and
 * [opening_m, share]. */
static void add_rows(fg_node *parent, const fg_setting *setting, const fg_scenario *scenario) {
  fg_node *list = fg_list(parent, setting->key, FG_DATA_ONLY);
  const size_t count = setting->type == FG_T_CLASSES  ? scenario->gold.class_count
                       : setting->type == FG_T_SIEVES ? scenario->ground.sieve_count
                                                      : scenario->blower.curve_count;
  for (size_t i = 0; i < count; ++i) {
    fg_node *row = fg_list_list(list);
    if (setting->type == FG_T_CLASSES) {
      fg_list_number(row, scenario->gold.classes[i].lower_m);
      fg_list_number(row, scenario->gold.classes[i].upper_m);
      fg_list_number(row, scenario->gold.classes[i].share);
    } else if (setting->type == FG_T_SIEVES) {
      fg_list_number(row, scenario->ground.sieves[i].opening_m);
      fg_list_number(row, scenario->ground.sieves[i].share);
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
    fg_number(parent, key, NULL, setting->quantity, fg_setting_value(setting, scenario),
              FG_DATA_ONLY);
    break;
  case FG_T_INTEGER:
    fg_integer(parent, key, key, integer_of(setting, scenario), 0);
    return;
  case FG_T_BOOLEAN:
    fg_boolean(parent, key, key, boolean_of(setting, scenario), 0);
    return;
  case FG_T_CLASSES:
  case FG_T_CURVE:
  case FG_T_SIEVES:
    add_rows(parent, setting, scenario);
    break;
  case FG_T_TEXT:
    fg_string(parent, key, NULL, field(setting, scenario), FG_DATA_ONLY);
    break;
  case FG_T_CHOICE:
    fg_string(parent, key, NULL, choice_of(setting, integer_of(setting, scenario)), FG_DATA_ONLY);
    break;
  }
  if (!fg_reading_absent(scenario, (size_t)(setting - fg_settings)))
    fg_string(parent, NULL, key, fg_setting_text(setting, scenario, units, value, sizeof value),
              FG_TEXT_ONLY);
}

/* The errors and sources of the values, for the data. */
static void add_errors(fg_node *parent, const fg_scenario *scenario) {
  fg_node *errors = fg_group(parent, "errors", NULL, FG_DATA_ONLY);
  fg_node *sources = fg_group(parent, "worked_out_from", NULL, FG_DATA_ONLY);
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const int from = fg_setting_from(scenario, (int)i);
    if (scenario->error_of[i] > 0.0)
      fg_number(errors, fg_settings[i].key, NULL, FG_Q_NUMBER, scenario->error_of[i], 0);
    if (from != FG_SET_NONE)
      fg_string(sources, fg_settings[i].key, NULL, fg_settings[from].key, 0);
  }
}

void fg_settings_add_effective(fg_node *parent, const char *name, const char *title,
                               const fg_scenario *scenario, fg_unit_system units) {
  fg_node *group = fg_group(parent, name, title, 0);
  for (size_t i = 0; i < fg_settings_count; ++i)
    add_one(group, &fg_settings[i], scenario, units);
  add_errors(parent, scenario);
}
