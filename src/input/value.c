/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/nearest.h"
#include "flourgold/quantity.h"
#include "input/choice.h"
#include "input/quantity_read.h"
#include "input/reader.h"
#include "input/share_hint.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"
#include "scenario/unlikely.h"

static void *field(fg_scenario *scenario, int row) {
  return (char *)scenario + fg_settings[row].offset;
}

void fg_reset_row(fg_reader *reader, int row) {
  static const size_t sizes[] = {[FG_T_NUMBER] = sizeof(double),
                                 [FG_T_INTEGER] = sizeof(int),
                                 [FG_T_BOOLEAN] = sizeof(bool),
                                 [FG_T_TEXT] = FG_TEXT_MAX,
                                 [FG_T_CHOICE] = sizeof(int),
                                 [FG_T_CLASSES] = 0,
                                 [FG_T_CURVE] = 0,
                                 [FG_T_SIEVES] = 0};
  const fg_setting *setting = &fg_settings[row];
  memcpy(field(reader->scenario, row), field(&reader->standard, row), sizes[setting->type]);
  if (setting->basis_offset != 0)
    memcpy((char *)reader->scenario + setting->basis_offset,
           (const char *)&reader->standard + setting->basis_offset, sizeof(int));
  if (setting->type == FG_T_CLASSES)
    reader->scenario->gold.class_count = 0;
  if (setting->type == FG_T_CURVE)
    reader->scenario->blower.curve_count = 0;
  if (setting->type == FG_T_SIEVES)
    reader->scenario->ground.sieve_count = 0;
  reader->scenario->error_of[row] = 0.0;
  reader->scenario->origin[row] = FG_FROM_DEFAULT;
  reader->place[row] = (fg_place){0};
  reader->faulty[row] = false;
}

/* "6 in to 157 in (152 mm to 4000 mm)" */
static void range_text(const fg_setting *setting, char *text, size_t size) {
  char low[2][64], high[2][64];
  for (int units = 0; units < 2; ++units) {
    fg_quantity_text(setting->quantity, (fg_unit_system)units, setting->lowest, low[units], 64);
    fg_quantity_text(setting->quantity, (fg_unit_system)units, setting->highest, high[units], 64);
  }
  const fg_display *show = fg_quantity_of(setting->quantity)->show;
  if (strcmp(show[0].unit, show[1].unit) == 0)
    snprintf(text, size, "%s to %s", low[0], high[0]);
  else
    snprintf(text, size, "%s to %s (%s to %s)", low[0], high[0], low[1], high[1]);
}

void fg_share_hint(const fg_setting *setting, double si, const char *written, char *hint,
                   size_t size) {
  hint[0] = '\0';
  if (setting->quantity != FG_Q_SHARE || strchr(written, '%'))
    return;
  if (setting == &fg_settings[FG_SET_GOLD_FINENESS])
    snprintf(hint, size, "; 850 fine is written 0.850");
  else if (si > 1.0 && si <= 100.0 && si / 100.0 <= setting->highest)
    snprintf(hint, size, "; for %.6g %% write \"%.6g %%\"", si, si);
}

bool fg_check_range(fg_reader *reader, int row, double si, const char *shown,
                    const fg_place *place) {
  const fg_setting *setting = &fg_settings[row];
  /* A limit itself may come out a bit beyond when a unit is converted: 95 % is not quite 0.95. */
  const double slack = 1e-12 * fmax(fabs(setting->lowest), fabs(setting->highest));
  const bool low = si<setting->lowest - slack, high = si> setting->highest + slack;
  if (!low && !high && isfinite(si))
    return true;
  char range[280], hint[80] = "";
  const char *usual = fg_unlikely(row, si);
  range_text(setting, range, sizeof range);
  if (high)
    fg_share_hint(setting, si, shown, hint, sizeof hint);
  fg_row_fault(reader, row, place, "%s is too %s; allowed %s%s%s%s", shown, low ? "low" : "high",
               range, hint, usual ? "; " : "", usual ? usual : "");
  return false;
}

/* The value as it was written, for messages. */
static const char *shown(const fg_value *value, char buffer[static FG_QUOTED_MAX]) {
  if (value->kind == FG_V_TEXT)
    return fg_quoted(value->text, buffer);
  if (value->kind == FG_V_TRUTH)
    return value->truth ? "true" : "false";
  if (value->kind == FG_V_TREE)
    return "a list or group";
  snprintf(buffer, FG_QUOTED_MAX, "%.10g", value->number);
  return buffer;
}

