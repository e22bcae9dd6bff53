/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_NUMBER_H
#define FLOURGOLD_CONFIG_NUMBER_H

#include <stdbool.h>
#include <stddef.h>

/* Reads the number at the start of `text`: an optional sign, then a decimal
 * ("8", "0.5", ".5", "2e3"), a fraction ("1/2") or a mixed fraction ("1 1/2",
 * "1-1/2").  *value and *rest (the first character behind it) are written on success.
 * False with a sentence in message[size] otherwise. */
bool fg_number_scan(const char *text, double *value, const char **rest, char *message, size_t size);

/* The same for a number in words, from "a quarter" to "twelve", or with such a part behind it:
 * "half an inch", "two", "2 and a half"; *rest begins with the unit.  False when there is none. */
bool fg_number_said(const char *text, double *value, const char **rest);

/* The first character of `text` that is neither a space, a tab nor a no-break space. */
const char *fg_skip_blanks(const char *text);

/* Reads "A,B" as two finite numbers and nothing else. */
bool fg_pair_parse(const char *text, double *a, double *b, char *message, size_t size);

#endif
