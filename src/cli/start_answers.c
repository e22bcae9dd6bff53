/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Answers to the questions of `start`. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/start.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/choice.h"
#include "input/share_hint.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"
#include "scenario/unlikely.h"

/* A value on its way from an answer to the scenario. */
typedef struct reading {
  const fg_question *question;
  const fg_setting *setting;
  fg_quantity quantity;
  double si;
  int basis;
  char *message;
  size_t size;
} reading;

static reading reading_of(const fg_question *question, char *message, size_t size) {
  const fg_setting *setting = &fg_settings[question->row];
  const fg_quantity quantity = setting->type == FG_T_INTEGER ? FG_Q_INTEGER : setting->quantity;
  return (reading){question, setting, quantity, 0.0, FG_BASIS_SI, message, size};
}

/* The marks for inches and feet as words, which may stand in a file: 2' 6" is 2 ft 6 in. */
static void spell_marks(const char *answer, char out[static FG_ANSWER_MAX]) {
  static const struct {
    const char *mark, *word;
  } marks[] = {{"''", "in"}, {"\"", "in"},           {"\xe2\x80\xb3", "in"}, {"\xe2\x80\x9d", "in"},
               {"'", "ft"},  {"\xe2\x80\xb2", "ft"}, {"\xe2\x80\x99", "ft"}};
  const size_t count = sizeof marks / sizeof marks[0];
  size_t used = 0;
  while (*answer != '\0' && used + 8 < FG_ANSWER_MAX) {
    size_t i = 0;
    while (i < count && strncmp(answer, marks[i].mark, strlen(marks[i].mark)) != 0)
      ++i;
    if (i == count) {
      out[used++] = *answer++;
      continue;
    }
    answer += strlen(marks[i].mark);
    const bool more = isalnum((unsigned char)*answer);
    used += (size_t)snprintf(out + used, FG_ANSWER_MAX - used, "%s%s%s",
                             used > 0 && out[used - 1] == ' ' ? "" : " ", marks[i].word,
                             more ? " " : "");
  }
  out[used] = '\0';
}

/* Whether a value lies in the setting's range; the message says so otherwise. */
static bool in_range(const reading *r, const char *answer) {
  const fg_setting *setting = r->setting;
  char low[64], high[64], hint[80] = "";
  if (r->basis != FG_BASIS_SI || (r->si >= setting->lowest && r->si <= setting->highest))
    return true;
  const char *usual = fg_unlikely(r->question->row, r->si);
  (void)fg_quantity_text(r->quantity, FG_UNITS_US, setting->lowest, low, sizeof low);
  (void)fg_quantity_text(r->quantity, FG_UNITS_US, setting->highest, high, sizeof high);
  if (r->si > setting->highest)
    fg_share_hint(setting, r->si, answer, hint, sizeof hint);
  (void)snprintf(r->message, r->size, "it can be %s to %s%s%s%s", low, high, hint,
                 usual ? "; " : "", usual ? usual : "");
  return false;
}

typedef enum fit { FITS, OUT_OF_RANGE, NO_VALUE } fit;

static fit fit_of(reading *r, const char *text) {
  double error;
  r->basis = FG_BASIS_SI;
  if (fg_quantity_parse_measured(text, r->quantity, &r->si, &error, &r->basis, r->message,
                                 r->size) != FG_OK)
    return NO_VALUE;
  return in_range(r, text) ? FITS : OUT_OF_RANGE;
}

/* The answer in the question's own unit, where it is none by itself.  Of several failures the one
 * is told that came nearest. */
static bool take_in_own_unit(const reading *given, char taken[static FG_ANSWER_MAX]) {
  char told[256] = "", text[2 * FG_ANSWER_MAX];
  reading r = *given;
  bool near = false;
  r.message = told;
  r.size = sizeof told;
  for (size_t i = 0; i < FG_OWN_UNITS_MAX && r.question->own_unit[i].after; ++i) {
    const fg_own_unit *own = &r.question->own_unit[i];
    (void)snprintf(text, sizeof text, "%s%s%s", own->before, taken, own->after);
    const fit fits = strlen(text) < FG_ANSWER_MAX ? fit_of(&r, text) : NO_VALUE;
    if (fits == FITS) {
      memcpy(taken, text, strlen(text) + 1);
      return true;
    }
    if (fits == OUT_OF_RANGE && !near)
      (void)snprintf(given->message, given->size, "%s", told);
    near = near || fits == OUT_OF_RANGE;
  }
  return false;
}

static bool take_number(const fg_question *question, const char *answer,
                        char taken[static FG_ANSWER_MAX], char *message, size_t size) {
  reading r = reading_of(question, message, size);
  char words[160];
  spell_marks(answer, taken);
  const fit fits = fit_of(&r, taken);
  if (fits == FITS && r.quantity == FG_Q_INTEGER)
    (void)snprintf(taken, FG_ANSWER_MAX, "%.0f", r.si);
  if (fits == FITS || take_in_own_unit(&r, taken))
    return true;
  const size_t used = strlen(message);
  if (fits == NO_VALUE && fg_setting_words(question->row) && used < size)
    (void)snprintf(message + used, size - used, "; or one of %s",
                   fg_setting_words_text(question->row, words, sizeof words));
  return false;
}

static bool take_choice(const fg_question *question, const char *answer,
                        char taken[static FG_ANSWER_MAX], char *message, size_t size) {
  const char *const *choices = fg_settings[question->row].choices;
  const int choice = fg_choice_named(choices, answer);
  if (choice >= 0) {
    (void)snprintf(taken, FG_ANSWER_MAX, "%s", choices[choice]);
    return true;
  }
  size_t used = (size_t)snprintf(message, size, "one of");
  for (size_t i = 0; choices[i] && used < size; ++i)
    used += (size_t)snprintf(message + used, size - used, "%s %s", i > 0 ? "," : "", choices[i]);
  return false;
}

bool fg_answer_take(const fg_question *question, const char *answer,
                    char taken[static FG_ANSWER_MAX], char *message, size_t size) {
  const fg_word *word = fg_setting_word(question->row, answer);
  if (strcmp(answer, "?") == 0 || word) {
    (void)snprintf(taken, FG_ANSWER_MAX, "%s", word ? word->word : answer);
    return true;
  }
  return fg_settings[question->row].type == FG_T_CHOICE
             ? take_choice(question, answer, taken, message, size)
             : take_number(question, answer, taken, message, size);
}

const char *fg_answer_doubt(const fg_question *question, const char *taken) {
  char message[256];
  reading r = reading_of(question, message, sizeof message);
  fg_scenario standard;
  if (r.setting->type == FG_T_CHOICE || fit_of(&r, taken) != FITS)
    return NULL;
  fg_scenario_default(&standard);
  if (r.basis == FG_BASIS_VOLUME)
    r.si *= standard.ground.bulk_density;
  return r.basis == FG_BASIS_MASS ? NULL : fg_unlikely(question->row, r.si);
}

const char *fg_answer_assumed(const fg_question *question, char *buffer, size_t size) {
  fg_scenario standard;
  char text[160];
  fg_scenario_default(&standard);
  if (question->unknown == FG_UNKNOWN_GUESSED)
    (void)snprintf(buffer, size, "A guess is written: %s.", question->guess);
  else if (fg_reading_absent(&standard, question->row))
    (void)snprintf(buffer, size, "Left out; what it would tell is taken as usual.");
  else
    (void)snprintf(
        buffer, size, "Taken as usual: %s.",
        fg_setting_text(&fg_settings[question->row], &standard, FG_UNITS_US, text, sizeof text));
  return buffer;
}
