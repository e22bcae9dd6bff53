/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_RESOLVE_H
#define FLOURGOLD_RESOLVE_H

#include "flourgold/scenario.h"
#include "flourgold/status.h"

enum { FG_MESSAGE_MAX = 320 };

/* fg_scenario_resolve() with the reason of a failure: *row of the setting that is wrong, or
 * -1, and a sentence in message[FG_MESSAGE_MAX]. */
fg_status fg_resolve_saying(fg_scenario *scenario, int *row, char *message);

/* Settings that follow from readings by arithmetic, before anything else is resolved. */
fg_status fg_household_ground(fg_scenario *scenario, int *row, char *message);
/* Settings that follow from readings through the air circuit, after all else. */
fg_status fg_household_machine(fg_scenario *scenario, int *row, char *message);

#endif
