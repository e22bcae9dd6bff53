/* SPDX-License-Identifier: GPL-3.0-or-later */
/* keys [PATTERN]: what a scenario file may hold. */
#include <fnmatch.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "core/nearest.h"
#include "core/text.h"
#include "flourgold/config.h"
#include "flourgold/settings.h"
#include "scenario/measuring.h"

enum { WORDS = 512, MESSAGE = 256 };

/* A pattern with * ? [ must fit the whole key, without them be a part of it; in either case. */
static bool matches(const char *pattern, const char *key) {
  if (!pattern)
    return true;
  if (strpbrk(pattern, "*?["))
    return fnmatch(pattern, key, FNM_CASEFOLD) == 0;
  return strcasestr(key, pattern) != NULL;
}

static const char *type_text(const fg_setting *setting) {
  static const char *const names[] = {"number", "integer", "boolean", "text",
                                      "choice", "classes", "curve",   "sieves"};
  return names[setting->type];
}

static void choices_text(const fg_setting *setting, char *buffer, size_t size) {
  buffer[0] = '\0';
  for (size_t i = 0; setting->choices && setting->choices[i]; ++i) {
    size_t used = strlen(buffer);
    snprintf(buffer + used, size - used, "%s%s", i > 0 ? ", " : "", setting->choices[i]);
  }
}

/* The kind's own example, where it suits the setting. */
static bool kind_example(const fg_setting *setting) {
  double si;
  char message[MESSAGE];
  if (setting->quantity == FG_Q_LENGTH || /* from the stroke to the deck: none suits all */
      fg_parse_quantity(fg_quantity_of(setting->quantity)->example, setting->quantity, &si, NULL,
                        message, sizeof message) != FG_OK)
    return false;
  return setting->basis_offset != 0 || (si >= setting->lowest && si <= setting->highest);
}

/* A value in the midst of the likely range, or else of the allowed one. */
static double middle_value(const fg_setting *setting) {
  if (isfinite(setting->likely_low))
    return 0.5 * (setting->likely_low + setting->likely_high);
  return setting->lowest > 0.0 ? sqrt(setting->lowest * setting->highest) : 0.1 * setting->highest;
}

/* The default, or where there is none a usual value, as the file would hold it. */
static void example_text(const fg_setting *setting, fg_unit_system units, char *buffer,
                         size_t size) {
  const fg_quantity_info *info = fg_quantity_of(setting->quantity);
  const fg_display *show = &info->show[units == FG_UNITS_SI];
  bool plain = strcmp(info->accepts, "no unit") == 0 || show->unit[0] == '\0';
  double si = setting->standard;
  int digits = show->digits;
  char number[32];
  if (!isfinite(si) && kind_example(setting)) {
    const char *quote = plain ? "" : "\"";
    snprintf(buffer, size, "%s%s%s", quote, info->example, quote);
    return;
  }
  if (!isfinite(si)) {
    si = middle_value(setting);
    digits = 2;
  }
  fg_number_text(fg_quantity_shown(setting->quantity, units, si), digits, number, sizeof number);
  if (plain)
    snprintf(buffer, size, "%s", number);
  else
    snprintf(buffer, size, "\"%s %s\"", number, show->unit);
}

/* How a value is written in the file. */
static void written_text(const fg_setting *setting, fg_unit_system units, char *buffer,
                         size_t size) {
  const fg_quantity_info *info = fg_quantity_of(setting->quantity);
  char choices[WORDS];
  switch (setting->type) {
  case FG_T_NUMBER: {
    char example[64];
    bool plain = strcmp(info->accepts, "no unit") == 0;
    example_text(setting, units, example, sizeof example);
    snprintf(buffer, size, "%s, for example; units: %s", example, plain ? "none" : info->accepts);
    break;
  }
  case FG_T_INTEGER:
    snprintf(buffer, size, "a whole number, no unit");
    break;
  case FG_T_BOOLEAN:
    snprintf(buffer, size, "true or false");
    break;
  case FG_T_TEXT:
    snprintf(buffer, size, "text in double quotes");
    break;
  case FG_T_CHOICE:
    choices_text(setting, choices, sizeof choices);
    snprintf(buffer, size, "in double quotes, one of: %s", choices);
    break;
  case FG_T_CLASSES:
    snprintf(buffer, size, "a list of size classes, each two sieves and a share");
    break;
  case FG_T_CURVE:
    snprintf(buffer, size, "a list of points, each an air flow and a pressure");
    break;
  case FG_T_SIEVES:
    snprintf(buffer, size,
             "a list of pairs, each a sieve and the weight that stayed on it, the pan last");
    break;
  }
}

/* A value in the chosen units, or in both where they differ and none was chosen. */
static void value_text(const fg_call *call, fg_quantity quantity, double si, char *buffer,
                       size_t size) {
  char other[64];
  fg_quantity_text(quantity, call->units, si, buffer, size);
  if (call->units_given)
    return;
  const fg_display *show = fg_quantity_of(quantity)->show;
  if (strcmp(show[0].unit, show[1].unit) == 0)
    return;
  size_t used = strlen(buffer);
  fg_quantity_text(quantity, FG_UNITS_SI, si, other, sizeof other);
  snprintf(buffer + used, size - used, " = %s", other);
}

