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

/* Its field in a scenario as it lies in memory, and that of an integer, boolean or choice setting
 * as what it is. */
const void *fg_setting_field(const fg_setting *setting, const fg_scenario *scenario);
int fg_setting_integer(const fg_setting *setting, const fg_scenario *scenario);
bool fg_setting_boolean(const fg_setting *setting, const fg_scenario *scenario);

/* The word for a choice; "unknown" for an index beyond the list. */
const char *fg_setting_choice(const fg_setting *setting, int index);

/* Its field to write to, NULL for a setting that is no number. */
double *fg_setting_number(const fg_setting *setting, fg_scenario *scenario);

/* Puts another number (SI) in place of what is believed of a setting and resolves again; where
 * the running machine was read at it (as_run), it counts for the readings too. */
fg_status fg_scenario_correct(fg_scenario *scenario, int row, double value);

#endif
