/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CHOICE_H
#define FLOURGOLD_CHOICE_H

/* Index of the choice that a text means, in capitals or not, with blanks or hyphens for _ and
 * figures for numbers ("2-stroke" for two_stroke); -1 when it is none of the list, which NULL
 * ends. */
int fg_choice_named(const char *const *choices, const char *text);

#endif
