/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAMPLE_INTERNAL_H
#define FLOURGOLD_SAMPLE_INTERNAL_H

#include "pages/page.h"
#include "pages/sample_report.h"

/* What the counts said: the richest station at the top level, all of them in a table. */
void fg_report_sample_result(fg_node *root, const fg_sample_story *story);

/* Its first lines. */
void fg_report_sample_answer(fg_node *root, const fg_sample_story *story);

#endif
