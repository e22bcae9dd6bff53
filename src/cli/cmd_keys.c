/* SPDX-License-Identifier: GPL-3.0-or-later */
/* keys [PATTERN]: what a scenario file may hold. */
#include <fnmatch.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "core/nearest.h"
#include "flourgold/settings.h"
#include "pages/setting_help.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

/* A pattern with * ? [ must fit the whole key, without them be a part of it; in either case. */
static bool matches(const char *pattern, const char *key) {
  if (!pattern)
    return true;
  if (strpbrk(pattern, "*?["))
    return fnmatch(pattern, key, FNM_CASEFOLD) == 0;
  return strcasestr(key, pattern) != NULL;
}

static void add_line(void *group, const char *label, const char *text) {
  fg_string(group, NULL, label, text, FG_TEXT_ONLY);
}

static void add_people(const fg_call *call, fg_node *root, const fg_setting *setting) {
  fg_node *group = fg_group(root, NULL, setting->key, FG_TEXT_ONLY);
  fg_setting_explain(setting, call->units, !call->units_given, add_line, group);
}

static fg_node *add_table(fg_node *root) {
  static const char *const texts[] = {"key", "type", "unit", "written", "required", "default_text"};
  static const char *const numbers[] = {"default", "lowest", "highest", "likely_least",
                                        "likely_most"};
  static const char *const words[] = {"choices",      "basis",   "meaning",  "source",
                                      "give_instead", "measure", "exactness"};
  fg_node *table = fg_table(root, "keys", NULL, FG_PRIMARY | FG_DATA_ONLY);
  for (size_t i = 0; i < sizeof texts / sizeof texts[0]; ++i)
    fg_column_text(table, texts[i], NULL, 0);
  for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; ++i)
    fg_column(table, numbers[i], NULL, FG_Q_NUMBER, 0);
  for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i)
    fg_column_text(table, words[i], NULL, 0);
  return table;
}

static void add_data(const fg_call *call, fg_node *table, const fg_setting *setting) {
  char text[FG_SETTING_WORDS];
  bool number = setting->type == FG_T_NUMBER || setting->type == FG_T_INTEGER;
  fg_row(table);
  fg_cell_text(table, setting->key);
  fg_cell_text(table, fg_setting_type_text(setting));
  fg_cell_text(table, number ? fg_quantity_of(setting->quantity)->si_unit : "");
  fg_cell_text(table, fg_setting_written_text(setting, call->units, text, sizeof text));
  fg_cell_text(table, setting->required ? "yes" : "no");
  fg_cell_text(
      table, fg_setting_default_text(setting, call->units, !call->units_given, text, sizeof text));
  fg_cell(table, number && !setting->required ? setting->standard : (double)NAN);
  fg_cell(table, setting->lowest);
  fg_cell(table, setting->highest);
  fg_cell(table, setting->likely_low);
  fg_cell(table, setting->likely_high);
  fg_cell_text(table, fg_setting_choices_text(setting, text, sizeof text));
  fg_cell_text(table, setting->basis);
  fg_cell_text(table, setting->meaning);
  fg_cell_text(table, setting->source);
  const fg_measuring *row = fg_measuring_for(fg_setting_row_of(setting));
  const bool other = row && row->row != fg_setting_row_of(setting);
  fg_cell_text(table, other ? fg_settings[row->row].key : "");
  fg_cell_text(table, row ? row->how : "");
  fg_cell_text(table, row ? row->exactness : "");
}

/* The key that `pattern` was most likely meant to be, its group given or not; or NULL. */
static const char *nearest_key(const char *pattern) {
  const char *near = fg_setting_nearest(pattern);
  if (near)
    return near;
  const char *names[FG_SETTINGS_MAX + 1] = {NULL};
  for (size_t i = 0; i < fg_settings_count && i < FG_SETTINGS_MAX; ++i)
    names[i] = strchr(fg_settings[i].key, '.') + 1;
  near = fg_nearest(pattern, names);
  for (size_t i = 0; near && i < fg_settings_count; ++i)
    if (names[i] == near)
      return fg_settings[i].key;
  return NULL;
}

int fg_cmd_keys(fg_call *call) {
  const char *pattern = call->word_count > 0 ? call->words[0] : NULL;
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_node *table = add_table(root);
  size_t count = 0;
  for (size_t i = 0; i < fg_settings_count; ++i) {
    if (!matches(pattern, fg_settings[i].key))
      continue;
    add_people(call, root, &fg_settings[i]);
    add_data(call, table, &fg_settings[i]);
    ++count;
  }
  if (count > 0)
    return fg_call_emit(call, report, FG_EXIT_DONE);
  fg_report_free(report);
  const char *near = nearest_key(pattern ? pattern : "");
  if (near)
    return fg_call_fail("no setting matches '%s'; did you mean '%s'?", pattern, near);
  return fg_call_fail("no setting matches '%s'; 'flourgold keys' lists all", pattern);
}
