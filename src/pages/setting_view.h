/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTING_VIEW_H
#define FLOURGOLD_SETTING_VIEW_H

#include <stddef.h>

#include "flourgold/settings.h"
#include "report/report.h"

/* Settings as reports show them. */

/* Adds one line "key .... value" to `parent` for every setting whose origin is
 * `origin` (texts and lists left empty and numbers left unknown have none), and the list `name` of
 * their keys to the data.  `parent` may be a heading of the caller's.  Returns how many there are.
 */
size_t fg_settings_add_origin(fg_node *parent, const char *name, const fg_scenario *scenario,
                              fg_origin origin, fg_unit_system units);

/* The same for the groups named in `groups` only, with blanks between ("gold sample"). */
size_t fg_settings_add_origin_in(fg_node *parent, const char *name, const fg_scenario *scenario,
                                 fg_origin origin, const char *groups, fg_unit_system units);

/* All settings nobody gave as the list `name`, with lines for people for the groups named only.
 * Returns how many with something to show are left out of those lines. */
size_t fg_settings_add_assumed(fg_node *parent, const char *name, const fg_scenario *scenario,
                               const char *groups, fg_unit_system units);

/* Adds the object `name`: {"group.key": SI number, text, true/false or list} for every
 * setting, with a line for people; for the data also `errors` (one standard deviation by
 * key, where one is known) and `worked_out_from` (the reading that a value follows from). */
void fg_settings_add_effective(fg_node *parent, const char *name, const char *title,
                               const fg_scenario *scenario, fg_unit_system units);

#endif
