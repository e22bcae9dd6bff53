/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_EVALUATE_INTERNAL_H
#define FG_TEST_EVALUATE_INTERNAL_H

#include "blockrun.h"

/* The fault of a check that does not follow the grammar. */
extern const char fgt_unreadable[];

/* Each takes what follows the check's first word; NULL when the check holds. */
const char *fgt_evaluate_json(const fgt_block *block, const char *cursor);
const char *fgt_evaluate_compare(const fgt_block *block, const char *cursor);

#endif
