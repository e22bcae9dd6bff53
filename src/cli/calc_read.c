/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads the arguments of a formula and checks them; also what its function calls. */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/calc.h"
#include "core/complain.h"
#include "core/date.h"
#include "core/nearest.h"
#include "core/text.h"
#include "flourgold/quantity.h"
#include "physics/grains.h"

enum { WORD_SIZE = 64, MINERALS_MAX = 64 };

size_t fg_calc_input_count(const fg_calc *formula) {
  size_t count = 0;
  while (count < FG_CALC_INPUTS && formula->inputs[count].name)
    ++count;
  return count;
}

int fg_calc_input_find(const fg_calc *formula, const char *name) {
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i)
    if (strcmp(formula->inputs[i].name, name) == 0)
      return (int)i;
  return -1;
}

double fg_calc_value(const fg_calc_work *work, const char *name) {
  int i = fg_calc_input_find(work->formula, name);
  return i >= 0 && work->origins[i] != FG_CALC_ABSENT ? work->values[i] : (double)NAN;
}

bool fg_calc_given(const fg_calc_work *work, const char *name) {
  int i = fg_calc_input_find(work->formula, name);
  return i >= 0 && work->origins[i] == FG_CALC_GIVEN;
}

void fg_calc_fill(fg_calc_work *work, const char *name, double value, fg_calc_origin origin) {
  int i = fg_calc_input_find(work->formula, name);
  if (i < 0 || work->origins[i] != FG_CALC_ABSENT)
    return;
  work->values[i] = value;
  work->origins[i] = origin;
}

double *fg_calc_place(fg_calc_work *work, const char *name) {
  size_t i = 0;
  while (i + 1 < FG_CALC_OUTPUTS && strcmp(work->formula->outputs[i].name, name) != 0)
    ++i;
  return &work->results[i];
}

void fg_calc_result(fg_calc_work *work, const char *name, double value) {
  *fg_calc_place(work, name) = value;
}

fg_status fg_calc_refuse(fg_calc_work *work, const char *format, ...) {
  char line[512];
  va_list list;
  va_start(list, format);
  (void)vsnprintf(line, sizeof line, format, list);
  va_end(list);
  fg_complain(&work->faults, "calc %s: %s", work->formula->name, line);
  work->refused = true;
  return FG_ESCENARIO;
}

const char *fg_calc_text(const fg_calc_input *input, double value, char *buffer, size_t size) {
  if (input->kind == FG_CALC_CHOICE)
    (void)snprintf(buffer, size, "%s", input->choices[(size_t)value]);
  else if (input->kind == FG_CALC_MINERAL)
    (void)snprintf(buffer, size, "%s", fg_minerals[(size_t)value].name);
  else if (input->kind == FG_CALC_DATE)
    (void)snprintf(buffer, size, "day %.0f of the year", value);
  else
    (void)fg_quantity_text(input->quantity, FG_UNITS_SI, value, buffer, size);
  return buffer;
}

/* "a, b, c" of a list ended by NULL. */
static void join(char *buffer, size_t size, const char *const *names) {
  buffer[0] = '\0';
  for (size_t i = 0; names[i]; ++i) {
    size_t used = strlen(buffer);
    (void)snprintf(buffer + used, size - used, "%s%s", i > 0 ? ", " : "", names[i]);
  }
}

/* Says that `word` is none of `names`, and which are. */
static void unknown_word(fg_calc_work *work, const char *what, const char *word,
                         const char *const *names) {
  char all[400];
  const char *near = fg_nearest(word, names);
  join(all, sizeof all, names);
  if (near)
    fg_calc_refuse(work, "%s '%.*s'; did you mean '%s'? All: %s", what, WORD_SIZE, word, near, all);
  else
    fg_calc_refuse(work, "%s '%.*s'; there are: %s", what, WORD_SIZE, word, all);
}

static void read_word(fg_calc_work *work, size_t i, const char *text) {
  const fg_calc_input *input = &work->formula->inputs[i];
  const char *minerals[MINERALS_MAX + 1] = {NULL};
  for (size_t m = 0; m < fg_minerals_count && m < MINERALS_MAX; ++m)
    minerals[m] = fg_minerals[m].name;
  const char *const *names = input->kind == FG_CALC_MINERAL ? minerals : input->choices;
  for (size_t n = 0; names[n]; ++n)
    if (strcmp(names[n], text) == 0) {
      work->values[i] = (double)n;
      return;
    }
  char what[WORD_SIZE + 32];
  (void)snprintf(what, sizeof what, "%s: there is no", input->name);
  unknown_word(work, what, text, names);
}

/* A value that misses an end of the range by no more than rounding in its units' conversion is
 * that end. */
static double settled(const fg_calc_input *input, double value) {
  const double ends[] = {input->lowest, input->highest};
  for (size_t i = 0; i < 2; ++i)
    if (fabs(value - ends[i]) <= 1e-12 * fabs(ends[i]))
      return ends[i];
  return value;
}

static void read_date(fg_calc_work *work, size_t i, const char *text) {
  int day;
  if (fg_date_season(text, &day) == FG_OK)
    work->values[i] = day;
  else
    fg_calc_refuse(work, "%s: '%.*s' is no day; write 2024-09-03, 3 Sep or 246",
                   work->formula->inputs[i].name, WORD_SIZE, text);
}

