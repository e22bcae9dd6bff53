/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_NEAREST_H
#define FLOURGOLD_NEAREST_H

/* The word of a NULL-terminated list that `word` was most likely meant to be, or
 * NULL when none is close.  Close means: at most one slip in three letters, where
 * a slip is one letter wrong, missing, too many, or swapped with its neighbour
 * (optimal string alignment distance); upper and lower case count as equal. */
const char *fg_nearest(const char *word, const char *const *list);

#endif
