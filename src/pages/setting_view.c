/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/setting_view.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/text.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

/* Whether the key's group is among the words of `groups`; NULL: every group is. */
static bool is_in_groups(const char *key, const char *groups) {
  return !groups || fg_text_has_word(groups, key, strcspn(key, "."));
}

/* Nobody gave it, and nothing stands in its place: an empty text or list, an unknown number. */
static bool is_void(const fg_setting *setting, const fg_scenario *scenario) {
  if (scenario->origin[setting - fg_settings] >= FG_FROM_CATALOGUE)
    return false;
  switch (setting->type) {
  case FG_T_NUMBER:
    return !isfinite(fg_setting_value(setting, scenario));
  case FG_T_TEXT:
    return *(const char *)fg_setting_field(setting, scenario) == '\0';
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
    fg_integer(parent, key, key, fg_setting_integer(setting, scenario), 0);
    return;
  case FG_T_BOOLEAN:
    fg_boolean(parent, key, key, fg_setting_boolean(setting, scenario), 0);
    return;
  case FG_T_CLASSES:
  case FG_T_CURVE:
  case FG_T_SIEVES:
    add_rows(parent, setting, scenario);
    break;
  case FG_T_TEXT:
    fg_string(parent, key, NULL, fg_setting_field(setting, scenario), FG_DATA_ONLY);
    break;
  case FG_T_CHOICE:
    fg_string(parent, key, NULL, fg_setting_choice(setting, fg_setting_integer(setting, scenario)),
              FG_DATA_ONLY);
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
