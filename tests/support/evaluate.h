/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_EVALUATE_H
#define FG_TEST_EVALUATE_H

#include "blockrun.h"
#include "checkfile.h"

/* NULL when the check holds, else what is wrong, in words.  The block must have run. */
const char *fgt_check_evaluate(const fgt_check *check);

#endif