/* A word that stands for a number: "sticky".  False when the text is none; then the message of
 * one without any digit lists those there are. */
static bool word_value(const fg_setting *setting, const char *text, double *si, double *error,
                       char *message) {
  const int row = fg_setting_row_of(setting);
  const fg_word *word = fg_setting_word(row, text);
  char q[FG_QUOTED_MAX], all[160];
  if (word) {
    *si = word->value;
    *error = word->error;
  } else if (fg_setting_words(row))
    snprintf(message, FG_MESSAGE_MAX, "%s is neither a number nor one of the words %s",
             fg_quoted(text, q), fg_setting_words_text(row, all, sizeof all));
  return word;
}

/* The usual error of a reading that was written without one. */
static double usual_error(const fg_setting *setting, double si) {
  const fg_measuring *row = fg_measuring_of(fg_setting_row_of(setting));
  return !row ? 0.0 : fmax(row->error, row->error_share * fabs(si));
}

static bool check_error(fg_reader *reader, int row, double error, const fg_place *place) {
  const fg_setting *setting = &fg_settings[row];
  if (error <= setting->highest - setting->lowest)
    return true;
  char shown[64];
  fg_quantity_error_text(setting->quantity, FG_UNITS_US, error, shown, sizeof shown);
  fg_row_fault(reader, row, place, "the error, %s, is wider than all that is allowed", shown);
  return false;
}

static fg_status read_text_number(const fg_setting *setting, const char *text, double *si,
                                  double *error, int *basis, char *message) {
  if (word_value(setting, text, si, error, message))
    return FG_OK;
  char listed[FG_MESSAGE_MAX];
  snprintf(listed, sizeof listed, "%s", message);
  const fg_status status = fg_quantity_parse_measured(text, setting->quantity, si, error, basis,
                                                      message, FG_MESSAGE_MAX);
  if (status != FG_OK && fg_setting_words(fg_setting_row_of(setting)) &&
      !strpbrk(text, "0123456789"))
    snprintf(message, FG_MESSAGE_MAX, "%s", listed);
  return status;
}

static void store_number(fg_reader *reader, int row, const fg_value *value) {
  const fg_setting *setting = &fg_settings[row];
  char message[FG_MESSAGE_MAX], q[FG_QUOTED_MAX];
  double si = 0.0, error = 0.0;
  int basis = FG_BASIS_SI;
  fg_status status = FG_ESCENARIO;
  snprintf(message, sizeof message, "%s stands where %s is needed, e.g. \"%s\"", shown(value, q),
           fg_quantity_of(setting->quantity)->name, fg_quantity_of(setting->quantity)->example);
  if (value->kind == FG_V_TEXT)
    status = read_text_number(setting, value->text, &si, &error, &basis, message);
  else if (value->kind == FG_V_NUMBER)
    status =
        fg_plain_quantity(value->number, setting->quantity, &si, &basis, message, FG_MESSAGE_MAX);
  if (status != FG_OK) {
    fg_row_fault(reader, row, &value->place, "%s", message);
    return;
  }
  const bool in_table_unit = setting->basis_offset == 0 || basis == FG_BASIS_SI;
  if (in_table_unit && (!fg_check_range(reader, row, si, shown(value, q), &value->place) ||
                        !check_error(reader, row, error, &value->place)))
    return;
  reader->scenario->error_of[row] = error > 0.0 ? error : usual_error(setting, si);
  memcpy(field(reader->scenario, row), &si, sizeof si);
  if (setting->basis_offset != 0)
    memcpy((char *)reader->scenario + setting->basis_offset, &basis, sizeof basis);
}

static void store_integer(fg_reader *reader, int row, const fg_value *value) {
  char message[FG_MESSAGE_MAX], q[FG_QUOTED_MAX];
  double number = 0.0;
  fg_status status = FG_ESCENARIO;
  snprintf(message, sizeof message, "%s stands where a whole number is needed", shown(value, q));
  if (value->kind == FG_V_TEXT && fg_error_sign(value->text, NULL))
    snprintf(message, sizeof message, "%s: a whole number takes no error", shown(value, q));
  else if (value->kind == FG_V_TEXT)
    status = fg_quantity_parse(value->text, FG_Q_INTEGER, &number, NULL, message, FG_MESSAGE_MAX);
  else if (value->kind == FG_V_NUMBER)
    status = fg_plain_quantity(value->number, FG_Q_INTEGER, &number, NULL, message, FG_MESSAGE_MAX);
  if (status != FG_OK) {
    fg_row_fault(reader, row, &value->place, "%s", message);
    return;
  }
  if (!fg_check_range(reader, row, number, shown(value, q), &value->place))
    return;
  const int whole = (int)number;
  memcpy(field(reader->scenario, row), &whole, sizeof whole);
}

