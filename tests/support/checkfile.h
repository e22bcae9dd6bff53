/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_CHECKFILE_H
#define FG_TEST_CHECKFILE_H

#include <stdbool.h>
#include <stddef.h>

#include <jansson.h>

#include "process.h"
#include "text.h"

/* A check file is blocks of lines parted by blank lines; lines that begin with # are
 * comments.  A block runs the program once and checks what came of it:
 *
 *   source TEXT             where the expected values come from; a block of this line alone
 *                           holds for the blocks after it.  Needed below tests/published.
 *   run ARGUMENTS           split as a shell would; no shell is used.  `calc` gets
 *                           --format json when the block looks into JSON and names no format
 *   env NAME=VALUE          put into the program's environment
 *   stdin                   followed by | lines: what the program reads
 *   file NAME               followed by | lines: a file in the block's own temporary folder
 *   bytes NAME "\x00..."    such a file, byte by byte
 *   repeat NAME N "text"    such a file, the text N times
 *   dir NAME   fifo NAME   symlink NAME TARGET
 *   let NAME = json VALUES  keeps numbers for `compare` further down the file
 *
 * `@tmp` stands for the temporary folder, in arguments, file contents and expectations.
 * The program must end by itself, and with 0 unless the block has an `exit` line; or else
 * every check of the block fails.  Each of these lines is one check:
 *
 *   exit N
 *   stdout|stderr  contains|lacks|is "..."    matches "REGEX"    columns <= N
 *   same stdout as previous
 *   file @tmp/NAME  exists|absent    contains|lacks|is "..."
 *   folder @tmp holds NAME...                 these names and no others
 *   json VALUES = N [rel X%|abs X]            no tolerance: exactly
 *   json VALUES between A B                   ends allowed
 *   json VALUES < N                           also <= > >=
 *   json VALUES rising|falling                each beyond the one before
 *   json PATH is "text"|null|true|false    contains "text"    exists    absent    count N
 *   compare A OP B [rel X%|abs X]             OP < <= > >= =; names from let, or numbers
 *
 * VALUES is PATH (see json_select.h), `sum PATH` (all of them added up) or `sum PATH a+b+c`
 * (the fields added up for each element).  Several values must all pass, and compare goes
 * through two lists pair by pair.  What is not a finite number never passes. */

typedef struct fgt_block fgt_block;
typedef struct fgt_file fgt_file;

/* A line with its number; text for a here-document is in `body`. */
typedef struct fgt_line {
  int number;
  const char *text;
  fgt_text body;
} fgt_line;

typedef struct fgt_check {
  fgt_block *block;
  fgt_line line;
  const char *fault; /* NULL, or why the file is wrong here: the check fails */
} fgt_check;

typedef struct fgt_values {
  const char *name;
  double *numbers;
  size_t count;
  const char *reason; /* why there are none, or NULL */
} fgt_values;

struct fgt_block {
  fgt_file *file;
  fgt_block *previous; /* the run before, or NULL */
  const char *source;
  fgt_line *steps; /* run, set-up and let lines, in order */
  size_t step_count;
  fgt_check *checks;
  size_t check_count;
  bool has_run, has_exit;

  bool done; /* the rest is filled when the block runs */
  const char *command;
  const char *folder;
  const char *trouble; /* NULL, or why all its checks fail */
  fgt_outcome outcome;
  json_t *json;
  const char *json_trouble;
};

struct fgt_file {
  const char *path;
  fgt_block **blocks;
  size_t block_count;
  fgt_values *values;
  size_t value_count;
};

/* Reads a file.  What is wrong with it becomes checks that fail, so that it is counted;
 * a file always has at least one check. */
fgt_file *fgt_file_read(const char *path);

#endif
