/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COMPLAIN_H
#define FLOURGOLD_COMPLAIN_H

#include "flourgold/complaints.h"

/* Adds one line (printf style).  At most 50 are kept; a last line says how many more. */
void fg_complain(fg_complaints *complaints, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#endif
