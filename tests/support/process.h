/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_PROCESS_H
#define FG_TEST_PROCESS_H

#include <stdbool.h>
#include <stddef.h>

#include "text.h"

/* How a program run ended and what it wrote. */
typedef struct fgt_outcome {
  const char *trouble; /* NULL: it ran and exited by itself; else what went wrong */
  int exit_status;     /* only when trouble is NULL */
  fgt_text out, err;
} fgt_outcome;

/* Runs a program without a shell and waits for it, at most limit_s seconds; then it is
 * killed with everything it started.
 *   arguments    NULL-terminated, arguments[0] the program's path
 *   settings     `count` texts NAME=VALUE put into its environment
 *   input        what it reads on stdin; bytes NULL: nothing, from /dev/null */
fgt_outcome fgt_process_run(char *const arguments[], char *const settings[], size_t count,
                            fgt_text input, double limit_s);

#endif
