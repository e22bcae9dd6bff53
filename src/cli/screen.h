/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SCREEN_H
#define FLOURGOLD_SCREEN_H

enum { FG_SCREEN_LEAST = 40, FG_SCREEN_MOST = 100, FG_SCREEN_USUAL = 72 };

/* Columns for text written to a descriptor: of a terminal COLUMNS, else what it says itself,
 * brought between FG_SCREEN_LEAST and FG_SCREEN_MOST; FG_SCREEN_USUAL for all that is none. */
int fg_screen_columns(int descriptor);

/* Tells from now on, on standard error and where that is a terminal, how far long work is: in one
 * line, once it took a second. */
void fg_screen_progress(void);

/* Takes that line away.  Safe inside a signal handler. */
void fg_screen_clear(void);

#endif
