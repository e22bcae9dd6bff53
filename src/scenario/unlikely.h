/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_UNLIKELY_H
#define FLOURGOLD_UNLIKELY_H

/* Values that are possible, and yet more often a slip of the pen than meant. */

/* What to say of such a value of a row (SI), a clause such as "decks usually stand at ..."; NULL
 * for a likely one, and for a row of which nothing is known. */
const char *fg_unlikely(int row, double si);

#endif
