/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What `start` asks, and what is made of the answers. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/start.h"
#include "flourgold/quantity.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/choice.h"
#include "input/share_hint.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"

const fg_question fg_questions[] = {
    {FG_SET_SITE_ELEVATION, FG_UNKNOWN_ASSUMED, "How high above sea level is the place?",
     "From a map or a phone. Thin air lifts less, and engines lose power.", "2000 ft", NULL},
    {FG_SET_GROUND_MOISTURE, FG_UNKNOWN_ASSUMED, "How much water is in the ground?",
     "Dusty, pours like dry sand: 0.5 %. Cool to the hand, no dust: 1.5 %. Balls when squeezed: "
     "3 % or more. Best: dry a weighed pan of it (calc moisture).",
     "0.5 +- 0.3 %", NULL},
    {FG_SET_GROUND_CLAY, FG_UNKNOWN_ASSUMED, "How much clay: none, trace, some or sticky?",
     "Wet and knead a handful of fines. Falls apart: none. A ball that breaks at a touch: trace. "
     "A ribbon under an inch: some. A longer ribbon: sticky. Or a share: 3 %.",
     "none", NULL},
    {FG_SET_SCREEN_OPENING, FG_UNKNOWN_ASSUMED, "How wide are the holes of your screen?",
     "Inside width of one hole, or its mesh number.", "1/4 in", NULL},
    {FG_SET_DECK_LENGTH, FG_UNKNOWN_GUESSED, "How long is the riffled deck, along the flow?",
     "Ruler, from below the hopper to the tail.", "30 in", "30 in +- 5 in"},
    {FG_SET_DECK_WIDTH, FG_UNKNOWN_GUESSED, "How wide is it, inside the side walls?", "Ruler.",
     "12 in", "12 in +- 2 in"},
    {FG_SET_DECK_RIFFLES, FG_UNKNOWN_GUESSED, "How many riffles does it have?",
     "Count the bars across the flow.", "6", "6"},
    {FG_SET_DECK_SLOPE, FG_UNKNOWN_ASSUMED, "How steep is it?",
     "Hold a level a foot long on the deck: inches of gap under its low end, as in 4 3/8 in/ft. "
     "Or a phone's level, as in 20 deg.",
     "4 3/8 in/ft", NULL},
    {FG_SET_BLOWER_KIND, FG_UNKNOWN_ASSUMED,
     "What drives the blower: two_stroke, four_stroke, battery or mains?",
     "Engines lose power with height, the others do not.", "two_stroke", NULL},
    {FG_SET_BLOWER_FREE_VOLUME, FG_UNKNOWN_GUESSED, "What air volume does its label promise?",
     "On the blower or in its booklet, in cfm or m3/h.", "450 cfm", "450 cfm +- 80 cfm"},
    {FG_SET_BLOWER_NOZZLE_SPEED, FG_UNKNOWN_GUESSED, "And what air speed?",
     "Beside the volume, in mph or m/s: it sets the pressure the blower can give.", "190 mph",
     "190 mph +- 15 mph"},
    {FG_SET_RUN_THROTTLE, FG_UNKNOWN_ASSUMED, "How far open is the throttle when you run?",
     "Speed of the fan over its greatest: the pitch of the hum tells (a phone tuner).", "80 %",
     NULL},
    {FG_SET_RUN_GATE_OPENING, FG_UNKNOWN_ASSUMED,
     "How far open is the slide gate that bleeds air from the box?",
     "Open part over the whole; 0 % when there is none.", "60 %", NULL},
    {FG_SET_RUN_FEED, FG_UNKNOWN_GUESSED, "How fast do you shovel?",
     "Time from one five-gallon bucket of loose gravel to the next, stops left out.",
     "2 min/bucket", "2 +- 0.7 min/bucket"},
    {FG_SET_DECK_EMPTY_BOX_PRESSURE, FG_UNKNOWN_ASSUMED,
     "What does a tube of water on the empty box read?",
     "Clear tube, half full, bent to a U, one end sealed into the box. Empty deck, gate shut, "
     "full throttle: from one level to the other; 3 1/2 inches are written 3 1/2 inH2O.",
     "?", NULL},
    {FG_SET_SHAKER_SPEED, FG_UNKNOWN_ASSUMED, "How fast does the shaker turn while you run?",
     "Turns a minute, as in 1500 rpm: from slow motion of a phone, or the pitch of the hum (rpm = "
     "60 x Hz).",
     "?", NULL},
};

const size_t fg_questions_count = sizeof fg_questions / sizeof fg_questions[0];

const char *fg_answer_choice(const fg_question *question, const char *answer) {
  const fg_setting *setting = &fg_settings[question->row];
  const int choice = setting->type == FG_T_CHOICE ? fg_choice_named(setting->choices, answer) : -1;
  return choice < 0 ? NULL : setting->choices[choice];
}

