/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/setting_help.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/text.h"
#include "flourgold/quantity.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

const char *fg_setting_type_text(const fg_setting *setting) {
  static const char *const names[] = {"number", "integer", "boolean", "text",
                                      "choice", "classes", "curve",   "sieves"};
  return names[setting->type];
}

const char *fg_setting_choices_text(const fg_setting *setting, char *buffer, size_t size) {
  buffer[0] = '\0';
  for (size_t i = 0; setting->choices && setting->choices[i]; ++i) {
    size_t used = strlen(buffer);
    (void)snprintf(buffer + used, size - used, "%s%s", i > 0 ? ", " : "", setting->choices[i]);
  }
  return buffer;
}

/* The kind's own example, where it suits the setting. */
static bool kind_example(const fg_setting *setting) {
  double si;
  char message[256];
  if (setting->quantity == FG_Q_LENGTH || /* from the stroke to the deck: none suits all */
      fg_quantity_parse(fg_quantity_of(setting->quantity)->example, setting->quantity, &si, NULL,
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
    (void)snprintf(buffer, size, "%s%s%s", quote, info->example, quote);
    return;
  }
  if (!isfinite(si)) {
    si = middle_value(setting);
    digits = 2;
  }
  (void)fg_number_text(fg_quantity_shown(setting->quantity, units, si), digits, number,
                       sizeof number);
  if (plain)
    (void)snprintf(buffer, size, "%s", number);
  else
    (void)snprintf(buffer, size, "\"%s %s\"", number, show->unit);
}

/* How a value is written in the file. */
const char *fg_setting_written_text(const fg_setting *setting, fg_unit_system units, char *buffer,
                                    size_t size) {
  static const char *const written[] = {
      [FG_T_INTEGER] = "a whole number, no unit",
      [FG_T_BOOLEAN] = "true or false",
      [FG_T_TEXT] = "text in double quotes",
      [FG_T_CHOICE] = "in double quotes, one of: ",
      [FG_T_CLASSES] = "a list of size classes, each two sieves and a share",
      [FG_T_CURVE] = "a list of points, each an air flow and a pressure",
      [FG_T_SIEVES] =
          "a list of pairs, each a sieve and the weight that stayed on it, the pan last",
  };
  const char *accepts = fg_quantity_of(setting->quantity)->accepts;
  char words[FG_SETTING_WORDS - 64] = "";
  if (setting->type == FG_T_NUMBER) {
    example_text(setting, units, words, sizeof words);
    (void)snprintf(buffer, size, "%s, for example; units: %s", words,
                   strcmp(accepts, "no unit") == 0 ? "none" : accepts);
    return buffer;
  }
  if (setting->type == FG_T_CHOICE)
    (void)fg_setting_choices_text(setting, words, sizeof words);
  (void)snprintf(buffer, size, "%s%s", written[setting->type], words);
  return buffer;
}

/* A value in these units, or in both where they differ and both are wanted. */
static void value_text(fg_quantity quantity, fg_unit_system units, bool both, double si,
                       char *buffer, size_t size) {
  char other[64];
  (void)fg_quantity_text(quantity, units, si, buffer, size);
  if (!both)
    return;
  const fg_display *show = fg_quantity_of(quantity)->show;
  if (strcmp(show[0].unit, show[1].unit) == 0)
    return;
  size_t used = strlen(buffer);
  (void)fg_quantity_text(quantity, FG_UNITS_SI, si, other, sizeof other);
  (void)snprintf(buffer + used, size - used, " = %s", other);
}

const char *fg_setting_default_text(const fg_setting *setting, fg_unit_system units, bool both,
                                    char *buffer, size_t size) {
  if (setting->required)
    (void)snprintf(buffer, size, "none: it must be given");
  else if (setting->type == FG_T_CHOICE && isfinite(setting->standard))
    (void)snprintf(buffer, size, "%s", setting->choices[(int)setting->standard]);
  else if (setting->type == FG_T_BOOLEAN)
    (void)snprintf(buffer, size, "%s", setting->standard != 0.0 ? "true" : "false");
  else if (setting->standard_text)
    (void)snprintf(buffer, size, "%s",
                   setting->standard_text[0] != '\0' ? setting->standard_text : "empty");
  else if (isfinite(setting->standard))
    value_text(setting->quantity, units, both, setting->standard, buffer, size);
  else
    (void)snprintf(buffer, size, "none");
  return buffer;
}

/* "from to" where both ends are known; false otherwise. */
static bool range_text(const fg_setting *setting, fg_unit_system units, bool both, double low,
                       double high, char *buffer, size_t size) {
  if (!isfinite(low) || !isfinite(high))
    return false;
  fg_quantity quantity = setting->type == FG_T_INTEGER ? FG_Q_INTEGER : setting->quantity;
  char from[128];
  char to[128];
  value_text(quantity, units, both, low, from, sizeof from);
  value_text(quantity, units, both, high, to, sizeof to);
  (void)snprintf(buffer, size, "%s to %s", from, to);
  return true;
}

/* How to find out, the words that stand for a number, and how exact that is. */
static void explain_measuring(const fg_setting *setting, fg_setting_line *line, void *context) {
  const int place = fg_setting_row_of(setting);
  const fg_measuring *row = fg_measuring_for(place);
  char label[32], text[128];
  for (const fg_word *word = fg_setting_words(place); word && word->word; ++word) {
    char value[32], error[32];
    (void)snprintf(label, sizeof label, "\"%s\"", word->word);
    (void)fg_quantity_text(setting->quantity, FG_UNITS_US, word->value, value, sizeof value);
    (void)fg_quantity_error_text(setting->quantity, FG_UNITS_US, word->error, error, sizeof error);
    (void)snprintf(text, sizeof text, "%s +- %s: %s", value, error, word->test);
    line(context, label, text);
  }
  if (!row)
    return;
  if (row->row != place)
    line(context, "Give instead", fg_settings[row->row].key);
  line(context, "Measure", row->how);
  line(context, "How exact", row->exactness);
}

void fg_setting_explain(const fg_setting *setting, fg_unit_system units, bool both,
                        fg_setting_line *line, void *context) {
  char text[FG_SETTING_WORDS];
  if (setting->meaning[0] != '\0')
    line(context, "Meaning", setting->meaning);
  if (setting->basis[0] != '\0')
    line(context, "Counted as", setting->basis);
  line(context, "Written", fg_setting_written_text(setting, units, text, sizeof text));
  line(context, "Default", fg_setting_default_text(setting, units, both, text, sizeof text));
  if (range_text(setting, units, both, setting->lowest, setting->highest, text, sizeof text))
    line(context, "Allowed", text);
  if (range_text(setting, units, both, setting->likely_low, setting->likely_high, text,
                 sizeof text))
    line(context, "Likely", text);
  if (setting->source[0] != '\0')
    line(context, "Source", setting->source);
  explain_measuring(setting, line, context);
}
