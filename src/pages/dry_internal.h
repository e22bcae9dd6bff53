/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_REPORT_DRY_INTERNAL_H
#define FLOURGOLD_REPORT_DRY_INTERNAL_H

#include "pages/dry_report.h"

/* The days: a shortened table for people, all of them in the data. */
void fg_dry_days(fg_node *root, const fg_dry_story *story);

/* Whether spreading on a tarp helps. */
void fg_dry_tarp(fg_node *root, const fg_dry_story *story);

/* Tests without instruments and with a scale. */
void fg_dry_field_tests(fg_node *root, const fg_dry_story *story);

/* Where the weather came from: fall-backs, fillings, what goes on after the last row. */
void fg_dry_weather(fg_node *root, const fg_dry_story *story);

#endif
