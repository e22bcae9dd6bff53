/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_BLOCKRUN_H
#define FG_TEST_BLOCKRUN_H

#include <stdbool.h>

#include "checkfile.h"

/* What all runs share. */
typedef struct fgt_setup {
  const char *program; /* absolute path of the program under test */
  double limit_s;      /* time allowed for one run */
} fgt_setup;

/* Makes the block's temporary folder, runs the program and keeps the values of its let
 * lines.  Does nothing when that has been done. */
void fgt_block_run(fgt_block *block, const fgt_setup *setup);

/* Removes the temporary folder and the JSON document. */
void fgt_block_clear(fgt_block *block);

/* `text` with @tmp replaced by the block's folder. */
fgt_text fgt_block_expand(const fgt_block *block, fgt_text text);

/* The numbers that VALUES (see checkfile.h) at the cursor stands for. */
bool fgt_block_numbers(const fgt_block *block, const char **cursor, fgt_values *out);

#endif
