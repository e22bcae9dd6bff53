/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_START_H
#define FG_CLI_START_H

#include <stdbool.h>
#include <stddef.h>

#include "core/text.h"
#include "flourgold/settings.h"

/* The questions of `start`, and the scenario that their answers make. */

enum { FG_ANSWER_MAX = 120, FG_OWN_UNITS_MAX = 2 };

/* What the scenario gets when the owner does not know. */
typedef enum fg_unknown {
  FG_UNKNOWN_ASSUMED, /* nothing: the program's own default counts, and is listed */
  FG_UNKNOWN_GUESSED  /* the usual value, since the program needs one; marked as a guess */
} fg_unknown;

/* What goes around an answer that is none by itself: a number alone in the question's own unit. */
typedef struct fg_own_unit {
  const char *before, *after; /* "" or NULL: nothing */
} fg_own_unit;

typedef struct fg_question {
  fg_setting_row row; /* setting that the answer goes to */
  fg_unknown unknown;
  const char *question;
  const char *how;                        /* how to find out */
  const char *usual;                      /* the answer in brackets; "?": not to be guessed */
  const char *guess;                      /* FG_UNKNOWN_GUESSED: written instead, with its doubt */
  fg_own_unit own_unit[FG_OWN_UNITS_MAX]; /* tried in turn; the first one is told */
} fg_question;

extern const fg_question fg_questions[];
extern const size_t fg_questions_count;

/* What the scenario is to say for an answer: "2 ft 6 in" for 2' 6", two_stroke for "2-stroke", a
 * number alone with the question's own unit; "?" stays.  False with a sentence in message[size]
 * when the text answers nothing. */
bool fg_answer_take(const fg_question *question, const char *answer, char taken[FG_ANSWER_MAX],
                    char *message, size_t size);

/* Why an answer that was taken is hardly meant, or NULL. */
const char *fg_answer_doubt(const fg_question *question, const char *taken);

/* What counts when the answer is "?".  Returns buffer. */
const char *fg_answer_assumed(const fg_question *question, char *buffer, size_t size);

/* The commented scenario of all answers that were taken. */
void fg_start_scenario(const char answers[][FG_ANSWER_MAX], fg_text *out);

#endif