/* All words of a list. */
static void offer_choices(const fg_setting *setting, char *message, size_t size) {
  size_t used = (size_t)snprintf(message, size, "one of");
  for (size_t i = 0; setting->choices[i] && used < size; ++i)
    used += (size_t)snprintf(message + used, size - used, "%s %s", i > 0 ? "," : "",
                             setting->choices[i]);
}

static bool fits_word(const fg_setting *setting, const char *answer) {
  for (const fg_word *word = fg_setting_words(fg_setting_row_of(setting)); word && word->word;
       ++word)
    if (strcmp(word->word, answer) == 0)
      return true;
  return false;
}

/* Which of the words there are, for an answer that is no number either. */
static void offer_words(const fg_setting *setting, char *message, size_t size) {
  size_t used = strlen(message);
  for (const fg_word *word = fg_setting_words(fg_setting_row_of(setting));
       word && word->word && used < size; ++word)
    used += (size_t)snprintf(
        message + used, size - used, "%s %s",
        word == fg_setting_words(fg_setting_row_of(setting)) ? "; or one of" : ",", word->word);
}

static bool in_range(const fg_setting *setting, fg_quantity quantity, double si, int basis,
                     const char *answer, char *message, size_t size) {
  char low[64], high[64], hint[80] = "";
  if (basis != FG_BASIS_SI || (si >= setting->lowest && si <= setting->highest))
    return true;
  (void)fg_quantity_text(quantity, FG_UNITS_US, setting->lowest, low, sizeof low);
  (void)fg_quantity_text(quantity, FG_UNITS_US, setting->highest, high, sizeof high);
  if (si > setting->highest)
    fg_share_hint(setting, si, answer, hint, sizeof hint);
  (void)snprintf(message, size, "it can be %s to %s%s", low, high, hint);
  return false;
}

bool fg_answer_fits(const fg_question *question, const char *answer, char *message, size_t size) {
  const int row = question->row;
  if (strcmp(answer, "?") == 0)
    return true;
  const fg_setting *setting = &fg_settings[row];
  const bool whole = setting->type == FG_T_INTEGER;
  const fg_quantity quantity = whole ? FG_Q_INTEGER : setting->quantity;
  double si, error;
  int basis = FG_BASIS_SI;
  if (setting->type == FG_T_CHOICE) {
    offer_choices(setting, message, size);
    return fg_answer_choice(question, answer) != NULL;
  }
  if (fits_word(setting, answer))
    return true;
  if (fg_quantity_parse_measured(answer, quantity, &si, &error, &basis, message, size) == FG_OK)
    return in_range(setting, quantity, si, basis, answer, message, size);
  offer_words(setting, message, size);
  return false;
}

/* ---- the file ---- */

static size_t group_length(const char *key) { return strcspn(key, "."); }

static void add_setting(fg_text *out, const fg_question *q, const char *answer) {
  const char *name = fg_settings[q->row].key + group_length(fg_settings[q->row].key) + 1;
  const bool unknown = strcmp(answer, "?") == 0;
  const int row = q->row;
  const bool bare = fg_settings[row].type == FG_T_INTEGER;
  const char *quote = bare ? "" : "\"";
  if (!unknown)
    fg_text_printf(out, "  %s = %s%s%s;\n", name, quote, answer, quote);
  else if (q->unknown == FG_UNKNOWN_GUESSED)
    fg_text_printf(out,
                   "  # Not known: a guess until it is looked up or measured.\n"
                   "  %s = %s%s%s;\n",
                   name, quote, q->guess, quote);
  else
    fg_text_printf(out, "  # %s: not known, left to what is usual.\n", name);
}

void fg_start_scenario(const char answers[][FG_ANSWER_MAX], fg_text *out) {
  fg_text_add(out, "# A scenario made by `flourgold start`.  Change anything; `flourgold\n"
                   "# keys` explains every setting, `flourgold measure` says which ones to\n"
                   "# find out next.  Errors may stand behind any number: \"8 in +- 1/8 in\".\n");
  const char *open = "";
  for (size_t i = 0; i < fg_questions_count; ++i) {
    const fg_question *q = &fg_questions[i];
    const size_t length = group_length(fg_settings[q->row].key);
    bool done = false;
    for (size_t k = 0; k < i; ++k)
      done = done || strncmp(fg_settings[fg_questions[k].row].key, fg_settings[q->row].key,
                             length + 1) == 0;
    if (done)
      continue;
    fg_text_printf(out, "%s\n%.*s = {\n", open, (int)length, fg_settings[q->row].key);
    for (size_t k = i; k < fg_questions_count; ++k) {
      if (strncmp(fg_settings[fg_questions[k].row].key, fg_settings[q->row].key, length + 1) != 0)
        continue;
      fg_text_printf(out, "  # %s\n", fg_questions[k].question);
      add_setting(out, &fg_questions[k], answers[k]);
    }
    open = "};\n";
  }
  fg_text_add(out, "};\n");
}