static void store_truth(fg_reader *reader, int row, const fg_value *value) {
  char q[FG_QUOTED_MAX];
  bool truth = value->truth, fine = value->kind == FG_V_TRUTH;
  /* On the command line all is text. */
  if (value->kind == FG_V_TEXT && value->source->origin == FG_FROM_SET) {
    truth = strcmp(value->text, "true") == 0;
    fine = truth || strcmp(value->text, "false") == 0;
  }
  if (!fine)
    fg_row_fault(reader, row, &value->place, "%s stands where true or false is needed%s",
                 shown(value, q), value->source->origin == FG_FROM_SET ? "" : ", without quotes");
  else
    memcpy(field(reader->scenario, row), &truth, sizeof truth);
}

/* What is wrong with a text, or NULL. */
static const char *text_fault(const char *text) {
  if (strlen(text) >= FG_TEXT_MAX)
    return "it is too long (255 bytes at most)";
  for (const char *p = text; *p != '\0';) {
    const size_t step = fg_utf8_length(p);
    if (step == 0)
      return "it is not valid UTF-8";
    if ((unsigned char)*p < 0x20 || *p == 0x7f)
      return "it holds a control character";
    p += step;
  }
  return NULL;
}

static void store_text(fg_reader *reader, int row, const fg_value *value) {
  char q[FG_QUOTED_MAX];
  if (value->kind != FG_V_TEXT) {
    fg_row_fault(reader, row, &value->place, "%s stands where a text in double quotes is needed",
                 shown(value, q));
    return;
  }
  const char *fault = text_fault(value->text);
  if (fault) {
    fg_row_fault(reader, row, &value->place, "the text cannot be used: %s", fault);
    return;
  }
  char *to = field(reader->scenario, row);
  memset(to, 0, FG_TEXT_MAX);
  memcpy(to, value->text, strlen(value->text));
}

static void store_choice(fg_reader *reader, int row, const fg_value *value) {
  const char *const *choices = fg_settings[row].choices;
  const char *text = value->kind == FG_V_TEXT ? value->text : "";
  const int choice = fg_choice_named(choices, text);
  if (choice >= 0) {
    memcpy(field(reader->scenario, row), &choice, sizeof choice);
    return;
  }
  char q[FG_QUOTED_MAX];
  fg_text list = {0};
  for (int i = 0; choices[i]; ++i)
    fg_text_printf(&list, "%s\"%s\"", i == 0 ? "" : ", ", choices[i]);
  const char *near = fg_nearest(text, choices);
  fg_row_fault(reader, row, &value->place, "%s is not among the choices%s: %s%s%s%s",
               shown(value, q), fg_error_sign(text, NULL) ? ", which take no error" : "",
               list.failed ? "" : list.bytes, near ? " (perhaps " : "", near ? near : "",
               near ? ")" : "");
  fg_text_free(&list);
}

void fg_store(fg_reader *reader, int row, const fg_value *value) {
  reader->faulty[row] = false;
  switch (fg_settings[row].type) {
  case FG_T_NUMBER:
    store_number(reader, row, value);
    break;
  case FG_T_INTEGER:
    store_integer(reader, row, value);
    break;
  case FG_T_BOOLEAN:
    store_truth(reader, row, value);
    break;
  case FG_T_TEXT:
    store_text(reader, row, value);
    break;
  case FG_T_CHOICE:
    store_choice(reader, row, value);
    break;
  case FG_T_CLASSES:
    fg_store_classes(reader, row, value);
    break;
  case FG_T_CURVE:
    fg_store_curve(reader, row, value);
    break;
  case FG_T_SIEVES:
    fg_store_sieves(reader, row, value);
    break;
  }
  reader->place[row] = value->place;
  reader->scenario->origin[row] = (unsigned char)value->source->origin;
}
