/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTINGS_TABLE_H
#define FLOURGOLD_SETTINGS_TABLE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"

extern const fg_setting fg_settings[FG_SETTINGS];
extern const size_t fg_settings_count;

/* The row that `setting`, one of the table, stands in. */
int fg_setting_row_of(const fg_setting *setting);

/* Whether two rows belong to one group, as run.feed and run.hours do. */
bool fg_setting_same_group(int row, int other);

/* The key nearest in spelling to `key` among the table's rows, or NULL when
 * nothing is close. */
const char *fg_setting_nearest(const char *key);

double *fg_setting_number(const fg_setting *setting, fg_scenario *scenario);

/* Puts another number (SI) in place of what is believed of a setting and resolves again; where
 * the running machine was read at it (as_run), it counts for the readings too. */
fg_status fg_scenario_correct(fg_scenario *scenario, int row, double value);

#endif
