/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_QUANTITY_READ_H
#define FLOURGOLD_CONFIG_QUANTITY_READ_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/quantity.h"
#include "flourgold/status.h"

/* One number and one unit, as a value of `quantity`; otherwise as fg_quantity_parse(), which reads
 * by it what is written in two parts. */
fg_status fg_quantity_single(const char *text, fg_quantity quantity, double *si, int *basis,
                             char *message, size_t size);

/* A number written without any unit, as a value of `quantity`: the rules of
 * fg_quantity_parse() for a libconfig number. */
fg_status fg_plain_quantity(double number, fg_quantity quantity, double *si, int *basis,
                            char *message, size_t size);

/* The sign between a value and its error ("+-", "+/-" or the single character) in a text, or
 * NULL; *rest (may be NULL) receives what is behind it. */
const char *fg_error_sign(const char *text, const char **rest);

/* SI = number * factor + shift for numbers in a unit.  False when it is none of the quantity. */
bool fg_unit_scale(const char *unit, fg_quantity quantity, double *factor, double *shift);

#endif
