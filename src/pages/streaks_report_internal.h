/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REPORT_STREAKS_REPORT_INTERNAL_H
#define FLOURGOLD_REPORT_STREAKS_REPORT_INTERNAL_H

#include "pages/streaks_report.h"

/* How sure the map is: the data to the head, a sentence or two to the answer. */
void fg_streaks_add_sureness(fg_node *head, fg_node *answer, const fg_streaks_story *story);
/* Whether black sand shows gold there: the object `pan`. */
void fg_streaks_add_pan(fg_node *root, const fg_streaks_story *story);
/* The objects `variogram` and `cross_validation`, the list `models`. */
void fg_streaks_add_variogram(fg_node *root, const fg_streaks_story *story);
/* What a reader must know, one line each, and the list `remarks`. */
void fg_streaks_add_remarks(fg_node *root, const fg_streaks_story *story);

#endif
