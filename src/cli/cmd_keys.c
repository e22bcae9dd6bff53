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

typedef struct key_row {
  const char *type, *unit, *required, *give_instead;
  char written[FG_SETTING_WORDS], standard_text[FG_SETTING_WORDS], choices[FG_SETTING_WORDS];
  double standard;
  fg_setting setting;
  fg_measuring measuring;
} key_row;

#define OF(field) offsetof(key_row, field)
static const fg_column_of key_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(setting.key)},
    {"type", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(type)},
    {"unit", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(unit)},
    {"written", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(written)},
    {"required", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(required)},
    {"default_text", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(standard_text)},
    {"default", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(standard)},
    {"lowest", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(setting.lowest)},
    {"highest", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(setting.highest)},
    {"likely_least", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(setting.likely_low)},
    {"likely_most", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(setting.likely_high)},
    {"choices", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, OF(choices)},
    {"basis", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(setting.basis)},
    {"meaning", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(setting.meaning)},
    {"source", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(setting.source)},
    {"give_instead", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(give_instead)},
    {"measure", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(measuring.how)},
    {"exactness", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(measuring.exactness)},
};
#undef OF

static void add_data(const fg_call *call, fg_node *table, const fg_setting *setting) {
  const bool number = setting->type == FG_T_NUMBER || setting->type == FG_T_INTEGER;
  const fg_measuring *measuring = fg_measuring_for(fg_setting_row_of(setting));
  key_row row = {.type = fg_setting_type_text(setting),
                 .unit = number ? fg_quantity_of(setting->quantity)->si_unit : "",
                 .required = setting->required ? "yes" : "no",
                 .standard = number && !setting->required ? setting->standard : (double)NAN,
                 .setting = *setting};
  if (measuring)
    row.measuring = *measuring;
  if (measuring && measuring->row != fg_setting_row_of(setting))
    row.give_instead = fg_settings[measuring->row].key;
  (void)fg_setting_written_text(setting, call->units, row.written, sizeof row.written);
  (void)fg_setting_default_text(setting, call->units, !call->units_given, row.standard_text,
                                sizeof row.standard_text);
  (void)fg_setting_choices_text(setting, row.choices, sizeof row.choices);
  FG_ROW_OF(table, key_columns, &row);
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
  fg_node *table = fg_table(root, "keys", NULL, FG_PRIMARY | FG_DATA_ONLY);
  FG_COLUMNS_OF(table, key_columns);
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
