/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_RUN_PROGRAM_H
#define FLOURGOLD_RUN_PROGRAM_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/status.h"

/* What a program that was run has left. */
typedef struct fg_run {
  char *out; /* standard output, caller frees */
  size_t out_length;
  char *err;  /* standard error, terminated; caller frees */
  int error;  /* errno when it could not be started, else 0 */
  int status; /* as from waitpid() */
  bool timed_out;
} fg_run;

/* Runs a program (found on PATH) without a shell, standard input empty and no descriptor of
 * ours open in it, and waits at most `seconds`; then it is killed
 * with all that it started.  No file it writes, its output included, grows beyond 64 MiB.  FG_EIO
 * when it could not be started or watched (run->error says why), FG_EMEMORY; FG_OK says only that
 * it ran. */
fg_status fg_run_program(const char *const *arguments, double seconds, fg_run *run);
void fg_run_free(fg_run *run);

/* Ends the program under way, if there is one, with all that it started.  Safe inside a signal
 * handler. */
void fg_run_abandon(void);

#endif
