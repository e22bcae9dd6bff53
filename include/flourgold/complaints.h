/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_COMPLAINTS_H
#define FLOURGOLD_COMPLAINTS_H

#include <stddef.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Collected complaints about a scenario, ready to print one a line:
 * "file:line: key: what is wrong, what would be right".  Start from {NULL, 0}; who reads adds to
 * what is there. */
typedef struct fg_complaints {
  char **lines;
  size_t count;
} fg_complaints;

/* Frees the lines and leaves {NULL, 0}; also after a call that failed, or complained of nothing. */
void fg_complaints_free(fg_complaints *complaints);

#ifdef __cplusplus
}
#endif

#endif
