/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_UNIT_NAMES_H
#define FLOURGOLD_CONFIG_UNIT_NAMES_H

#include <stdbool.h>
#include <stddef.h>
#include <udunits2.h>

/* Single unit names for udunits2: those of our own table first, then its own.  A whole expression
 * never reaches udunits2, whose own grammar reads more into a text than people mean. */

/* The unit system, loaded at the first call; NULL when its tables are missing. */
ut_system *fg_unit_system_load(void);

/* Gives the unit system back. */
void fg_units_free(void);

/* A fresh unit for one name (caller frees); *angle tells whether it measures an
 * angle, which udunits2 takes for a plain number.  NULL when the name is not to be
 * used: then message[size] says why and what to write. */
ut_unit *fg_unit_named(const char *name, bool *angle, char *message, size_t size);

/* Whether `name` is one of ours as it stands, digits and all ("inH2O"). */
bool fg_unit_is_ours(const char *name);

/* A unit made from one of our own constant texts; NULL on failure. */
ut_unit *fg_unit_constant(const char *spec);

#endif
