/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_MEASURING_H
#define FLOURGOLD_MEASURING_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"

/* How settings are measured with what a household has: bucket, scale, kitchen sieves, a clear
 * tube of water, a ruler, a phone. */

typedef struct fg_measuring {
  int row;               /* the setting, or the reading, to write down */
  int stands_for;        /* row of the setting that a reading replaces; FG_SET_NONE: row itself */
  const char *form;      /* a line to fill in, blanks as ____ */
  const char *how;       /* what to do */
  const char *exactness; /* how exact that is, in words */
  /* One standard deviation of a reading written without its error: the larger of the two.
   * Both 0: none is taken. */
  double error;       /* SI */
  double error_share; /* of the value */
} fg_measuring;

extern const fg_measuring fg_measurings[];
extern const size_t fg_measurings_count;

/* How a setting, or a reading, is taken, or NULL. */
const fg_measuring *fg_measuring_of(int row);

/* The row that tells how to find out about a setting: its own, or that of the reading that
 * stands for it; NULL when there is none. */
const fg_measuring *fg_measuring_for(int row);

/* A word that stands for a value. */
typedef struct fg_word {
  const char *word;
  double value, error; /* SI; one standard deviation */
  const char *test;    /* when to use it */
} fg_word;

/* The words a number row takes in place of a number, ended by a NULL word; NULL: none. */
const fg_word *fg_setting_words(int row);

/* The one that a text is, in capitals or not; NULL when it is none. */
const fg_word *fg_setting_word(int row, const char *text);
/* All words of a row with commas between; "" when it takes none.  Returns buffer. */
const char *fg_setting_words_text(int row, char *buffer, size_t size);

/* Whether a row is a reading that nobody took: it has no value and is no assumption. */
bool fg_reading_absent(const fg_scenario *scenario, size_t row);

/* Row of the reading that a row's value was worked out from, or FG_SET_NONE. */
int fg_setting_from(const fg_scenario *scenario, int row);

#endif
