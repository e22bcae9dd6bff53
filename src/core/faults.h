/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_FAULTS_H
#define FLOURGOLD_CORE_FAULTS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/complaints.h"

/* Faults gathered in any order while a scenario is read, and handed over as
 * complaints in the order of the file. */

/* Where something was written.  The strings are the owner's. */
typedef struct fg_place {
  const char *file; /* path as given, or "--set" */
  int line;         /* 0: no line */
  long order;       /* faults are sorted by this */
} fg_place;

enum {
  FG_ORDER_WHOLE_FILE = 2000000, /* after every line of the file */
  FG_ORDER_SETS = 3000000        /* plus the index of the --set */
};

typedef struct fg_fault {
  long order;
  size_t sequence;
  char *text;
} fg_fault;

typedef struct fg_faults {
  fg_fault *items;
  size_t count, room;
  bool failed; /* memory ran out: the list is not complete */
} fg_faults;

/* Adds "file:line: key: ..."; key NULL leaves that part out. */
void fg_fault_add(fg_faults *faults, const fg_place *place, const char *key, const char *format,
                  ...) __attribute__((format(printf, 4, 5)));

/* Sorts the faults into *complaints. */
void fg_faults_publish(fg_faults *faults, fg_complaints *complaints);
void fg_faults_free(fg_faults *faults);

enum { FG_QUOTED_MAX = 80 };

/* Writes "text" in double quotes, cut to fit, for use in a message.  Returns buffer. */
const char *fg_quoted(const char *text, char buffer[static FG_QUOTED_MAX]);

#endif
