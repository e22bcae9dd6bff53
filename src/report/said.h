/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAID_H
#define FLOURGOLD_SAID_H

#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/quantity.h"

/* Figures as people say them, of what a model worked out: two significant digits, whole degrees
 * and decibels, sieves by their mesh, times in seconds to days, little fluid in ounces, little gold
 * in milligrams, whatever their size.  What was typed in is for fg_quantity_text(). */

/* "62 %", "95 mesh (0.16 mm)", "35 min", "1.9 fl oz"; "unknown" when it is not finite.  Returns
 * buffer (always terminated). */
const char *fg_said(fg_quantity q, fg_unit_system units, double si, char *buffer, size_t size);

/* The middle of a band and its ends: "62 % (32 to 90)"; the ends only where they read otherwise.
 * Without a band the figure itself. */
const char *fg_said_banded(fg_quantity q, fg_unit_system units, const fg_banded *figure,
                           char *buffer, size_t size);

/* The same of a change, with its sign: "+6 % (+1 to +12)". */
const char *fg_said_change(const char *unit, double factor, const fg_banded *change, char *buffer,
                           size_t size);

/* Significant digits of such a figure, and `shown` (in the unit people read) with no more. */
int fg_said_digits(fg_quantity q);
double fg_said_rounded(fg_quantity q, double shown);

#endif