static void read_number(fg_calc_work *work, size_t i, const char *text) {
  const fg_calc_input *input = &work->formula->inputs[i];
  char message[256];
  double value;
  if (fg_quantity_parse(text, input->quantity, &value, NULL, message, sizeof message) != FG_OK) {
    fg_calc_refuse(work, "%s: %s", input->name, message);
    return;
  }
  value = settled(input, value);
  if (!(value >= input->lowest && value <= input->highest)) {
    char low[WORD_SIZE];
    char high[WORD_SIZE];
    fg_calc_text(input, input->lowest, low, sizeof low);
    fg_calc_text(input, input->highest, high, sizeof high);
    fg_calc_refuse(work, "%s: '%.*s' is out of range; allowed: %s to %s", input->name, WORD_SIZE,
                   text, low, high);
    return;
  }
  work->values[i] = value;
}

static void unknown_name(fg_calc_work *work, const char *name) {
  const char *names[FG_CALC_INPUTS + 1] = {NULL};
  for (size_t i = 0; i < fg_calc_input_count(work->formula); ++i)
    names[i] = work->formula->inputs[i].name;
  unknown_word(work, "there is no argument", name, names);
}

/* Keeps an argument that is none of the named ones, for the formula to read. */
static void keep_pair(fg_calc_work *work, const char *name, const char *value) {
  if (work->pair_count == FG_CALC_PAIRS) {
    fg_calc_refuse(work, "at most %d pairs", FG_CALC_PAIRS);
  } else if (strlen(name) >= FG_CALC_PART || strlen(value) >= FG_CALC_PART) {
    fg_calc_refuse(work, "'%.*s' is too long for %s", FG_CALC_PART, name, work->formula->pairs);
  } else {
    memcpy(work->pairs[work->pair_count][0], name, strlen(name) + 1);
    memcpy(work->pairs[work->pair_count++][1], value, strlen(value) + 1);
  }
}

static void read_argument(fg_calc_work *work, const char *argument) {
  char name[WORD_SIZE];
  const char *equals = strchr(argument, '=');
  if (!equals || equals == argument) {
    fg_calc_refuse(work, "'%.*s' is not name=value; for example: flourgold calc %s %s", WORD_SIZE,
                   argument, work->formula->name, work->formula->example);
    return;
  }
  size_t length = (size_t)(equals - argument);
  (void)snprintf(name, sizeof name, "%.*s", length < sizeof name ? (int)length : WORD_SIZE - 1,
                 argument);
  int i = fg_calc_input_find(work->formula, name);
  if (i < 0 && work->formula->pairs) {
    keep_pair(work, name, equals + 1);
    return;
  }
  if (i < 0) {
    unknown_name(work, name);
    return;
  }
  if (work->origins[i] == FG_CALC_GIVEN) {
    fg_calc_refuse(work, "%s is given twice", name);
    return;
  }
  work->origins[i] = FG_CALC_GIVEN;
  if (work->formula->inputs[i].kind == FG_CALC_NUMBER)
    read_number(work, (size_t)i, equals + 1);
  else if (work->formula->inputs[i].kind == FG_CALC_DATE)
    read_date(work, (size_t)i, equals + 1);
  else
    read_word(work, (size_t)i, equals + 1);
}

/* Of the inputs that stand for input `i` (itself too): how many are given, and their names. */
static size_t given_instead(const fg_calc_work *work, size_t i, fg_text *all, fg_text *given) {
  size_t count = 0;
  const fg_calc_input *inputs = work->formula->inputs;
  for (size_t k = 0; k < fg_calc_input_count(work->formula); ++k) {
    bool same = k == i || (inputs[i].instead && inputs[k].instead &&
                           strcmp(inputs[i].instead, inputs[k].instead) == 0);
    if (!same)
      continue;
    fg_text_printf(all, "%s%s", all->length > 0 ? " or " : "", inputs[k].name);
    if (work->origins[k] != FG_CALC_GIVEN)
      continue;
    fg_text_printf(given, "%s%s", given->length > 0 ? " and " : "", inputs[k].name);
    ++count;
  }
  return count;
}

/* Whether input `i` is the first of those that stand for one another. */
static bool leads(const fg_calc *formula, size_t i) {
  for (size_t k = 0; k < i && formula->inputs[i].instead; ++k)
    if (formula->inputs[k].instead &&
        strcmp(formula->inputs[k].instead, formula->inputs[i].instead) == 0)
      return false;
  return true;
}

static void check_instead(fg_calc_work *work, size_t i) {
  const fg_calc_input *input = &work->formula->inputs[i];
  fg_text all = {0};
  fg_text given = {0};
  size_t count = given_instead(work, i, &all, &given);
  char *alternatives = fg_text_take(&all, NULL);
  char *both = fg_text_take(&given, NULL);
  if (count > 1 && leads(work->formula, i))
    fg_calc_refuse(work, "%s are both given; one of them is enough", both ? both : input->name);
  else if (count == 0 && input->need == FG_CALC_NEEDED) {
    bool word = input->kind != FG_CALC_NUMBER;
    fg_calc_refuse(work, "%s is needed: %s%s%s%s%s", alternatives ? alternatives : input->name,
                   input->meaning, word ? "" : ", e.g. ", word ? "" : input->name, word ? "" : "=",
                   word ? "" : fg_quantity_of(input->quantity)->example);
  }
  free(alternatives);
  free(both);
}

void fg_calc_read(fg_calc_work *work, const char *const *words, size_t count) {
  const fg_calc *formula = work->formula;
  for (size_t i = 0; i < count; ++i)
    read_argument(work, words[i]);
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i)
    check_instead(work, i);
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i)
    if (formula->inputs[i].need == FG_CALC_STANDARD)
      fg_calc_fill(work, formula->inputs[i].name, formula->inputs[i].standard, FG_CALC_ASSUMED);
}
