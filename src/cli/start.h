/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_START_H
#define FG_CLI_START_H

#include <stdbool.h>
#include <stddef.h>

#include "core/text.h"
#include "flourgold/settings.h"

/* The questions of `start`, and the scenario that their answers make. */

enum { FG_ANSWER_MAX = 120 };

/* What the scenario gets when the owner does not know. */
typedef enum fg_unknown {
  FG_UNKNOWN_ASSUMED, /* nothing: the program's own default counts, and is listed */
  FG_UNKNOWN_GUESSED  /* the usual value, since the program needs one; marked as a guess */
} fg_unknown;

typedef struct fg_question {
  fg_setting_row row; /* setting that the answer goes to */
  fg_unknown unknown;
  const char *question;
  const char *how;   /* how to find out */
  const char *usual; /* the answer in brackets; "?" when it is not to be guessed */
  const char *guess; /* FG_UNKNOWN_GUESSED: what is written instead, with its doubt */
} fg_question;

extern const fg_question fg_questions[];
extern const size_t fg_questions_count;

/* Whether a text answers a question; false with a sentence in message[size].  "?" does. */
bool fg_answer_fits(const fg_question *question, const char *answer, char *message, size_t size);

/* The word of the question's list that an answer means ("two_stroke" for "2-stroke"), or NULL
 * when it is none or the question has no list. */
const char *fg_answer_choice(const fg_question *question, const char *answer);

/* The commented scenario of all answers. */
void fg_start_scenario(const char answers[][FG_ANSWER_MAX], fg_text *out);

#endif
