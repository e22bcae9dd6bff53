/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_PRESCAN_H
#define FLOURGOLD_CONFIG_PRESCAN_H

#include <stdbool.h>
#include <stddef.h>

#include "core/faults.h"
#include "core/text.h"
#include "flourgold/status.h"

/* What libconfig must not see is taken out or refused before it reads a text: it opens
 * no file itself, gets no more than it can swallow quickly, and no number that it would
 * bend.  A file and all it includes become one text; each line of it remembers where it
 * came from. */

enum {
  FG_FLAT_FILES_MAX = 100,         /* files in one scenario, repeated includes counted */
  FG_FLAT_BYTES_MAX = 1024 * 1024, /* of all files together */
  FG_FLAT_DEPTH_MAX = 10,          /* includes within includes */
  FG_FLAT_NESTING_MAX = 32,        /* brackets within brackets */
  FG_FLAT_ASSIGNMENTS_MAX = 5000,
  FG_FLAT_VALUES_MAX = 20000, /* elements of lists */
  FG_FLAT_STRING_MAX = 4096   /* bytes */
};

typedef struct fg_flat_line {
  int file; /* index into files */
  int line;
} fg_flat_line;

typedef struct fg_flat {
  fg_text text;
  fg_flat_line *lines; /* lines[i] tells where line i + 1 of the text came from */
  size_t line_count, line_room;
  char *files[FG_FLAT_FILES_MAX]; /* paths */
  int file_count;
  size_t bytes, assignments, values; /* so far */
  size_t settings; /* named ones and elements of lists: what libconfig has to hold after it */
} fg_flat;

/* Reads and checks a file with all its includes.  FG_EIO when `path` itself cannot be
 * read, FG_ESCENARIO for any other fault (each is in *faults), FG_EMEMORY.  Free *flat
 * in every case, but not before the places that point into it. */
fg_status fg_flat_read(const char *path, fg_flat *flat, fg_faults *faults);

/* The same for a text in memory, where @include is refused; `name` stands for the
 * file's path in messages. */
fg_status fg_flat_text(const char *name, const char *text, fg_flat *flat, fg_faults *faults);

void fg_flat_free(fg_flat *flat);

/* Where line `line` (from 1) of the flat text came from; its order is `line`. */
fg_place fg_flat_place(const fg_flat *flat, int line);

#endif
