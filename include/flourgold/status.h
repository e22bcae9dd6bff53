/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_STATUS_H
#define FLOURGOLD_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

/* What a fallible function returns.  Results travel by pointer and are left
 * untouched unless the status is FG_OK. */
typedef enum fg_status {
  FG_OK = 0,
  FG_EDOMAIN,   /* an argument lies outside what the function is defined for */
  FG_ENOROOT,   /* no solution in the bracket, or the iteration did not settle */
  FG_ESTALL,    /* the deck stalls: the model has no running state to report */
  FG_ESCENARIO, /* the scenario or the command line is wrong */
  FG_EIO,       /* a file could not be read or written */
  FG_EMEMORY    /* memory ran out */
} fg_status;

/* A short English phrase for a status, for any other number too; never NULL. */
const char *fg_status_text(fg_status status);

#ifdef __cplusplus
}
#endif

#endif