static void default_text(const fg_call *call, const fg_setting *setting, char *buffer,
                         size_t size) {
  if (setting->required)
    snprintf(buffer, size, "none: it must be given");
  else if (setting->type == FG_T_CHOICE && isfinite(setting->standard))
    snprintf(buffer, size, "%s", setting->choices[(int)setting->standard]);
  else if (setting->type == FG_T_BOOLEAN)
    snprintf(buffer, size, "%s", setting->standard != 0.0 ? "true" : "false");
  else if (setting->standard_text)
    snprintf(buffer, size, "%s",
             setting->standard_text[0] != '\0' ? setting->standard_text : "empty");
  else if (isfinite(setting->standard))
    value_text(call, setting->quantity, setting->standard, buffer, size);
  else
    snprintf(buffer, size, "none");
}

/* "from to" where both ends are known; false otherwise. */
static bool range_text(const fg_call *call, const fg_setting *setting, double low, double high,
                       char *buffer, size_t size) {
  if (!isfinite(low) || !isfinite(high))
    return false;
  fg_quantity quantity = setting->type == FG_T_INTEGER ? FG_Q_INTEGER : setting->quantity;
  char from[128];
  char to[128];
  value_text(call, quantity, low, from, sizeof from);
  value_text(call, quantity, high, to, sizeof to);
  snprintf(buffer, size, "%s to %s", from, to);
  return true;
}

/* How to find out, the words that stand for a number, and how exact that is. */
static void add_measuring(fg_node *group, const fg_setting *setting) {
  const fg_measuring *row = fg_measuring_for(fg_setting_row_of(setting));
  char label[32], text[128];
  for (const fg_word *word = fg_setting_words(fg_setting_row_of(setting)); word && word->word;
       ++word) {
    char value[32], error[32];
    snprintf(label, sizeof label, "\"%s\"", word->word);
    fg_quantity_text(setting->quantity, FG_UNITS_US, word->value, value, sizeof value);
    fg_error_text(setting->quantity, FG_UNITS_US, word->error, error, sizeof error);
    snprintf(text, sizeof text, "%s +- %s: %s", value, error, word->test);
    fg_string(group, NULL, label, text, FG_TEXT_ONLY);
  }
  if (!row)
    return;
  if (row->row != fg_setting_row_of(setting))
    fg_string(group, NULL, "Give instead", fg_settings[row->row].key, FG_TEXT_ONLY);
  fg_string(group, NULL, "Measure", row->how, FG_TEXT_ONLY);
  fg_string(group, NULL, "How exact", row->exactness, FG_TEXT_ONLY);
}

static void add_people(const fg_call *call, fg_node *root, const fg_setting *setting) {
  char text[WORDS + 64];
  fg_node *group = fg_group(root, NULL, setting->key, FG_TEXT_ONLY);
  if (setting->meaning[0] != '\0')
    fg_string(group, NULL, "Meaning", setting->meaning, FG_TEXT_ONLY);
  if (setting->basis[0] != '\0')
    fg_string(group, NULL, "Counted as", setting->basis, FG_TEXT_ONLY);
  written_text(setting, call->units, text, sizeof text);
  fg_string(group, NULL, "Written", text, FG_TEXT_ONLY);
  default_text(call, setting, text, sizeof text);
  fg_string(group, NULL, "Default", text, FG_TEXT_ONLY);
  if (range_text(call, setting, setting->lowest, setting->highest, text, sizeof text))
    fg_string(group, NULL, "Allowed", text, FG_TEXT_ONLY);
  if (range_text(call, setting, setting->likely_low, setting->likely_high, text, sizeof text))
    fg_string(group, NULL, "Likely", text, FG_TEXT_ONLY);
  if (setting->source[0] != '\0')
    fg_string(group, NULL, "Source", setting->source, FG_TEXT_ONLY);
  add_measuring(group, setting);
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
  char text[WORDS + 64];
  bool number = setting->type == FG_T_NUMBER || setting->type == FG_T_INTEGER;
  fg_row(table);
  fg_cell_text(table, setting->key);
  fg_cell_text(table, type_text(setting));
  fg_cell_text(table, number ? fg_quantity_of(setting->quantity)->si_unit : "");
  written_text(setting, call->units, text, sizeof text);
  fg_cell_text(table, text);
  fg_cell_text(table, setting->required ? "yes" : "no");
  default_text(call, setting, text, sizeof text);
  fg_cell_text(table, text);
  fg_cell(table, number && !setting->required ? setting->standard : (double)NAN);
  fg_cell(table, setting->lowest);
  fg_cell(table, setting->highest);
  fg_cell(table, setting->likely_low);
  fg_cell(table, setting->likely_high);
  choices_text(setting, text, sizeof text);
  fg_cell_text(table, text);
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
