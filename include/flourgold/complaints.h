/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COMPLAINTS_H
#define FLOURGOLD_COMPLAINTS_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Collected complaints about a scenario, ready to print one a line:
 * "file:line: key: what is wrong, what would be right". */
typedef struct fg_complaints {
  char **lines;
  size_t count;
} fg_complaints;

void fg_complaints_free(fg_complaints *complaints);
/* Adds one line (printf style).  At most 50 are kept; a last line says how many more. */
void fg_complain(fg_complaints *complaints, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

#ifdef __cplusplus
}
#endif

#endif
