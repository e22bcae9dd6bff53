/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_UNIT_TABLE_H
#define FLOURGOLD_CORE_UNIT_TABLE_H

#include <stdbool.h>
#include <stddef.h>

/* The one table of units: what people write, what is shown and what names of data end in. */

typedef enum fg_unit_kind {
  FG_UNIT_METRIC = 0,
  FG_UNIT_CUSTOMARY,
  FG_UNIT_REFUSED /* means too much, or nothing here */
} fg_unit_kind;

enum { FG_UNIT_NAMES_MAX = 10 };

/* SI = (number + shift) * factor. */
typedef struct fg_unit_row {
  const char *names[FG_UNIT_NAMES_MAX]; /* as shown, then as people write it; ended by NULL */
  const char *si; /* what it measures, as udunits2 spells it; of a refused one what to write */
  double factor;
  double shift; /* of temperatures, which stand alone */
  fg_unit_kind kind;
} fg_unit_row;

extern const fg_unit_row fg_unit_table[];
extern const size_t fg_unit_table_count;

/* The row of a single name, or NULL.  C is a coulomb among other units and a degree alone: with
 * `temperature` only temperatures are looked through, without it all but them.  Where no name is
 * spelled just so, customary units and whole words are found in capitals too ("CFM"). */
const fg_unit_row *fg_unit_find(const char *name, bool temperature);

/* Bytes of the longest name of several words, "inches of water", that the text begins with; 0 when
 * it begins with none. */
size_t fg_unit_phrase(const char *text);

/* How a unit is shown: shown = SI * factor + offset. */
typedef struct fg_scale {
  double factor, offset;
  bool customary;
} fg_scale;

/* The scale of a unit as it is shown: names of the table with a digit for a power, joined by a
 * blank or, each for the one name behind it, by / ("lb/yd3", "Pa s", "1/s", "MJ/m2/day"); "" is 1.
 * A name that is not in the table counts as 1. */
fg_scale fg_unit_shown(const char *unit);

#endif
